"""Ties: the relations between the accelerations of things that a rope, a contact or rolling joins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..reading.complaint import Complaint
from ..reading.tree import Line
from ..scene.notation import class_letter
from .boxes import Box
from .chain import raw_look
from .context import Context
from .equations import meanings
from .evaluate import Unjudgeable, names_in
from .forms import Form
from .laws import tensions_slip
from .lines import Meaning, difference, equalities, holds_somewhere, is_symbolic, line_names, readings
from .operators import RATIO
from .says import TURNING, slip, unnamed
from .slips import SLIPS
from .verdicts import RIGHT, SLIP, UNREAD, Slip

Signed = dict[str, Box]


NO_MEANING = Meaning()


TO_ITSELF = "This ties {letter} to itself: a tie says how two different things move together."
NOT_THE_ROPES = "This is not how these things are joined. Move one thing a little along its plus and see how far, and which way, the other goes."
NOTHING_TIED = "Nothing ties these motions: no rope, no contact and no rolling joins these things, so each has an acceleration of its own."


@dataclass(frozen=True)
class TieFinding:
    verdict: str
    slips: tuple[Slip, ...] = ()
    line: Line | None = None
    meaning: Meaning = NO_MEANING
    says: str = ""
    at: tuple[int, int] | None = None
    tie: bool = False  # whether it really ties accelerations (a law such as N = m g is true, but no tie)
    badness: float = 0.0


def judge_tie(context: Context, text: str, a: tuple[int, str] | None = None) -> TieFinding:
    """The finding for one line of the ties step. a: what the letter a is, where another tie has said it."""
    try:
        lines = readings(text, context)
    except Complaint as complaint:
        return TieFinding(UNREAD, says=complaint.says, at=complaint.at)
    best: TieFinding | None = None
    for line in lines:
        for meaning in meanings(context, None, line, a):
            try:
                found = _judge(context, line, meaning)
            except Unjudgeable as problem:
                found = TieFinding(UNREAD, line=line, says=problem.says, at=(0, len(text)), badness=60)
            if best is None or found.badness < best.badness:
                best = found
    assert best is not None
    return best


def _judge(context: Context, line: Line, meaning: Meaning) -> TieFinding:
    pairs = equalities(line)
    if not pairs or line.condition is not None:
        return TieFinding(
            UNREAD,
            line=line,
            says="A tie is an equation between accelerations, such as a_1 = a_2.",
            at=(0, len(line.text)),
            badness=50,
        )
    forms = [
        _signed(difference(p, raw_look(context, meaning, given_too=True), context.figures()), context, meaning)
        for p in pairs
    ]
    plain = [f for f in forms if f is not None]
    if len(plain) < len(forms) or not plain:
        return _law(context, line, meaning)
    if all(_vanishes(context, f) for f in plain) and _generic(context, line, meaning):
        return TieFinding(RIGHT, line=line, meaning=meaning, tie=any(f for f in plain))
    if not context.setup.regime.moves and all(len(f) == 1 for f in plain) and holds_somewhere(line, context, meaning):
        return TieFinding(RIGHT, line=line, meaning=meaning)  # nothing moves: a_1 = 0
    wrong = next((f for f in plain if not _vanishes(context, f)), plain[0])
    for kinds, changed in mended(context, wrong):
        if _vanishes(context, changed):
            turned = [n for n in wrong if n in changed and (wrong[n].mid > 0) != (changed[n].mid > 0)]
            words = {"body": _bodies(context, wrong), "counted": RATIO, "other": "", "force": f"“{line.text.strip()}”"}
            if "radius" in kinds:
                words |= TURNING
            if len(wrong) > 2 and turned:
                words["turned"] = f"the term with {turned[0]}"
            slips = tuple(slip(k, words, (0, len(line.text))) for k in kinds)
            return TieFinding(
                SLIP,
                slips,
                line,
                meaning,
                tie=True,
                badness=float(len(kinds)) + sum(SLIPS[k].rank for k in kinds) / 100,
            )
    return TieFinding(
        SLIP,
        (
            unnamed(_why_no_tie(context, line)),
        ),
        line,
        meaning,
        tie=True,
        badness=5,
    )


def _why_no_tie(context: Context, line: Line) -> str:
    """What is said of a line that ties nothing as it should."""
    letters = line_names(line) & set(context.accelerations)
    if len(letters) == 1 and "a" not in line_names(line) and all(names_in(side) & letters for side in line.sides):
        return TO_ITSELF.format(letter=class_letter(context.scene, next(iter(letters))))
    return NOT_THE_ROPES if context.setup.ties else NOTHING_TIED


def _generic(context: Context, line: Line, meaning: Meaning) -> bool:
    """Whether a tie in letters also holds for other data (so that R = 0.5 m does not make a = alpha/2 a tie by chance)."""
    if not is_symbolic(line):
        return True
    try:
        return holds_somewhere(line, context, meaning)
    except Unjudgeable:
        return True


def _law(context: Context, line: Line, meaning: Meaning) -> TieFinding:
    """A line of the ties step that is about forces: true laws are welcome, but they tie nothing."""
    try:
        holds = holds_somewhere(line, context, meaning)
    except Unjudgeable:
        holds = False
    if holds:
        given = any(b.acceleration for b in context.scene.bodies.values())
        moves = any(
            context.scene.symbols[n].kind == "acceleration" for n in line_names(line) if n in context.scene.symbols
        )
        return TieFinding(RIGHT, line=line, meaning=meaning, tie=given and moves, badness=0.4)
    tensions = tensions_slip(context, line)
    if tensions is not None:
        return TieFinding(SLIP, (tensions,), line, meaning, badness=2)
    return TieFinding(
        SLIP,
        (
            unnamed(
                "A tie relates accelerations (or displacements) of things that a rope or a contact joins; this line says something else, and it is not true here."
            ),
        ),
        line,
        meaning,
        badness=6,
    )


def _signed(form: Form, context: Context, meaning: Meaning) -> Signed | None:
    """A form that is linear in accelerations alone, as {acceleration: coefficient}; None where it is not."""
    out: Signed = {}
    for k, c in form.items():
        if not k:
            if not (c.lo <= 1e-9 and c.hi >= -1e-9):
                return None
            continue
        if len(k) != 1:
            return None
        name = k[0]
        if name == "a" and meaning.a is not None:
            sign, name = meaning.a
            c = c if sign > 0 else -c
        if name not in context.accelerations:
            return None
        out[name] = out[name] + c if name in out else c
    return {n: c for n, c in out.items() if not c.is_zero()}


def _vanishes(context: Context, signed: Signed) -> bool:
    """Whether the scene's ties make it zero."""
    total: dict[tuple[str, ...], Box] = {}
    for name, c in signed.items():
        for k, x in context.actual.tied[name].items():
            part = c * Box.exact(x)
            total[k] = total[k] + part if k in total else part
    size = max((c.size for c in signed.values()), default=1.0)
    return all(c.lo <= 1e-9 * size and c.hi >= -1e-9 * size for c in total.values())


def mended(context: Context, wrong: Signed) -> Iterator[tuple[tuple[str, ...], Signed]]:
    """The line with one slip undone, then with a turned sign besides."""
    names = list(wrong)
    flips = [{**wrong, n: -wrong[n]} for n in names]
    for changed in flips:
        yield ("flipped-tie",), changed
    others = list(_rescaled(context, wrong))
    yield from others
    for kinds, changed in others:
        for n in names:
            yield (*kinds, "flipped-tie"), {**changed, n: -changed[n]}


def _rescaled(context: Context, wrong: Signed) -> Iterator[tuple[tuple[str, ...], Signed]]:
    scene = context.scene
    names = list(wrong)
    wheels = [n for n in names if scene.symbols[n].kind == "alpha"]
    if wheels:
        arms = {
            float(s.given.value)
            for s in scene.symbols.values()
            if s.kind in ("radius", "strand_radius") and s.given is not None
        }
        for n in names:
            for arm in arms:
                ratios = [arm / other for other in arms if other != arm]
                for factor in (arm, 1 / arm, arm * arm, 1 / (arm * arm), *ratios):
                    yield ("radius",), {**wrong, n: wrong[n] * Box.exact(factor)}
    arms = {float(s.given.value) for s in scene.symbols.values() if s.kind in ("radius", "strand_radius") and s.given is not None}
    if len(arms) > 1 and not wheels:  # two ropes on one wheel, each at a radius of its own: the ratio is theirs
        for n in names:
            for factor in {x / y for x in arms for y in arms if x != y}:
                yield ("radius",), {**wrong, n: wrong[n] * Box.exact(factor)}
                yield ("radius",), {**wrong, n: wrong[n] * Box.exact(factor * factor)}
    if len(names) >= 2:
        if len(names) == 2:
            a, b = names
            yield ("strand-count",), {a: _like(wrong[b], wrong[a]), b: _like(wrong[a], wrong[b])}
        for n in names:
            for factor in (2.0, 0.5, 3.0, 1 / 3, 4.0, 0.25):
                yield ("strand-count",), {**wrong, n: wrong[n] * Box.exact(factor)}


def _like(size: Box, sign: Box) -> Box:
    """The size of one coefficient with the sign of another."""
    return size if (size.mid > 0) == (sign.mid > 0) else -size


def _bodies(context: Context, signed: Signed) -> str:
    things = [context.scene.symbols[n].thing or "" for n in signed]
    return " and the ".join(things) if things else "thing"
