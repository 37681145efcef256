"""The regime is solved for: which surfaces stick or slide and which way, which ropes are slack, which contacts part.

A *choice* gives every link a state; it holds when the equations under it have a solution that keeps every rule of the
state (a rope pulls, a slack rope is not being stretched, sticking friction stays below its limit, sliding friction
opposes the sliding). Normal forces here never depend on accelerations, so every limit of friction is a known number.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations, product

from .errors import MechanicsError
from .holding import most_held
from .linear import ONE, Bounds, Row, Solution, feasible, solve
from .outcome import MINUS, OFF, ON, PLUS, STICK, Choice, Outcome
from .system import Link, System

_TRIALS = 4000
_ZERO = Fraction(0)


@dataclass
class Search:
    """The search over choices for one system and one set of speeds (zero for what is at rest)."""

    system: System
    speed: Mapping[str, Fraction]
    fixed: Choice = field(default_factory=dict)
    unsettled: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        for link in self.system.links:
            rate = link.along(self.speed)
            if link.hauled:
                self.fixed[link.symbol] = ON
            elif link.dry:
                if link.hold == 0:
                    self.fixed[link.symbol] = PLUS  # nothing presses: both states are the same
                elif rate:
                    self.fixed[link.symbol] = MINUS if rate > 0 else PLUS
                elif all(t in self.system.prescribed for t in link.row):
                    push = link.along(self.system.prescribed)
                    self.fixed[link.symbol] = MINUS if push > 0 else PLUS if push < 0 else STICK
            elif rate > 0:
                self.fixed[link.symbol] = OFF

    def start(self) -> Choice:
        """Everything taut, touching and sticking."""
        return {k.symbol: self.fixed.get(k.symbol, STICK if k.dry else ON) for k in self.system.links}

    def run(self) -> Outcome:
        """The choice that holds, with as much sticking as there can be."""
        start = self.start()
        pushed = self.pushed(start)
        for one_by_one in (False, True):
            seen: set[tuple[str, ...]] = set()
            for first in (start, pushed):
                found = self._improve(first, seen, one_by_one)
                if found is not None:
                    return self._tightened(most_held(self, found))
        for trial, choice in enumerate(self._departures(start)):
            if trial > _TRIALS:
                break
            outcome, _ = self.test(choice)
            if outcome is not None:
                return self._tightened(most_held(self, outcome))
        if self.unsettled:
            raise MechanicsError(
                f"nothing in the scene settles how {_list(sorted(self.unsettled))} moves: "
                "a rope, contact or given acceleration is missing"
            )
        raise MechanicsError(self._contradiction())

    def _tightened(self, outcome: Outcome) -> Outcome:
        """Ropes and contacts whose ends do not move apart stay taut and touching, so that the way to it leaves no trace."""
        idle = [
            k.symbol
            for k in self.system.links
            if outcome.choice[k.symbol] == OFF and k.symbol not in self.fixed and not k.along(outcome.acc)
        ]
        for group in (idle, *([k] for k in idle)):
            if group:
                tighter, _ = self.test({**outcome.choice, **dict.fromkeys(group, ON)})
                outcome = tighter or outcome
        return outcome

    def _improve(self, choice: Choice, seen: set[tuple[str, ...]], one_by_one: bool) -> Outcome | None:
        """Follow what the failures ask for, all at once or (where that goes round in a circle) one by one."""
        for _ in range(4 * len(choice) + 8):
            key = tuple(choice.values())
            if key in seen:
                return None
            seen.add(key)
            outcome, changes = self.test(choice)
            if outcome is not None:
                return outcome
            changes = {k: s for k, s in changes.items() if k not in self.fixed}
            if not changes:
                return None
            choice = {**choice, **(dict([next(iter(changes.items()))]) if one_by_one else changes)}
        return None

    def pushed(self, start: Choice, back: bool = False) -> Choice:
        """Everything that would slip without friction slides (the other way if `back`)."""
        bare = {
            k.symbol: _ZERO for k in self.system.links if k.dry and k.symbol not in self.fixed and k.kind != "rolling"
        }
        solution = self._solve(start, bare)
        acc = self._accelerations(solution)
        choice = dict(start)
        for link in self.system.links:
            if link.symbol in bare and acc is not None and link.along(acc):
                choice[link.symbol] = MINUS if (link.along(acc) > 0) != back else PLUS
        return choice

    def loads(self, choice: Mapping[str, str]) -> dict[str, Fraction]:
        """What the multipliers would be under a choice, whether or not it holds; only those that are settled."""
        solution = self._solve(choice, {})
        found = {} if solution.broken else {k.symbol: solution.value(k.symbol) for k in self.system.links}
        return {name: value for name, value in found.items() if value is not None}

    def _solve(self, choice: Mapping[str, str], bare: Mapping[str, Fraction]) -> Solution:
        system = self.system
        rows: dict[str, Row] = {t: {"a " + t: -system.inertia[t], ONE: system.outside[t]} for t in system.live}
        ties: list[Row] = [{"a " + t: Fraction(1), ONE: -a} for t, a in system.prescribed.items()]
        for link in system.links:
            name, state = link.symbol, choice[link.symbol]
            known = bare.get(name)
            if known is None:
                known = {OFF: _ZERO, PLUS: link.slide, MINUS: -link.slide}.get(state)
            if known is None and not link.hauled:
                ties.append({"a " + t: c for t, c in link.row.items()})
            for thing, c in link.row.items():
                row = rows.get(thing)
                if row is None:
                    continue
                key, amount = (name, c) if known is None else (ONE, c * known)
                row[key] = row.get(key, _ZERO) + amount
        return solve([*ties, *rows.values()])

    def _accelerations(self, solution: Solution) -> dict[str, Fraction] | None:
        if solution.broken:
            return None
        acc = {}
        for thing in self.system.acc:
            value = solution.value("a " + thing)
            if value is None:
                self.unsettled.add(thing)
                return None
            acc[thing] = value
        return acc

    def test(self, choice: Choice) -> tuple[Outcome | None, Choice]:
        """The outcome of a choice that holds, or None with the changes that its failures ask for."""
        solution = self._solve(choice, {})
        acc = self._accelerations(solution)
        if acc is None:
            return None, self._release(choice, [k for k in self.system.links if choice[k.symbol] in (STICK,)])
        changes: Choice = {}
        bounds: dict[str, tuple[Fraction | None, Fraction | None]] = {}
        force: dict[str, Fraction] = {}
        loose = []
        for link in self.system.links:
            name, state, slip = link.symbol, choice[link.symbol], link.along(acc)
            if state == OFF or state in (PLUS, MINUS):
                force[name] = {OFF: _ZERO, PLUS: link.slide, MINUS: -link.slide}[state]
                if name in self.fixed:
                    continue
                if state == OFF and slip < 0:
                    changes[name] = ON
                elif state != OFF and (slip == 0 or (slip > 0) == (state == PLUS)):
                    changes[name] = STICK
                continue
            low, high = (-link.hold if link.hold is not None else None, link.hold) if link.dry else (_ZERO, None)
            bounds[name] = (low, high)
            value = solution.value(name)
            if value is None:
                loose.append(name)
                continue
            force[name] = value
            if low is not None and value < low:
                changes[name] = OFF if not link.dry else MINUS
            elif high is not None and value > high:
                changes[name] = PLUS
        if changes:
            return None, changes
        if loose:
            stuck = [k for k in self.system.links if k.symbol in loose and choice[k.symbol] == STICK]
            values = self._shared_load(choice, acc, stuck, bounds, loose)
            if values is None or not values:
                known = {k: b for k, b in bounds.items() if k not in solution.free or k in loose}
                values = None if values is None else feasible(solution, known)
            if values is None:
                return None, self._release(choice, stuck)
            # A multiplier that no equation mentions (on a driven body) has no row at all.
            force.update({k: values.get(k, _ZERO) for k in loose})
        return Outcome(choice, acc, force, tuple(loose)), {}

    def _shared_load(
        self, choice: Choice, acc: Mapping[str, Fraction], stuck: list[Link], bounds: Bounds, loose: list[str]
    ) -> dict[str, Fraction] | None:
        """A quick answer to whether sticking links can bear their load together: None if they surely cannot, values if
        it works with all of them loaded alike, {} if neither is seen.

        Let w be the acceleration that they prevent. Virtual work along w: the sum of their forces times their slips is
        minus w·M·w, whatever the tensions; no more than the sum of limits times slips can be borne.
        """
        if any(k.hold is None or k.symbol in self.fixed for k in stuck):
            return {}
        bare = self._accelerations(self._solve(choice, {k.symbol: _ZERO for k in stuck}))
        if bare is None:
            return {}
        w = {t: bare[t] - acc[t] for t in bare}
        load = sum((self.system.inertia[t] * w[t] * w[t] for t in self.system.live), _ZERO)
        limit = sum((k.hold * abs(k.along(w)) for k in stuck if k.hold), _ZERO)
        if load > limit:
            return None
        if not load:
            return {}
        values = {
            k.symbol: k.hold * load / limit * (-1 if k.along(w) > 0 else 1) if k.along(w) else _ZERO
            for k in stuck
            if k.hold
        }
        solution = self._solve(choice, values)
        if solution.broken or any(solution.value("a " + t) != a for t, a in acc.items()):
            return {}
        for name in loose:
            low = bounds[name][0]
            value = values.get(name, solution.value(name))
            if value is None or (name not in values and low is not None and value < low):
                return {}
            values[name] = value
        return values

    def _release(self, choice: Choice, stuck: list[Link]) -> Choice:
        """Let links that cannot all stick slide the way in which they would go without their friction."""
        names = {k.symbol: _ZERO for k in stuck if k.symbol not in self.fixed}
        if not names:
            return {}
        acc = self._accelerations(self._solve(choice, names))
        if acc is None:
            return {}
        return {k.symbol: MINUS if k.along(acc) > 0 else PLUS for k in stuck if k.symbol in names and k.along(acc)}

    def _departures(self, start: Choice) -> Iterator[Choice]:
        free = [k for k in self.system.links if k.symbol not in self.fixed]
        for count in range(1, len(free) + 1):
            for picked in combinations(free, count):
                for states in product(*((PLUS, MINUS) if k.dry else (OFF,) for k in picked)):
                    yield {**start, **{k.symbol: s for k, s in zip(picked, states, strict=True)}}

    def rival(self, outcome: Outcome) -> Outcome | None:
        """Another choice that holds as well: what sticks would, once it slides, go on sliding."""
        stuck = [
            k
            for k in self.system.links
            if k.dry
            and outcome.choice[k.symbol] == STICK
            and k.symbol not in self.fixed
            and k.hold is not None
            and k.slide < k.hold
        ]
        if not stuck or len(stuck) > 24:
            return None
        base = dict(outcome.choice)
        names = {k.symbol: _ZERO for k in stuck}
        acc = self._accelerations(self._solve(base, names))
        for group in (stuck, *([k] for k in stuck if len(stuck) > 1)):
            if acc is None:
                break
            sliding = {k.symbol: MINUS if k.along(acc) > 0 else PLUS for k in group if k.along(acc)}
            if sliding:
                other, changes = self.test({**base, **sliding})
                if other is None and not changes.keys() & (sliding.keys() | self.fixed.keys()):
                    other, _ = self.test({**base, **sliding, **changes})  # what slid may hold now
                if other is not None:
                    return other
        return None

    def _contradiction(self) -> str:
        tied = [k.symbol for k in self.system.links if not k.dry]
        given = sorted(self.system.prescribed)
        solution = self._solve(self.start(), {})
        for link in self.system.links:
            value = solution.value(link.symbol) if link.hauled and not solution.broken else None
            if value is not None and value < 0:
                return f"rope {link.symbol} would have to push to give {_list(given)} the given acceleration"
        if given:
            return f"the accelerations given for {_list(given)} contradict the ropes and contacts ({_list(tied)})"
        return f"no motion fits all of the ropes and contacts ({_list(tied)}): check which way each pulls or pushes"


def _list(names: list[str]) -> str:
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names) or "none"
