"""What all widgets that answer the browser have in common: a message comes, `reply_to` says what to send back."""

from __future__ import annotations

from typing import Any

from .scripted import Scripted


class Answering(Scripted):
    """A widget that answers messages. What is sent back is `reply_to`'s business, so that tests need no browser."""

    def __init__(self, **state: Any) -> None:
        super().__init__(**state)
        self.on_msg(self._answer)

    def reply_to(self, content: Any) -> dict[str, Any] | None:
        """The answer to one message from the browser; None for what is no message of ours."""
        raise NotImplementedError

    def _answer(self, _widget: Any, content: Any, _buffers: Any) -> None:
        reply = self.reply_to(content)
        if reply is not None:
            self.send(reply)
