"""Where in a student's line a force stands: the term that names it, or has its value."""

from __future__ import annotations

from ..algebra import Poly
from ..reading.tree import Line, Place
from .context import Context
from .evaluate import Unjudgeable, evaluate, names_in, numbers_in
from .forms import CONST
from .lines import Meaning, Spot, form_look, resolve, spots


def locate(line: Line, context: Context, meaning: Meaning, symbol: str | None, poly: Poly) -> Place | None:
    """The place of the term that stands for the force `symbol` with the value `poly` (as the student has it, sign apart)."""
    hit = locate_spot(line, context, meaning, symbol, poly)
    return hit.at if hit else None


def locate_spot(line: Line, context: Context, meaning: Meaning, symbol: str | None, poly: Poly) -> Spot | None:
    """The same, as the term itself."""
    hit = best_spot(line, context, meaning, symbol, poly)
    return hit[1] if hit else None


def best_spot(
    line: Line, context: Context, meaning: Meaning, symbol: str | None, poly: Poly
) -> tuple[float, Spot] | None:
    """The likeliest term with its score: 3 and more where the value or the name fits."""
    if not poly:
        return None
    ground = context.actual
    wanted = {k: abs(x) for k, x in ground.form(poly).items() if abs(x) > 1e-12}
    look = form_look(context, ground, meaning)
    best: tuple[float, Spot] | None = None
    for spot in spots(line):
        score = _score(spot, context, meaning, symbol, poly, wanted, look)
        if score > 0 and (best is None or score > best[0]):
            best = (score, spot)
    return best


def _score(
    spot: Spot,
    context: Context,
    meaning: Meaning,
    symbol: str | None,
    poly: Poly,
    wanted: dict[tuple[str, ...], float],
    look: object,
) -> float:
    names = set()
    for n in names_in(spot.node):
        try:
            names.add(resolve(n, context, meaning)[1])
        except KeyError:
            names.add(n)
    score = 0.0
    if symbol and symbol in names:
        score += 4
    parts = {s[4:-1] if "(" in s else s for s in poly.symbols}
    if names and names <= parts | {symbol}:
        score += 2 + 0.1 * len(names & parts)
    elif names & parts:
        score += 0.5
    try:
        form = evaluate(spot.node, look, context.figures(2.0)).num  # type: ignore[arg-type]
    except Unjudgeable:
        return score
    keys = {k for k, c in form.items() if not c.is_zero()}
    if keys and keys == set(wanted):
        score += 1
        if all(
            form[k].lo - 1e-9 <= x <= form[k].hi + 1e-9 or form[k].lo - 1e-9 <= -x <= form[k].hi + 1e-9
            for k, x in wanted.items()
        ):
            score += 2
    elif keys and CONST not in keys and keys != set(wanted):
        score -= 1
    if not names and not numbers_in(spot.node):
        return 0.0
    return score - 0.05 * spot.depth
