"""What the student touches: one widget for each step of a problem."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .problem import Problem

if TYPE_CHECKING:
    from .workedexample import WorkedExample

__all__ = ["Problem", "WorkedExample"]


def __getattr__(name: str) -> Any:
    if name == "WorkedExample":  # a notebook of problems alone needs none
        from .workedexample import WorkedExample

        return WorkedExample
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
