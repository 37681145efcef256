"""From a folder's results to the report's data; names only where they are asked for."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ...autograde.marking.statistics import Statistics
from ...autograde.marking.store import open_results


@dataclass(frozen=True)
class Report:
    """classes: {assignment: statistics as JSON}; students: one row for each, with the points of every assignment (None: not marked); unfinished:
    whether the marking was cut off, or is still at work, so that there may be more to come."""

    folder: Path
    classes: dict[str, dict[str, Any]]
    students: list[dict[str, Any]]
    named: bool
    unfinished: bool = False

    def to_json(self) -> dict[str, Any]:
        return {"format": 1, "names": self.named, "unfinished": self.unfinished, "assignments": self.classes, "students": self.students}


def gather(folder: Path, names: bool, more: Sequence[Path] = ()) -> Report:
    """Add up the results in `folder`, and in `more`, such as one for each week. Raises UsageError where one was not marked yet."""
    every: dict[str, Statistics] = {}
    students: dict[str, dict[str, Any]] = {}
    unfinished, places = False, []
    for each in (folder, *more):
        with open_results(each) as store:
            for marked in store.all():
                name = marked.assignment or "no assignment named"
                every.setdefault(name, Statistics()).add(marked)
                row = students.setdefault(marked.student, {"student": marked.student, "assignments": {}, "flags": []})
                if marked.second:
                    row["flags"].append("second file, not counted")
                    continue
                points = row["assignments"].setdefault(name, {"points": None, "of": 0.0})
                points["of"] += marked.of
                if marked.error:
                    row["flags"].append("not marked")
                else:
                    points["points"] = (points["points"] or 0.0) + marked.points
                row["flags"] += [flag.kind for flag in marked.flags]
            unfinished = unfinished or store.unfinished
            places.append(store.path.parent)
    rows = [students[name] for name in sorted(students)]
    if not names:
        # In an order that says nothing about the names.
        rows.sort(key=lambda row: hashlib.sha256(row["student"].encode("utf-8", "replace")).digest())
        rows = [{**row, "student": f"student {place}"} for place, row in enumerate(rows, 1)]
    return Report(places[0], {name: found.to_json() for name, found in sorted(every.items())}, rows, names, unfinished)
