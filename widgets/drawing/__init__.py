"""Drawings for page and print: a scene, its force diagrams to scale, its motion, and how a result depends on one datum.

Each function gives a `Drawing`: SVG, PNG and a text that says the same. matplotlib is loaded when the first one is made.
"""

from __future__ import annotations

from .forces import draw_forces
from .record import Drawing
from .scenes import draw_scene

__all__ = ["Drawing", "draw_forces", "draw_scene"]
