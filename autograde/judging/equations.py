"""Newton's second law of one thing: is the student's line that equation, and if not, which slip made it what it is?

A competition, not a tolerance: the true equation and what every slip would make of it compete for the line within the half-units of
the figures that the student wrote.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from ..reading.complaint import Complaint
from ..reading.tree import Line
from ..scene.words import thing_name
from .context import Context
from .evaluate import Unjudgeable
from .evidence import against, excluded
from .lines import (
    Meaning,
    Places,
    equalities,
    line_names,
    places_for,
    pressing,
    readings,
)
from .locate import locate
from .matcher import LOOSE, LOOSER, STRICT, WIDE, Matcher
from .misread import misread
from .operators import IN_FRICTION, OF_THE_RIGHT_KIND
from .pieces import INERTIA, Variant, pieces_of
from .says import either, force_words, slip
from .slips import SLIPS
from .term_by_term import TURNED, WHOLE, Account, Accounting
from .unnamed import (
    other_shape,
    side_relation,
    turned_whole,
    unexplained,
    whole_force,
    without_inertia,
    without_inertia_too,
)
from .verdicts import RIGHT, SLIP, UNREAD, Slip


@dataclass(frozen=True)
class Finding:
    """What one line in the place of one thing's equation turned out to be.

    verdict: right, slip, unread. line: the reading that was judged. slips: in the order of the line. used_a: what the bare letter
    a was taken for. tilt: how the angle of a pressing force was. rank: for choosing among readings. method: whether the method mark is earned.
    """

    verdict: str
    slips: tuple[Slip, ...] = ()
    line: Line | None = None
    used_a: tuple[int, str] | None = None
    remarks: tuple[str, ...] = ()
    method: bool = False
    whole_system: bool = False
    wrong_g: Fraction | None = None
    says: str = ""
    at: tuple[int, int] | None = None
    badness: float = 0.0
    tilt: int = 1


def judge_equation(context: Context, thing: str, text: str, a_for: tuple[int, str] | None = None) -> Finding:
    """The finding for a text in the place of a thing's equation. Several equations may be joined by ';' or line ends: one of
    them has to be the thing's own, the others true. a_for: what the bare letter a means, where that is settled."""
    pieces = [p for p in text.replace("\r", "\n").replace(";", "\n").split("\n") if p.strip()]
    if len(pieces) > 1:
        return _several(context, thing, text, pieces, a_for)
    try:
        lines = readings(text, context)
    except Complaint as complaint:
        return Finding(UNREAD, says=complaint.says, at=complaint.at)
    best: Finding | None = None
    for line in lines:
        for meaning in meanings(context, thing, line, a_for):
            found = replace(_judge_line(context, thing, line, meaning), tilt=meaning.tilt)
            if best is None or found.badness < best.badness:
                best = found
            if best.verdict == RIGHT:
                return best
    assert best is not None
    return best


def _several(context: Context, thing: str, text: str, pieces: list[str], a_for: tuple[int, str] | None) -> Finding:
    """One of several lines must be the equation; a line that is another true relation is passed over."""
    found = []
    start = 0
    for piece in pieces:
        start = text.index(piece, start)
        found.append(_shift(judge_equation(context, thing, piece, a_for), start))
        start += len(piece)
    own = [f for f in found if f.verdict == RIGHT]
    wrong = [f for f in found if f.verdict != RIGHT and not f.whole_system and not _is_side(f)]
    if own and not wrong:
        return own[0]
    return min(wrong or found, key=lambda f: f.badness)


def _is_side(f: Finding) -> bool:
    return f.verdict == SLIP and f.badness == SIDE


SIDE = 2.5  # a true relation that is not the equation of motion


def _shift(f: Finding, by: int) -> Finding:
    def moved(at: tuple[int, int] | None) -> tuple[int, int] | None:
        return (at[0] + by, at[1] + by) if at else None

    return replace(f, slips=tuple(replace(s, at=moved(s.at)) for s in f.slips), at=moved(f.at))


def meanings(
    context: Context, thing: str | None, line: Line | None, a_for: tuple[int, str] | None = None
) -> Iterator[Meaning]:
    """What the letters of a line can stand for: the bare a, and the angle of a force that presses into a surface."""
    every = list(_of_a(context, thing, line, a_for))
    yield from every
    if line is not None and pressing(context) & line_names(line):
        yield from (replace(m, tilt=-1) for m in every)


def _of_a(context: Context, thing: str | None, line: Line | None, a_for: tuple[int, str] | None) -> Iterator[Meaning]:
    """What the bare letter a can stand for: the one that all share, else the thing's own, else any body's."""
    if line is not None and "a" not in line_names(line):
        yield Meaning(thing)
        return
    if a_for is not None:
        yield Meaning(thing, a_for)
        return
    if context.setup.shared:
        yield Meaning(thing, (1, next(iter(context.setup.shared))))
        return
    scene = context.scene
    own = scene.symbol_of("acceleration", thing) if thing in scene.bodies else None
    if own:
        yield Meaning(thing, (1, own))
        if context.setup.size_of:
            return  # sizes are equal, signs are not: a can only be its own
    for name in [s.name for s in scene.symbols.values() if s.kind == "acceleration" and s.name != own]:
        yield Meaning(thing, (1, name))
        if not own and context.setup.size_of:
            yield Meaning(thing, (-1, name))
    if not any(s.kind == "acceleration" for s in scene.symbols.values()):
        yield Meaning(thing)


def _judge_line(context: Context, thing: str, line: Line, meaning: Meaning) -> Finding:
    if line.condition is not None or not equalities(line):
        what = "an inequality" if line.relations else "no equals sign"
        return Finding(
            UNREAD,
            line=line,
            says=f"This has {what}; an equation of motion says: sum of the forces = mass times acceleration.",
            at=(0, len(line.text)),
            badness=50,
        )
    if thing not in context.setup.equations:
        return Finding(
            UNREAD,
            line=line,
            says=f"What moves the {thing_name(thing)} is not part of this problem, so it has no equation of its own here.",
            at=(0, len(line.text)),
            badness=50,
        )
    try:
        return _compete(context, thing, line, meaning)
    except Unjudgeable as problem:
        return Finding(UNREAD, line=line, says=problem.says, at=(0, len(line.text)), badness=60)


def _compete(context: Context, thing: str, line: Line, meaning: Meaning) -> Finding:
    """The best finding over the sets of grounds on which the line may be held."""
    found = [_compete_on(context, thing, line, meaning, places) for places in places_for(line, context)]
    return min(found, key=lambda f: f.badness)


def _compete_on(context: Context, thing: str, line: Line, meaning: Meaning, places: Places) -> Finding:
    used_a = meaning.a if "a" in line_names(line) else None
    stray = _stray(context, thing, meaning)
    matcher = Matcher(context, thing, line, meaning, places)
    if matcher.true(STRICT):
        return Finding(RIGHT, line=line, used_a=used_a, badness=stray, remarks=matcher.advice(), method=True)
    singles = [(v, d) for v, d in context.variants(thing) if not excluded(line, context, thing, meaning, v)]
    hits = matcher.fitting(singles, STRICT)
    rounded = matcher.true(LOOSE)  # 2030 is as often 2034 to three figures as it is 2030
    if hits and not rounded:
        return _named(context, thing, line, meaning, hits, used_a, 1.0 + stray)
    if rounded or matcher.true(LOOSER):
        return Finding(RIGHT, line=line, used_a=used_a, badness=0.5 + stray, method=True)
    g = matcher.other_g()
    if g is not None:
        return Finding(SLIP, (wrong_g(context, g),), line, used_a, method=True, wrong_g=g, badness=1.2 + stray)
    true_elsewhere = matcher.true_for_all()
    if true_elsewhere == "whole":
        words = force_words(context.setup, thing, None)
        return Finding(
            SLIP,
            (slip("whole-system", words, (0, len(line.text))),),
            line,
            used_a,
            method=True,
            whole_system=True,
            badness=1.3 + stray,
        )
    if true_elsewhere == "turned":
        return Finding(SLIP, turned_whole(context, thing, line), line, used_a, badness=1.3 + stray)
    if true_elsewhere == "side":
        return Finding(SLIP, (side_relation(thing),), line, used_a, badness=SIDE + stray)
    if matcher.true(WIDE):
        return Finding(
            RIGHT,
            line=line,
            used_a=used_a,
            badness=0.6 + stray,
            method=True,
            remarks=("A figure is off by one in its last place; keep one more figure.",),
        )
    loose = matcher.fitting(singles, LOOSE) or matcher.fitting(singles, LOOSER)
    if loose:
        return _named(context, thing, line, meaning, loose, used_a, 1.1 + stray)
    if matcher.balance():
        return Finding(SLIP, (without_inertia(context, thing, line),), line, used_a, badness=1.4 + stray)
    shape = matcher.other_shape()
    if shape:
        return Finding(SLIP, (other_shape(thing, line, shape),), line, used_a, method=True, badness=1.4 + stray)
    whole = matcher.whole_force()
    if whole is not None:
        return Finding(SLIP, (whole_force(thing, line, whole),), line, used_a, badness=1.4 + stray)
    plain = matcher.kilo()
    if plain is not None:
        bare, says = plain
        return Finding(SLIP, (slip("arithmetic", {"wrote": bare.text}, bare.at, bare.text, says),), line, used_a, method=True, badness=1.4 + stray)
    copied = misread(line, context, lambda other: Matcher(context, thing, other, meaning, places).true(STRICT)) if len(places) == 1 else None
    if copied is not None:
        return Finding(SLIP, (copied,), line, used_a, method=True, badness=1.45 + stray)
    number = matcher.one_number()
    if number is not None:
        return Finding(SLIP, (number,), line, used_a, method=True, badness=1.5 + stray)
    account = Accounting(context, thing, line, meaning, places).best()
    if account is not None:
        slips = _accounted(context, thing, line, meaning, account)
        return Finding(SLIP, slips, line, used_a, method=all(s.kind in SLIPS and SLIPS[s.kind].condoned for s in slips), badness=1.9 + 0.1 * len(slips) + stray)
    pairs = matcher.fitting(context.doubles(thing), STRICT)
    if pairs:
        return _named(context, thing, line, meaning, pairs, used_a, 2.0 + stray)
    still = matcher.slipped_balance(singles)
    if still:
        found = _named(context, thing, line, meaning, still, used_a, 2.1 + stray)
        return replace(found, slips=(without_inertia_too(context, thing, line, found.slips[0]),), method=False)
    number = matcher.one_number(far=True)
    if number is not None:
        return Finding(SLIP, (number,), line, used_a, method=True, badness=2.2 + stray)
    return Finding(SLIP, (unexplained(context, thing, line, meaning),), line, used_a, badness=5 + stray)


def _stray(context: Context, thing: str, meaning: Meaning) -> float:
    """A little against readings in which a is not the thing's own."""
    own = context.scene.symbol_of("acceleration", thing)
    return 0.0 if meaning.a is None or context.setup.shared or meaning.a == (1, own) else 0.3


def wrong_g(context: Context, g: Fraction) -> Slip:
    """The slip of another value of g than the scene's."""
    scene_g = context.scene.g
    said = slip("arithmetic", {"wrote": "the value of g"}, None, "g")
    return replace(
        said,
        says=f"You worked with g = {float(g):g} m/s^2; this problem gives g = {scene_g.text} {scene_g.unit}. The rest of the line is as it should be, and the wrong g costs once only.",
        why="Whatever g is where you are: the data of a problem go together.",
        how=f"Use g = {scene_g.text} {scene_g.unit}.",
    )


def _named(
    context: Context,
    thing: str,
    line: Line,
    meaning: Meaning,
    hits: list[Variant],
    used_a: tuple[int, str] | None,
    badness: float,
) -> Finding:
    """A finding from the variants that fit: fewest slips, then the commonest; an equally small rival is told."""
    ordered = sorted(
        hits,
        key=lambda v: (
            len(v.kinds),
            against(line, context, thing, meaning, v),
            sum(SLIPS[k].rank for k in v.kinds),
            _named_apart(line, v),
            _not_written(context, line, v),
        ),
    )
    best = ordered[0]
    rivals: list[Variant] = []
    for v in ordered[1:]:
        if against(line, context, thing, meaning, v) > against(line, context, thing, meaning, best):
            continue
        if (
            len(v.kinds) == len(best.kinds)
            and set(v.kinds) != set(best.kinds)
            and set(v.kinds) not in [set(r.kinds) for r in rivals]
        ):
            rivals.append(v)
    slips = []
    for part in best.parts or (best,):
        slips.extend(_slips_of(context, thing, line, meaning, part))
    if rivals and len(best.kinds) == 1:
        slips[0] = either(slips[0], rivals[0].kinds[0])
    condoned = all(SLIPS[k].condoned for k in best.kinds) or best.tag in (OF_THE_RIGHT_KIND, IN_FRICTION)
    return Finding(SLIP, tuple(slips), line, used_a, method=condoned, badness=badness)


def _accounted(context: Context, thing: str, line: Line, meaning: Meaning, account: Account) -> tuple[Slip, ...]:
    """The slips of a line taken term by term, in its order; what is missing comes last."""
    single = {(v.kinds[0], n): v for v, _ in context.variants(thing) for n in v.touched if len(v.touched) == 1 and v.kinds[0] in TURNED}
    out: list[Slip] = []
    for t in account.taken:
        if t.variant is not None and t.variant.tag == WHOLE:
            out.append(whole_force(thing, line, t.variant.term or ""))
        elif t.variant is not None:
            out.extend(replace(s, at=t.term.at) for s in _slips_of(context, thing, line, meaning, t.variant))
        if t in account.turned:
            flip = next(v for kind in TURNED[:3] if (v := single.get((kind, t.piece))) is not None)
            out.extend(replace(s, at=t.term.at) for s in _slips_of(context, thing, line, meaning, flip))
    for n in account.missing:
        gone = single.get(("missing-force", n))
        if gone is None:
            return (without_inertia_too(context, thing, line, out[0]) if out else without_inertia(context, thing, line),)
        out.extend(_slips_of(context, thing, line, meaning, gone))
    return tuple(out)


def _named_apart(line: Line, v: Variant) -> int:
    return 0 if v.term in line_names(line) else 1


def _not_written(context: Context, line: Line, v: Variant) -> int:
    """How many letters of what a variant changes the line has not: I alpha R is a radius too many, though I a_1 is the same."""
    written = line_names(line)
    if "a" in written:
        written |= set(context.accelerations)
    return len(v.delta.symbols - written)


def _slips_of(context: Context, thing: str, line: Line, meaning: Meaning, variant: Variant) -> list[Slip]:
    pieces = pieces_of(context.setup, thing)
    out = []
    for kind in variant.kinds:
        words = {**force_words(context.setup, thing, variant.term), **variant.words}
        touched = [n for n in variant.touched if n >= 0]
        new = variant.delta
        if len(touched) == 1:
            new = pieces[touched[0]].poly + variant.delta
        elif touched:
            new = pieces[touched[0]].poly
        at = locate(line, context, meaning, None if variant.term == INERTIA else variant.term, new)
        if kind in ("missing-force", "whole-system"):
            at = (0, len(line.text))
        term = variant.term
        if term == INERTIA:
            term = words["inertia"]
        if kind == "clashing-directions":
            continue
        out.append(slip(kind, words, at or (0, len(line.text)), term))
    return out
