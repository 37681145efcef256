"""Which links a given acceleration overrules, and which equations of driven bodies then hold.

A body whose acceleration is given has a hidden drive, so its own equation says nothing, unless a rope of the scene is
what drives it: a rope whose ends the given accelerations already settle is *hauled* (a lift's rope, a person pulling
themself up). It pulls with its tension all along, but its length changes, so its tie is gone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from .linear import ONE, Row, solve
from .system import Link, System


def mark_hauled(system: System, told: bool = False) -> None:
    """Set `hauled` on such ropes and `live` to all things whose own equation counts; `told`: only where the scene says so."""
    ties = [*_known(system), *(_tie(k) for k in system.links if k.kind in ("contact", "rolling"))]
    ropes = [k for k in system.links if k.kind == "rope"]
    hauled = {k.symbol for k in ropes if k.hauled}
    if system.prescribed and not told:
        settled = solve(ties)
        for rope in ropes:
            if all(settled.value(t) is not None for t in rope.row):
                hauled.add(rope.symbol)
        # Ropes between several things tie first; one that then contradicts the given accelerations is what drives them.
        for rope in sorted((k for k in ropes if k.symbol not in hauled), key=lambda k: len(k.row) < 2):
            if solve([*ties, _tie(rope)]).broken:
                hauled.add(rope.symbol)
            else:
                ties.append(_tie(rope))
    system.links[:] = [replace(k, hauled=True) if k.kind == "rope" and k.symbol in hauled else k for k in system.links]
    reached = _reached(system, (t for k in system.links if k.hauled for t in k.row))
    system.live = {t for t in system.acc if t not in system.prescribed or t in reached}


def _known(system: System) -> list[Row]:
    return [{t: Fraction(1), ONE: -a} for t, a in system.prescribed.items()]


def _tie(link: Link) -> Row:
    return dict(link.row)


def _reached(system: System, start: Iterable[str]) -> set[str]:
    """All things that the links tie, directly or not, to the ones to start from."""
    seen: set[str] = set()
    wave = set(start)
    while wave:
        seen |= wave
        wave = {t for k in system.links if not k.dry for t in k.row if wave & k.row.keys()} - seen
    return seen
