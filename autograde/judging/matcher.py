"""One line against the equations of one thing: does it fit the truth, a slip, another g, another number?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ..mechanics.system import SHAPES
from ..reading.tree import Line, Name, Number, Product
from .arithmetic import one_number
from .context import Context, parallel, sum_of
from .evaluate import ALL_ZEROS, GRAVITIES, Unjudgeable, numbers_in
from .forms import CONST, Form, Vector, plus, same_up_to_scale, scale_between
from .grounds import Ground
from .lines import Meaning, Places, difference, equalities, form_look, holds_at, line_names, resolve, spots, value_look
from .pieces import Variant, pieces_of, put_laws
from .verdicts import Slip

Grip = tuple[float, int]  # half units of the last figure, how many zeros at the end may be place-holders
STRICT: Grip = (1.0, 0)
LOOSE: Grip = (1.0, 1)
LOOSER: Grip = (1.0, ALL_ZEROS)
WIDE: Grip = (2.0, 0)
SLACK = 1e-9


@dataclass
class Matcher:
    """One line against the equations of one thing, on the grounds where it has to hold."""

    context: Context
    thing: str
    line: Line
    meaning: Meaning
    places: Places

    def __post_init__(self) -> None:
        self._forms: dict[tuple[int, Grip], list[Form]] = {}

    def forms(self, place: int, ground: Ground, widen: Grip) -> list[Form]:
        """Every equality of the line as a form on a ground."""
        key = (place, widen)
        if key not in self._forms:
            look = form_look(self.context, ground, self.meaning)
            figures = self.context.figures(widen[0], loose=widen[1])
            self._forms[key] = [difference(pair, look, figures) for pair in equalities(self.line)]
        return self._forms[key]

    def fits(self, vectors: list[Vector], widen: Grip, own_mass: bool = True) -> bool:
        """Whether one equality of the line is this equation on every ground, and every other one is it too or holds anyway.

        own_mass: the equation has the thing's own mass with its acceleration."""
        count = len(equalities(self.line))
        some = False
        for n in range(count):
            if all(
                self._same(self.forms(place, ground, widen)[n], v, own_mass, ground)
                for (place, ground), v in zip(self.places, vectors, strict=True)
            ):
                some = True
            elif count > 1 and not self._idle(n, widen):
                return False
        return some

    def _same(self, form: Form, vector: Vector, own_mass: bool, ground: Ground) -> bool:
        """Whether a form is this equation; at its own scale, the thing's own mass, which the scene gives, is not rounded."""
        scale = scale_between(form, vector)
        if scale is None:
            return False
        low, high = min(map(abs, scale)), max(map(abs, scale))
        if not any(k and abs(x) > SLACK * abs(vector.get(CONST, 0.0)) for k, x in vector.items()):  # without an unknown any two are one up to scale: only what a student divides by may stand between
            return any(low <= x * (1 + SLACK) and x <= high * (1 + SLACK) for x in self._divisors(ground))
        return not (own_mass and self._mass_rounded and low <= 1.0 <= high)

    def _divisors(self, ground: Ground) -> list[float]:
        """The scales at which an equation of the thing is usually written: as it is, or divided by its mass, by g, by both."""
        mass = ground.numbers.get(self.context.scene.symbol_of("mass", self.thing) or "", 1.0)
        g = ground.numbers.get("g", 1.0)
        return [1.0, *(1 / x for x in (mass, g, mass * g) if x)]

    @cached_property
    def _mass_rounded(self) -> bool:
        """Whether a rounded number stands with the thing's own acceleration where its mass as given should: 7a for 6.5a."""
        mass = self.context.scene.symbol_of("mass", self.thing)
        if mass is None or mass not in self.context.setup.given:
            return False
        m = float(self.context.setup.given[mass])
        own = self.context.scene.symbol_of("acceleration", self.thing)
        figures = self.context.figures()
        for spot in spots(self.line):
            if not isinstance(spot.node, Product) or len(spot.node.factors) != 2:
                continue
            (_, a), (how, b) = spot.node.factors
            if isinstance(a, Number) and isinstance(b, Name) and how != "/" and not figures.is_exact(a, True):
                symbol = self._symbol(b.name)
                if (symbol == own or symbol in self.context.setup.shared) and m in figures.box(a, True):
                    return True
        return False

    def _symbol(self, name: str) -> str:
        try:
            return resolve(name, self.context, self.meaning)[1]
        except KeyError:
            return name

    def _idle(self, n: int, widen: Grip) -> bool:
        """Whether the n-th equality says nothing new: the same on both sides within its figures."""
        for place, ground in self.places:
            form = self.forms(place, ground, widen)[n]
            big = max((c.size for c in form.values()), default=0.0)
            if not all(0.0 in c or c.size <= 1e-9 * big for c in form.values()):
                return False
        return True

    def true(self, widen: Grip) -> bool:
        truth = self.context.truth[self.thing]
        vectors = [self._seen(truth[place]) for place, _ in self.places]
        if self.fits(vectors, widen):
            return widen == STRICT or self._close(widen)
        return False

    def _seen(self, vector: Vector) -> Vector:
        """The vector without its accelerations where all are zero and the line, as statics may, does not speak of any."""
        if not self._statics:
            return vector
        return {k: x for k, x in vector.items() if not (set(k) & set(self.context.accelerations))}

    @cached_property
    def _statics(self) -> bool:
        values = self.context.setup.values
        if any(values.get(a, Fraction(0)) != 0 for a in self.context.accelerations):
            return False
        return not any(n == "a" or self._symbol(n) in self.context.accelerations for n in line_names(self.line))

    def _close(self, widen: Grip) -> bool:
        """A figure off by one in its last place counts as rounding only while that is at most 2 % of what stands beside it."""
        for form in self.forms(self.places[0][0], self.places[0][1], widen):
            big = max((abs(c.mid) for c in form.values()), default=0.0)
            if any((c.hi - c.lo) / 4 > 0.02 * big for c in form.values()):
                return False
        return True

    def fitting(self, variants: list[tuple[Variant, tuple[Vector, ...]]], widen: Grip) -> list[Variant]:
        """The variants that the line is, on every ground."""
        truth = self.context.truth[self.thing]
        inertia = len(pieces_of(self.context.setup, self.thing)) - 1
        out = []
        for variant, deltas in variants:
            vectors = [self._seen(plus(truth[place], deltas[place])) for place, _ in self.places]
            if self.fits(vectors, widen, own_mass=inertia not in variant.touched):
                out.append(variant)
        return out

    def balance(self) -> bool:
        """Whether the line says that the forces on the thing balance, though it accelerates: the law without its m a."""
        if not self.context.setup.regime.moves:
            return False
        balanced = self.context.balance[self.thing]
        return self.fits([balanced[place] for place, _ in self.places], STRICT)

    def slipped_balance(self, variants: list[tuple[Variant, tuple[Vector, ...]]]) -> list[Variant]:
        """The single slips of a force with which the line says that the forces on the thing balance, though it accelerates."""
        if not self.context.setup.regime.moves:
            return []
        balanced = self.context.balance[self.thing]
        inertia = len(pieces_of(self.context.setup, self.thing)) - 1
        forces = [(v, deltas) for v, deltas in variants if inertia not in v.touched]
        return [v for v, deltas in forces if self.fits([plus(balanced[place], deltas[place]) for place, _ in self.places], STRICT)]

    def other_shape(self) -> str:
        """The shape whose moment of inertia the line gives to a wheel of another shape, "" where it does not."""
        wheel = self.context.scene.wheels.get(self.thing)
        if wheel is None or wheel.shape is None:
            return ""
        truth = self.context.truth[self.thing]
        inertia = pieces_of(self.context.setup, self.thing)[-1].poly
        for shape, factor in SHAPES.items():
            delta = inertia * (factor / SHAPES[wheel.shape] - 1)
            if shape != wheel.shape and self.fits([plus(truth[place], g.form(delta)) for place, g in self.places], STRICT):
                return shape
        return ""

    def whole_force(self) -> str | None:
        """The outside force that the line takes whole although it pulls at an angle to the line of motion; None where there is none."""
        truth = self.context.truth[self.thing]
        for piece in pieces_of(self.context.setup, self.thing):
            if (whole := piece.whole) is not None:
                delta = whole - piece.poly
                if self.fits([self._seen(plus(truth[place], g.form(delta))) for place, g in self.places], STRICT):
                    return piece.symbol
        return None

    def kilo(self) -> tuple[Number, str] | None:
        """A datum's number that stands without the prefix of its unit (2.70 for 2.70 kN) where the line else is the true equation."""
        given = [(s.given, s.unit) for s in self.context.scene.symbols.values() if s.given is not None]
        for side in self.line.sides:
            for number, _ in numbers_in(side):
                for q, unit in given:
                    if number.unit or q.text != number.text or q.value == number.value:
                        continue
                    figures = self.context.figures(1.0, {number.at: float(q.value)})
                    look = form_look(self.context, self.context.actual, self.meaning)
                    forms = [difference(pair, look, figures) for pair in equalities(self.line)]
                    if all(same_up_to_scale(f, self.context.truth[self.thing][0]) for f in forms):
                        return number, f"{q.text} {q.unit} is {float(q.value):g} {unit}."
        return None

    def advice(self) -> tuple[str, ...]:
        """Where the figures are so few that a slip would fit as well, say so."""
        others = [(v, deltas) for v, deltas in self.context.variants(self.thing) if not self._same_here(deltas[0])]
        if len(self.places) == 1 and self.fitting(others, STRICT):
            return ("It holds, but with so few figures a wrong line could pass as well; keep at least three.",)
        return ()

    def _same_here(self, delta: Vector) -> bool:
        """Whether a change leaves the equation as it is with this scene's own data: a sine for a cosine at 45 degrees."""
        truth = self.context.truth[self.thing][0]
        return parallel(truth, plus(truth, delta))

    def other_g(self) -> Fraction | None:
        """Another common value of g with which the line is the true equation, None where there is none."""
        if "g" in line_names(self.line) or "g" not in self.context.setup.given or len(self.places) > 1:
            return None
        own = self.context.setup.given["g"]
        if any(number.value == own for side in self.line.sides for number, _ in numbers_in(side)):
            return None
        for g in GRAVITIES:
            if g == own:
                continue
            ground = Ground(
                self.context.setup, {**self.context.setup.given, "g": g}, self.context.setup.values, actual=False
            )
            truth = ground.form(put_laws(self.context.setup, sum_of(self.context.setup, self.thing)))
            look = form_look(self.context, ground, self.meaning)
            figures = replace(self.context.figures(), data=self.context.data - {self.context.setup.given["g"]} | {g})
            pairs = equalities(self.line)
            if pairs and all(same_up_to_scale(difference(p, look, figures), truth) for p in pairs):
                return g
        return None

    def true_for_all(self) -> str:
        """ "whole" where the line is true of the scene as a whole, "turned" where it would be if all accelerations had the other sign,
        "side" where it is a law or a tie, "" where it is not true."""
        if not self._holds():
            return "turned" if self._unknowns() <= set(self.context.accelerations) and self._holds(-1.0) else ""
        keys = self._unknowns()
        given = any(b.acceleration for b in self.context.scene.bodies.values())
        if keys & set(self.context.accelerations) or (given and keys) or (not self.context.setup.regime.moves and keys):
            return "whole"
        return "side"

    def _holds(self, turned: float = 1.0) -> bool:
        """Whether the line is true on its grounds, all accelerations taken times `turned`."""
        try:
            for _, ground in self.places:
                own = None if turned == 1.0 else {a: turned * ground.numbers[a] for a in self.context.accelerations if a in ground.numbers}
                if not holds_at(self.line, value_look(self.context, ground, self.meaning, own), self.context.figures()):
                    return False
        except (Unjudgeable, KeyError):
            return False
        return True

    def _unknowns(self) -> set[str]:
        """The unknowns that the line speaks of."""
        form = self.forms(self.places[0][0], self.places[0][1], STRICT)[0]
        return {s for k, c in form.items() for s in k if not 0.0 <= abs(c.size) <= 1e-9}

    def one_number(self, far: bool = False) -> Slip | None:
        """The slip of a single number worked out wrong; far: by so much that no usual miscalculation leads there."""
        if len(self.places) > 1 or len(equalities(self.line)) != 1:
            return None
        truth = self.context.truth[self.thing][0]

        def fits(instead: Mapping[tuple[int, int], float]) -> bool:
            look = form_look(self.context, self.context.actual, self.meaning)
            return same_up_to_scale(
                difference(equalities(self.line)[0], look, self.context.figures(1.0, instead)), truth
            )

        def form(instead: Mapping[tuple[int, int], float]) -> Form:
            look = form_look(self.context, self.context.actual, self.meaning)
            return difference(equalities(self.line)[0], look, self.context.figures(0.0, instead))

        setup = self.context.setup
        known = [x for p in pieces_of(setup, self.thing) for x in self.context.actual.form(p.poly).values()]
        return one_number(self.line, self.context, form, truth, fits, known, far)
