"""Drawings for page and print: a scene, its force diagrams to scale, its motion, and how a result depends on one datum.

Each function gives a `Drawing`: SVG, PNG and a text that says the same. matplotlib is loaded when the first one is made.
"""

from __future__ import annotations

from ...autograde.mechanics.agreeing import agreeing_directions as agreeing
from .dependence import draw_dependence
from .forces import draw_forces
from .motion import draw_motion
from .record import Drawing
from .scenes import draw_scene

__all__ = ["Drawing", "agreeing", "draw_dependence", "draw_forces", "draw_motion", "draw_scene"]
