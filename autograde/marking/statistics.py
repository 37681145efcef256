"""What a class's results say: success and discrimination of each step, slips by kind, body and direction, common lines.

Everything is added up notebook by notebook; nothing of a notebook is kept but counts.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import sqrt
from typing import Any

from ..judging.slips import SLIPS
from ..judging.verdicts import BLANK, SLIP, UNREAD
from .cells import cell_of
from .comments import reasons
from .marked import Marked, ProblemMarks, is_unread
from .overrides import bare

Cell = tuple[str, str, str]
"""Problem, step, and thing ("" where the cell is for the whole step)."""

LINES_KEPT = 20_000
LINES_TOLD = 40
WRONG = (SLIP, UNREAD)
STUDENTS_KEPT = 60  # for each kind of slip; of more than a class nobody reads the names
TO_TEACH = 3
NOT_TAUGHT = ("unnamed", "does-not-follow")
"""Kinds that say nothing of what the student has in mind."""
ANOTHER_G = "another value of g"
"""What a slip of arithmetic is called here whose number is a wrong g: no arithmetic to be taught."""


@dataclass
class Score:
    """Sums for one cell: x is the part of its points that a student got, y that of all the other points of the notebook."""

    of: float = 0.0
    count: int = 0
    blank: int = 0
    x: float = 0.0
    xx: float = 0.0
    y: float = 0.0
    yy: float = 0.0
    xy: float = 0.0

    def add(self, x: float, y: float, blank: bool) -> None:
        """Count one notebook. x: its part of this step's points, y: of all others, both 0 to 1; blank: nothing was written."""
        self.count += 1
        self.blank += blank
        self.x, self.xx, self.y, self.yy, self.xy = (self.x + x, self.xx + x * x, self.y + y, self.yy + y * y,
                                                     self.xy + x * y)

    @property
    def success(self) -> float:
        """The mean part of the points that was earned, 0 to 1."""
        return self.x / self.count if self.count else 0.0

    @property
    def discrimination(self) -> float | None:
        """The correlation of this cell with the rest of the notebook; None where either does not vary."""
        spread = (self.count * self.xx - self.x**2) * (self.count * self.yy - self.y**2)
        return (self.count * self.xy - self.x * self.y) / sqrt(spread) if self.count > 2 and spread > 1e-9 else None


@dataclass
class SlipCount:
    """One kind of slip on one thing: how many notebooks have it, in which chosen directions, with one example."""

    notebooks: int = 0
    directions: Counter[str] = field(default_factory=Counter)
    example: str = ""
    says: str = ""


class Statistics:
    """`add` every notebook, then read `to_json()`."""

    def __init__(self) -> None:
        self.notebooks = self.unmarked = self.seconds = 0
        self.titles: dict[str, str] = {}  # problem: its scene's title
        self.who: dict[str, list[str]] = defaultdict(list)  # kind of slip: the students who have it
        self.scores: dict[Cell, Score] = {}
        self.slips: dict[tuple[str, str, str, str], SlipCount] = defaultdict(SlipCount)  # problem, kind, step, item
        self.kinds: Counter[str] = Counter()
        self.lost: dict[str, float] = defaultdict(float)  # kind of slip: the points that were lost where it was made
        self.lines: dict[tuple[str, str, str, str, str], list[Any]] = {}
        self.unread: dict[tuple[str, str, str, str], list[Any]] = {}  # problem, step, item, line: notebooks, line, what is said
        self.percent: list[int] = [0] * 10
        self.hints: dict[str, list[int]] = defaultdict(list)
        self.minutes: dict[str, list[float]] = defaultdict(list)
        self.flags: Counter[str] = Counter()
        self.overrides: Counter[tuple[str, str, str, str, str, str]] = Counter()

    def add(self, marked: Marked) -> None:
        """Count one notebook's marks."""
        if marked.second:
            self.seconds += 1
            return
        self.notebooks += 1
        self.flags.update({flag.kind for flag in marked.flags})
        if marked.error or not marked.of:
            self.unmarked += 1
            return
        self.percent[min(int(10 * marked.points / marked.of), 9)] += 1
        lost: dict[str, float] = defaultdict(float)
        for _, step in marked.steps():
            for kind in {kind_of(slip) for slip in step["slips"]}:
                lost[kind] += step["of"] - step["points"]
        for kind, points in lost.items():
            self.kinds[kind] += 1
            self.lost[kind] += points
            if len(self.who[kind]) < STUDENTS_KEPT:
                self.who[kind].append(marked.student)
        for problem in marked.counting:
            self.titles.setdefault(problem.problem, problem.title or problem.scene)
            self._scores(problem, marked)
            self._slips(problem)
            self.hints[problem.problem].append(problem.hints)
            if problem.minutes is not None:
                self.minutes[problem.problem].append(problem.minutes)

    def _scores(self, problem: ProblemMarks, marked: Marked) -> None:
        cells: dict[Cell, list[float]] = {}
        for step in problem.verdicts["steps"]:
            name, item = cell_of(step)
            sums = cells.setdefault((problem.problem, name, item or ""), [0.0, 0.0, 0.0])
            sums[0] += step["points"]
            sums[1] += step["of"]
            sums[2] += step["verdict"] != BLANK  # one letter a for all says a tie that nobody wrote
            self._line(problem.problem, name, step)
        for cell, (points, of, written) in cells.items():
            if of > 0:
                rest = marked.of - of
                others = (marked.points - points) / rest if rest > 0 else 0.0
                score = self.scores.setdefault(cell, Score(of))
                score.add(points / of, others, not written)

    def _slips(self, problem: ProblemMarks) -> None:
        chosen = {str(s["item"]): str(s["text"]) for s in problem.verdicts["steps"] if s["step"] == "directions"}
        seen: set[tuple[str, str, str, str]] = set()
        for step in problem.verdicts["steps"]:
            item = str(step["item"]) if isinstance(step["item"], str) else ""
            for slip in step["slips"]:
                key = (problem.problem, kind_of(slip), step["step"], item)
                count = self.slips[key]
                if key in seen:
                    continue
                seen.add(key)
                count.notebooks += 1
                if chosen.get(item):
                    count.directions[chosen[item]] += 1
                if not count.example:
                    count.example, count.says = str(step["text"]), next(iter(reasons({**step, "slips": [slip]})), "")
            if "override" in step:
                decided = step["override"]
                self.overrides[(problem.problem, step["step"], str(step["item"]), str(step["text"]), decided["reason"],
                                decided["date"])] += 1

    def _line(self, problem: str, name: str, step: Mapping[str, Any]) -> None:
        item = str(step["item"]) if isinstance(step["item"], str) else ""
        if is_unread(step):
            row = self.unread.setdefault((problem, name, item, bare(str(step["text"]))),
                                         [0, str(step["text"]), next(iter(reasons(step)), "")])
            row[0] += 1
        if not step["text"] or name in ("directions", "forces"):
            return
        key = (problem, name, item, bare(str(step["text"])), str(step["verdict"]))
        if key in self.lines:
            self.lines[key][0] += 1
        elif len(self.lines) < LINES_KEPT:  # a class of thousands writes the common lines early
            self.lines[key] = [1, str(step["text"])]

    def to_json(self) -> dict[str, Any]:
        """All that the report shows, as JSON."""
        return {
            "notebooks": self.notebooks, "unmarked": self.unmarked, "seconds": self.seconds, "flags": dict(self.flags),
            "titles": dict(self.titles), "tenths": self.percent,
            "steps": [{"problem": problem, "step": step, "item": item or None, "of": score.of, "students": score.count,
                       "success": round(score.success, 4), "blank": score.blank,
                       "discrimination": None if score.discrimination is None else round(score.discrimination, 3)}
                      for (problem, step, item), score in self.scores.items()],
            "slips": [{"problem": problem, "kind": kind, "step": step, "item": item or None, "notebooks": count.notebooks,
                       "directions": dict(count.directions), "example": count.example, "says": count.says}
                      for (problem, kind, step, item), count in self._slips_by_number()],
            "kinds": dict(self.kinds.most_common()),
            "teach": self._teach(),
            "lines": [{"problem": problem, "step": step, "item": item or None, "line": text, "verdict": verdict, "count": n}
                      for (problem, step, item, _, verdict), (n, text) in self._common_lines()],
            "unread": [{"problem": problem, "step": step, "item": item or None, "line": text, "says": says, "count": n}
                       for (problem, step, item, _), (n, text, says) in sorted(
                           self.unread.items(), key=lambda pair: (-pair[1][0], pair[0]))],
            "hints": {problem: _middle(values) for problem, values in self.hints.items()},
            "minutes": {problem: _middle(values) for problem, values in self.minutes.items()},
            "overrides": [{"problem": problem, "step": step, "item": item, "line": text, "reason": reason, "date": date,
                           "notebooks": n} for (problem, step, item, text, reason, date), n in self.overrides.items()],
        }

    def _common_lines(self) -> list[tuple[tuple[str, str, str, str, str], list[Any]]]:
        """The lines that several wrote, commonest first: of those that were wrong, and of the others, so many each."""
        common = sorted(((key, found) for key, found in self.lines.items() if found[0] > 1), key=lambda pair: (-pair[1][0], pair[0]))
        left = {True: LINES_TOLD, False: LINES_TOLD}
        out = []
        for key, found in common:
            wrong = key[-1] in WRONG
            left[wrong] -= 1
            if left[wrong] >= 0:
                out.append((key, found))
        return out

    def _slips_by_number(self) -> list[tuple[tuple[str, str, str, str], SlipCount]]:
        return sorted(self.slips.items(), key=lambda pair: (-pair[1].notebooks, pair[0]))

    def _teach(self) -> list[dict[str, Any]]:
        """The kinds of slip that most notebooks have (of equally many those that cost most points), each with where it is commonest
        and one line as an example."""
        out: list[dict[str, Any]] = []
        for kind, notebooks in sorted(self.kinds.items(), key=lambda pair: (-pair[1], -self.lost[pair[0]], pair[0])):
            if kind in NOT_TAUGHT or len(out) == TO_TEACH:
                continue
            (problem, _, step, item), count = next(s for s in self._slips_by_number() if s[0][1] == kind)
            out.append({"kind": kind, "notebooks": notebooks, "problem": problem, "step": step, "item": item or None,
                        "example": count.example, "says": count.says})
        return out


def kind_of(slip: Mapping[str, Any]) -> str:
    """The kind under which a slip is counted for the class.

    >>> kind_of({"kind": "arithmetic", "term": "g"}), kind_of({"kind": "radius"})
    ('another value of g', 'radius')
    """
    # In an equation the judge points at g; of a result only its words say that it comes from another g.
    about_g = slip["kind"] == "arithmetic" and (slip.get("term") == "g" or "the value of g" in slip.get("says", ""))
    return ANOTHER_G if about_g else str(slip["kind"])


def means(kind: str) -> str:
    """What a student did who made this kind of slip, in words that follow "the student …".

    >>> means("arithmetic"), means(ANOTHER_G)
    ('worked a number out wrong', 'took another value of g than the problem gives')
    """
    return "took another value of g than the problem gives" if kind == ANOTHER_G else SLIPS[kind].means if kind in SLIPS else kind


def _middle(values: Iterable[float]) -> dict[str, float] | None:
    """Median and extremes; None of nothing."""
    ordered = sorted(values)
    if not ordered:
        return None
    half = len(ordered) // 2
    median = ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2
    return {"median": median, "least": ordered[0], "most": ordered[-1]}
