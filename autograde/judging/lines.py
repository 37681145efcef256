"""A line that reads, tried on a scene: as forms for the equation of one thing, as numbers where everything has its value."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import prod

from ..reading import read
from ..reading.tree import Group, Line, Name, Node, Number, Place, Power, Product, Root, Sum
from .boxes import Box
from .context import Context
from .evaluate import Figures, Unjudgeable, evaluate, has_trig_of_number, names_in, numbers_in
from .forms import CONST, Form, Ratio
from .grounds import Ground

BARE = {
    "m": "mass",
    "W": "weight",
    "N": "normal",
    "f": "friction",
    "theta": "angle",
    "R": "radius",
    "I": "inertia",
    "M": "wheel_mass",
    "alpha": "alpha",
    "mu_k": "mu_k",
    "mu_s": "mu_s",
    "tau_f": "drag",
    "mu": "mu_k",
}
HALVES = frozenset(
    {Fraction(1, 2), Fraction(2, 5), Fraction(1, 4), Fraction(3, 2)}
)  # 0.5 M R^2, 0.4 M R^2: exact however written


@dataclass(frozen=True)
class Meaning:
    """What the letters mean: `a` (an acceleration symbol, with a sign), others without an index by the thing in question, v as a
    speed (+1) or along a positive direction that is against the motion (-1), the angle of a force that presses into the surface as the
    negative tilt of the scene file (+1) or as its size (-1). own: letters with a law (N, f) that the student gave a
    value of their own, so that the law is not put in for them."""

    thing: str | None = None
    a: tuple[int, str] | None = None
    v: int = 1
    tilt: int = 1
    own: frozenset[str] = frozenset()


def readings(text: str, context: Context) -> tuple[Line, ...]:
    """Every way to read a text; Complaint where there is none."""
    return read(text, context.vocabulary).lines


def resolve(name: str, context: Context, meaning: Meaning) -> tuple[int, str]:
    """The scene's own symbol behind a letter, with a sign. KeyError where there is none."""
    symbols = context.scene.symbols
    if name == "a" and meaning.a is not None:
        return meaning.a
    if name in symbols and name != "a":
        return (meaning.v if symbols[name].kind == "speed" else 1), name
    if name.startswith(("sin(", "cos(")):
        _, inner = resolve(name[4:-1], context, meaning)
        return (meaning.tilt if name.startswith("sin") and inner in pressing(context) else 1), f"{name[:4]}{inner})"
    if name == "a":
        raise KeyError(name)
    kind = BARE.get(name)
    if kind:
        if meaning.thing is not None:
            own = context.scene.symbol_of(kind, meaning.thing)
            if own:
                return 1, own
        every = [s.name for s in symbols.values() if s.kind == kind]
        if len(every) == 1:
            return 1, every[0]
    raise KeyError(name)


def pressing(context: Context) -> frozenset[str]:
    """The angles of forces that press into a surface: the scene file has them negative, a figure shows their size."""
    symbols = context.scene.symbols.values()
    return frozenset(s.name for s in symbols if s.kind == "force_angle" and s.given is not None and s.given.value < 0)


def form_look(context: Context, ground: Ground, meaning: Meaning) -> Callable[[str], Form]:
    """Symbols as forms in the reduced unknowns."""

    def look(name: str) -> Form:
        if name == "T" and "T" not in context.scene.symbols:
            return {("T",): Box.exact(1.0)}
        sign, symbol = resolve(name, context, meaning)
        return {k: Box.exact(sign * x) for k, x in ground.form_of(symbol).items()} or {CONST: Box.exact(0.0)}

    return look


def value_look(
    context: Context, ground: Ground, meaning: Meaning, own: Mapping[str, float] | None = None
) -> Callable[[str], Form]:
    """Symbols as numbers: the student's own values first, then the scene's."""

    def look(name: str) -> Form:
        if own is not None and name in own:
            return {CONST: Box.exact(own[name])}
        sign, symbol = resolve(name, context, meaning)
        if own is not None and symbol in own:
            return {CONST: Box.exact(sign * own[symbol])}
        return {CONST: Box.exact(sign * ground.numbers[symbol])}

    return look


def equalities(line: Line) -> list[tuple[Node, Node]]:
    """The pairs of neighbouring sides that an equals sign joins; where one of them is a root, both are squared: v = sqrt(2 a d)."""
    return [_squared(a, b) for a, b, r in zip(line.sides, line.sides[1:], line.relations, strict=False) if r in ("=", "≈")]


def _squared(a: Node, b: Node) -> tuple[Node, Node]:
    if not isinstance(a, Root) and not isinstance(b, Root):
        return a, b
    return tuple(x.inner if isinstance(x, Root) else Power(x, 2, x.at) for x in (a, b))  # type: ignore[return-value]


def is_symbolic(line: Line) -> bool:
    """Whether the line holds for letters alone: no figures but zero."""
    return _numbers(line) <= {"letters"}


def _numbers(line: Line) -> set[str]:
    """What kinds of numbers the line has: "letters" (zero), "counts" (small whole numbers and halves that multiply), "figures"."""
    out = set()
    for side in line.sides:
        if has_trig_of_number(side):
            out.add("figures")
        for n, counts in numbers_in(side):
            if n.unit:
                out.add("figures")
            elif n.value == 0:
                out.add("letters")
            elif counts and (n.value in HALVES or (n.text.isdigit() and n.value <= 12)):
                out.add("counts")
            else:
                out.add("figures")
    return out


def line_names(line: Line) -> set[str]:
    return {n for side in line.sides for n in names_in(side)}


Places = list[tuple[int, Ground]]


def places_for(line: Line, context: Context) -> list[Places]:
    """The sets of grounds (with their numbers) on which the line may be held: all of them for a line in letters, the actual one for
    a line with figures, both in turn where a small number may be a count of strands, the half of a disk, or a datum."""
    every = list(enumerate(context.grounds))
    kinds = _numbers(line)
    compares = any(r not in ("=", "≈") for r in line.relations)  # which of two is larger hangs on this scene's own data
    if compares or "figures" in kinds or len(every) == 1:
        return [every[:1]]
    return [every, every[:1]] if "counts" in kinds or context.has_unit_inertia else [every]


def holds_somewhere(line: Line, context: Context, meaning: Meaning, widen: float = 1.0, loose: int = 0) -> bool:
    """Whether the line is true of the scene, on one of the sets of grounds on which it may be held. Raises Unjudgeable."""
    figures = context.figures(widen, loose=loose)
    name, number = lonely_name(line.sides[0]), lonely_number(line.sides[-1])
    if name is not None and number is not None and (name.name not in context.setup.given):
        # f = 16.0 is a worked-out number, even where the slope happens to have 16 degrees
        figures = replace(figures, data=figures.data - {number.value})
    try:
        return any(
            all(holds_at(line, value_look(context, g, meaning), figures) for _, g in places)
            for places in places_for(line, context)
        )
    except KeyError:
        return False


def difference(pair: tuple[Node, Node], look: Callable[[str], Form], figures: Figures) -> Form:
    """Left minus right as a form, denominators multiplied out. Raises Unjudgeable."""
    left, right = evaluate(pair[0], look, figures), evaluate(pair[1], look, figures)
    return (left - right).num


def holds_at(line: Line, look: Callable[[str], Form], figures: Figures, slack: float = 1e-9) -> bool:
    """Whether every relation of the line holds where every symbol has a value. Raises Unjudgeable."""
    boxes = [_number(evaluate(side, look, figures)) for side in line.sides]
    scale = max((_largest(side, look, figures) for side in line.sides), default=1.0)
    for a, b, relation in zip(boxes, boxes[1:], line.relations, strict=False):
        if relation in ("=", "≈"):
            if not a.meets(b, slack * max(scale, a.size, b.size, 1e-300)):
                return False
        elif not compare(a, relation, b):
            return False
    return True


def compare(a: Box, relation: str, b: Box) -> bool:
    """Whether an inequality holds between the middles of two boxes."""
    x, y = a.mid, b.mid
    near = 1e-9 * max(abs(x), abs(y), 1e-300)
    if relation == "<":
        return x < y - near
    if relation == ">":
        return x > y + near
    if relation == "<=":
        return x <= y + near
    if relation == ">=":
        return x >= y - near
    if relation == "!=":
        return abs(x - y) > near
    if relation == ">>":
        return x > 5 * y
    if relation == "<<":
        return y > 5 * x
    return abs(x - y) <= near


def _number(r: Ratio) -> Box:
    if set(r.num) - {CONST} or set(r.den) - {CONST}:
        raise Unjudgeable("Not every letter has a value here.")
    try:
        return r.num.get(CONST, Box.exact(0.0)) / r.den.get(CONST, Box.exact(1.0))
    except ZeroDivisionError:
        raise Unjudgeable("This divides by zero.") from None


def number_of(node: Node, look: Callable[[str], Form], figures: Figures) -> Box:
    """The value of a node where every symbol has one. Raises Unjudgeable."""
    return _number(evaluate(node, look, figures))


def _largest(node: Node, look: Callable[[str], Form], figures: Figures) -> float:
    """The size of the largest additive term."""
    if isinstance(node, Group):
        return _largest(node.inner, look, figures)
    if isinstance(node, Sum):
        return max(_largest(t, look, figures) for _, t in node.terms)
    if isinstance(node, Product) and all(how != "/" for how, _ in node.factors):
        return prod(_largest(f, look, figures) for _, f in node.factors)  # 2(T - T) is zero, its terms are not
    try:
        return number_of(node, look, figures).size
    except Unjudgeable:
        return 0.0


@dataclass(frozen=True)
class Spot:
    """One additive term of a line: sign as it enters on its side, which side, its place with its sign."""

    node: Node
    sign: int
    side: int
    at: Place
    depth: int  # 0 at the top of a side, more inside parentheses


def spots(line: Line) -> list[Spot]:
    """Every additive term of a line, those in parentheses too (a parenthesis as a whole is a term as well)."""
    return [spot for number, side in enumerate(line.sides) for spot in _spots(side, 1, number, 0, side.at)]


def _spots(node: Node, sign: int, side: int, depth: int, at: Place) -> Iterator[Spot]:
    if isinstance(node, Sum):
        for (s, term), at_term in zip(node.terms, node.spots, strict=True):
            yield from _spots(term, sign * s, side, depth, at_term)
        return
    yield Spot(node, sign, side, at, depth)
    if isinstance(node, Group):
        yield from _spots(node.inner, sign, side, depth + 1, node.inner.at)
    elif isinstance(node, Product):
        for _, factor in node.factors:
            if isinstance(factor, Group) and isinstance(factor.inner, Sum):
                yield from _spots(factor.inner, sign, side, depth + 1, factor.inner.at)


def lonely_number(node: Node) -> Number | None:
    """The number that a node is, a sign or parentheses set aside."""
    if isinstance(node, Group):
        return lonely_number(node.inner)
    if isinstance(node, Sum) and len(node.terms) == 1:
        return lonely_number(node.terms[0][1])
    return node if isinstance(node, Number) else None


def lonely_name(node: Node) -> Name | None:
    """The symbol that a node is, a sign or parentheses set aside."""
    if isinstance(node, Group):
        return lonely_name(node.inner)
    return node if isinstance(node, Name) else None
