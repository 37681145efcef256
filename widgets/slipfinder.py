"""Find the slip: a finished solution with one wrong line; the student points at it, names what is wrong, and mends it.

>>> Problem("feed-sack").find_slip(seed=3)                       # doctest: +SKIP

What was done is kept in the journal under the step `found`, one item for each exercise, and is never marked.
"""

from __future__ import annotations

from typing import Any
from weakref import WeakKeyDictionary
from zlib import crc32

from ..autograde.judging.slipfinding import NOT_PLANTED, Exercise, NoSlip, exercise, on_mending, on_naming, on_pointing
from ..autograde.judging.slips import SLIPS
from ..autograde.judging.verdicts import Step
from ..autograde.languages import written
from ..autograde.method import step_title
from ..autograde.records.answers import FOUND
from ..autograde.scene.given import given
from ..autograde.scene.words import thing_name, way
from .desk import Desk
from .messages import Earlier, Field, Hunt, HuntRow, Remark
from .reading import Reader
from .shown import in_own_figures
from .static import esm
from .steps import Served

_LABELS = {"ties": "Tie", "results": "Result", "sense": "Check"}  # of one line; else as the step is called
_NOTHING = Remark(good=False, says="", text="", mathml="")


class SlipFinder(Served):
    """One exercise. `kind`: a kind of slip, None for one that the seed draws. Raises NoSlip."""

    step = FOUND
    _esm = esm("slipfinder")

    def __init__(self, desk: Desk, kind: str | None = None, seed: str | int = 1) -> None:
        self.exercise = exercise(desk.scene, kind, seed)
        super().__init__(desk, Reader(desk.vocabulary, desk.settings.language), name_of(kind, seed))

    def view(self) -> dict[str, Any]:
        desk, made, item = self._desk, self.exercise, str(self._item)
        entry = desk.newest(FOUND, item)
        value = entry.value if entry else None
        hunt = hunt_of(made, value, self._reader)
        plus = [
            Earlier(label=f"plus for the {thing_name(t)}", text=way(word), mathml="")
            for t, word in made.positive.items()
        ]
        field = Field(item=item, label="", value=value, hints=0, verdicts=[], options=[], unit="", record=entry.to_json() if entry else None)
        return {
            "lesson": desk.place.lesson, "problem": desk.problem, "step": FOUND, "title": f"Find the slip: {desk.scene.title}", "note": "",
            "fields": [field], "earlier": [Earlier(label="given", text=given(desk.scene), mathml=""), *plus], "picture": {}, "symbols": [], "tilts": {}, "typed": {},
            "settings": {**desk.settings.to_json(), "decimal_comma": desk.scene.decimal_comma, "verdicts": "at once", "hints": False, "worked": []}, "trouble": desk.trouble or desk.fault,
            "state": {"point": "some" if value else "blank", "done": "done"}.get(hunt["stage"], "some"), "hunt": hunt,
        }  # fmt: skip


_made: WeakKeyDictionary[Desk, dict[str, SlipFinder]] = WeakKeyDictionary()


def slip_finder(desk: Desk, kind: str | int | None, seed: str | int) -> SlipFinder:
    """The exercise of a desk: one model, however often its cell is run. `kind`: its name or its number. Raises NoSlip."""
    kind = kind_of(kind) if isinstance(kind, int) else kind
    mine = _made.setdefault(desk, {})
    name = name_of(kind, seed)
    if name not in mine:
        mine[name] = SlipFinder(desk, kind, seed)
    return mine[name]


def number_of(kind: str) -> int:
    """The number that stands for a kind of slip in a lesson's cell, where its name would give the answer away."""
    return 100 + crc32(kind.encode()) % 900


def kind_of(number: int) -> str:
    """The kind that a number stands for. Raises NoSlip."""
    found = [kind for kind in SLIPS if kind not in NOT_PLANTED and number_of(kind) == number]
    if not found:
        raise NoSlip(f"{number} stands for no kind of slip; leave it out, and the seed draws one")
    return found[0]


def name_of(kind: str | None, seed: str | int) -> str:
    """The exercise's name in the journal."""
    return f"{kind or 'any'} {seed}"[:100]


def hunt_of(made: Exercise, value: Any, read: Reader) -> Hunt:
    """How far the hunt has come with [line, kind, mended line], each "" where not yet given, and what is said of it."""
    place, kind, text = (str(x) for x in [*(value if isinstance(value, list) else []), "", "", ""][:3])
    at = int(place) if place.isascii() and place.isdigit() and int(place) < len(made.lines) else None
    pointed = named = mended = _NOTHING
    verdict: dict[str, Any] | None = None
    stage = "point"
    if at is not None:
        good, says = on_pointing(made, at)
        pointed = _remark(made, read, good, says)
        stage = "name" if good else "point"
    if stage == "name" and any(c.kind == kind for c in made.choices):
        good, says, looks = on_naming(made, kind)
        named = _remark(made, read, good, says, looks)
        stage = "mend" if good else "name"
    if stage == "mend" and text.strip():
        good, step, says = on_mending(made, text)
        mended = _remark(made, read, good, says)
        verdict = _shown(made, step, read)
        stage = "done" if good else "mend"
    return Hunt(
        stage=stage, story=made.scene.story.strip(), rows=[_row(made, n, read) for n in range(len(made.lines))],
        choices=[[c.kind, c.means] for c in made.choices], at=at, kind=kind, text=text, pointed=pointed, named=named, mended=mended,
        verdict=verdict,
    )  # fmt: skip


def _row(made: Exercise, n: int, read: Reader) -> HuntRow:
    line = made.lines[n]
    text = written(f"{line.item} = {line.text}" if line.step == "results" else line.text, made.scene.decimal_comma)
    return HuntRow(label=_LABELS.get(line.step) or step_title(line.step, thing_name(str(line.item))), text=text, mathml=read.mathml(text))


def _remark(made: Exercise, read: Reader, good: bool, says: str, line: str = "") -> Remark:
    """A remark with its numbers as the class writes them."""
    looks = written(line, made.scene.decimal_comma)
    return Remark(good=good, says=written(says, made.scene.decimal_comma), text=looks, mathml=read.mathml(looks))


def _shown(made: Exercise, step: Step, read: Reader) -> dict[str, Any]:
    """A verdict as the steps show it, without points: nothing is marked here."""
    return {**in_own_figures(step.to_json(), made.scene), "of": 0.0, "points": 0.0, "from": [], "reading": read.mathml(step.text)}
