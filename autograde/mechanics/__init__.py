"""A scene and positive directions -> equations, ties, regime, exact values, worked solution."""

from .derive import derive, solve_at
from .errors import MechanicsError
from .setup import Setup

__all__ = ["MechanicsError", "Setup", "derive", "solve_at"]
