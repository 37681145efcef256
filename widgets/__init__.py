"""What the student touches: one widget for each step of a problem."""

from __future__ import annotations

from .problem import Problem

__all__ = ["Problem"]
