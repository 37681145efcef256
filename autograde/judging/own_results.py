"""Follow-through for results: does a value that is wrong for the scene come from what this student wrote before?"""

from __future__ import annotations

import math

from ..reading.tree import Number
from .beliefs import own_sets
from .boxes import Box
from .chain import FOLLOW_SLACK, Point, point_look, solve_rows, timed
from .context import Context
from .forms import CONST
from .lines import Meaning
from .working import Chain


def own_source(context: Context, symbol: str, value: Box, number: Number | None, chain: Chain) -> tuple[str, ...] | None:
    """The student's own lines from which this value follows, None where it follows from none. number: the value as written, where it
    is a plain one."""
    if not chain.broken and all(s.true for s in chain.equations) and not chain.ties_wrong:
        return None
    half = float(number.half) if number else 0.0
    wide = Box(value.lo - half, value.hi + half)
    covered = context.setup.covered
    of_size = context.scene.symbols[symbol].kind == "shared_acceleration"  # else the sign says which way it goes
    for labels, rows in own_sets(chain):
        affine = solve_rows(rows, ())
        if affine is None:
            continue
        if covered is not None and symbol in (covered.time, covered.speed):
            written = abs(value) if symbol == covered.speed else value
            points = zip(*(timed(context, p) for p in affine.samples()), strict=True)
            if any(all(symbol in p and _fits(p[symbol], written, wide) for p in way) for way in points):
                return labels
            continue
        if symbol in context.setup.laws and symbol not in chain.own:
            if all(_fits(_put_in(context, symbol, chain, p), value, wide) for p in affine.samples()):
                return labels
            continue
        name = "a" if symbol in context.setup.shared or symbol == "a" else symbol
        for candidate in (name, symbol):
            if candidate in affine.point and not any(d.get(candidate) for d in affine.free):
                x = affine.point[candidate]
                for y in (x, abs(x)) if of_size else (x,):
                    if _fits(y, value, wide):
                        return labels
        if of_size:
            sizes = {
                round(abs(affine.point[n]), 9)
                for n in context.setup.size_of
                if n in affine.point and not any(d.get(n) for d in affine.free)
            }
            if len(sizes) == 1 and abs(value.mid) <= 1e12:
                (y,) = sizes
                if y in wide or abs(abs(value.mid) - y) <= FOLLOW_SLACK * y:
                    return labels
    return None


def _put_in(context: Context, symbol: str, chain: Chain, point: Point) -> float:
    """A letter with a law, the student's own values put into it: f from their N; nan where a letter of it has none."""
    try:
        return point_look(context, Meaning(own=chain.own), point)(symbol)[CONST].mid
    except KeyError:
        return math.nan


def _fits(x: float, value: Box, wide: Box) -> bool:
    return x in wide or abs(value.mid - x) <= FOLLOW_SLACK * abs(x)
