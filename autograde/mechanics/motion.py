"""Speeds: what a given initial motion makes of every thing, and where it comes to rest."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from .errors import MechanicsError
from .linear import ONE, Row, solve
from .outcome import OFF, STICK, Outcome
from .regime import Search
from .system import System


def starting_speeds(system: System) -> dict[str, Fraction]:
    """The speed of every thing at the start, along the default positive directions: ties carry a given start over."""
    speed = {t: Fraction(0) for t in system.acc}
    given: list[Row] = []
    for body in system.scene.bodies.values():
        if body.starts is not None:
            word, size = body.starts
            given.append({body.name: Fraction(1), ONE: -system.sign(body.name, word) * size.value})
    if not any(r.get(ONE) for r in given):
        return speed
    rows = given
    for link in system.links:
        if link.hauled or (link.dry and link.kind != "rolling"):
            continue
        if not solve([*rows, dict(link.row)]).broken:
            rows.append(dict(link.row))
            continue
        # The speeds are settled without this link: it slackens or parts at once, or it cannot be so.
        settled = solve(rows)
        rate = sum((c * (settled.value(t) or 0) for t, c in link.row.items()), Fraction(0))
        if rate < 0 or link.dry or any(settled.value(t) is None for t in link.row):
            raise MechanicsError(
                f"the starting speeds do not fit {link.symbol}: it would stretch, squash or slip at once"
            )
    solution = solve(rows)
    for thing in speed:
        row = solution.of.get(thing, {})
        if set(row) - {ONE} and ONE in row:
            raise MechanicsError(
                f"the start does not settle how fast {thing} moves: say so with starts for {thing} too"
            )
        speed[thing] = row.get(ONE, Fraction(0))
    return speed


def afterwards(system: System, speed: Mapping[str, Fraction], outcome: Outcome) -> list[str]:
    """Where a moving scene comes to rest, and what it does then; only where all things stop together."""
    moving = [t for t, v in speed.items() if v]
    if not moving or not all(outcome.acc[t] * speed[t] < 0 for t in moving):
        return []
    times = {-speed[t] / outcome.acc[t] for t in moving}
    if len(times) > 1:
        first = min(moving, key=lambda t: -speed[t] / outcome.acc[t])
        return [f"{first} stops first, after {figures(min(times))} s; what follows is another problem."]
    time = times.pop()
    first = moving[0]
    way = abs(speed[first]) * time / 2
    text = f"{first} comes to rest after {figures(time)} s and {figures(way)} m; then "
    rest = Search(system, {t: Fraction(0) for t in system.acc}).run()
    turn = rest.acc[first]
    if not turn:
        held = any(k.dry and rest.choice[k.symbol] == STICK and rest.force.get(k.symbol) for k in system.links)
        return [text + ("static friction holds it." if held else "it stays at rest.")]
    word = word_of(system, first, turn)
    slack = [k.symbol for k in system.links if k.kind == "rope" and rest.choice[k.symbol] == OFF]
    return [text + f"it moves {word} with {figures(abs(turn))} m/s^2" + (f", {slack[0]} slack." if slack else ".")]


def word_of(system: System, thing: str, value: Fraction) -> str | None:
    """The direction word of a signed value along the default positive direction; None for zero."""
    if not value:
        return None
    return system.scene.directions(thing)[0 if value > 0 else 1]


def figures(value: Fraction, digits: int = 3) -> str:
    """A number rounded to some figures, without an exponent for the sizes that turn up here.

    >>> figures(Fraction(245, 155)), figures(Fraction(74)), figures(Fraction(1, 3000))
    ('1.58', '74.0', '0.000333')
    """
    if not value:
        return "0"
    size = abs(value)
    exponent = 0
    while size >= 10 ** (exponent + 1):
        exponent += 1
    while size < Fraction(10) ** exponent:
        exponent -= 1
    places = digits - 1 - exponent
    scaled = size * Fraction(10) ** places
    whole = int(scaled + Fraction(1, 2))
    if len(str(whole)) > digits:
        places -= 1
        whole = int(size * Fraction(10) ** places + Fraction(1, 2))
    text = str(whole * 10**-places) if places <= 0 else f"{whole:0{places + 1}d}"
    if places > 0:
        text = text[:-places] + "." + text[-places:]
    return ("-" if value < 0 else "") + text
