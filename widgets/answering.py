"""What all widgets that answer the browser have in common: a message comes, it is looked up in `services`, and its id goes back with
the answer. A ping is answered here."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ..autograde.errors import PluswayError
from .scripted import Scripted

Message = dict[str, Any]
Service = Callable[[Message], Message | None]


class Answering(Scripted):
    """A widget that answers messages. What is sent back is `reply_to`'s business, so that tests need no browser."""

    def __init__(self, **state: Any) -> None:
        super().__init__(**state)
        self.on_msg(self._answer)

    def services(self) -> Mapping[str, Service]:
        """What is done for each kind of message; None is answered to what is no message of ours after all."""
        return {"ping": lambda _message: {"kind": "pong"}}

    def reply_to(self, content: Any) -> Message | None:
        """The answer to one message from the browser, with its id; None for what is no message of ours."""
        if not isinstance(content, dict) or not isinstance(content.get("id"), int):
            return None
        serve = self.services().get(str(content.get("kind")))
        if serve is None:
            return None
        try:
            answer = serve(content)
        except PluswayError as error:
            answer = {"kind": "trouble", "says": str(error)}
        return None if answer is None else {"id": content["id"], **answer}

    def _answer(self, _widget: Any, content: Any, _buffers: Any) -> None:
        reply = self.reply_to(content)
        if reply is not None:
            self.send(reply)
