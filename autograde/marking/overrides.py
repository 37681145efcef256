"""Moderation: a teacher's own verdict on a line, with a reason and a date, kept in a TOML file and shown.

    [[override]]
    assignment = "ps1"                  # left out: in every assignment
    problem = "feed-sack"
    step = "equations"
    item = "sack"                       # left out: any item of that step
    line = "T - 63.7 = 6.5 a"           # everybody who wrote this line (spaces do not count); left out: the step itself
    student = "s017"                    # left out: everybody
    verdict = "right"
    points = 2.0                        # left out: all for right and follows, none otherwise
    reason = "I said so on the board."
    date = 2025-03-01
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import UsageError
from ..judging.verdicts import BLANK, FOLLOWS, RIGHT, SLIP, UNREAD
from ..method import PER_THING, STEPS

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

if TYPE_CHECKING:
    from .assignment import Assignment
    from .marked import ProblemMarks

VERDICTS = (RIGHT, FOLLOWS, SLIP, UNREAD, BLANK)
KEPT = "overrides.toml"
"""The file's name where it is kept: in an nbgrader course its folder, else beside the results."""
KEYS = ("assignment", "problem", "step", "item", "line", "student", "verdict", "points", "reason", "date")


@dataclass(frozen=True)
class Override:
    """One decision of the teacher's; None means "any"."""

    problem: str
    step: str
    verdict: str
    reason: str
    date: str
    item: str | None = None
    line: str | None = None
    student: str | None = None
    points: float | None = None
    assignment: str | None = None

    def applies(self, problem: str, step: Mapping[str, Any], student: str) -> bool:
        """Whether it is about this step, in the judge's JSON, of this student's; spaces in a line don't count."""
        return (self.problem == problem and self.step == step["step"]
                and (self.item is None or self.item == str(step["item"]))
                and (self.line is None or bare(self.line) == bare(str(step["text"])))
                and (self.student is None or self.student == student))

    def says(self) -> str:
        """What it is about, in a few words."""
        parts = (self.assignment, self.problem, self.step, self.item, self.line and f"line {self.line!r}", self.student)
        return ", ".join(part for part in parts if part)

    def to_json(self) -> dict[str, Any]:
        return {key: value for key in KEYS if (value := getattr(self, key)) is not None}


def holding(overrides: Sequence[Override], assignment: str) -> tuple[Override, ...]:
    """Those that hold in an assignment."""
    return tuple(o for o in overrides if o.assignment in (None, assignment))


def overridden(marks: ProblemMarks, student: str, overrides: Sequence[Override]) -> Mapping[str, Any]:
    """The verdicts of a problem with the teacher's decisions in the place of the judge's; later ones win."""
    if not any(o.problem == marks.problem for o in overrides):
        return marks.verdicts
    steps = [_decided(step, [o for o in overrides if o.applies(marks.problem, step, student)])
             for step in marks.verdicts["steps"]]
    return {**marks.verdicts, "steps": steps, "points": float(sum(step["points"] for step in steps))}


def _decided(step: Mapping[str, Any], decisions: Sequence[Override]) -> Mapping[str, Any]:
    if not decisions:
        return step
    last = decisions[-1]
    whole = float(step["of"]) if last.verdict in (RIGHT, FOLLOWS) else 0.0
    points = whole if last.points is None else min(max(last.points, 0.0), float(step["of"]))
    judged = {"verdict": step["verdict"], "points": step["points"]}
    taken = last.verdict in (RIGHT, FOLLOWS)
    # Beside the teacher's reason the judge's own would only contradict it.
    kept = {key: value for key, value in step.items() if not (taken and step["verdict"] != RIGHT and key in ("says", "at"))}
    return {**kept, "verdict": last.verdict, "points": points,
            "slips": [] if taken else step["slips"],
            "override": {"reason": last.reason, "date": last.date, "judged": judged}}


def within_worth(overrides: Sequence[Override], assignment: Assignment, where: str) -> None:
    """Raise UsageError where one gives more than its step is worth, as far as the assignment says what that is. where: the file."""
    from ..judging import judge
    from .assignment import scene_of

    problems = {p.id: p for p in assignment.problems}
    for override in holding(overrides, assignment.name):
        problem = problems.get(override.problem)
        if problem is None or override.points is None:
            continue
        steps = [s for s in problem.counted(judge(scene_of(problem.toml, problem.scene), {}, assignment.marks())).steps
                 if s.step == override.step]
        own = [s.of for s in steps if str(s.item) == override.item] if override.step in (*PER_THING, "results") else []
        # The points of a list's lines can come together in one line; of the other steps each item has its own.
        each = max if override.step in (*PER_THING, "results") else sum
        most = float(own[0] if own else each(s.of for s in steps)) if steps else 0.0
        if override.points > most:
            raise UsageError(f"{where}: your verdict on {override.says()}: points = {override.points:g} is more than the "
                             f"{most:g} that it is worth; write {most:g} or less")


def bare(line: str) -> str:
    """A line without its spaces, and with one kind of minus and times."""
    return "".join(line.split()).replace("−", "-").replace("–", "-").replace("·", "*").replace("×", "*")


def load_overrides(path: str | Path) -> tuple[Override, ...]:
    """Read a file of overrides. Raises UsageError: file, which override, key, what would do."""
    try:
        table = tomllib.loads(Path(path).read_text(encoding="utf-8"))
    except OSError as error:
        raise UsageError(f"{path}: {error.strerror or error}") from None
    except (ValueError, RecursionError) as error:
        raise UsageError(f"{path}: not a TOML file: {error}".splitlines()[0]) from None
    rows = table.get("override")
    if not isinstance(rows, list) or set(table) != {"override"}:
        found = ", ".join(table) or "nothing"
        raise UsageError(f"{path}: expected [[override]] tables and nothing else, found {found}")
    return tuple(_override(row, f"{path}: override {place + 1}") for place, row in enumerate(rows))


def written(overrides: Sequence[Override]) -> str:
    """The overrides as the text of a TOML file that `load_overrides` reads back."""
    tables = []
    for override in overrides:
        rows = [f"{key} = {value if isinstance(value, float) or key == 'date' else _toml_text(value)}"
                for key, value in override.to_json().items()]
        tables.append("\n".join(["[[override]]", *rows]))
    return "\n\n".join(tables) + "\n"


def _toml_text(text: str) -> str:
    """A basic string of TOML: JSON's rules, but delete must be escaped and surrogate pairs can't be."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _override(row: object, where: str) -> Override:
    if not isinstance(row, Mapping):
        raise UsageError(f"{where}: write it as a table, [[override]]")
    for key in row:
        if key not in KEYS:
            raise UsageError(f"{where}: {key}: not a key of an override; the keys are {', '.join(KEYS)}")
    for key in ("problem", "step", "verdict", "reason", "date"):
        if not str(row.get(key) or "").strip():
            raise UsageError(f"{where}: {key}: missing; every override says which step, which verdict, why and when")
    if row["step"] not in STEPS:
        raise UsageError(f"{where}: step: {row['step']!r} is not one of {', '.join(STEPS)}")
    if row["verdict"] not in VERDICTS:
        raise UsageError(f"{where}: verdict: {row['verdict']!r} is not one of {', '.join(VERDICTS)}")
    if row.get("line") is None and row.get("student") is None and row.get("item") is None:
        raise UsageError(f"{where}: line: say which line, item or student it is about; as it stands it is all of them")
    points = row.get("points")
    number = isinstance(points, int | float) and not isinstance(points, bool)
    if points is not None and not (number and 0 <= points <= 100):
        raise UsageError(f"{where}: points: {points!r} is not a number of points from 0 to 100")
    text = {key: None if row.get(key) is None else str(row[key]) for key in ("assignment", "item", "line", "student")}
    return Override(str(row["problem"]), str(row["step"]), str(row["verdict"]), str(row["reason"]), _day(row["date"], where),
                    points=None if points is None else float(points), **text)


def _day(value: object, where: str) -> str:
    """A date of TOML, or one in quotation marks, as 2025-03-01; of a date with a time its day."""
    try:
        day = value if isinstance(value, date) else date.fromisoformat(str(value).strip())
    except ValueError:
        raise UsageError(f"{where}: date: {value!r} is not a date; write it like date = 2025-03-01") from None
    return (day.date() if isinstance(day, datetime) else day).isoformat()
