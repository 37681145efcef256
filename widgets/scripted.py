"""What every widget of plusway has: a reference to the one model that holds the script of all (see `static`)."""

from __future__ import annotations

from typing import Any

import anywidget
import ipywidgets
import traitlets

from .static import script


class Script(ipywidgets.Widget):  # type: ignore[misc]
    """The script's text, sent to the browser once however many widgets refer to it. It is never drawn."""

    text = traitlets.Unicode().tag(sync=True)


_kept: list[Script] = []


def the_script() -> Script:
    """This kernel's one script; a new one where all widgets were closed."""
    if not _kept or _kept[0].comm is None:
        _kept[:] = [Script(text=script())]
    return _kept[0]


class Scripted(anywidget.AnyWidget):
    """A widget whose module is a part of the script."""

    script = traitlets.Instance(Script).tag(sync=True, **ipywidgets.widget_serialization)

    def __init__(self, **state: Any) -> None:
        super().__init__(script=the_script(), **state)
