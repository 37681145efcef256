"""Everything the judge needs of one scene for one choice of positive directions, worked out once and kept."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations

from ..algebra import Poly
from ..mechanics import derive
from ..mechanics.setup import Setup
from ..reading import Vocabulary
from ..scene.model import Scene
from .evaluate import Figures
from .forms import Vector, plus
from .grounds import Ground, acceleration_symbols, grounds
from .operators import doubles_on_one, singles
from .pieces import Variant, pieces_of

MOST_DOUBLES = 4000
FEW_SUMMED, MOST_SUMMED = 4, 8


@dataclass(frozen=True, eq=False)
class Context:
    scene: Scene
    positive: Mapping[str, str]
    setup: Setup
    vocabulary: Vocabulary

    @cached_property
    def grounds(self) -> tuple[Ground, ...]:
        return grounds(self.setup)

    @property
    def actual(self) -> Ground:
        return self.grounds[0]

    @cached_property
    def data(self) -> frozenset[Fraction]:
        """Every number that the scene gives, exact wherever it is met."""
        return frozenset(s.given.value for s in self.scene.symbols.values() if s.given is not None) | self._as_written

    @cached_property
    def _as_written(self) -> frozenset[Fraction]:
        out = set()
        for s in self.scene.symbols.values():
            if s.given is not None:
                try:
                    out.add(Fraction(s.given.text.replace(",", ".")))
                except ValueError:
                    continue
        return frozenset(out)

    def figures(
        self, widen: float = 1.0, instead: Mapping[tuple[int, int], float] | None = None, loose: int = 0
    ) -> Figures:
        """How the figures of a line on this scene are taken."""
        return Figures(self.data, widen, loose, instead, self.whole_masses)

    @cached_property
    def masses(self) -> tuple[Fraction, ...]:
        """The masses of the scene, and what each wheel adds to them for a rope at each of its radii: I/R^2."""
        given, scene = self.setup.given, self.scene
        out = [s.given.value for s in scene.symbols.values() if s.kind == "mass" and s.given is not None and s.given.value]
        for wheel in scene.wheels:
            inertia = scene.symbol_of("inertia", wheel) or ""
            value = self.setup.values.get(inertia, given.get(inertia))
            arms = {s.given.value for s in scene.symbols.values() if s.kind in ("radius", "strand_radius") and s.thing == wheel and s.given is not None}
            out += [value / arm**2 for arm in arms if value and arm]
        return tuple(out)

    @cached_property
    def weights(self) -> dict[str, float]:
        """The weights of the scene by their letters, in N; those of bodies without mass left out."""
        numbers = self.actual.numbers
        return {s.name: numbers[s.name] for s in self.scene.symbols.values() if s.kind == "weight" and numbers.get(s.name)}

    @cached_property
    def whole_masses(self) -> frozenset[Fraction]:
        """The whole numbers that several masses make together; at a movable pulley some count twice or four times."""
        movable = any(t.strands > 1 for e in self.setup.equations.values() for t in e.terms) or any(b.mass.value == 0 for b in self.scene.bodies.values())
        return frozenset().union(*(_whole_sums(self.masses, often) for often in ((2, 4) if movable else (1,))))

    @cached_property
    def has_unit_inertia(self) -> bool:
        """Whether some mass (or what a wheel adds to one), or a moment of inertia, is just 1: then m a may be written a."""
        return 1 in self.masses or any(s.kind == "inertia" and s.given is not None and s.given.value == 1 for s in self.scene.symbols.values())

    @cached_property
    def accelerations(self) -> tuple[str, ...]:
        return acceleration_symbols(self.setup)

    @cached_property
    def truth(self) -> dict[str, tuple[Vector, ...]]:
        """Each thing's true equation as a vector on every ground."""
        return {
            thing: tuple(_clean(g.form(sum_of(self.setup, thing))) for g in self.grounds)
            for thing in self.setup.equations
        }

    @cached_property
    def balance(self) -> dict[str, tuple[Vector, ...]]:
        """Each thing's forces alone, as if they balanced, as a vector on every ground."""
        return {
            thing: tuple(_clean(g.form(Poly.sum(p.poly for p in pieces_of(self.setup, thing)[:-1]))) for g in self.grounds)
            for thing in self.setup.equations
        }

    def variants(self, thing: str) -> list[tuple[Variant, tuple[Vector, ...]]]:
        """Every single slip of a thing's equation with the change that it makes, on every ground."""
        if thing not in self._variants:
            tried = [(v, tuple(g.form(v.delta) for g in self.grounds)) for v in singles(self.setup, thing)]
            self._variants[thing] = [(v, deltas) for v, deltas in tried if not self._no_change(thing, deltas)]
        return self._variants[thing]

    def _no_change(self, thing: str, deltas: tuple[Vector, ...]) -> bool:
        """Whether a variant is the true equation after all (another body's acceleration where all are equal)."""
        return all(parallel(truth, plus(truth, delta)) for truth, delta in zip(self.truth[thing], deltas, strict=True))

    @cached_property
    def _variants(self) -> dict[str, list[tuple[Variant, tuple[Vector, ...]]]]:
        return {}

    def doubles(self, thing: str) -> list[tuple[Variant, tuple[Vector, ...]]]:
        """Pairs of slips that touch different pieces, and pairs in one piece."""
        if thing not in self._doubles:
            single = self.variants(thing)
            out = []
            for v in doubles_on_one(self.setup, thing, [v for v, _ in single]):
                out.append((v, tuple(g.form(v.delta) for g in self.grounds)))
            for (v, dv), (w, dw) in combinations(single, 2):
                if v.touched & w.touched and not (v.touched == w.touched == frozenset({-1})):
                    continue
                if (v.tag == "whole" and v.kinds[0] == "other-body") or (
                    w.tag == "whole" and w.kinds[0] == "other-body"
                ):
                    continue
                if "free-fall" in (*v.kinds, *w.kinds):  # m g for m a with another slip is mostly an equation without its m a
                    continue
                both = Variant((*v.kinds, *w.kinds), v.term, v.delta, v.touched | w.touched, {}, "pair", (v, w))
                out.append((both, tuple(plus(a, b) for a, b in zip(dv, dw, strict=True))))
                if len(out) >= MOST_DOUBLES:
                    break
            self._doubles[thing] = out
        return self._doubles[thing]

    @cached_property
    def _doubles(self) -> dict[str, list[tuple[Variant, tuple[Vector, ...]]]]:
        return {}


def _whole_sums(values: Sequence[Fraction], often: int) -> frozenset[Fraction]:
    """The whole numbers among the sums of some of these values, some of them (not all) taken often."""
    every = {(Fraction(0), True)}
    for n, value in enumerate(values[:MOST_SUMMED]):
        every |= {(total + value, False) for total, _ in every} | ({(total + often * value, bare) for total, bare in every} if n < FEW_SUMMED else set())
    return frozenset(x for x, bare in every if not bare and x.denominator == 1)


def sum_of(setup: Setup, thing: str) -> Poly:
    """The true equation of a thing, all on one side, laws put in."""
    return Poly.sum(p.poly for p in pieces_of(setup, thing))


def _clean(v: Vector) -> Vector:
    big = max((abs(x) for x in v.values()), default=0.0)
    return {k: x for k, x in v.items() if abs(x) > 1e-13 * big}


def parallel(a: Vector, b: Vector) -> bool:
    """Whether two vectors are equal up to a scale that is not zero."""
    big = max((abs(x) for x in a.values()), default=0.0)
    if not big:
        return False
    pivot = max(a, key=lambda k: abs(a[k]))
    scale = b.get(pivot, 0.0) / a[pivot]
    return scale != 0.0 and all(
        abs(b.get(k, 0.0) - scale * a.get(k, 0.0)) <= 1e-9 * big * abs(scale) for k in a.keys() | b.keys()
    )


_CACHE: OrderedDict[tuple[object, ...], Context] = OrderedDict()
_MOST_KEPT = 256


def context_for(scene: Scene, positive: Mapping[str, str], assumed: frozenset[str] = frozenset()) -> Context:
    """The context of a scene for these positive directions (all things named), kept for the next time. assumed: the frictions
    that hold and that the student has assumed to act the other way."""
    key = (scene.digest or id(scene), tuple(sorted(positive.items())), assumed)
    hit = _CACHE.get(key)
    if hit is not None and (scene.digest or hit.scene is scene):
        _CACHE.move_to_end(key)
        return hit
    context = Context(scene, dict(positive), derive(scene, positive, assumed), Vocabulary.of(scene))
    _CACHE[key] = context
    while len(_CACHE) > _MOST_KEPT:
        _CACHE.popitem(last=False)
    return context
