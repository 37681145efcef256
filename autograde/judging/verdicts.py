"""What the judge says, in the words of the contract: frozen records that turn into its JSON."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

RIGHT, FOLLOWS, SLIP, UNREAD, BLANK = "right", "follows", "slip", "unread", "blank"


@dataclass(frozen=True)
class Slip:
    """One named slip. says: where (level 1), why (level 2), how (level 3): each one or two plain sentences."""

    kind: str
    says: str
    at: tuple[int, int] | None = None
    term: str | None = None
    why: str = ""
    how: str = ""

    def to_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {"kind": self.kind}
        if self.term:
            out["term"] = self.term
        if self.at is not None:
            out["at"] = list(self.at)
        out["says"] = self.says
        if self.why:
            out["why"] = self.why
        if self.how:
            out["how"] = self.how
        return out


@dataclass(frozen=True)
class Step:
    """The verdict on one item of one step. item: thing's name, symbol, or place in the list. marks: (mark, earned, what for)."""

    step: str
    item: str | int
    text: str
    verdict: str
    points: float
    of: float
    slips: tuple[Slip, ...] = ()
    says: str = ""
    at: tuple[int, int] | None = None
    marks: tuple[tuple[str, float, str], ...] = ()
    follows_from: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    def to_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {
            "step": self.step,
            "item": self.item,
            "text": self.text,
            "verdict": self.verdict,
            "points": float(self.points),
            "of": float(self.of),
            "slips": [s.to_json() for s in self.slips],
        }
        if self.says:
            out["says"] = self.says
        if self.at is not None:
            out["at"] = list(self.at)
        if self.marks:
            out["marks"] = [{"mark": m, "points": p, "for": why} for m, p, why in self.marks]
        if self.follows_from:
            out["from"] = list(self.follows_from)
        if self.remarks:
            out["remarks"] = list(self.remarks)
        return out


@dataclass(frozen=True)
class Verdicts:
    scene: str
    steps: tuple[Step, ...]
    remarks: tuple[str, ...] = field(default=())

    @property
    def points(self) -> float:
        return round(float(sum(s.points for s in self.steps)), 9)

    @property
    def of(self) -> float:
        return round(float(sum(s.of for s in self.steps)), 9)

    def to_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {
            "scene": self.scene,
            "points": self.points,
            "of": self.of,
            "steps": [s.to_json() for s in self.steps],
        }
        if self.remarks:
            out["remarks"] = list(self.remarks)
        return out
