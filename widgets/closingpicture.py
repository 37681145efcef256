"""The closing picture as an anywidget: a shell round what `closing` works out. It asks the kernel nothing."""

from __future__ import annotations

import traitlets

from .closing import closing
from .desk import Desk
from .scripted import Scripted
from .static import esm


class ClosingPicture(Scripted):
    """The motion and the forces, from the student's own numbers. `shown` is all the state there is; the browser never writes it."""

    _esm = esm("closing")
    shown = traitlets.Dict().tag(sync=True)

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        super().__init__(shown=dict(closing(desk)))
        desk.listeners.append(self.refresh)

    def refresh(self) -> None:
        """Show the desk as it is now; nothing is sent where nothing changed."""
        self.shown = dict(closing(self._desk))
