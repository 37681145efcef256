"""What marking one notebook comes to: a frozen record that turns into one line of results.jsonl and back."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any

from ..judging.verdicts import UNREAD

MARKED, UNMARKED = "marked", "unmarked"
COMPARED = ("alike", "whose", "unlike")
"""Flags that come from comparing the notebooks of a class."""


@dataclass(frozen=True)
class Flag:
    """Something for the teacher to look at; it costs the student nothing. kind: seed, whose, edited, alike, unjudged, further, unlike, or one of odd.py's;
    others: the other students with whose names the sentence ends."""

    kind: str
    says: str
    others: tuple[str, ...] = ()

    def to_json(self) -> dict[str, Any]:
        return {"kind": self.kind, "says": self.says, **({"others": list(self.others)} if self.others else {})}

    def naming(self, name: Callable[[str], str]) -> str:
        """The sentence with other students called by another name.

        >>> Flag("alike", "the same answers as ada, bob", ("ada", "bob")).naming(str.upper)
        'the same answers as ADA, BOB'
        """
        return self.says.removesuffix(", ".join(self.others)) + ", ".join(map(name, self.others))

    @classmethod
    def from_json(cls, flag: Mapping[str, Any]) -> Flag:
        """The flag that `to_json` gave."""
        return cls(flag["kind"], flag["says"], tuple(flag.get("others", ())))


def is_unread(step: Mapping[str, Any]) -> bool:
    """Whether a line could not be read, so that a teacher wants to be asked."""
    return bool(step["verdict"] == UNREAD and "override" not in step)


@dataclass(frozen=True)
class ProblemMarks:
    """One problem: `verdicts` in the contract's JSON, after any override; `variant` the seed of its numbers; `hints` and
    `minutes` as the notebook claims; `title` the scene's; `apart`: nobody set it, so it is shown and does not count."""

    problem: str
    scene: str
    verdicts: Mapping[str, Any]
    variant: str = ""
    hints: int = 0
    minutes: float | None = None
    title: str = ""
    apart: bool = False

    @property
    def points(self) -> float:
        """The points of all steps."""
        return float(sum(step["points"] for step in self.verdicts["steps"]))

    @property
    def of(self) -> float:
        """What all steps are worth."""
        return float(sum(step["of"] for step in self.verdicts["steps"]))

    def to_json(self) -> dict[str, Any]:
        return {"problem": self.problem, "title": self.title, "variant": self.variant, "hints": self.hints, "minutes": self.minutes,
                **({"apart": True} if self.apart else {}), **self.verdicts, "scene": self.scene, "points": self.points, "of": self.of}


@dataclass(frozen=True)
class Marked:
    """One notebook of one student. file: its path below the folder; error: why it could not be marked, else "";
    blank: what the assignment is worth, for a notebook that could not be marked; counts_instead: where this is a second file of
    the student's for the assignment, the one that counts, else ""; named, seed: whose the file's own record says it is, and its seed."""

    file: str
    student: str
    assignment: str = ""
    problems: tuple[ProblemMarks, ...] = ()
    flags: tuple[Flag, ...] = ()
    remarks: tuple[str, ...] = ()
    error: str = ""
    blank: float = 0.0
    counts_instead: str = ""
    named: str = ""
    seed: str = ""

    @property
    def second(self) -> str:
        """What is said of a second file; "" for one that counts."""
        if not self.counts_instead:
            return ""
        own, other = PurePosixPath(self.file), PurePosixPath(self.counts_instead)
        return f"second file, not counted: {other.name if other.name != own.name else other} counts"

    @property
    def points(self) -> float:
        """The points of the problems that count."""
        return float(sum(p.points for p in self.counting))

    @property
    def of(self) -> float:
        """What they are worth; the worth of the assignment where nothing could be marked."""
        return float(sum(p.of for p in self.counting)) if self.problems else self.blank

    @property
    def status(self) -> str:
        """Whether it could be marked: a word for the table of results."""
        return UNMARKED if self.error else MARKED

    @property
    def unread(self) -> str:
        """How many lines could not be read, and no teacher has decided on; "" for none."""
        count = sum(is_unread(step) for _, step in self.steps())
        return f"{count} line{'s' if count > 1 else ''} could not be read" if count else ""

    @property
    def telling(self) -> tuple[Flag, ...]:
        """The flags without those that another says too: whose a file is says that its seed is not the student's own, and perhaps that
        its answers are not."""
        whose = [flag.says for flag in self.flags if flag.kind == "whose"]
        said = {"seed", *(["alike"] if any("the answers" in says for says in whose) else [])} if whose else set()
        return tuple(flag for flag in self.flags if flag.kind not in said)

    @property
    def counting(self) -> tuple[ProblemMarks, ...]:
        """The problems that count."""
        return tuple(p for p in self.problems if not p.apart)

    def steps(self) -> Iterator[tuple[ProblemMarks, Mapping[str, Any]]]:
        """Each step of the problems that count."""
        for problem in self.counting:
            for step in problem.verdicts["steps"]:
                yield problem, step

    def to_json(self) -> dict[str, Any]:
        return {"student": self.student, "file": self.file, "assignment": self.assignment, "status": self.status,
                "points": self.points, "of": self.of, "error": self.error,
                "counts_instead": self.counts_instead, "flags": [flag.to_json() for flag in self.flags], "remarks": list(self.remarks),
                **({"named": self.named} if self.named else {}), **({"seed": self.seed} if self.seed else {}),
                "problems": [problem.to_json() for problem in self.problems]}

    @classmethod
    def from_json(cls, line: Mapping[str, Any]) -> Marked:
        """The record of a line that `to_json` made."""
        own = ("problem", "title", "variant", "hints", "minutes", "apart")
        problems = tuple(
            ProblemMarks(p["problem"], p["scene"], {k: v for k, v in p.items() if k not in own}, p["variant"],
                         p["hints"], p["minutes"], p.get("title", ""), p.get("apart", False)) for p in line["problems"])
        return cls(line["file"], line["student"], line["assignment"], problems,
                   tuple(map(Flag.from_json, line["flags"])), tuple(line["remarks"]), line["error"],
                   0.0 if problems else line["of"], line.get("counts_instead", ""),
                   line.get("named", ""), line.get("seed", ""))
