"""The same problem with fresh numbers: as sensible as the author's, in the same regime, no two alike.

Everything is drawn from SHA-256 of the seed and the scene's own data, so that marking finds the same numbers again on
any machine. Which seed is whose is settled in one place, marking/assignment.py (`seed_for`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice

from ..scene.data import with_data
from ..scene.error import SceneError
from ..scene.model import Scene
from .derive import derive
from .errors import MechanicsError
from .seeding import Stream
from .sensible import choices, datum, groups, sort_of
from .setup import Setup
from .story import retold, unclear

REGIMES = ("same", "any")
# Accelerations that a student can tell from nothing and from free fall; wider where the author's own are outside.
SLOWEST = Fraction(3, 10)
FASTEST = Fraction(85, 100)
# A static friction this near to its limit would be decided by rounding.
NEARLY = Fraction(95, 100)
# Of the largest weight: a weaker pull would be lost in rounding.
WEAKEST = Fraction(2, 100)
_ENOUGH = 1200
# Up to so many choices in all, each is tried once; beyond, choices are drawn.
_FEW = 20_000
_MANY = 6


def vary(scene: Scene, count: int, seed: int | str, *, regime: str = "same") -> list[Scene]:
    """`count` variants of a scene, all different and different from the scene, the first ones the same for any count.

    regime "same" keeps which way everything goes, what slides, holds, is taut and touches; "any" takes all regimes.
    MechanicsError where that many can't be found.
    """
    if regime not in REGIMES:
        raise MechanicsError(f"regime {regime!r} is not one of {', '.join(REGIMES)}")
    if count < 0:
        raise MechanicsError(f"{count} variants can't be made; ask for one or more")
    found: list[Scene] = []
    if count:
        # Long rows take longer to work out.
        patience = (_ENOUGH + 40 * count) // max(1, len(scene.things) // 5)
        for one in variants(scene, seed, regime=regime, patience=patience):
            found.append(one)
            if len(found) == count:
                return found
    if len(found) < count:
        hint = "; allow any regime, or ask for fewer" if regime == "same" else "; ask for fewer"
        kept = " in the same regime" if regime == "same" else ""
        raise MechanicsError(
            f"{scene.name}: found {len(found)} different sensible variants{kept}, not the {count} asked for{hint}"
        )
    return found


def variants(scene: Scene, seed: int | str, *, regime: str = "same", patience: int = _ENOUGH) -> Iterator[Scene]:
    """Variants one after the other, until every choice has been tried or `patience` choices in all.

    MechanicsError where the story names data in a way that fresh numbers can't follow.
    """
    if wrong := unclear(scene):
        raise MechanicsError(
            f"{scene.name}: story: {', '.join(wrong)}: may be data, but fresh numbers can't follow there; write each with the "
            "unit of its datum (5 kg, 25 degrees), coefficients as in the file, or leave the figures out"
        )
    original = derive(scene)
    sets = [(names, choices(*datum(scene, names[0]))) for names in groups(scene)]
    leaders = [names[0] for names, _ in sets]
    own = tuple(options.index(_written(scene, names[0])) for names, options in sets)
    ranges = [len(options) for _, options in sets]
    stream = Stream(_seed_text(scene, seed, regime))
    limits = _Limits.of(original)
    seen = {own}
    for picked in _picks(stream, ranges, patience):
        if picked in seen:
            continue
        seen.add(picked)
        data = {n: options[i] for (names, options), i in zip(sets, picked, strict=True) for n in names}
        if not _told_apart(scene, leaders, data):
            continue
        fresh = _fresh(scene, original, data)
        if fresh is not None and _fits(fresh, original, limits, regime):
            yield fresh.scene


def _seed_text(scene: Scene, seed: int | str, regime: str) -> str:
    data = ",".join(f"{n}={_written(scene, n)}" for names in groups(scene) for n in names)
    return f"plusway variants 1|{seed}|{scene.name}|{regime}|{data}"


def _written(scene: Scene, name: str) -> str:
    quantity = datum(scene, name)[1]
    return f"{quantity.text} {quantity.unit}".strip()


def _picks(stream: Stream, ranges: list[int], patience: int) -> Iterator[tuple[int, ...]]:
    """Choices of one option for each group: all of them in a drawn order where they are few, else drawn one by one."""
    total = 1
    for size in ranges:
        total *= size
    if total <= _FEW:
        for number in islice(stream.shuffled(total), patience):
            picked = []
            for size in ranges:
                number, place = divmod(number, size)
                picked.append(place)
            yield tuple(picked)
    else:
        for _ in range(patience):
            yield tuple(stream.below(size) for size in ranges)


def _told_apart(scene: Scene, leaders: list[str], data: dict[str, str]) -> bool:
    """Whether data of one sort that differ in the scene still differ: one body's mass for another's must show."""
    by_sort: dict[str, list[str]] = {}
    for name in leaders:
        by_sort.setdefault(sort_of(datum(scene, name)[0]), []).append(data[name])
    # In a long row of bodies there are not that many sensible masses.
    if any(len(set(texts)) < min(len(texts), _MANY) for texts in by_sort.values()):
        return False
    for body in scene.bodies.values():
        k, s = scene.symbol_of("mu_k", body.name), scene.symbol_of("mu_s", body.name)
        if k in data and s in data and _written(scene, str(k)) != _written(scene, str(s)) and data[k] == data[s]:
            return False
    return True


def _fresh(scene: Scene, original: Setup, data: dict[str, str]) -> Setup | None:
    """The scene with these data, worked out; None where they do not fit together or have no unique answer."""
    changed = {n: t for n, t in data.items() if t != _written(scene, n)}
    try:
        other = with_data(scene, changed)
        words = retold(scene, changed)
        return derive(replace(other, story=words.story, title=words.title), original.positive)
    except (SceneError, MechanicsError):
        return None


@dataclass(frozen=True)
class _Limits:
    """What the author's own numbers allow: the smallest and the largest acceleration of a body, the weakest force of a
    rope, contact or surface as a part of the largest weight, and the time."""

    slowest: Fraction
    fastest: Fraction
    weakest: Fraction
    time: Fraction | None

    @classmethod
    def of(cls, setup: Setup) -> _Limits:
        sizes = [abs(a) for a in _accelerations(setup).values() if a]
        g = setup.scene.g.value
        slowest = min([SLOWEST, *(s * Fraction(8, 10) for s in sizes)])
        weakest = min([WEAKEST, *(part / 2 for part in _links(setup))])
        return cls(slowest, max([FASTEST * g, *sizes]), weakest, _time(setup))


def _accelerations(setup: Setup) -> dict[str, Fraction]:
    """{body: its acceleration}, those that the scene gives left out."""
    scene = setup.scene
    out = {}
    for name, body in scene.bodies.items():
        letter = scene.symbol_of("acceleration", name)
        if body.acceleration is None and letter is not None and letter in setup.values:
            out[name] = setup.values[letter]
    return out


def _fits(fresh: Setup, original: Setup, limits: _Limits, regime: str) -> bool:
    if regime == "same" and not _same_regime(fresh, original):
        return False
    if len(fresh.regime.notes) > len(original.regime.notes) or len(fresh.undetermined) > len(original.undetermined):
        return False
    return _not_degenerate(fresh, limits) and _not_on_the_edge(fresh) and _same_shape(fresh.scene, original.scene)


def _same_regime(a: Setup, b: Setup) -> bool:
    one, two = a.regime, b.regime
    return (one.moves, one.direction, one.friction, one.taut, one.touching) == (
        two.moves, two.direction, two.friction, two.taut, two.touching,
    ) and all((x > 0) == (_accelerations(b)[n] > 0) for n, x in _accelerations(a).items())  # fmt: skip


def _not_degenerate(setup: Setup, limits: _Limits) -> bool:
    for size in map(abs, _accelerations(setup).values()):
        if setup.regime.moves and size and not limits.slowest <= size <= limits.fastest:
            return False
    if any(part < limits.weakest for part in _links(setup)):
        return False
    time = _time(setup)
    return limits.time is None or (time is not None and limits.time / 3 <= time <= limits.time * 3)


def _time(setup: Setup) -> Fraction | None:
    return setup.values.get(setup.scene.symbol_of("time", None) or "")


def _links(setup: Setup) -> Iterator[Fraction]:
    """The forces of ropes that are taut and of what touches, as parts of the largest weight."""
    scene, regime = setup.scene, setup.regime
    weights = [setup.values[n] for n, s in scene.symbols.items() if s.kind == "weight" and n in setup.values]
    for name, symbol in scene.symbols.items():
        pulls = symbol.kind == "tension" and regime.taut.get(name, True)
        pushes = symbol.kind in ("contact", "normal") and regime.touching.get(name, True)
        if (pulls or pushes) and name in setup.values and any(weights):
            yield setup.values[name] / max(weights)


def _not_on_the_edge(setup: Setup) -> bool:
    """Whether what holds would still hold had the data been rounded a little otherwise."""
    scene = setup.scene
    for letter, (state, _) in setup.regime.friction.items():
        symbol = scene.symbols.get(letter)
        if state != "holds" or symbol is None or symbol.thing is None:
            continue
        normal, limit = scene.symbol_of("normal", symbol.thing), scene.symbol_of("mu_s", symbol.thing)
        limit = limit or scene.symbol_of("mu_k", symbol.thing)
        if normal in setup.values and limit in setup.values and letter in setup.values:
            most = setup.values[str(limit)] * setup.values[str(normal)]
            if not most / 50 <= abs(setup.values[letter]) <= most * NEARLY:
                return False
    return True


def _same_shape(fresh: Scene, original: Scene) -> bool:
    """Whether each strand's own radius is still on the same side of its wheel's rim."""
    for symbol in original.symbols.values():
        if symbol.kind == "strand_radius" and symbol.thing is not None:
            before = symbol.given, original.wheels[symbol.thing].radius
            after = fresh.symbols[symbol.name].given, fresh.wheels[symbol.thing].radius
            if before[0] is None or after[0] is None:
                continue
            if (before[0].value < before[1].value) != (after[0].value < after[1].value):
                return False
    return True
