"""What a line may follow from: the lines that this student wrote before, as rows in the unknowns, and the set they leave open.

A line follows from rows if it holds everywhere on the set of values that the rows leave open (the null-space test): at a solution
of the rows, and along every direction in which they leave the unknowns free.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from ..algebra import Poly
from ..reading.tree import Line
from .boxes import Box
from .context import Context
from .evaluate import Unjudgeable
from .forms import CONST, Form, Key, plus
from .lines import Meaning, difference, equalities, holds_at, line_names, resolve

Row = dict[Key, float]
Point = dict[str, float]
_TINY = 1e-9
FOLLOW_SLACK = 2e-3  # of the largest term: what rounding to three figures in the lines before may do


@dataclass(frozen=True)
class Source:
    """One line that later lines may rest on: where it stands, its reading, its rows in the raw unknowns, whether it is true, and
    the letters with a law (N, f) that it gives a value."""

    label: str
    line: Line
    rows: tuple[Row, ...]
    true: bool
    meaning: Meaning
    defines: frozenset[str] = frozenset()


def raw_look(context: Context, meaning: Meaning, given_too: bool = False) -> Callable[[str], Form]:
    """Symbols as forms in the raw unknowns: every acceleration and the bare a for themselves, no tie used up; time and speed, and
    what the meaning calls the student's own, for themselves too.

    given_too: accelerations that the scene gives are left as letters as well.
    """
    ground = context.actual
    raw = set(context.accelerations) - (set() if given_too else given_accelerations(context)) | meaning.own
    covered = context.setup.covered
    if covered is not None:
        raw |= {covered.time, covered.speed}

    def look(name: str) -> Form:
        if name == "T" and "T" not in context.scene.symbols:
            return {("T",): Box.exact(1.0)}
        if name == "a":
            return {("a",): Box.exact(1.0)}
        sign, symbol = resolve(name, context, meaning)
        if symbol in raw:
            return {(symbol,): Box.exact(sign)}
        form = ground.form_of(symbol) if not meaning.own else _law_kept(context, symbol, meaning.own)
        return {k: Box.exact(sign * x) for k, x in form.items()} or {CONST: Box.exact(0.0)}

    return look


def _law_kept(context: Context, symbol: str, own: frozenset[str]) -> Row:
    """A symbol as a form, laws put in but for the student's own letters."""
    if symbol in own:
        return {(symbol,): 1.0}
    law = _down_to(context, Poly.symbol(symbol), own)
    return _law_row(context, law, own) if own & law.symbols else context.actual.form_of(symbol)


def _down_to(context: Context, poly: Poly, own: frozenset[str]) -> Poly:
    """A polynomial with every law put in that leads to one of the student's own letters, through all levels."""
    while hit := {s: context.setup.laws[s] for s in poly.symbols if s in context.setup.laws and s not in own}:
        poly = poly.substitute(hit)
    return poly


def _law_row(context: Context, law: Poly, own: frozenset[str]) -> Row:
    parts, rest = _down_to(context, law, own).linear_in(sorted(own))
    row = dict(context.actual.form(rest))
    for name, factor in parts.items():
        row[(name,)] = row.get((name,), 0.0) + context.actual.form(factor).get(CONST, 0.0)
    return row


def laws_of(context: Context, own: frozenset[str]) -> dict[str, Row]:
    """The laws of the student's own letters as rows: f = mu_k N, N = m g cos(theta)."""
    return {s: plus({(s,): 1.0}, _law_row(context, context.setup.laws[s], own - {s}), -1.0) for s in sorted(own)}


def given_accelerations(context: Context) -> set[str]:
    return {
        s
        for b, body in context.scene.bodies.items()
        if body.acceleration is not None
        for s in [context.scene.symbol_of("acceleration", b)]
        if s
    }


def rows_of(line: Line, context: Context, meaning: Meaning, widen: float = 0.0) -> tuple[Row, ...]:
    """The line's equalities as rows (middles of the boxes); those that are not linear are left out."""
    out = []
    for pair in equalities(line):
        try:
            form = difference(pair, raw_look(context, meaning), context.figures(widen))
        except Unjudgeable:
            continue
        row = {k: c.mid for k, c in form.items() if abs(c.mid) > 0}
        row = _rooted(row) or row
        if all(len(k) <= 1 for k in row) and any(k for k in row):
            out.append(row)
    return tuple(out)


def value_in(row: Row) -> tuple[str, float] | None:
    """The unknown that a row gives a value, and the value: of 24.5 = 15.5a, a and 1.58; None where it has not just one unknown and a number."""
    if len(row) != 2 or CONST not in row:
        return None
    ((name,),) = row.keys() - {CONST}
    return name, -row[CONST] / row[(name,)]


def _rooted(row: Row) -> Row | None:
    """t^2 = 3.75 as t = 1.94: of a time and of a speed only one root counts."""
    squares = [k for k in row if k]
    if len(squares) != 1 or len(squares[0]) != 2 or squares[0][0] != squares[0][1]:
        return None
    square = -row.get(CONST, 0.0) / row[squares[0]]
    return {(squares[0][0],): 1.0, CONST: -(square**0.5)} if square > 0 else None


def links(context: Context) -> tuple[Row, ...]:
    """The rows that the shared letter a stands for: a = a_i wherever it may (a single body's own acceleration is a already)."""
    return tuple({("a",): 1.0, (name,): -float(sign)} for name, sign in context.setup.shared.items() if name != "a")


def true_ties(context: Context, at_rest: bool = True) -> tuple[Row, ...]:
    """The scene's own ties as rows. at_rest: with what friction holds; without it, ropes, contacts and rolling alone."""
    ground = context.actual
    raw = context.accelerations
    given = given_accelerations(context)
    out = []
    for tie in context.setup.ties:
        if tie.kind == "rest" and not at_rest:
            continue
        parts, rest = tie.poly.linear_in(raw)
        data = {k: v for k, v in ground.given.items() if k not in raw}
        row: Row = {}
        constant = float(rest.at(data)) if rest else 0.0
        for n, c in parts.items():
            x = float(c.at(data))
            if n in given:
                constant += x * ground.numbers[n]
            else:
                row[(n,)] = x
        if constant:
            row[CONST] = constant
        out.append(row)
    if not context.setup.regime.moves and at_rest:
        out.extend({(n,): 1.0} for n in raw if n not in given)
    return tuple(out)


@dataclass(frozen=True)
class Affine:
    """All solutions of some rows: a point and the directions left free."""

    point: Point
    free: tuple[Point, ...]

    def samples(self) -> Iterable[Point]:
        """Points on the set, enough to tell a line that holds on all of it."""
        yield self.point
        if not self.free:
            return
        for seed in (0.731, -1.37, 2.11):
            p = dict(self.point)
            for n, d in enumerate(self.free):
                step = (
                    seed * (1.0 + 0.618 * n) * max(1.0, max(abs(x) for x in self.point.values()) if self.point else 1.0)
                )
                for k, x in d.items():
                    p[k] = p.get(k, 0.0) + step * x
            yield p


def solve_rows(rows: Iterable[Row], names: Iterable[str]) -> Affine | None:
    """The solutions of linear rows over the named unknowns; None where they contradict each other."""
    order = sorted(set(names) | {k[0] for r in rows for k in r if k})
    reduced: list[tuple[str, dict[str, float], float]] = []
    for r in rows:
        row = {k[0]: x for k, x in r.items() if k}
        rhs = -r.get(CONST, 0.0)
        scale = max([abs(x) for x in row.values()] + [abs(rhs), 1e-300])
        for pivot, other, b in reduced:
            c = row.pop(pivot, 0.0)
            if c:
                for k, x in other.items():
                    row[k] = row.get(k, 0.0) - c * x
                rhs -= c * b
        row = {k: x for k, x in row.items() if abs(x) > _TINY * scale}
        if not row:
            if abs(rhs) > 1e-3 * scale:
                return None
            continue
        pivot = max(row, key=lambda k: abs(row[k]))
        c = row.pop(pivot)
        row = {k: x / c for k, x in row.items()}
        rhs /= c
        for n, (p, other, b) in enumerate(reduced):
            f = other.pop(pivot, 0.0)
            if f:
                for k, x in row.items():
                    other[k] = other.get(k, 0.0) - f * x
                reduced[n] = (p, other, b - f * rhs)
        reduced.append((pivot, row, rhs))
    pivots = {p for p, _, _ in reduced}
    point = dict.fromkeys(order, 0.0)
    for p, _, b in reduced:
        point[p] = b
    free = []
    for name in order:
        if name not in pivots:
            d = {name: 1.0}
            for p, other, _ in reduced:
                if other.get(name):
                    d[p] = -other[name]
            free.append(d)
    return Affine(point, tuple(free))


def rank(rows: Sequence[Row]) -> int:
    """How many of the rows say something new, one after the other."""
    names = {k[0] for r in rows for k in r if k}
    affine = solve_rows(rows, names)
    return len(names) - len(affine.free) if affine is not None else 0


def follows(
    line: Line, context: Context, meaning: Meaning, rows: Iterable[Row], slack: float = FOLLOW_SLACK, widen: float = 1.0
) -> bool:
    """Whether the line holds on all that the rows leave open (and the rows don't contradict each other)."""
    affine = solve_rows(list(rows), ())
    if affine is None:
        return False
    samples = list(affine.samples())
    figures = context.figures(widen)

    def holds(points: Sequence[Point]) -> bool:
        try:
            return all(holds_at(line, point_look(context, meaning, p), figures, slack) for p in points)
        except (Unjudgeable, KeyError, OverflowError):
            return False

    covered = context.setup.covered
    if covered is None or not {covered.time, covered.speed} & line_names(line):
        return holds(samples)
    return any(holds(points) for points in zip(*(timed(context, p) for p in samples), strict=True))


def timed(context: Context, point: Point) -> list[Point]:
    """A point with time and speed added where it lacks them, one for each way to them: from the acceleration, from the time, from
    the speed that the student has. A way that leads nowhere adds nothing."""
    covered = context.setup.covered
    assert covered is not None
    t, v = covered.time, covered.speed
    numbers = context.actual.numbers
    d, start = numbers[covered.distance], float(covered.start)
    a = covered.gains * abs(point.get("a", point.get(covered.acceleration, numbers[covered.acceleration])))
    given = {k: point[k] for k in (t, v) if k in point}
    ways: list[Point] = [{}]
    if (square := start * start + 2 * a * d) > 0:
        ways.append({v: square**0.5, t: 2 * d / (start + square**0.5)})
    else:
        ways.append({})
    own_t, own_v = given.get(t, 0.0), abs(given.get(v, 0.0))
    ways += [{v: start + a * own_t}, {v: 2 * d / own_t - start}] if own_t else [{}, {}]
    ways += [{t: (own_v - start) / a if a else 0.0}, {t: 2 * d / (own_v + start)}] if own_v else [{}, {}]
    return [{**way, **point} for way in ways]


def point_look(context: Context, meaning: Meaning, point: Point) -> Callable[[str], Form]:
    """Symbols as numbers at one point of the raw unknowns; a symbol that the rows leave out has no value there."""
    base = raw_look(context, meaning)

    def look(name: str) -> Form:
        form = base(name)
        total = 0.0
        for k, c in form.items():
            x = c.mid
            for s in k:
                x *= point[s]
            total += x
        return {CONST: Box.exact(total)}

    return look
