"""One letter a in several equations: whose acceleration is it, and may it be that of all?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..reading.tree import Name, Node, parts_of
from ..scene.notation import class_letter
from ..scene.words import thing_name, way
from .context import Context
from .equations import Finding, judge_equation
from .lines import line_names
from .says import slip
from .ties import judge_tie
from .verdicts import RIGHT, SLIP


def a_in_ties(context: Context, ties: Sequence[str]) -> tuple[int, str] | None:
    """Whose acceleration, and with which sign, the ties say that the letter a is: a_1 = a, a_2 = -a. None where the scene settles
    it (all accelerations have one sign), or no right tie says so."""
    if context.setup.shared:
        return None
    for text in ties:
        found = judge_tie(context, text) if text.strip() else None
        if found is None or found.verdict != RIGHT or found.line is None:
            continue
        if found.meaning.a is not None and line_names(found.line) - {"a"}:
            return found.meaning.a
    return None


def consistent_a(context: Context, texts: Mapping[str, str], found: dict[str, Finding]) -> dict[str, Finding]:
    """Where sizes differ, one letter a has to mean the same body's acceleration in all equations: take the body that fits best."""
    users = [t for t, f in found.items() if f.used_a is not None]
    if context.setup.shared or context.setup.size_of or len(users) < 2:
        return found
    best: tuple[float, dict[str, Finding]] | None = None
    for symbol in [s.name for s in context.scene.symbols.values() if s.kind == "acceleration"]:
        trial = {t: judge_equation(context, t, texts[t], (1, symbol)) if t in users else f for t, f in found.items()}
        badness = sum(f.badness for f in trial.values())
        if best is None or badness < best[0]:
            best = (badness, trial)
    return {t: _of_another_size(context, t, f) for t, f in best[1].items()} if best else found


def _of_another_size(context: Context, thing: str, f: Finding) -> Finding:
    """One letter a for accelerations of several sizes: told as that, for no other body's letter was written."""
    own = context.scene.symbol_of("acceleration", thing)
    if f.used_a is None or own in (None, f.used_a[1]) or [s.kind for s in f.slips] != ["other-body"]:
        return f
    says = (
        f"One letter a stands for the acceleration of the {thing_name(thing)} and for another one, but they are not of one size: "
        f"give the {thing_name(thing)} its own, {own}, and a tie to the other."
    )
    return replace(f, slips=(replace(f.slips[0], says=says, how="Move one thing a little: how far does the other go? That is the tie."),))


def as_the_ties_say(
    context: Context, texts: Mapping[str, str], found: dict[str, Finding], a: tuple[int, str] | None
) -> tuple[dict[str, Finding], frozenset[str]]:
    """The findings, and the things whose equation is right with the letter a as the ties have it: T - m_2 g = -m_2 a beside a_2 = -a."""
    if a is None:
        return found, frozenset()
    out = dict(found)
    for thing, f in found.items():
        if f.used_a not in (None, a) and (with_it := judge_equation(context, thing, texts[thing], a)).verdict == RIGHT:
            out[thing] = with_it
    return out, frozenset(t for t, f in out.items() if f.verdict == RIGHT and f.used_a == a)


def clashes(context: Context, found: dict[str, Finding], settled: frozenset[str] = frozenset()) -> dict[str, Finding]:
    """One letter a in several equations although the chosen directions give opposite signs: the later one is told.
    settled: things whose equation is right with what the ties say of a."""
    if context.setup.shared or not context.setup.size_of:
        return found
    signs: dict[int, str] = {}
    out = dict(found)
    for thing, f in found.items():
        if f.used_a is None:
            continue
        sign = f.used_a[0] * context.setup.size_of.get(f.used_a[1], 1)
        other = next((t for s, t in signs.items() if s != sign), None)
        signs.setdefault(sign, thing)
        foreign = f.used_a[1] != context.scene.symbol_of("acceleration", thing) and thing in context.scene.bodies
        earlier = next(iter(signs.values())) if foreign and next(iter(signs.values())) != thing else None
        if thing in settled or (other is None and earlier is None) or f.verdict not in (RIGHT, SLIP):
            continue
        rival = other or earlier or thing
        words = {
            "body": thing_name(thing),
            "plus": way(context.setup.positive[thing]),
            "other": f"{way(context.setup.positive[rival])} for the {thing_name(rival)}",
        }
        clash = slip("clashing-directions", words, place_of_a(f), "a")
        only_turned = f.verdict == SLIP and [s.kind for s in f.slips] == ["flipped-inertia"]
        if only_turned or (f.verdict == RIGHT and foreign):  # the minus is there: only the letter is missing
            own = class_letter(context.scene, context.scene.symbol_of("acceleration", thing) or "a")
            says = f"It is right if a is the acceleration of the {thing_name(rival)}; that of the {thing_name(thing)} has the opposite sign with your directions, and needs a letter of its own."
            clash = replace(clash, says=says, how=f"Write {own} here, and say in a tie how it goes with the other.")
        keep = () if f.verdict == RIGHT else tuple(s for s in f.slips if s.kind not in ("flipped-inertia",))
        out[thing] = Finding(
            SLIP,
            (clash, *keep),
            f.line,
            f.used_a,
            f.remarks,
            f.method,
            f.whole_system,
            f.wrong_g,
            f.says,
            f.at,
            1.0,
        )
    return out


def place_of_a(f: Finding) -> tuple[int, int] | None:
    def find(node: Node) -> tuple[int, int] | None:
        if isinstance(node, Name):
            return node.at if node.name == "a" else None
        return next((at for part in parts_of(node) if (at := find(part)) is not None), None)

    if f.line is None:
        return None
    return next((at for side in f.line.sides if (at := find(side)) is not None), (0, len(f.line.text)))
