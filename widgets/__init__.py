"""What the student touches: one widget for each step of a problem."""

from __future__ import annotations

from .problem import Problem
from .workedexample import WorkedExample

__all__ = ["Problem", "WorkedExample"]
