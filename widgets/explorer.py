"""Sliders for the data of a scene: the widget's shell. What it shows is worked out by whoever makes one (`lessons.explore`)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol

import traitlets

from ..autograde.errors import PluswayError
from .answering import Answering, Message, Service
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
    """Messages from the browser: Set, About and Predict; the answer says in words what to announce."""

    _esm = esm("explorer")
    shown = traitlets.Dict().tag(sync=True)

    def __init__(self, explored: Explored) -> None:
        self._explored = explored
        super().__init__(shown=explored.shown())

    def services(self) -> Mapping[str, Service]:
        return {**super().services(), "set": self._set, "about": self._about, "predict": self._predict}

    def _set(self, message: Message) -> Message | None:
        values = message.get("values")
        return self._change(lambda: self._explored.set(values)) if isinstance(values, dict) else None

    def _about(self, message: Message) -> Message:
        return self._change(lambda: self._explored.about(str(message.get("datum", ""))))

    def _predict(self, message: Message) -> Message | None:
        choices = message.get("choices")
        return self._change(lambda: self._explored.predict(choices)) if isinstance(choices, dict) else None

    def _change(self, act: Callable[[], None]) -> Message:
        """Do it and show the state as it is then, also where it was refused: a slider that was moved goes back."""
        says = ""
        try:
            act()
        except PluswayError as error:
            says = str(error)
        self.shown = self._explored.shown()
        return {"kind": "explored", "says": says or self.shown.get("says", "")}
