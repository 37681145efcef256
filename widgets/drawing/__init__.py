"""Drawings for page and print: a scene, its force diagrams to scale, its motion, and how a result depends on one datum.

Each function gives a `Drawing`: SVG, PNG and a text that says the same. matplotlib is loaded when the first one is made, and these
modules when a name here is first asked for: a lesson needs two of them only.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ...autograde.mechanics.agreeing import agreeing_directions as agreeing
    from .dependence import draw_dependence
    from .forces import draw_forces
    from .motion import draw_motion
    from .record import Drawing
    from .scenes import draw_scene

__all__ = ["Drawing", "agreeing", "draw_dependence", "draw_forces", "draw_motion", "draw_scene"]


def __getattr__(name: str) -> Any:
    if name == "agreeing":
        from ...autograde.mechanics.agreeing import agreeing_directions

        return agreeing_directions
    if name in __all__:
        from . import dependence, forces, motion, record, scenes

        for module in (dependence, forces, motion, record, scenes):
            if name in vars(module):
                return vars(module)[name]
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
