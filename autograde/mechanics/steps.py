"""The record of a worked solution: steps of lines, each line mathematics or words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class WorkedLine:
    """kind: "math" (readable as a student's line) or "words". unit: of the last number; thing: whose equation it is."""

    text: str
    kind: str = "math"
    unit: str = ""
    thing: str | None = None

    @property
    def with_unit(self) -> str:
        """The line with the unit behind its last number."""
        return f"{self.text} {self.unit}" if self.unit and self.unit != "1" else self.text

    def to_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {"text": self.with_unit, "kind": self.kind}
        if self.thing is not None:
            out["thing"] = self.thing
        return out


@dataclass(frozen=True)
class WorkedStep:
    """step: directions, forces, surfaces, equations, ties, numbers, working, results, sense, limits, motion, energy or
    notes.
    """

    step: str
    title: str
    says: str
    lines: tuple[WorkedLine, ...]

    def to_json(self) -> dict[str, Any]:
        return {"step": self.step, "title": self.title, "says": self.says, "lines": [x.to_json() for x in self.lines]}


def math(text: str, unit: str = "", thing: str | None = None) -> WorkedLine:
    """A line of mathematics. unit: of the last number; thing: whose equation it is."""
    return WorkedLine(text, "math", unit, thing)


def words(text: str) -> WorkedLine:
    """A line of words."""
    return WorkedLine(text, "words")
