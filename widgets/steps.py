"""The seven steps as anywidgets: thin shells that pass messages between the browser and the desk."""

from __future__ import annotations

from typing import Any

import traitlets

from ..autograde.languages import written
from .answering import Answering, Service
from .desk import Desk
from .hints import hints_for
from .reading import Reader
from .shown import shown as all_shown
from .static import esm


class Served(Answering):
    """What all widgets of a desk share. `shown` is all the state there is; the browser never writes it."""

    shown = traitlets.Dict().tag(sync=True)

    step = ""

    def __init__(self, desk: Desk, reader: Reader, item: str | None = None) -> None:
        self._desk, self._reader, self._item = desk, reader, item
        super().__init__(shown=self.view())
        desk.listeners.append(self.refresh)

    def view(self) -> dict[str, Any]:
        """What is to be seen just now."""
        raise NotImplementedError

    def refresh(self) -> None:
        """Show the desk as it is now; nothing is sent where nothing changed."""
        self.shown = self.view()

    def services(self) -> dict[str, Service]:
        """What is done for each kind of message."""
        return {**super().services(), "preview": self._preview, "commit": self._commit, "restore": self._restore}

    def _preview(self, content: dict[str, Any]) -> dict[str, Any]:
        text = str(content.get("text", ""))
        return {"kind": "previewed", "text": text, **self._reader.preview(text)}

    def _commit(self, content: dict[str, Any]) -> dict[str, Any]:
        hints = content.get("hints")
        entry, kept = self._desk.commit(self.step, _item(content), content.get("value"), hints if isinstance(hints, int) else 0, self.refresh)
        return {"kind": "committed", "record": entry.to_json(), "kept": kept}

    def _restore(self, content: dict[str, Any]) -> dict[str, Any]:
        entries = content.get("entries")
        return {"kind": "restored", "taken": self._desk.restore(entries if isinstance(entries, list) else [])}


class StepWidget(Served):
    """One step of a problem."""

    def view(self) -> dict[str, Any]:
        return dict(all_shown(self._desk, self._reader, self.step, self._item))

    def services(self) -> dict[str, Service]:
        return {**super().services(), "hint": self._hint}

    def _hint(self, content: dict[str, Any]) -> dict[str, Any]:
        hints = hints_for(self._desk.scene, self._desk.answers, self.step, _item(content))
        level = content.get("level")
        level = min(max(level, 1), len(hints)) if isinstance(level, int) else 1
        says = written(hints[level - 1], self._desk.scene.decimal_comma) if self._desk.settings.hints else "Your teacher has switched hints off for this lesson."
        return {"kind": "hinted", "item": _item(content), "level": level, "of": len(hints), "says": says}


def _item(content: dict[str, Any]) -> str | None:
    item = content.get("item")
    return item if isinstance(item, str) else None


class Directions(StepWidget):
    """Which way counts as plus for each thing, chosen on the picture of the scene or by radio buttons."""

    step = "directions"
    _esm = esm("directions")


class Forces(StepWidget):
    """The force diagram of one thing, built by the student."""

    step = "forces"
    _esm = esm("forces")


class Equation(StepWidget):
    """Newton's second law for one thing: a line with its reading beneath."""

    step = "equations"
    _esm = esm("equation")


class Ties(StepWidget):
    """The relations between the accelerations."""

    step = "ties"
    _esm = esm("ties")


class Working(StepWidget):
    """The ledger of lines from the equations to the results."""

    step = "working"
    _esm = esm("working")


class Results(StepWidget):
    """Each asked value with its unit."""

    step = "results"
    _esm = esm("results")


class Sense(StepWidget):
    """Checks that a true result must pass."""

    step = "sense"
    _esm = esm("sense")
