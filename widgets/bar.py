"""A bar of words and buttons round a practice session: what the problem is, and the way to the next one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import traitlets

from .answering import Answering, Message, Service
from .static import esm


class Bar(Answering):
    """A heading, paragraphs, a notice and buttons. `press(name)` is called for each press and returns what to announce.

    `shown`: heading, lines (paragraphs), notice (what went wrong, or ""), buttons ([[name, label], …]), turn (a number; when it
    changes, the heading takes the focus, for a new problem begins there).
    """

    _esm = esm("bar")
    shown = traitlets.Dict().tag(sync=True)

    def __init__(self, press: Callable[[str], str]) -> None:
        self._press = press
        super().__init__(shown={"heading": "", "lines": [], "notice": "", "buttons": [], "turn": 0})

    def show(self, heading: str = "", lines: Sequence[str] = (), buttons: Sequence[tuple[str, str]] = (), notice: str = "", turn: int = 0) -> None:
        """Show this in place of what was shown."""
        self.shown = {"heading": heading, "lines": list(lines), "notice": notice, "buttons": [list(b) for b in buttons], "turn": turn}

    def services(self) -> Mapping[str, Service]:
        return {**super().services(), "press": self._pressed}

    def _pressed(self, message: Message) -> Message | None:
        name = message.get("name")
        if not any(name == button[0] for button in self.shown["buttons"]):
            return None
        return {"kind": "pressed", "says": self._press(str(name))}
