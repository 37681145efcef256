"""Sense checks: a statement about the results that is true, and that could have been false."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from ..mechanics import MechanicsError, derive, solve_at
from ..mechanics.exact import cosine, sine
from ..mechanics.setup import Setup
from ..reading.complaint import Complaint
from ..reading.tree import Line
from ..scene import SceneError
from ..scene.data import with_data
from ..scene.words import thing_name, way
from .boxes import Box
from .context import Context
from .evaluate import Unjudgeable, numbers_in
from .grounds import Ground, generic_data
from .lines import (
    Meaning,
    compare,
    holds_at,
    line_names,
    lonely_name,
    lonely_number,
    number_of,
    pressing,
    readings,
    resolve,
    value_look,
)
from .phrases import in_signs, joined
from .says import slip
from .units import dimension_clash
from .verdicts import RIGHT, SLIP, UNREAD, Slip

LIMIT = Fraction(10) ** 7
NEAR = 1e-3
NEAR_LIMIT = 5e-3
BEYOND = "Your formula says so, but it is one for moving as it does here; with these data {what}."
OWN = 5e-3  # how far a student's own result may be off by rounding


@dataclass(frozen=True)
class SenseFinding:
    verdict: str
    slips: tuple[Slip, ...] = ()
    says: str = ""
    at: tuple[int, int] | None = None
    line: Line | None = None
    remarks: tuple[str, ...] = ()


OF_THE_SIZE = "True of the size of a; a itself is negative for the directions of this paper."

def judge_sense(context: Context, text: str) -> SenseFinding:
    """The finding for one sense check: an inequality, an equation that tests something, or a limiting case (m_1 = m_2 => a = 0).

    "T is between W_1 and W_2" is read as the inequality, in the order that holds; "m_2 -> ∞" and "m_2 is very large" as m_2 >> 1; of
    "T > W_1 and T < W_2" both have to hold.
    """
    ways = in_signs(text)
    if ways:
        best = min((_judge_text(context, way) for way in ways), key=lambda f: _ORDER[f.verdict])
    else:
        best = _judge_text(context, text)
        parts = joined(text)
        if best.verdict != UNREAD or len(parts) < 2:
            return best
        worst = max((_judge_text(context, part) for part in parts), key=lambda f: _ORDER[f.verdict])
        if worst.verdict == UNREAD:  # one line after all
            return best
        best = worst
    whole = (0, len(text))
    return replace(best, at=whole if best.at else None, slips=tuple(replace(s, at=whole) for s in best.slips))


_ORDER = {RIGHT: 0, SLIP: 1, UNREAD: 2}


def _judge_text(context: Context, text: str) -> SenseFinding:
    try:
        lines = readings(text, context)
    except Complaint as complaint:
        return SenseFinding(UNREAD, says=complaint.says, at=complaint.at)
    found = [_judge_all(context, line) for line in lines]
    return min(found, key=lambda f: _ORDER[f.verdict])


def _judge_all(context: Context, line: Line) -> SenseFinding:
    best: SenseFinding | None = None
    plain = _meanings(context)
    pressed = [replace(m, tilt=-1) for m in plain] if pressing(context) & line_names(line) else []
    for meaning in [*plain, *pressed]:
        try:
            found = _judge(context, line, meaning)
        except Unjudgeable as problem:
            found = SenseFinding(UNREAD, says=problem.says, at=(0, len(line.text)), line=line)
        except KeyError:
            found = SenseFinding(
                UNREAD, says="Not every letter here has a value in this problem.", at=(0, len(line.text)), line=line
            )
        if found.verdict == RIGHT:
            of_size = context.setup.shared and meaning.a is not None and meaning.a[0] < 0 and "a" in line_names(line)
            return replace(found, remarks=(OF_THE_SIZE,)) if of_size else found
        best = best or found
    assert best is not None
    return best


def _meanings(context: Context) -> list[Meaning]:
    """A size a stands for any acceleration here: a check is about sizes as well as about signed values."""
    out = []
    if context.setup.shared:
        name = next(iter(context.setup.shared))
        out.append(Meaning(None, (1, name)))
        if context.setup.values.get(name, 0) < 0:
            out.append(Meaning(None, (-1, name)))
        return out
    for name in context.accelerations:
        if context.scene.symbols[name].kind == "acceleration":
            sign = -1 if context.setup.values.get(name, 0) < 0 else 1
            out.append(Meaning(None, (sign, name)))
    return out or [Meaning()]


def _false(says: str, line: Line) -> SenseFinding:
    return SenseFinding(SLIP, (slip("false-sense", {"wrote": says}, (0, len(line.text))),), line=line)


def _judge(context: Context, line: Line, meaning: Meaning) -> SenseFinding:
    if not line.relations:
        return SenseFinding(
            UNREAD,
            says="A check says how two things compare: W_1 < T, or a < g, or m_1 = m_2 => a = 0.",
            at=(0, len(line.text)),
            line=line,
        )
    clash = dimension_clash(line, context, meaning)
    if clash:
        return _false(clash, line)
    if line.condition is not None:
        return _limit(context, line, line.condition, meaning)
    ground = context.actual
    if not holds_at(line, value_look(context, ground, meaning), context.figures(), NEAR):
        return _false("This is not true here: put the numbers in and compare.", line)
    if not _says_something(context, line, meaning):
        return _false("True, but it says nothing about this scene: it would hold whatever your results were.", line)
    if _restates(line):
        return _false("This only says a result again, so it puts nothing to the test.", line)
    return SenseFinding(RIGHT, line=line)


def _restates(line: Line) -> bool:
    """Whether the line is a letter and its value, and no more: a = 1.58. (That something is zero is a statement of its own.)"""
    if len(line.sides) != 2 or line.relations[0] not in ("=", "≈"):
        return False
    ends = (line.sides, line.sides[::-1])
    return any(lonely_name(x) is not None and (value := lonely_number(y)) is not None and value.value != 0 for x, y in ends)


def _says_something(context: Context, line: Line, meaning: Meaning) -> bool:
    """Whether a wrong result could have broken the check: it speaks of an unknown, and some other values make it false."""
    unknowns = {
        s.name
        for s in context.scene.symbols.values()
        if s.kind
        in (
            "acceleration",
            "alpha",
            "tension",
            "contact",
            "rolling",
            "shared_acceleration",
            "normal",
            "friction",
            "time",
            "speed",
        )
    }
    used = set()
    for name in line_names(line):
        try:
            symbol = resolve(name, context, meaning)[1]
        except KeyError:
            continue
        if symbol in unknowns and context.scene.symbols[symbol].given is None:
            used.add(symbol)
    used |= _decides(context, line, meaning)
    if not used:
        return _tests_a_number(context, line, unknowns)
    ground = context.actual
    for factor in (-40.0, -1.0, -0.01, 0.0, 0.01, 40.0, 1e4):
        for chosen in [used, *({u} for u in used)]:
            own = {u: ground.numbers[u] * factor if ground.numbers.get(u) else factor for u in chosen}
            try:
                if not holds_at(line, value_look(context, ground, meaning, own), context.figures(), NEAR):
                    return True
            except Unjudgeable:
                continue
    return False


def _decides(context: Context, line: Line, meaning: Meaning) -> set[str]:
    """The coefficients of static friction in a line that compares them with more than other coefficients: tan(theta) > mu_s says that it slides."""
    kinds = {}
    for name in line_names(line):
        symbol = context.scene.symbols.get(resolve(name, context, meaning)[1])
        if symbol is not None:
            kinds[symbol.name] = symbol.kind
    return {name for name, kind in kinds.items() if kind == "mu_s"} if set(kinds.values()) - {"mu_s", "mu_k"} else set()


def _limits(context: Context) -> list[tuple[str, str]]:
    """A coefficient and the normal force beside it, for each body that friction can hold: together the most that friction can be."""
    scene = context.scene
    pairs = [(scene.symbol_of(kind, b), scene.symbol_of("normal", b)) for b in scene.bodies for kind in ("mu_s", "mu_k")]
    return [(mu, n) for mu, n in pairs if mu is not None and n is not None and n in context.actual.numbers and mu in context.actual.numbers]


def _tests_a_number(context: Context, line: Line, unknowns: set[str]) -> bool:
    """Whether a line of plain numbers puts a result to the test: 88.2 - 63.7 = 15.5(1.581), or 63.7 < 74.0 < 88.2."""
    results = [
        abs(context.actual.numbers[u])
        for u in unknowns
        if u in context.actual.numbers and context.scene.symbols[u].given is None
    ]
    numbers = [n for side in line.sides for n, _ in numbers_in(side)]
    tested = [n for n in numbers if any(x in Box.around(abs(n.value), n.half) or abs(abs(float(n.value)) - x) <= OWN * x for x in results)]
    if all(r in ("=", "≈") for r in line.relations):
        return len(numbers) > 2 and bool(tested)
    # 1 < 2 compares nothing: what a result is compared with has to be a weight, g or another result
    bounds = {context.actual.numbers[s.name] for s in context.scene.symbols.values() if s.kind in ("weight", "gravity")}
    bounds |= {context.actual.numbers[mu] * context.actual.numbers[n] for mu, n in _limits(context)}
    bounded = [n for n in numbers if n in tested or any(x in Box.around(abs(n.value), n.half) for x in bounds)]
    return bool(tested) and len(numbers) == len(line.sides) == len(bounded)


def _limit(context: Context, line: Line, condition: Line, meaning: Meaning) -> SenseFinding:
    """A limiting case: put the condition into the data, solve again, and look at the conclusion."""
    if len(condition.relations) != 1 or len(condition.sides) != 2:
        return SenseFinding(UNREAD, says="Give one condition, such as m_1 = m_2.", at=(0, len(line.text)), line=line)
    tried, holds = 0, True
    bases = [dict(context.setup.given)]
    if not _of_these_data(context, line, condition, meaning):
        bases.append(generic_data(context.setup, 5))
    for base in bases:
        data = _conditioned(context, condition, base, meaning)
        if data is None:
            return SenseFinding(
                UNREAD,
                says="The condition should be about the data: m_1 = m_2, theta = 90, mu_k = 0, or m_2 >> m_1.",
                at=(0, len(line.text)),
                line=line,
            )
        if base == context.setup.given and (other := _elsewhere(context, data)) is not None:
            # With these data something else happens: that decides, and the formula of this scene says nothing of it.
            if _in_the_limit(context, line, other, meaning, NEAR_LIMIT):
                return SenseFinding(RIGHT, line=line)
            formula = Ground(context.setup, data, solve_at(context.setup, data), actual=False)
            if _in_the_limit(context, line, formula, meaning, NEAR_LIMIT):
                return SenseFinding(RIGHT, line=line, remarks=(BEYOND.format(what=_happens(other.setup)),))
            return _false(f"In that limiting case something else happens: {_happens(other.setup)}.", line)
        try:
            values = solve_at(context.setup, data)
        except (ValueError, ZeroDivisionError, ArithmeticError):
            continue
        ground = Ground(context.setup, data, values, actual=False)
        tried += 1
        near = NEAR if condition.relations[0] in ("=", "≈") else NEAR_LIMIT
        if not _in_the_limit(context, line, ground, meaning, near):
            if context.setup.regime.friction and tried > 1:
                continue
            holds = False
            break
    if not holds:
        return _false("In that limiting case the result is another one: put the condition into your formula.", line)
    if not tried:
        return SenseFinding(
            UNREAD,
            says="With that condition the problem has no solution of its own; choose another limiting case.",
            at=(0, len(line.text)),
            line=line,
        )
    return SenseFinding(RIGHT, line=line)


def _of_these_data(context: Context, line: Line, condition: Line, meaning: Meaning) -> bool:
    """Whether a limiting case speaks of the scene's own data alone: it has their figures in it, or says what is larger."""
    if any(r not in ("=", "≈") for r in line.relations) or any(n.value for side in line.sides for n, _ in numbers_in(side)):
        return True
    for one, other in (condition.sides, condition.sides[::-1]):
        name, value = lonely_name(one), lonely_number(other)
        if name is not None and value is not None and value.value:
            try:
                symbol = context.scene.symbols[resolve(name.name, context, meaning)[1]]
            except KeyError:
                return False
            return symbol.kind not in ("angle", "force_angle", "mu_k", "mu_s")  # 90 degrees is a figure of no scene
    return False


def _elsewhere(context: Context, data: dict[str, Fraction]) -> Ground | None:
    """The scene solved anew with these data where something else happens than in this one: friction (a bearing's too) holds, or turns round.
    None where all goes on as here, or where the data make no scene."""
    written = {}
    for name, value in data.items():
        symbol = context.scene.symbols.get(name)
        if symbol is None or symbol.given is None or symbol.given.value == 0 or value == context.setup.given.get(name):
            continue
        value = value or symbol.given.value / LIMIT  # nothing at all is no body: next to nothing
        own = float(value * Fraction(symbol.given.text.replace(",", ".")) / symbol.given.value)  # in the datum's own unit
        written[name] = f"{own:.9g} {symbol.given.unit}"
    if not written or not _rubbing(context.setup):
        return None
    try:
        setup = derive(replace(with_data(context.scene, written), asked=(), distance=None), context.setup.positive)
    except (MechanicsError, SceneError):
        return None
    if setup.regime.moves == context.setup.regime.moves and _rubbing(setup) == _rubbing(context.setup):
        return None
    return Ground(setup, dict(setup.given), dict(setup.values), actual=False)


def _rubbing(setup: Setup) -> dict[str, tuple[str, str | None]]:
    """What each friction does, and each bearing's drag: whether it holds, and the way in which it acts."""
    drags = [(name, t) for name, e in setup.equations.items() for t in e.terms if t.kind == "drag"]
    return {**setup.regime.friction, **{f"bearing of {name}": (t.symbol, t.direction) for name, t in drags}}


def _happens(setup: Setup) -> str:
    """What happens, in words."""
    if not setup.regime.moves:
        return "friction holds it all at rest" if setup.regime.friction else "the bearing's drag holds it all at rest"
    ways = [f"the {thing_name(t)} accelerates {way(word)}" for t, word in setup.regime.direction.items() if word]
    return f"{ways[0]}, and friction is another one" if ways else "friction is another one"


def _in_the_limit(context: Context, line: Line, ground: Ground, meaning: Meaning, near: float) -> bool:
    """Whether the conclusion holds on a ground; what is small there counts as zero beside what it is with the scene's own data."""
    figures = context.figures()
    there, here = value_look(context, ground, meaning), value_look(context, context.actual, meaning)
    sides = [number_of(s, there, figures) for s in line.sides]
    sizes = [number_of(s, here, figures).size for s in line.sides]
    for (a, b), (x, y), relation in zip(pairwise(sides), pairwise(sizes), line.relations, strict=False):
        if relation in ("=", "≈"):
            if not a.meets(b, near * max(x, y, a.size, b.size)):
                return False
        elif not compare(a, relation, b):
            return False
    return True


def _at_rest(context: Context, condition: Line, data: dict[str, Fraction]) -> dict[str, Fraction] | None:
    """The data without any acceleration, where the scene gives one and the condition says that one tied to it is zero; else None."""
    number = next(filter(None, map(lonely_number, condition.sides)), None)
    given = [a for b in context.scene.bodies if (a := context.scene.symbol_of("acceleration", b)) in data]
    if not given or number is None or number.value or condition.relations[0] not in ("=", "≈"):
        return None
    return {**data, **{a: Fraction(0) for a in given if a is not None}}


def _conditioned(
    context: Context, condition: Line, data: dict[str, Fraction], meaning: Meaning
) -> dict[str, Fraction] | None:
    """The data with the condition put in; None where it is not about data."""
    left, right = lonely_name(condition.sides[0]), lonely_name(condition.sides[1])
    relation = condition.relations[0]
    name = left or right
    if name is None:
        return None
    try:
        symbol = resolve(name.name, context, meaning)[1]
    except KeyError:
        return None
    if symbol not in data:
        return _at_rest(context, condition, data) if symbol in context.accelerations else None
    other = condition.sides[1] if left is not None else condition.sides[0]
    flipped = left is None
    ground = Ground(context.setup, data, {}, actual=False)
    value = Fraction(
        number_of(other, value_look(context, ground, meaning), context.figures(0.0)).mid
    ).limit_denominator(10**9)
    if relation in (">>", "<<"):
        larger = (relation == ">>") != flipped
        value = value * LIMIT if larger else value / LIMIT
    elif relation not in ("=", "≈"):
        return None
    out = {**data, symbol: value}
    if f"sin({symbol})" in out:
        out[f"sin({symbol})"], out[f"cos({symbol})"] = sine(value), cosine(value)
    return out
