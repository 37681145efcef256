"""The hand of every drawing: colours, widths, fonts, and matplotlib's settings kept apart from the user's own.

Nothing is imported from matplotlib before a drawing is made, and `pyplot` never: figures are made directly.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

INK, SOFT, PAPER = "#1d2733", "#5a6672", "#ffffff"
THING, GROUND, EDGE = "#dfe8ed", "#efebe3", "#4d5b69"
ROPE, PLUS, GRAVITY, TOUCH = "#4c4a86", "#1f5673", "#7a3b12", "#3c6b3a"

FORCE_COLOURS = {
    "weight": GRAVITY, "tension": ROPE, "normal": TOUCH, "contact": TOUCH, "friction": "#8a2f4d", "rolling": "#8a2f4d",
    "outside": INK, "drag": "#8a2f4d",
}  # fmt: skip
"""A colour for each kind of force; every arrow has its letter too, so that no colour need be told from another."""

LINES = ("-", (0, (6, 2.5)), (0, (1.6, 1.8)), (0, (7, 2, 1.5, 2)), (0, (3, 1.2)), (0, (9, 3, 1.5, 3, 1.5, 3)))
CURVES = ("#1f5673", "#8a4513", "#3c6b3a", "#6a4a8c", "#8a2f4d", "#4d5b69")
"""Curves differ by line style first, and by colour beside it."""

LABEL, SMALL = 11.5, 9.5
"""Sizes of letters in points."""

_KEPT = {"backend", "backend_fallback", "interactive", "toolbar", "timezone", "datapath"}


@contextmanager
def own_settings() -> Iterator[None]:
    """matplotlib's own defaults while a drawing is made and written, so that a user's settings change nothing and the
    same input gives the same bytes; what the user has set is back afterwards."""
    import matplotlib

    plain = {k: v for k, v in matplotlib.rcParamsDefault.items() if k not in _KEPT}
    plain.update({"svg.hashsalt": "plusway", "svg.fonttype": "path", "axes.unicode_minus": True})
    with matplotlib.rc_context(plain):
        yield
