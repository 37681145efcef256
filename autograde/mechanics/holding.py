"""Which joints give way, where several choices would hold: from rest, static friction holds wherever it can.

A search that lets go of everything that is over its limit lets go of too much: once one joint slides, the load of another
may be within its limit again. So what is found is held against the choices with fewer sliding joints. Of several with as
few, the one counts whose joints are the most overloaded while all hold: under a growing load they give way first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

from .linear import ONE, Row, solve
from .outcome import MINUS, ON, PLUS, STICK, Outcome
from .system import Link

if TYPE_CHECKING:
    from .regime import Search

HANDFUL = 6  # so many joints are tried in every combination; more of them one by one
_ZERO = Fraction(0)
_Unit = tuple[Link, ...]


def most_held(search: Search, found: Outcome) -> Outcome:
    """The choice that holds with the fewest sliding joints, among those that are in no motion yet."""
    free = [k for k in search.system.links if k.dry and k.hold is not None and k.symbol not in search.fixed]
    sliding = [k for k in free if found.choice[k.symbol] != STICK]
    if not sliding:
        return found
    units: Sequence[_Unit] = [(k,) for k in free] if len(free) <= HANDFUL else _together(search, found, sliding)
    if len(units) > HANDFUL:
        return _one_by_one(search, found, free, units)
    mine = {k.symbol for k in sliding}
    for slide in _fewest_first(search, units, len(sliding)):
        if slide == mine:
            break
        better = _settled(search, found, free, slide)
        if better is not None:
            return better
    return found


def _fewest_first(search: Search, units: Sequence[_Unit], most: int) -> Iterator[set[str]]:
    """Sets of joints that might slide: few before many, and then those that give way first."""
    held = search.loads(search.start())

    def overload(unit: _Unit) -> Fraction:
        return max(abs(held.get(k.symbol, _ZERO)) / k.hold for k in unit if k.hold)

    ranked = sorted(units, key=lambda u: (-overload(u), u[0].symbol))
    picks = [p for count in range(len(ranked) + 1) for p in combinations(ranked, count)]
    sized = [(sum(len(u) for u in p), p) for p in picks]
    for _, pick in sorted((s for s in sized if s[0] <= most), key=lambda s: s[0]):
        yield {k.symbol for u in pick for k in u}


def _one_by_one(search: Search, found: Outcome, free: Sequence[Link], units: Sequence[_Unit]) -> Outcome:
    """Whatever can hold while the rest stays as found is made to hold, until nothing more can."""
    waiting = list(units)
    while waiting:
        for unit in waiting:
            slide = {k.symbol for u in waiting if u is not unit for k in u}
            better = _settled(search, found, free, slide)
            if better is not None:
                found = better
                waiting.remove(unit)
                break
        else:
            break
    return found


def _settled(search: Search, found: Outcome, free: Iterable[Link], slide: set[str]) -> Outcome | None:
    """The outcome in which just these joints slide, whichever way; ropes and contacts as that asks for. None where there is none."""
    pushed = search.pushed(search.start())
    choice = dict(found.choice)
    for link in free:
        name = link.symbol
        ways = [s for s in (choice[name], pushed[name]) if s != STICK]
        choice[name] = (ways[0] if ways else PLUS) if name in slide else STICK
    tied = {k.symbol for k in search.system.links if not k.dry}
    seen: set[tuple[str, ...]] = set()
    while tuple(choice.values()) not in seen:
        seen.add(tuple(choice.values()))
        outcome, changes = search.test(choice)
        if outcome is not None:
            return outcome
        for name in changes.keys() - search.fixed.keys():
            if name in tied:
                choice[name] = changes[name]
            elif name in slide:
                choice[name] = MINUS if choice[name] == PLUS else PLUS
    return None


def _together(search: Search, found: Outcome, sliding: Iterable[Link]) -> list[_Unit]:
    """The sliding joints, grouped: those whose slips the taut ropes, contacts and holding joints make proportional."""
    system = search.system
    ties: list[Row] = [{t: Fraction(1), ONE: -a} for t, a in system.prescribed.items()]
    ties += [dict(k.row) for k in system.links if found.choice[k.symbol] in (ON, STICK) and not k.hauled]
    motion = solve(ties).of
    groups: dict[tuple[tuple[str, Fraction], ...], list[Link]] = {}
    for link in sliding:
        slip: Row = {}
        for thing, c in link.row.items():
            for name, cc in motion.get(thing, {thing: Fraction(1)}).items():
                slip[name] = slip.get(name, _ZERO) + c * cc
        parts = sorted((name, c) for name, c in slip.items() if c)
        groups.setdefault(tuple((name, c / parts[0][1]) for name, c in parts), []).append(link)
    return [tuple(group) for group in groups.values()]
