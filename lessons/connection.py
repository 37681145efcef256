"""The connection between a page and its kernel, without waiting for company.

TCP holds a small message back until the one before it is acknowledged, and the other side takes its time with that (Nagle's algorithm, RFC 896,
against delayed acknowledgements, RFC 1122): 40 ms on many machines. A kernel says "busy" before each answer, so each verdict would wait.
"""

from __future__ import annotations

from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class AtOnce(ZMQChannelsWebsocketConnection):
    """Jupyter Server's own connection, each message sent when it is there."""

    def connect(self) -> Any:
        """Connect as ever; the page's end is open by now."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
