"""What each step shows, worked out from the desk: pure functions from scene, answers and verdicts to the messages' `Shown`."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from ..autograde.languages import written
from ..autograde.method import LISTS
from ..autograde.scene.given import given
from ..autograde.scene.model import Scene
from ..autograde.scene.words import DIRECTION_LABELS, thing_name, way
from .desk import Desk
from .lettered import tilts
from .meanings import meanings
from .messages import Earlier, Field, Shown
from .picture import picture
from .reading import Reader
from .words import (
    COST_BEFORE,
    FRACTION,
    WAYS_TYPED,
    force_directions,
    force_symbols,
    implication,
    letters,
    title_of,
    typed_names,
)

_EARLIER: dict[str, tuple[str, ...]] = {
    "directions": (),
    "forces": ("directions",),
    "equations": ("directions", "forces"),
    "ties": ("directions",),
    "working": ("equations", "ties"),
    "results": ("working",),
    "sense": ("results",),
}
_LAST_LINES = 3
_SENTENCES = {"says", "why", "how", "remarks"}
_FRACTION = re.compile(r"\s*(?:[-+−–]\s*)?[\d.,]+\s*[/÷]\s*(?:[-+−–]\s*)?[\d.,]+")  # no two runs of spaces side by side: they would be tried in every division
GIVEN = "given"
"""In the place of the judge's word on an answer that the lesson gives."""


def shown(desk: Desk, read: Reader, step: str, item: str | None) -> Shown:
    """All that the widget of this step shows. `item`: the thing of a force or equation widget, None for all of them."""
    scene, answers = desk.scene, desk.answers
    fields = [_field(desk, read, step, name) for name in items_of(scene, step, item)]
    return Shown(
        lesson=desk.place.lesson,
        problem=desk.problem,
        step=step,
        title=title_of(step, item),
        note=implication(scene, answers.get("directions", {})) if step == "directions" else "",
        fields=fields,
        earlier=_earlier(scene, answers, read, step, item),
        picture=dict(picture(scene)) if step == "directions" else {},
        symbols=[list(pair) for pair in force_symbols(scene)] if step == "forces" else [],
        tilts={str(f["item"]): tilts(scene, str(f["item"])) for f in fields} if step == "forces" else {},
        typed={str(f["item"]): {s: typed_names(scene, s, f["item"]) for s, *_ in force_symbols(scene)} for f in fields} if step == "forces" else {},
        settings={**desk.settings.to_json(), "decimal_comma": scene.decimal_comma},
        trouble=desk.trouble or desk.fault,
        state=state_of(fields, desk.settings.at_once),
    )


def items_of(scene: Scene, step: str, item: str | None) -> list[str | None]:
    """The items that are committed one by one in a step's widget; [None] where the whole step is one list."""
    if step in LISTS:
        return [None]
    if item is not None:
        return [item]
    return list(scene.asked if step == "results" else scene.things)


def state_of(fields: list[Field], at_once: bool) -> str:
    """blank: nothing kept yet; some: begun; slip: something to mend; done: all right; kept: all kept, to be marked later."""
    given = [f for f in fields if f["value"]]
    if not given:
        return "blank"
    if not at_once:
        return "kept" if len(given) == len(fields) else "some"
    words = {v["verdict"] for f in given for v in f["verdicts"]}
    if words & {"slip", "unread"}:
        return "slip"
    return "done" if len(given) == len(fields) and words <= {"right", "follows", GIVEN} else "some"


def _field(desk: Desk, read: Reader, step: str, item: str | None) -> Field:
    entry = desk.newest(step, item)
    value = _value(desk.answers, step, item)
    mine = [v for v in desk.verdicts() if v["step"] == step and (item is None or v["item"] == item)] if value else []
    as_shown = ({**in_own_figures(_cost_told(_fraction_told(v)), desk.scene), "reading": read.mathml(v["text"])} for v in mine)
    verdicts = [_without_names(v, desk.scene) for v in as_shown] if desk.settings.at_once else []
    if step in desk.settings.worked:
        verdicts = [_given(v, desk.as_given(step, item)) for v in verdicts]
    return Field(
        item=item,
        label=letters(desk.scene, item) if step == "results" and item else thing_name(item or ""),
        value=value,
        hints=entry.hints if entry else 0,
        verdicts=verdicts,
        options=_options(desk.scene, step, item),
        unit=desk.scene.symbols[item].unit if step == "results" and item in desk.scene.symbols else "",
        record=entry.to_json() if entry else None,
    )


def in_own_figures(verdict: dict[str, Any], scene: Scene) -> dict[str, Any]:
    """A verdict whose sentences have their numbers as the class writes them; the student's own text stays as it is."""
    if not scene.decimal_comma:
        return verdict
    out = dict(verdict)
    for key in _SENTENCES & out.keys():
        out[key] = [written(says, True) for says in out[key]] if isinstance(out[key], list) else written(out[key] or "", True)
    out["slips"] = [{**slip, **{key: written(slip[key] or "", True) for key in _SENTENCES & slip.keys()}} for slip in out["slips"]]
    return out


def _without_names(verdict: dict[str, Any], scene: Scene) -> dict[str, Any]:
    """A verdict that names things as people do, in its sources and sentences: "equation: red lantern"."""
    names = [name for name in scene.things if thing_name(name) != name]
    if not names:
        return verdict
    found = re.compile(rf"\b(?:{'|'.join(map(re.escape, names))})\b")

    def told(value: Any) -> Any:
        if isinstance(value, list):
            return [told(one) for one in value]
        return found.sub(lambda hit: thing_name(hit[0]), value) if isinstance(value, str) else value

    out = {**verdict, **{key: told(verdict[key]) for key in (_SENTENCES | {"from"}) & verdict.keys()}}
    return {**out, "slips": [{**slip, **{key: told(slip[key]) for key in _SENTENCES & slip.keys()}} for slip in verdict["slips"]]}


def _fraction_told(verdict: dict[str, Any]) -> dict[str, Any]:
    """A verdict on a result that is a right fraction, such as 49/31, says what a result looks like."""
    if verdict["step"] != "results" or not _FRACTION.match(verdict["text"]):
        return verdict
    if verdict["verdict"] not in ("right", "follows") and {s["kind"] for s in verdict["slips"]} != {"unit"}:
        return verdict
    return {**verdict, "remarks": [*verdict.get("remarks", []), FRACTION[verdict["verdict"]]]}


def _cost_told(verdict: dict[str, Any]) -> dict[str, Any]:
    """A slip beside all of its points says why it has them."""
    if verdict["verdict"] != "slip" or not verdict["of"] or verdict["points"] < verdict["of"]:
        return verdict
    return {**verdict, "remarks": [*verdict.get("remarks", []), COST_BEFORE]}


def _given(verdict: dict[str, Any], untouched: bool) -> dict[str, Any]:
    """A verdict on a step that the lesson gives: it has no points, and what stands as it was given is called so."""
    word = GIVEN if untouched and verdict["verdict"] == "right" else verdict["verdict"]
    return {**verdict, "verdict": word, "points": 0.0, "of": 0.0}


def _value(answers: Mapping[str, Any], step: str, item: str | None) -> Any:
    value = answers.get(step)
    return value if item is None or value is None else value.get(item)


def _options(scene: Scene, step: str, item: str | None) -> list[list[str]]:
    if step == "directions" and item in scene.things:
        return [[word, DIRECTION_LABELS[word]] for word in scene.directions(item)]
    if step == "forces" and item in scene.things:
        return [[*pair, "; ".join(WAYS_TYPED[pair[0]])] for pair in force_directions(scene, item)]
    return []


# --- earlier answers ---------------------------------------------------------------------------------------------------


def _earlier(scene: Scene, answers: Mapping[str, Any], read: Reader, step: str, item: str | None) -> list[Earlier]:
    """Earlier answers that this step builds on, so that nobody types or remembers a thing twice."""
    out = [Earlier(label="given", text=given(scene), mathml="")]
    if step in ("working", "results", "sense"):
        out += [Earlier(label=letter, text=says, mathml="") for letter, says in meanings(scene, answers.get("directions", {}))]
    for source in _EARLIER[step]:
        value = answers.get(source)
        if value:
            out += _SHOW[source](value, scene, read, item)
    return out


def _directions(value: Mapping[str, str], scene: Scene, read: Reader, item: str | None) -> list[Earlier]:
    return [
        Earlier(label=f"plus for the {thing_name(t)}", text=way(word), mathml="")
        for t, word in value.items()
        if item in (None, t)
    ]


def _forces(value: Mapping[str, list[list[str]]], scene: Scene, read: Reader, item: str | None) -> list[Earlier]:
    return [
        Earlier(
            label=f"your diagram of the {thing_name(t)}",
            text=", ".join(f"{letters(scene, s)} {way(d)}" for s, d in arrows),
            mathml="",
        )
        for t, arrows in value.items()
        if item in (None, t)
    ]


def _equations(value: Mapping[str, str], scene: Scene, read: Reader, item: str | None) -> list[Earlier]:
    return [Earlier(label=thing_name(t), text=line, mathml=read.mathml(line)) for t, line in value.items()]


def _lines(label: str) -> Callable[[list[str], Scene, Reader, str | None], list[Earlier]]:
    def show(value: list[str], scene: Scene, read: Reader, item: str | None) -> list[Earlier]:
        rows = [Earlier(label="", text=line, mathml=read.mathml(line)) for line in value[-_LAST_LINES:]]
        return [Earlier(label=label, text=rows[0]["text"], mathml=rows[0]["mathml"]), *rows[1:]]

    return show


def _results(value: Mapping[str, str], scene: Scene, read: Reader, item: str | None) -> list[Earlier]:
    return [Earlier(label=letters(scene, symbol), text=text, mathml="") for symbol, text in value.items()]


_SHOW: dict[str, Callable[[Any, Scene, Reader, str | None], list[Earlier]]] = {
    "directions": _directions,
    "forces": _forces,
    "equations": _equations,
    "ties": _lines("tie"),
    "working": _lines("your last lines"),
    "results": _results,
}
