"""Sliders for the data of a scene: the widget's shell. What it shows is worked out by whoever makes one (`lessons.explore`)."""

from __future__ import annotations

from typing import Any, Protocol

import traitlets

from ..autograde.errors import PluswayError
from .answering import Answering
from .static import esm


class Explored(Protocol):
    """What stands behind the sliders. Each method changes the state; `shown` tells all that is to be seen (see `static/explorer.js`)."""

    def set(self, values: dict[str, Any]) -> None:
        """Other data: {symbol: number in the datum's own unit}."""

    def about(self, datum: str) -> None:
        """Another datum is to be varied."""

    def predict(self, choices: dict[str, Any]) -> None:
        """The student commits a prediction: {symbol: what it will do}."""

    def shown(self) -> dict[str, Any]:
        """All that the widget shows, as JSON."""


class Explorer(Answering):
    """Messages from the browser: Set, About, Predict and Ping; the answer repeats the id and says in words what to announce."""

    _esm = esm("explorer")
    shown = traitlets.Dict().tag(sync=True)

    def __init__(self, explored: Explored) -> None:
        self._explored = explored
        super().__init__(shown=explored.shown())

    def reply_to(self, content: Any) -> dict[str, Any] | None:
        """The answer to one message; None for what is no message of ours."""
        if not isinstance(content, dict) or not isinstance(content.get("id"), int):
            return None
        kind, values, choices = content.get("kind"), content.get("values"), content.get("choices")
        says = ""
        try:
            if kind == "set" and isinstance(values, dict):
                self._explored.set(values)
            elif kind == "about":
                self._explored.about(str(content.get("datum", "")))
            elif kind == "predict" and isinstance(choices, dict):
                self._explored.predict(choices)
            elif kind != "ping":
                return None
        except PluswayError as error:
            says = str(error)
        if kind != "ping":
            self.shown = self._explored.shown()
            says = says or self.shown.get("says", "")
        return {"kind": "explored", "id": content["id"], "says": says}
