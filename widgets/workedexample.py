"""`WorkedExample`: a scene's worked solution, whose positive directions the reader flips and which rewrites itself.

>>> WorkedExample("feed-sack")                          # doctest: +SKIP
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import traitlets

from ..autograde.errors import PluswayError
from ..autograde.languages import written
from ..autograde.mechanics.agreeing import agreeing_directions
from ..autograde.mechanics.setup import Setup
from ..autograde.mechanics.steps import WorkedLine, WorkedStep
from ..autograde.mechanics.wording import poly_text, rounded
from ..autograde.mechanics.worked import Worked, solution_json, unit_of, work
from ..autograde.reading import Vocabulary
from ..autograde.reading.greek import GREEK
from ..autograde.scene import as_in_class
from ..autograde.scene.given import given
from ..autograde.scene.model import Scene
from ..autograde.scene.words import DIRECTION_LABELS, thing_name, way
from .answering import Answering, Message, Service
from .picture import picture
from .place import find_place
from .problem import scene_from
from .reading import Reader
from .settings import settings_from
from .static import esm

__all__ = ["WorkedExample", "rewritten"]

_GREEK_WORD = re.compile(rf"\b(?:{'|'.join(GREEK)})(?=\b|_)")

LATER = ("limits", "energy")
"""Steps that are folded away at first: further checks."""


TABLED = ("directions", "forces")
"""Steps whose lines stand in the buttons and in the tables of signs."""


class WorkedExample(Answering):
    """`scene`: the name of a scene that ships, a path to a scene file, its TOML text, or a Scene. Its letters and its decimal mark are those
    that the notebook's settings give the class; `settings` are stronger. Raises SceneError, MechanicsError, SettingsError.

    A message from the browser: {kind: "choose", id, thing, word}, answered by {kind: "chosen", id}. `shown` is all the
    state there is (see `static/workedexample.js`); its `note` says what the last choice has changed, and what it has not.
    """

    _esm = esm("workedexample")
    shown = traitlets.Dict().tag(sync=True)

    def __init__(self, scene: str | Scene, settings: Mapping[str, Any] | None = None) -> None:
        found = scene if isinstance(scene, Scene) else scene_from(scene)
        stored = find_place(found.name).metadata.get("settings")
        chosen = settings_from(stored if isinstance(stored, Mapping) else {}, settings or {})
        self._scene = as_in_class(found, chosen.to_json())
        self._reader = Reader(Vocabulary.of(self._scene), chosen.language)
        self._worked = work(self._scene, agreeing_directions(self._scene))
        super().__init__(shown=_shown(self._worked, self._reader, ""))

    def choose(self, thing: str, word: str) -> None:
        """Make `word` the positive direction of `thing`, and write the solution anew. Raises PluswayError for other words."""
        if thing not in self._scene.things or word not in self._scene.directions(thing):
            raise PluswayError(f"{self._scene.name}: {word!r:.40} is no direction of {thing!r:.40}; the solution stays as it is")
        before = self._worked
        self._worked = work(self._scene, {**before.setup.positive, thing: word})
        self.shown = _shown(self._worked, self._reader, rewritten(before.setup, self._worked.setup, thing))

    def services(self) -> Mapping[str, Service]:
        return {**super().services(), "choose": self._choose}

    def _choose(self, message: Message) -> Message:
        self.choose(str(message.get("thing")), str(message.get("word")))
        return {"kind": "chosen"}


def rewritten(before: Setup, after: Setup, thing: str) -> str:
    """What the flip of one thing's direction has changed in the solution, and what it has not, in three or four sentences."""
    if before.positive[thing] == after.positive[thing]:
        return ""
    name, word = thing_name(thing), DIRECTION_LABELS[after.positive[thing]]
    said = [f"Plus for the {name} is now {word}."]
    old, new = (solution_json(setup.scene, setup.positive) for setup in (before, after))
    if thing in after.equations:
        torques = "torque" if thing in after.scene.wheels else "force"
        said.append(f"In its equation every {torques} has turned its sign.")
    if len(before.shared) > 1 and not after.shared:
        said.append("The directions no longer agree with the ropes and contacts: each body has an acceleration of its own.")
    elif len(after.shared) > 1 and not before.shared:
        said.append("The directions agree with the ropes and contacts again: one letter a does for all bodies.")
    elif old["ties"] != new["ties"]:
        said.append("The ties have turned their signs with it.")
    values = [(s, before.values[s], after.values[s]) for s in after.unknowns if s in before.values and s in after.values]
    turned = [f"{GREEK.get(s, s)} is now {_size(after, s)}" for s, b, a in values if a != b]
    same = [GREEK.get(s, s) for s, b, a in values if a == b]
    said += [f"{'; '.join(turned)}."] if turned else []
    said += [f"{_listed(same)} {'stays as it was' if len(same) == 1 else 'stay as they were'}."] if same else []
    said.append("The motion is the same.")
    return " ".join(said)


def _shown(worked: Worked, reader: Reader, note: str) -> dict[str, Any]:
    setup, scene = worked.setup, worked.setup.scene
    return {
        "heading": f"{scene.title}: the solution",
        "given": given(scene),
        "note": note,
        "picture": dict(picture(scene)),
        "things": [
            {"name": thing, "label": thing_name(thing), "chosen": setup.positive[thing],
             "options": [[word, DIRECTION_LABELS[word]] for word in scene.directions(thing)]}
            for thing in scene.things
        ],
        "signs": [_signs(setup, thing, reader) for thing in setup.equations],
        "steps": [_step(step, reader, scene.decimal_comma) for step in worked.steps],
    }  # fmt: skip


def _signs(setup: Setup, thing: str, reader: Reader) -> dict[str, Any]:
    """The forces on a thing (the torques on a wheel) with the signs that its positive direction gives them; those across its line
    have none."""
    rows = [
        {"symbol": term.symbol, "points": way(term.direction), "sign": "+" if term.sign > 0 else "\N{MINUS SIGN}",
         "enters": poly_text(term.poly), "mathml": reader.mathml(poly_text(term.poly))}
        for term in setup.equations[thing].terms
    ]  # fmt: skip
    seen = {row["symbol"] for row in rows}
    balance = setup.balances.get(thing)
    for symbol, word, _, _ in balance.terms if balance else ():
        if symbol not in seen and setup.values.get(symbol) != 0:
            rows.append({"symbol": symbol, "points": way(word), "sign": "", "enters": "", "mathml": ""})
    return {"thing": thing_name(thing), "plus": DIRECTION_LABELS[setup.positive[thing]], "wheel": thing in setup.scene.wheels, "rows": rows}


def _step(step: WorkedStep, reader: Reader, comma: bool) -> dict[str, Any]:
    lines = [] if step.step in TABLED else [_line(line, reader, comma) for line in step.lines]
    return {"step": step.step, "title": step.title, "says": written(_greek(step.says), comma), "lines": lines, "later": step.step in LATER}


def _line(line: WorkedLine, reader: Reader, comma: bool) -> dict[str, str]:
    mathml = reader.mathml(written(line.with_unit, comma)) if line.kind == "math" else ""
    text = line.with_unit if line.kind == "math" else _greek(line.text).replace("^2", "²").replace(" -", " \N{MINUS SIGN}")
    return {"text": written(text, comma), "mathml": mathml, "thing": thing_name(line.thing) if line.thing else ""}


def _greek(says: str) -> str:
    """A sentence with Greek letters as letters: "Write α by itself"."""
    return _GREEK_WORD.sub(lambda found: GREEK[found[0]], says)


def _size(setup: Setup, symbol: str) -> str:
    unit = unit_of(setup.scene, symbol).replace("^2", "²")
    number = written(rounded(setup.values[symbol]).replace("-", "\N{MINUS SIGN}"), setup.scene.decimal_comma)
    return number if unit in ("", "1") else f"{number} {unit}"


def _listed(symbols: list[str]) -> str:
    return symbols[0] if len(symbols) == 1 else f"{', '.join(symbols[:-1])} and {symbols[-1]}"
