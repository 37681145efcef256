"""Results: value, unit, figures; follow-through from the student's own lines; rounding told apart from wrong physics."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from ..mechanics import solve_at
from ..mechanics.setup import Setup
from ..reading import Complaint, read_value
from ..reading.tree import Line, Number
from ..scene.model import OPPOSITE
from ..scene.notation import class_letter
from ..scene.words import thing_name, way
from .boxes import Box
from .chain import value_in
from .context import Context
from .evaluate import ALL_ZEROS, FEWEST_FIGURES, GRAVITIES, Unjudgeable, names_in, numbers_in, significant
from .laws import value_slip
from .lines import Meaning, lonely_number, number_of, value_look
from .own_results import own_source
from .says import TURNING, slip, unnamed
from .shortcuts import shortcut
from .verdicts import FOLLOWS, RIGHT, SLIP, UNREAD, Slip
from .working import Chain

UNIT_WORDS = {
    "N": "newtons (N)",
    "m/s^2": "metres per second squared (m/s^2)",
    "m/s": "metres per second (m/s)",
    "s": "seconds (s)",
    "m": "metres (m)",
    "kg": "kilograms (kg)",
    "rad/s^2": "radians per second squared (rad/s^2)",
    "N m": "newton metres (N m)",
    "1": "no unit",
}
SAME_UNIT = {
    "rad/s^2": {"rad/s^2", "1/s^2", "s^-2"},
    "m/s^2": {"m/s^2", "N/kg"},
    "N": {"N", "kg m/s^2"},
    "N m": {"N m", "kg m^2/s^2"},
    "1": {"", "1"},
}
SIZE_ONLY = "The size fits, but with your directions the accelerations have opposite signs: here a is the size that they share, without a minus."
CANNOT_BE = {
    "acceleration": "It follows from your own lines, but it can't be: what is held back by a rope or a surface gains speed more slowly than in "
    "free fall, so a is less than g. Such a result earns no mark: go back to the sign or the term that led to it.",
    "force": "It follows from your own lines, but it can't be: a rope only pulls and a surface only pushes. Such a result earns no mark: go "
    "back to the sign or the term that led to it.",
}
ROUNDED = 0.015


@dataclass(frozen=True)
class ResultFinding:
    verdict: str
    slips: tuple[Slip, ...] = ()
    line: Line | None = None
    says: str = ""
    at: tuple[int, int] | None = None
    follows_from: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    absurd: bool = False
    unit_only: bool = False
    wrong_g: Fraction | None = None
    value: float | None = None  # of a wrong result, for those that rest on it


def judge_result(context: Context, symbol: str, text: str, chain: Chain) -> ResultFinding:
    """The finding for one asked value. `chain` holds the student's own lines, for follow-through."""
    known = context.scene.symbols.get(symbol)
    if known is None or (symbol not in context.setup.values and symbol not in context.setup.given):
        return ResultFinding(
            UNREAD,
            says=f"{symbol:.40} is no quantity of this problem; asked are {', '.join(context.scene.asked)}.",
            at=(0, len(text)),
        )
    try:
        lines = read_value(text, context.vocabulary).lines
    except Complaint as complaint:
        return ResultFinding(UNREAD, says=complaint.says, at=complaint.at)
    best: ResultFinding | None = None
    for line in lines:
        try:
            found = _judge(context, symbol, line, chain)
        except (Unjudgeable, KeyError) as problem:
            says = problem.says if isinstance(problem, Unjudgeable) else "Not every letter has a value here."
            found = ResultFinding(UNREAD, line=line, says=says, at=(0, len(text)))
        if best is None or _order(found) < _order(best):
            best = found
    assert best is not None
    if best.verdict == SLIP and best.value is not None and best.line is not None:
        chain.add_value(f"result: {symbol}", symbol, best.value, best.line)
    return best


def _order(f: ResultFinding) -> int:
    if f.verdict == SLIP:
        return 2 if f.unit_only else 3
    return {RIGHT: 0, FOLLOWS: 1, UNREAD: 4}[f.verdict]


def _judge(context: Context, symbol: str, line: Line, chain: Chain) -> ResultFinding:
    whole = (0, len(line.text))
    node = line.sides[-1]
    look = value_look(context, context.actual, _meaning(context, symbol))
    number = lonely_number(node)
    figures = context.figures(loose=ALL_ZEROS)
    if number is not None:  # worked out, even where a datum happens to have the same figures
        figures = replace(figures, data=figures.data - {number.value})
    value = number_of(node, look, figures)
    true = context.actual.numbers[symbol]
    wanted = context.scene.symbols[symbol].unit
    unit = unit_slip(line, node, symbol, wanted)
    exact = not numbers_in(node)  # a result in letters, such as 3g/7
    remarks: tuple[str, ...] = ()
    if _is_velocity(context, symbol, value, true):
        true, remarks = -true, (f"{class_letter(context.scene, symbol)} is asked as a speed, which is a size: the minus only says that it goes against your plus.",)
    target = _signed(context, symbol, true, value.mid, line.note)
    if target is None:
        own = own_source(context, symbol, value, number, chain)
        if own is not None:  # the sign is wrong since an earlier line
            unit_too = (unit,) if unit is not None else ()
            return ResultFinding(SLIP if unit_too else FOLLOWS, unit_too, line, follows_from=own, unit_only=bool(unit_too))
        return ResultFinding(
            SLIP,
            (
                unnamed(SIZE_ONLY if symbol == "a" and not context.setup.shared else _sign_said(context, symbol, true), whole),
            ),
            line,
        )
    if target == -true and context.scene.symbols[symbol].kind == "shared_acceleration":
        remarks = (f"This is the size that all share; along your plus directions {class_letter(context.scene, symbol)} is negative.",)
    off = abs(value.mid - target)
    good = target in value or off <= 1e-6 * abs(target)
    if good and number is not None and off > float(number.half) and value_slip(context, symbol, Box.around(number.value, number.half), whole) is not None:
        good = False  # N = 24000 for 24417 may be rounded; where it is m g, it is not
    few = number is not None and significant(number) < FEWEST_FIGURES and off > 5e-3 * abs(target)
    if few and _own_value(context, symbol, value, chain):
        few = False
        good = False
    if number is not None and few and (good or _one_figure(number, value, target)):  # whatever else it may follow from
        return ResultFinding(SLIP, (slip("rounding", {"wrote": _as_written(line, number)}, number.at, symbol),), line)
    if (
        not good
        and number is not None
        and off <= 2 * float(number.half) * 1.0001
        and off <= 0.005 * abs(target)
        and significant(number) > FEWEST_FIGURES
    ):
        good, remarks = True, (*remarks, "The last figure is off by one; keep one more figure on the way.",)
    if good or (exact and off <= 1e-9 * max(abs(target), 1e-9)):
        if unit is not None:
            return ResultFinding(SLIP, (unit,), line, unit_only=True)
        return ResultFinding(RIGHT, line=line, remarks=remarks)
    absurd = _absurd(context, symbol, value)
    own = own_source(context, symbol, value, number, chain)
    law = value_slip(context, symbol, value, whole) if own is None else None
    thing = context.scene.symbols[symbol].thing or ""
    if law is not None and law.kind in chain.slipped.get(thing, ()):
        own = (f"equation: {thing}",)
    if own is not None:
        if unit is not None:
            return ResultFinding(SLIP, (unit,), line, unit_only=True, follows_from=own)
        says = CANNOT_BE[_kind_of(context, symbol)] if absurd else ""
        return ResultFinding(FOLLOWS, line=line, follows_from=own, absurd=absurd, says=says)
    return ResultFinding(
        SLIP,
        _slips(context, symbol, line, value, number, target, unit, law),
        line,
        wrong_g=_other_g(context, symbol, value, target),
        value=value.mid if unit is None else None,
    )


def _own_value(context: Context, symbol: str, value: Box, chain: Chain) -> bool:
    """Whether a wrong line of the student's own gives just this value to just this letter: 1600 = 4000a says a = 0.4, however few figures."""
    own = {"a", symbol} if symbol in context.setup.shared else {symbol}
    given = [found for s in chain.broken for r in s.rows if (found := value_in(r)) is not None]
    return any(name in own and abs(x - value.mid) <= 1e-6 * abs(value.mid) for name, x in given)


def _meaning(context: Context, symbol: str) -> Meaning:
    if context.setup.shared:
        return Meaning(None, (1, next(iter(context.setup.shared))))
    return Meaning(None, (1, symbol) if symbol.startswith("a_") else None)


def _signed(context: Context, symbol: str, true: float, given: float, note: str) -> float | None:
    """The true value with the sign that this answer may have; None where only the sign is wrong.

    The shared a may be given as a size. A word of direction after the value settles the sign instead.
    """
    kind = context.scene.symbols[symbol].kind
    if kind in ("friction", "rolling") and true < 0 < given:
        return -true  # assumed the other way and carried through: its size is a right answer too
    if kind not in ("acceleration", "alpha", "shared_acceleration") or true == 0:
        return true
    word = note.strip().lower()
    if kind != "shared_acceleration" and word in OPPOSITE:
        thing = context.scene.symbols[symbol].thing or ""
        real = context.setup.regime.direction.get(thing)
        if real in (word, OPPOSITE[word]):
            return abs(true) if real == word else None
    near = abs(abs(given) - abs(true)) <= 0.01 * abs(true)
    if near and given * true < 0:
        if kind == "shared_acceleration" and given > 0:
            return abs(true)
        return None
    return true


def _is_velocity(context: Context, symbol: str, value: Box, true: float) -> bool:
    """Whether a speed is given with the minus that a velocity along the chosen positive direction has."""
    covered = context.setup.covered
    if covered is None or symbol != covered.speed or context.setup.values[covered.acceleration] * covered.gains >= 0:
        return False
    return value.mid < 0 and abs(value.mid + true) <= ROUNDED * true


def _sign_said(context: Context, symbol: str, true: float) -> str:
    """What the sign of an acceleration should be, and for which positive direction."""
    name = next(iter(context.setup.shared)) if symbol == "a" and context.setup.shared else symbol
    thing = context.scene.symbols[name].thing or ""
    real = context.setup.regime.direction.get(thing)
    sign = "negative" if true < 0 else "positive"
    return f"The size fits, but not the sign: with {way(context.setup.positive[thing])} as plus for the {thing_name(thing)}, {class_letter(context.scene, symbol)} is {sign}, for it accelerates {way(real or '')}."


def unit_slip(line: Line, node: object, symbol: str, wanted: str) -> Slip | None:
    """No unit, or one of another quantity."""
    units = [n for n, _ in numbers_in(node) if n.unit]  # type: ignore[arg-type]
    if not numbers_in(node):  # type: ignore[arg-type]
        return None  # a result in letters carries its unit in them
    right = UNIT_WORDS.get(wanted, wanted)
    if not units:
        nought = lonely_number(node)  # type: ignore[arg-type]
        if wanted in ("1", "", "deg") or _has_names(node) or (nought is not None and nought.value == 0):
            return None
        return slip(
            "unit", {"wrote": "the value", "other": "without a unit", "right": right}, (0, len(line.text)), symbol
        )
    last = units[-1]
    allowed = SAME_UNIT.get(wanted, {wanted})
    if last.unit not in allowed and last.unit != wanted:
        return slip(
            "unit",
            {"wrote": f"the value of {symbol}", "other": f"in {last.unit_text or last.unit}", "right": right},
            last.at,
            symbol,
        )
    return None


def _has_names(node: object) -> bool:
    return bool(names_in(node))  # type: ignore[arg-type]


def _kind_of(context: Context, symbol: str) -> str:
    return "acceleration" if context.scene.symbols[symbol].kind in ("acceleration", "shared_acceleration") else "force"


def _absurd(context: Context, symbol: str, value: Box) -> bool:
    """A value that should have been recognised as impossible: a rope that pushes, a held-back body that falls at g or faster."""
    kind = context.scene.symbols[symbol].kind
    if kind in ("tension", "contact", "normal") and value.hi < 0:
        return True
    free_running = not context.scene.forces and not any(b.acceleration for b in context.scene.bodies.values())
    one_rope = bool(context.setup.size_of)
    if kind in ("acceleration", "shared_acceleration") and free_running and one_rope:
        g = context.actual.numbers["g"]
        return abs(value.mid) >= g * (1 - 1e-9)
    return _falls(context, symbol, value)


def _falls(context: Context, symbol: str, value: Box) -> bool:
    """Whether a body that hangs from ropes, which only pull up, would gain speed downwards at g or faster."""
    known, setup = context.scene.symbols[symbol], context.setup
    body = context.scene.bodies.get(known.thing or "")
    if known.kind != "acceleration" or body is None or body.moves != "vertical" or body.acceleration:
        return False
    forces = [t for t in setup.equations[body.name].terms if t.kind != "weight"]
    down = value.mid if setup.positive[body.name] == "down" else -value.mid
    hangs = bool(forces) and all(t.kind == "tension" and t.direction == "up" for t in forces)
    return hangs and down >= context.actual.numbers["g"] * (1 - 1e-9)


def _slips(
    context: Context, symbol: str, line: Line, value: Box, number: Number | None, target: float, unit: Slip | None, law: Slip | None
) -> tuple[Slip, ...]:
    whole = (0, len(line.text))
    kind = context.scene.symbols[symbol].kind
    extra = (unit,) if unit is not None else ()
    g = context.actual.numbers["g"]
    if kind in ("acceleration", "shared_acceleration") and (
        g in value or -g in value or abs(abs(value.mid) - g) < 1e-9
    ):
        return (slip("free-fall", {}, whole, symbol), *extra)
    other = _other_g(context, symbol, value, target)
    if other is not None:
        text = f"This problem gives g = {context.scene.g.text} {context.scene.g.unit}; your value comes from g = {float(other):g} m/s^2."
        return (slip("arithmetic", {"wrote": "the value of g"}, whole, symbol, text), *extra)
    if target and (abs(value.mid - target) <= ROUNDED * abs(target) or _one_figure(number, value, target)):
        return (
            slip("rounding", {"wrote": _as_written(line, number) if number else "the value"}, number.at if number else whole, symbol),
            *extra,
        )
    if law is not None:
        return (replace(law, says=law.says.replace("In your line for the", "In your value for the", 1)), *extra)
    turning = _of_the_rim(context, symbol, value, whole)
    if turning is not None:
        return (turning, *extra)
    misplaced = _misplaced(number, abs(target)) if number is not None and target and value.mid * target > 0 else ""
    if number is not None and misplaced:
        wrote = _as_written(line, number)
        return (replace(slip("arithmetic", {"wrote": wrote}, number.at, symbol), says=misplaced.format(wrote=wrote), why=""), *extra)
    if target and abs(value.mid + target) <= ROUNDED * abs(target):
        return (unnamed(f"The size fits, but the sign of {class_letter(context.scene, symbol)} does not.", whole), *extra)
    short = shortcut(context, symbol, value) if number is not None and significant(number) >= FEWEST_FIGURES else None
    if short is not None:
        return (replace(unnamed(short.says, whole), how=short.how), *extra)
    return (
        unnamed(f"This is not the value of {class_letter(context.scene, symbol)}, and it does not follow from the lines that you wrote.", whole, guessed=True),
        *extra,
    )


def _of_the_rim(context: Context, symbol: str, value: Box, whole: tuple[int, int]) -> Slip | None:
    """An acceleration given for alpha, or alpha for an acceleration, or the radius on the wrong side between the two."""
    scene, numbers = context.scene, context.actual.numbers
    kind = scene.symbols[symbol].kind
    if kind not in ("alpha", "acceleration", "shared_acceleration"):
        return None
    others = [s for s in scene.symbols.values() if (s.kind == "alpha") != (kind == "alpha") and s.kind in ("alpha", "acceleration") and s.name in numbers]
    arms = [1.0, *(numbers[s.name] for s in scene.symbols.values() if s.kind in ("radius", "strand_radius") and s.given is not None)]
    for other in others:
        for arm in arms:
            worth = abs(numbers[other.name]) * (arm if kind == "alpha" else 1 / arm)
            if worth and (worth in abs(value) or abs(abs(value.mid) - worth) <= 1e-3 * worth):
                known = scene.symbols[symbol].thing or other.thing or ""
                arm_said = "a radius is missing between a and alpha, or stands on the wrong side"
                words = {"body": thing_name(known), "force": f"the value of {class_letter(scene, symbol)}", "arm": arm_said, **TURNING}
                return slip("radius", words, whole, symbol)
    return None


def _as_written(line: Line, number: Number) -> str:
    """A number with its sign: "-2", not "2"."""
    before = line.text[: number.at[0]].rstrip()
    return f"-{number.text}" if before.endswith(("-", "−", "–")) else number.text


def _one_figure(number: Number | None, value: Box, target: float) -> bool:
    """Whether the value is the right one, rounded to a single figure: 70 for 74.0."""
    return number is not None and value.mid * target > 0 and float(number.value) == abs(float(f"{target:.0e}"))


def _misplaced(number: Number, target: float) -> str:
    """What is said of a value with the right figures at the wrong power of ten, or with two of them exchanged; "" of any other."""
    x = abs(float(number.value))
    figures = significant(number)
    power = round(math.log10(x / target)) if x else 0
    if power and abs(x - target * 10.0**power) <= float(number.half) * 1.0001:
        return "The figures of {wrote} fit, but not their size: a decimal point has slipped." if figures >= FEWEST_FIGURES else ""
    decimals = len(number.text.partition(".")[2])
    wrote, meant = (f"{v:.{decimals}f}".replace(".", "") for v in (x, target))
    apart = [n for n, (a, b) in enumerate(zip(wrote, meant, strict=False)) if a != b]
    exchanged = len(wrote) == len(meant) >= 3 and len(apart) == 2 and apart[1] == apart[0] + 1 and sorted(wrote) == sorted(meant)
    return "Two figures of {wrote} have changed places." if exchanged else ""


def _other_g(context: Context, symbol: str, value: Box, target: float) -> Fraction | None:
    given = context.setup.given.get("g")
    if given is None:
        return None
    shared = context.scene.symbols[symbol].kind == "shared_acceleration"  # may be given as a size
    for g in GRAVITIES:
        if g == given:
            continue
        x = _value_with_g(context.setup, symbol, g)
        if x is not None and (x in value or (shared and x < 0 and -x in value)) and abs(x - target) > 1e-3 * abs(target):
            return g
    return None


def _value_with_g(setup: Setup, symbol: str, g: Fraction) -> float | None:
    values: Mapping[str, Fraction] = solve_at(setup, {**setup.given, "g": g})
    x = values.get(symbol)
    return None if x is None else float(x)
