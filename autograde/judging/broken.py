"""Why a line of working is wrong: the slip that broke the chain there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

from ..reading.tree import Line
from .arithmetic import arithmetic_slip, needed_values, plausible, suspects
from .boxes import Box
from .chain import Row, Source, follows, raw_look, value_in
from .evaluate import Unjudgeable, numbers_in
from .forms import CONST, Form, plus, scale_between
from .lines import Meaning, difference, equalities, lonely_name, lonely_number, number_of, resolve, value_look
from .says import slip
from .steps_back import candidate_forms, explain, parts_of_line, row_of, where
from .verdicts import Slip

if TYPE_CHECKING:
    from .working import Chain

MINUS_LOST = "A minus is lost."
UPSIDE_DOWN = "The quotient is upside down."
NEARLY_ONE = 2e-3
ROUNDED = 0.015  # a value this near to the true one, yet off, is off by rounding


def broken_by(chain: Chain, line: Line, meaning: Meaning) -> Slip | None:
    """The slip that broke the chain at this line, which neither holds nor follows; None where none is to be named for certain."""
    whole = (0, len(line.text))
    earlier = [s for s in [*chain.equations, *chain.lines] if s.rows]
    fall = _free_fall(chain, line, meaning)
    if fall is not None:
        return fall
    rounded = _rounded(chain, line, meaning)
    if rounded is not None:
        return rounded
    lost = _minus_lost(chain, line, meaning, earlier)
    if lost is not None:
        return lost
    forms = candidate_forms(line, chain.context, meaning)
    numeric = _numeric_part(chain, line, meaning)
    if numeric is not None:
        return numeric
    turned = _tie_turned(chain, line, meaning, earlier)
    step = explain(forms, earlier, chain.context)
    letters = chain.one_letter
    if step is None and turned is None and letters:
        step = explain(forms, earlier, chain.context, letters)
    if step is None and turned is None and chain.ties and not chain.ties_wrong:  # a tie put in on the way
        with_tie = explain(forms, [*earlier[-5:], *(s for s in chain.ties[:2] if s.rows)], chain.context)
        step = with_tie if with_tie is not None and with_tie.exact else None
    if turned is not None and (step is None or not step.exact):
        return turned
    if step is not None:
        at = where(step, line, chain.context, meaning) or _find(line, step.term)
        term = line.text[at[0] : at[1]].strip() if at else step.term
        extra = chain.balance(line, meaning) if step.kind == "lost-term" else ""
        return slip(step.kind, {"force": f"“{term}” (from {step.source})"}, at or whole, term, extra)
    number = lonely_number(line.sides[-1])
    if number is not None and chain.from_true(line, meaning) is not None:
        return slip("rounding", {"wrote": number.text}, number.at)
    return _upside_down(chain, line, meaning, earlier) or _arithmetic(chain, line, meaning, earlier)


def _minus_lost(chain: Chain, line: Line, meaning: Meaning, earlier: Sequence[Source]) -> Slip | None:
    """A value that is negative, found or put in without its minus: a = 1.58 after -24.5 = 15.5a, 12*1.09 for 12a where a = -1.09."""
    name = lonely_name(line.sides[0])
    own = next(iter(raw_look(chain.context, meaning)(name.name)), None) if name is not None else None
    for source in reversed(earlier):
        for row in source.rows:
            found = value_in(row)
            if found is None or found[1] >= 0:
                continue
            symbol = (found[0],)
            turned = {symbol: row[symbol], CONST: -row[CONST]}
            if symbol == own and follows(line, chain.context, meaning, [turned]):
                at = _find(line, re.split(r"[=≈]", line.text)[-1])
                wrote = line.text.strip()
                if lonely_number(line.sides[-1]) is None:  # nothing was worked out
                    return replace(slip("arithmetic", {"wrote": wrote}, at, wrote), says=f"The size of {name.name if name else 'it'} fits, but a minus is lost on the way.")
                return slip("arithmetic", {"wrote": wrote}, at, wrote, MINUS_LOST)
            others = [s for s in earlier if s is not source and symbol not in {k for r in s.rows if len(r) == 2 for k in r}]
            if symbol != own and any(
                follows(line, chain.context, meaning, [*chain.base_rows, turned, *other.rows]) for other in reversed(others)
            ):
                extra = f"{symbol[0]} is negative: it is put in with its minus, in parentheses."
                return slip("arithmetic", {"wrote": f"the value of {symbol[0]}"}, (0, len(line.text)), symbol[0], extra)
    return None


def _upside_down(chain: Chain, line: Line, meaning: Meaning, earlier: Sequence[Source]) -> Slip | None:
    """a = 15.5/24.5 after 24.5 = 15.5a: the value is one over what the line before gives."""
    name = lonely_name(line.sides[0])
    if name is None or any(chain.side_unknowns(s, meaning) for s in line.sides[1:]):
        return None
    try:
        look = value_look(chain.context, chain.context.actual, meaning, {})
        value = number_of(line.sides[1], look, chain.context.figures())
        own = next(iter(raw_look(chain.context, meaning)(name.name)))
    except (KeyError, Unjudgeable):
        return None
    for source in reversed(earlier):
        for row in source.rows:
            found = value_in(row)
            if found is not None and (found[0],) == own and found[1] and value.meets(Box.exact(1 / found[1]), 1e-9):
                wrote = re.split(r"[=≈]", line.text)[1].strip()
                at = _find(line, wrote)
                return slip("arithmetic", {"wrote": wrote}, at, wrote, UPSIDE_DOWN)
    return None


def _tie_turned(chain: Chain, line: Line, meaning: Meaning, earlier: Sequence[Source]) -> Slip | None:
    """A tie put in with the other sign: the line follows from earlier ones if one tie is turned round."""
    if chain.context.setup.shared or chain.ties_wrong:
        return None
    ties = chain.true_ties
    for n, tie in enumerate(ties):
        if len([k for k in tie if k]) != 2 or tie.get(CONST):
            continue
        first = next(k for k in tie if k)
        turned = [*ties[:n], {**tie, first: -tie[first]}, *ties[n + 1 :]]
        for size in (1, 2):
            for group in combinations(list(reversed(earlier))[:6], size):
                rows = [r for s in group for r in s.rows]
                if not any(k in r for r in rows for k in tie if k):
                    continue
                if follows(line, chain.context, meaning, [*turned, *rows], slack=1e-6):
                    names = " and ".join(k[0] for k in tie if k)
                    return slip("flipped-tie", {}, (0, len(line.text)), names, f"(It is the one between {names}.)")
    return None


def _find(line: Line, term: str) -> tuple[int, int] | None:
    bare = term.lstrip("+-−– ").strip()
    start = line.text.find(bare)
    return (start, start + len(bare)) if bare and start >= 0 else None


def _free_fall(chain: Chain, line: Line, meaning: Meaning) -> Slip | None:
    """a = g, as a letter or a number, for something that is held back."""
    name = lonely_name(line.sides[0])
    if name is None or not line.relations or line.relations[0] not in ("=", "≈"):
        return None
    try:
        _, symbol = resolve(name.name, chain.context, meaning)
        kind = chain.context.scene.symbols[symbol].kind
        if kind != "acceleration":
            return None
        value = number_of(
            line.sides[-1], value_look(chain.context, chain.context.actual, meaning, {}), chain.context.figures()
        )
    except (KeyError, Unjudgeable):
        return None
    if chain.side_unknowns(line.sides[-1], meaning):
        return None
    g = chain.context.actual.numbers["g"]
    if value.lo - 1e-9 <= g <= value.hi + 1e-9 or value.lo - 1e-9 <= -g <= value.hi + 1e-9:
        return slip("free-fall", {}, (0, len(line.text)), name.name)
    return None


def _rounded(chain: Chain, line: Line, meaning: Meaning) -> Slip | None:
    name, number = lonely_name(line.sides[0]), lonely_number(line.sides[-1])
    if name is None or number is None:
        return None
    try:
        look = value_look(chain.context, chain.context.actual, meaning)
        true = number_of(line.sides[0], look, chain.context.figures()).mid
        given = number_of(line.sides[-1], look, chain.context.figures(0.0)).mid
    except (KeyError, Unjudgeable):
        return None
    if true and abs(given - true) <= ROUNDED * abs(true):
        return slip("rounding", {"wrote": number.text}, number.at, name.name)
    return None


def _numeric_part(chain: Chain, line: Line, meaning: Meaning) -> Slip | None:
    """a = 24.5/15.5 = 1.85: two neighbouring sides are plain numbers, and not equal."""
    if len(line.sides) < 2:
        return None
    look = value_look(chain.context, chain.context.actual, meaning, {})
    for left, right, relation in zip(line.sides, line.sides[1:], line.relations, strict=False):
        number = lonely_number(right)
        if (
            relation not in ("=", "≈")
            or number is None
            or number.value == 0
            or chain.side_unknowns(left, meaning)
            or lonely_number(left)
        ):
            continue
        try:
            a, b = number_of(left, look, chain.context.figures()), number_of(right, look, chain.context.figures())
        except (KeyError, Unjudgeable):
            continue
        if not a.meets(b, 1e-9 * a.size) and abs(a.mid) > 0:
            off = abs(a.mid - b.mid) / abs(a.mid)
            if off <= ROUNDED:
                return slip("rounding", {"wrote": number.text}, number.at)
            return arithmetic_slip(number)
    return None


def _arithmetic(chain: Chain, line: Line, meaning: Meaning, earlier: Sequence[Source]) -> Slip | None:
    """One number of the line would have to be another for it to follow from one line, or from two put together."""
    pairs = equalities(line)
    if len(pairs) != 1 or not suspects(line, chain.context):
        return None

    def form(instead: object) -> Form:
        return difference(pairs[0], raw_look(chain.context, meaning), chain.context.figures(0.0, instead))  # type: ignore[arg-type]

    copied = {n.value for s in earlier for side in s.line.sides for n, _ in numbers_in(side)}  # not worked out here
    keys = {k for k, c in form({}).items() if k and not c.is_zero()}
    # a bare value out of two equations is several steps at once: no single number explains it
    jump = lonely_name(line.sides[0]) is not None and lonely_number(line.sides[-1]) is not None
    for target in _targets(chain, list(earlier), keys, jump):
        known = {abs(x) for x in target.values()} | set(chain.context.weights.values())
        numbers = sorted(
            suspects(line, chain.context),
            key=lambda n: any(abs(float(n.value) - x) <= float(n.half) + 1e-9 for x in known),
        )
        for number in [n for n in numbers if n.value not in copied]:
            for value in needed_values(number, form, target):
                figures = chain.context.figures(1.0, {number.at: value})
                scale = scale_between(difference(pairs[0], raw_look(chain.context, meaning), figures), target)
                if plausible(number, value) and scale is not None and (jump or _is_one(scale)):
                    return arithmetic_slip(number)
    return None


def _is_one(scale: tuple[float, float]) -> bool:
    """Whether a line can be the target itself, or it with all signs turned: the rest of such a line is as it should be."""
    low, high = min(map(abs, scale)), max(map(abs, scale))
    return low * (1 - NEARLY_ONE) <= 1.0 <= high * (1 + NEARLY_ONE)


def _targets(chain: Chain, earlier: list[Source], keys: set[tuple[str, ...]], jump: bool) -> Iterator[Row]:
    rows = [(s, row_of(parts_of_line(s, chain.context))) for s in earlier]
    for _, row in reversed(rows):
        if {k for k in row if k and abs(row[k]) > 1e-12} == keys:
            yield row
    if jump:
        return
    for (_, a), (_, b) in combinations(list(reversed(rows))[:8], 2):
        for name in {k for k in a if k and a[k]} & {k for k in b if k and b[k]}:
            row = plus(b, a, -b[name] / a[name])
            row.pop(name, None)
            if {k for k in row if k and abs(row[k]) > 1e-9} == keys:
                yield {k: x for k, x in row.items() if abs(x) > 1e-9}
