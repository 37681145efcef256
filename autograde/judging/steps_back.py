"""Which slip leads from earlier lines to this one: operators on one line, and on two lines of which one is put into the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import reduce
from itertools import permutations
from typing import TypeVar

from ..reading.tree import Group, Line, Node, Product, Sum
from .boxes import Box
from .chain import Row, Source, raw_look
from .context import Context
from .evaluate import Unjudgeable, evaluate
from .forms import CONST, Form, Key, plus, scale_between
from .lines import Meaning, difference, equalities, spots

Keys = frozenset[Key]
C = TypeVar("C", float, Box)
ORDER = ("undistributed", "moved-sign", "lost-term")


@dataclass(frozen=True)
class Part:
    """One additive term of an earlier line: its row (all on the left, so the right side's is turned), its words, whether it stands
    in a parenthesis behind a minus or a factor, and not first in it."""

    row: Row
    text: str
    side: int
    in_group: bool = False
    turned: bool = True  # of a parenthesis: a minus stands in front of it
    opened: bool = False  # put in behind a minus, not first: its sign has to turn
    source: str = ""  # the line that it was taken from, where it was put in
    bare: tuple[Row, ...] = ()  # put in, not first, behind a factor: what it is without that


@dataclass(frozen=True)
class StepSlip:
    kind: str
    term: str
    row: Row
    source: str
    part: Row = field(default_factory=dict)  # the term itself
    exact: bool = False  # term by term at the same scale, not merely in proportion


def parts_of_line(source: Source, context: Context) -> list[Part]:
    """The terms of a line's first equation, as rows."""
    line = source.line
    look = raw_look(context, source.meaning)
    out = []
    for spot in spots(line):
        if spot.side > 1:
            continue
        whole = not (isinstance(spot.node, Group) and isinstance(spot.node.inner, Sum))
        try:
            form = evaluate(spot.node, look, context.figures(0.0))
        except Unjudgeable:
            continue
        if not form.plain or any(len(k) > 1 for k in form.num):
            continue
        turn = spot.sign * (1 if spot.side == 0 else -1)
        row = {k: turn * c.mid for k, c in form.num.items()}
        if spot.depth == 0:
            out.append(Part(row, line.text[spot.at[0] : spot.at[1]].strip(), spot.side))
            out.extend(_inside(spot.node, turn, look, context, line.text, spot.side))
        elif not whole:
            continue
    return out


def _inside(node: Node, turn: int, look: object, context: Context, text: str, side: int) -> Iterator[Part]:
    """The terms of a parenthesis that a minus or a factor stands in front of, all but the first."""
    factor: list[Node] = []
    group: Sum | None = None
    if isinstance(node, Group) and isinstance(node.inner, Sum):
        group = node.inner
    elif isinstance(node, Product):
        for how, f in node.factors:
            if isinstance(f, Group) and isinstance(f.inner, Sum) and how != "/" and group is None:
                group = f.inner
            else:
                factor.append(f)
    if group is None:
        return
    scale = Box.exact(1.0)
    for f in factor:
        try:
            r = evaluate(f, look, context.figures(0.0))  # type: ignore[arg-type]
        except Unjudgeable:
            return
        if set(r.num) != {CONST}:
            return
        scale = scale * r.num[CONST]
    for n, ((s, term), at) in enumerate(zip(group.terms, group.spots, strict=True)):
        if n == 0:
            continue
        try:
            form = evaluate(term, look, context.figures(0.0))  # type: ignore[arg-type]
        except Unjudgeable:
            continue
        row = {k: turn * s * scale.mid * c.mid for k, c in form.num.items() if len(k) <= 1}
        word = text[at[0] : at[1]].strip()
        yield Part(row, word, side, in_group=True, turned=turn * scale.mid * (1 if side == 0 else -1) < 0)
        if abs(scale.mid) != 1.0:
            yield Part({k: x - x / scale.mid for k, x in row.items()}, word, -1, in_group=True)


def row_of(parts: list[Part]) -> Row:
    return total([p.row for p in parts if not p.in_group])


def total(rows: list[Row]) -> Row:
    return reduce(plus, rows, {})


@dataclass(frozen=True)
class Taken:
    """An earlier line taken apart: its label, its terms, and the row that they add up to."""

    label: str
    parts: list[Part]
    row: Row

    @classmethod
    def of(cls, source: Source, context: Context, letters: Mapping[str, int] | None = None) -> Taken:
        parts = parts_of_line(source, context)
        if letters:
            parts = [replace(p, row=one_letter(p.row, letters)) for p in parts]
        return cls(source.label, parts, row_of(parts))


def one_letter(row: Mapping[Key, C], letters: Mapping[str, int]) -> dict[Key, C]:
    """A row or form with each of these letters taken for the first of them, with its sign."""
    first = next(iter(letters))
    out: dict[Key, C] = {}
    for key, c in row.items():
        sign = 1
        names = []
        for name in key:
            sign *= letters.get(name, 1)
            names.append(first if name in letters else name)
        new = tuple(sorted(names))
        signed = c if sign > 0 else -c
        out[new] = out[new] + signed if new in out else signed
    return out


def one_slip_from(line: Taken) -> Iterator[StepSlip]:
    """Every line that one slip makes of an earlier one."""
    for p in line.parts:
        if p.in_group:
            row = plus(line.row, p.row, -1.0 if p.side == -1 else -2.0)
            yield StepSlip("undistributed" if p.side == -1 or p.turned else "moved-sign", p.text, row, line.label, p.row)
    for p in line.parts:
        if not p.in_group:
            yield StepSlip("moved-sign", p.text, plus(line.row, p.row, -2.0), line.label, p.row)
    numbers = [p for p in line.parts if not p.in_group and set(p.row) == {CONST}]
    if len(numbers) > 1:  # merged on the way across
        row = total([p.row for p in numbers])
        yield StepSlip("moved-sign", " ".join(p.text for p in numbers), plus(line.row, row, -2.0), line.label, row)
    for p in line.parts:
        if not p.in_group:
            yield StepSlip("lost-term", p.text, plus(line.row, p.row, -1.0), line.label, p.row)
            yield StepSlip("lost-term", p.text, plus(line.row, p.row, 1.0), line.label, p.row)


def put_in(first: Taken, second: Taken, wanted: Keys) -> Iterator[StepSlip]:
    """Every line that one slip makes when an unknown is taken from the first line and put into the second."""
    for parts in put_together(first, second, wanted):
        yield from _slips_of(parts, second.label)
    yield from _put_in_half_open(first, second)


def _put_in_half_open(first: Taken, second: Taken) -> Iterator[StepSlip]:
    """T = m_1 (g + a), put in as m_1 g + a: the factor (or minus) of the first line's own parenthesis, not carried to a term."""
    a, b = first.row, second.row
    for p in first.parts:
        if p.in_group:
            for name in _unknowns(a) & _unknowns(b) - p.row.keys():
                both = plus(b, a, -b[name] / a[name])
                both.pop(name, None)
                times = (1.0 if p.side == -1 else 2.0) * b[name] / a[name]
                yield StepSlip("undistributed", p.text, plus(both, p.row, times), first.label, p.row)


def put_in_two(first: Taken, second: Taken, third: Taken, wanted: Keys) -> Iterator[StepSlip]:
    """The same where two lines are put into the third, one after the other."""
    for halfway in put_together(first, third):
        for parts in put_together(second, Taken(third.label, halfway, row_of(halfway)), wanted):
            yield from _slips_of(parts, third.label)


def put_together(first: Taken, second: Taken, wanted: Keys | None = None) -> Iterator[list[Part]]:
    """The terms of the second line with an unknown replaced by what the first line says of it, for each unknown that both have.

    wanted: the unknowns of the line that is looked for; what one slip could not bring to those is left out.
    """
    a, b = first.row, second.row
    both = _unknowns(a) | _unknowns(b)
    for name in sorted(_unknowns(a) & _unknowns(b)):
        left = both - {name}
        if wanted is not None and (wanted - left or len(left - wanted) > 1):
            continue
        factor = -b[name] / a[name]
        inside = [p for p in first.parts if not p.in_group and name not in p.row]
        opens = factor_sign(second.parts, name) < 0 and len(inside) > 1
        solved = len({p.side for p in inside}) == 1  # for the unknown: else any of its terms may come first in the parenthesis
        parts = [p for p in second.parts if not p.in_group and name not in p.row]
        for n, p in enumerate(inside):
            alone = {k: -x / a[name] for k, x in p.row.items()}  # as it stands where the first line says what the unknown is
            bare = (alone, {k: -x for k, x in alone.items()}) if abs(abs(b[name]) - 1) > 1e-9 and (n > 0 or not solved) else ()
            parts.append(Part({k: factor * x for k, x in p.row.items()}, p.text, p.side, opened=opens and (n > 0 or not solved), source=first.label, bare=bare))
        least = 1e-9 * max(map(abs, b.values()))
        if any(abs(x) > least for x in row_of(parts).values()):  # else the two lines say the same
            yield parts


def _unknowns(row: Row) -> Keys:
    return frozenset(k for k, x in row.items() if k and abs(x) > 1e-12)


def _slips_of(parts: list[Part], label: str) -> Iterator[StepSlip]:
    base = row_of(parts)
    for p in parts:
        source = p.source or label
        yield StepSlip("undistributed" if p.opened else "moved-sign", p.text, plus(base, p.row, -2.0), source, p.row)
        for alone in p.bare:
            yield StepSlip("undistributed", p.text, plus(plus(base, p.row, -1.0), alone), source, alone)
        yield StepSlip("lost-term", p.text, plus(base, p.row, -1.0), source, p.row)
        yield StepSlip("lost-term", p.text, plus(base, p.row, 1.0), source, p.row)


def factor_sign(parts: list[Part], name: tuple[str, ...]) -> float:
    """The sign with which an unknown stands on its own side of its line."""
    for p in parts:
        if not p.in_group and name in p.row:
            return p.row[name] * (1 if p.side == 0 else -1)
    return 1.0


def where(step: StepSlip, line: Line, context: Context, meaning: Meaning) -> tuple[int, int] | None:
    """Where the term of a step's slip stands in the line, in this line's own words; None where it does not stand there."""
    look = raw_look(context, meaning)
    for spot in spots(line):
        try:
            form = evaluate(spot.node, look, context.figures(0.0))
        except Unjudgeable:
            continue
        row = {k: c.mid for k, c in form.num.items()} if form.plain else {}
        if row and row.keys() == step.part.keys() and all(
            abs(abs(x) - abs(step.part[k])) <= 1e-9 * abs(x) for k, x in row.items()
        ):
            return spot.at
    return None


def candidate_forms(line: Line, context: Context, meaning: Meaning) -> list[Form]:
    """The line's equalities as forms in the raw unknowns."""
    return [difference(p, raw_look(context, meaning), context.figures()) for p in equalities(line)]


def explain(forms: list[Form], earlier: list[Source], context: Context, letters: Mapping[str, int] | None = None) -> StepSlip | None:
    """The slip that leads from the earlier lines (nearest last) to a line with these forms.

    letters: accelerations that are one, with their signs; they are taken for the first of them, as whoever goes on from a_1 to a does.
    Lines that come out term by term, at the same scale, before those that are merely proportional (a coincidence is likely
    there: 88.2 = 9a and 151.9 = 15.5a both say a = g); one earlier line before two; then the kind.
    """
    if not forms:
        return None
    form = one_letter(forms[0], letters) if letters else forms[0]
    wanted = frozenset(k for k, c in form.items() if k and (c.lo > 0 or c.hi < 0))
    recent = [Taken.of(s, context, letters) for s in earlier[-8:]]
    nearness = {s.label: n for n, s in enumerate(reversed(earlier))}
    hits: list[tuple[bool, int, int, int, StepSlip]] = []
    for line in recent:
        hits += _hits(form, wanted, one_slip_from(line), 1, nearness)
    for second in recent:
        for first in recent:
            if first is not second:
                hits += _hits(form, wanted, put_in(first, second, wanted), 2, nearness)
    if not any(h[4].exact for h in hits):
        for first, second, third in permutations(recent[-6:], 3):
            hits += _hits(form, wanted, put_in_two(first, second, third, wanted), 3, nearness)
    return min(hits, key=lambda h: h[:4])[4] if hits else None


def _hits(
    form: Form, wanted: Keys, candidates: Iterator[StepSlip], lines: int, nearness: dict[str, int]
) -> list[tuple[bool, int, int, int, StepSlip]]:
    out = []
    for s in candidates:
        row = {k: x for k, x in s.row.items() if abs(x) > 1e-12}
        if not wanted <= row.keys():
            continue
        bare = not any(k for k in row)  # the only unknown is what was lost
        if bare and any(k and not c.is_zero() for k, c in form.items()):
            continue
        scale = scale_between(form, row, 1e-6)
        if scale is not None:
            low, high = min(map(abs, scale)), max(map(abs, scale))
            own = low <= 1 + 1e-6 and high >= 1 - 1e-6
            if bare and not own:
                continue
            out.append((not own, lines, ORDER.index(s.kind), nearness[s.source], replace(s, exact=own)))
    return out
