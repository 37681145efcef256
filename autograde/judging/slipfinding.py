"""Find the slip: a finished solution with one slip in it, and what to say to somebody who points at a line, names the slip, mends it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from ..errors import PluswayError
from ..mechanics.seeding import Stream
from ..reading.complaint import Complaint
from ..reading.tree import Line
from ..scene.model import Scene
from ..scene.words import thing_name, way
from .chain import follows, rows_of
from .context import Context, context_for
from .equations import meanings
from .evaluate import Unjudgeable
from .lines import Meaning, readings
from .paper import judge
from .pieces import INERTIA, pieces_of, say_force
from .planting import Candidate, Garden
from .says import force_words
from .slips import SLIPS
from .verdicts import FOLLOWS, RIGHT, SLIP, Slip, Step
from .working import Chain
from .written import Sheet, answers

MOST_CHOICES = 4
NOT_PLANTED = ("whole-system", "does-not-follow")
"""Kinds that no exercise is made of: the first is a true line, the second has no way of being made."""


class NoSlip(PluswayError):
    """No slip of the wanted kind can be planted into this scene: what was wanted, what there is."""


@dataclass(frozen=True)
class Choice:
    """A kind of slip to choose, and how the wrong line would look with it ("" where it could not happen on that line)."""

    kind: str
    means: str
    looks: str


@dataclass(frozen=True)
class Exercise:
    """A solution with one slip, at line `at`. steps: the judge's verdict on each line; right: the sheet without the slip."""

    scene: Scene
    positive: Mapping[str, str]
    kind: str
    at: int
    lines: Sheet
    steps: tuple[Step, ...]
    right: Sheet
    choices: tuple[Choice, ...]

    @property
    def slip(self) -> Slip:
        return self.steps[self.at].slips[0]


def exercise(scene: Scene, kind: str | None = None, seed: str | int = 1) -> Exercise:
    """An exercise on a scene; the same seed gives the same. kind: left out, one that fits. Raises NoSlip."""
    if kind is not None and (kind not in SLIPS or kind in NOT_PLANTED):
        raise NoSlip(f"{kind!r:.40} is no slip to be found; the kinds are {', '.join(k for k in SLIPS if k not in NOT_PLANTED)}")
    lot = Stream(f"find the slip {scene.name} {kind} {seed}")
    tried: set[str] = set()
    for directions in _directions(scene, lot):
        garden = Garden(context_for(scene, directions))
        by_kind: dict[str, list[Candidate]] = {}
        for c in garden.candidates:
            by_kind.setdefault(c.kind, []).append(c)
        tried |= set(by_kind)
        kinds = [kind] if kind else [list(by_kind)[n] for n in lot.shuffled(len(by_kind))]
        for wanted in kinds:
            group = by_kind.get(wanted, [])
            for n in lot.shuffled(len(group)):
                made = planted(garden, group[n], lot)
                if made is not None:
                    return made
    raise NoSlip(f"{scene.name}: no slip of the kind {kind!r} can be put into this scene; there are {', '.join(sorted(tried - {kind})) or 'none'}")


def planted(garden: Garden, candidate: Candidate, lot: Stream) -> Exercise | None:
    """The exercise, where the judge finds just this slip, at this line, and all else right or following; else None."""
    context = garden.context
    lines = candidate.sheet()
    steps = judged(context.scene, context.positive, lines)
    if not lines or not _sound(steps, candidate):
        return None
    choices = _choices(garden, candidate, lot)
    if len(choices) < 2:
        return None
    right = tuple(garden.right_line(n) for n in range(max(len(garden.right), candidate.at + 1)))
    return Exercise(context.scene, dict(context.positive), candidate.kind, candidate.at, lines, steps, right, choices)


def judged(scene: Scene, positive: Mapping[str, str], lines: Sheet) -> tuple[Step, ...]:
    """The judge's verdict on each line of a sheet."""
    found = {(s.step, s.item): s for s in judge(scene, answers(scene, positive, lines)).steps}
    return tuple(found[line.step, line.item] for line in lines)


def _sound(steps: tuple[Step, ...], candidate: Candidate) -> bool:
    wrong = [n for n, s in enumerate(steps) if s.verdict not in (RIGHT, FOLLOWS)]
    if wrong != [candidate.at] or any(s.verdict == FOLLOWS for s in steps[: candidate.at]):
        return False
    step = steps[candidate.at]
    return step.verdict == SLIP and [s.kind for s in step.slips] == [candidate.kind]


def _choices(garden: Garden, candidate: Candidate, lot: Stream) -> tuple[Choice, ...]:
    """The right kind among others that could have happened on the same line."""
    looks = {k: texts for k, texts in garden.lookalikes(candidate).items() if k != candidate.kind and candidate.text not in texts}
    others = list(looks)
    picked = [others[n] for n in lot.shuffled(len(others))][: MOST_CHOICES - 1]
    made = [Choice(candidate.kind, SLIPS[candidate.kind].means, candidate.text)]
    made += [Choice(k, SLIPS[k].means, looks[k][lot.below(len(looks[k]))] if looks[k] else "") for k in picked]
    return tuple(made[n] for n in lot.shuffled(len(made)))


def _directions(scene: Scene, lot: Stream) -> list[dict[str, str]]:
    """A choice of positive directions by lot, and what to try after it: the usual ones, and one thing turned."""
    usual = {t: scene.directions(t)[0] for t in scene.things}
    drawn = {t: scene.directions(t)[lot.below(2)] for t in scene.things}
    turned = [{**usual, t: scene.directions(t)[1]} for t in scene.things]
    out: list[dict[str, str]] = []
    for choice in (drawn, usual, *turned):
        if choice not in out:
            out.append(choice)
    return out


# what is said --------------------------------------------------------------------------------------------------------


def on_pointing(made: Exercise, at: int) -> tuple[bool, str]:
    """Whether this is the wrong line, and what to say to somebody who points at it."""
    step = made.steps[at]
    if at == made.at:
        carried = any(s.verdict == FOLLOWS for s in made.steps)
        return True, f"Yes: here it goes wrong. Every line above it is right{', and what is wrong below carries on from it' if carried else ''}."
    if step.verdict == FOLLOWS or (at > made.at and step.step == "working" and not step.follows_from):
        return False, "This line follows from an earlier one: it is drawn correctly from what stands above it, and only carries on what is wrong there. Look further up."
    return False, f"This line is right. {_why_right(made, at)}"


def on_naming(made: Exercise, kind: str) -> tuple[bool, str, str]:
    """Whether the slip is of this kind, what to say, and the line as it would look with the kind that was named."""
    if kind == made.kind:
        return True, f"{made.slip.says} {made.slip.why}".strip(), ""
    looks = next((c.looks for c in made.choices if c.kind == kind), "")
    if looks:
        return False, "No. With that slip the line would look different; for example so:", looks
    example = SLIPS[kind].example
    before = f" after {' and '.join(example.before)}" if example.before else ""
    return False, f"No. That slip looks different; in another problem,{before} somebody wrote, for example:", example.text


def on_mending(made: Exercise, text: str) -> tuple[bool, Step, str]:
    """Whether this line mends the solution, the judge's verdict on it, and what to say besides."""
    wrong = made.lines[made.at]
    lines = tuple(
        replace(wrong, text=text) if n == made.at else line
        for n, line in enumerate(made.lines)
        if n <= made.at or line.step == "equations"
    )
    step = judged(made.scene, made.positive, lines)[made.at]
    if step.verdict != RIGHT:
        return False, step, ""
    if wrong.step in ("ties", "working") and not _says_the_same(made, text):
        return False, step, "True, but it is not the line that belongs here: keep what this line is about, and change only what is wrong."
    ends = ", ".join(f"{line.item} = {line.text.replace('^2', '²')}" for line in made.right if line.step == "results")
    return True, step, f"Mended. With this line right, the solution ends in {ends}."


def _says_the_same(made: Exercise, text: str) -> bool:
    """Whether a true line says what the right line of this place says, given the ties."""
    context = context_for(made.scene, made.positive)
    base = Chain(context, [], []).base_rows
    readings_of = [_read(context, t) for t in (text, made.right[made.at].text)]
    try:
        for (line, meaning), (other, other_meaning) in (readings_of, reversed(readings_of)):
            rows = rows_of(other, context, other_meaning)
            if not rows or not follows(line, context, meaning, [*([] if made.lines[made.at].step == "ties" else base), *rows]):
                return False
    except (Complaint, Unjudgeable):
        return False
    return True


def _read(context: Context, text: str) -> tuple[Line, Meaning]:
    line = readings(text, context)[0]
    return line, next(iter(meanings(context, None, line)), Meaning())


def _why_right(made: Exercise, at: int) -> str:
    line, step = made.lines[at], made.steps[at]
    if line.step == "equations":
        return _why_equation(context_for(made.scene, made.positive), str(line.item))
    if line.step == "ties":
        return "What is tied keeps its length or its touch: when one thing goes a little along its plus, the other goes just so far along its own, with this sign."
    if line.step == "working":
        sources = [_source(made, label) for label in step.follows_from]
        return f"It follows from {' and '.join(sources)}." if sources else "It holds for the true values."
    if line.step == "results":
        return "Value, unit and figures are as they should be."
    return "The true values agree with it, and a wrong result could have broken it."


def _why_equation(context: Context, thing: str) -> str:
    """Each force with its direction and sign."""
    setup = context.setup
    parts = []
    for piece in pieces_of(setup, thing):
        if piece.symbol == INERTIA:
            continue
        words = force_words(setup, thing, piece.symbol)
        parts.append(f"{say_force(setup, piece.symbol)} acts {words.get('acts', '')} and enters with {words.get('enters', '')}")
    plus = setup.positive[thing]
    wheel = thing in setup.scene.wheels
    rest = (
        "no other torque acts on it, and their sum is the rotational inertia times the angular acceleration"
        if wheel
        else "no other force acts along its line, and their sum is mass times acceleration"
    )
    return f"With {way(plus)} as plus for the {thing_name(thing)}, {'; '.join(parts)}. There is nothing else: {rest}."


def _source(made: Exercise, label: str) -> str:
    """A line that the judge names, by its number on the sheet: "line 3"."""
    kind, _, rest = label.partition(" ")
    if label.startswith("equation: "):
        wanted: tuple[str, str | int] = ("equations", label.removeprefix("equation: "))
    else:
        wanted = ("working" if kind == "line" else "ties", int(rest) - 1)
    number = next((n for n, x in enumerate(made.lines, 1) if (x.step, x.item) == wanted), None)
    return f"line {number}" if number else label
