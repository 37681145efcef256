"""From a folder's results to the report's data; names only where they are asked for."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ...autograde.marking.mark import NO_ANSWERS
from ...autograde.marking.marked import Flag, Marked
from ...autograde.marking.odd import BUILD, CELLS, CLAIMS, NOTES, REACHES
from ...autograde.marking.statistics import Statistics
from ...autograde.marking.store import open_results

UNMARKED, EMPTY, UNREAD = "unmarked", "empty", "unread"
NOBODY = "a student who handed in nothing"
LOOK_FIRST = ("unjudged", UNMARKED, "whose", "seed", "alike", "further", "unlike", "edited", CELLS, CLAIMS, REACHES, EMPTY, UNREAD, BUILD, NOTES)
"""In which order things to look at are listed."""


@dataclass(frozen=True)
class Report:
    """classes: {assignment: statistics as JSON}; students: one row for each, with the points of every assignment (None: not marked); look: what
    the teacher should look at, each sentence once, with the students; unfinished: whether the marking was cut off, or is still at work, so
    that there may be more to come."""

    folder: Path
    classes: dict[str, dict[str, Any]]
    students: list[dict[str, Any]]
    look: list[dict[str, Any]]
    named: bool
    unfinished: bool = False

    def to_json(self) -> dict[str, Any]:
        return {"format": 1, "names": self.named, "unfinished": self.unfinished, "assignments": self.classes,
                "look": self.look, "students": self.students}


def gather(folder: Path, names: bool, more: Sequence[Path] = ()) -> Report:
    """Add up the results in `folder`, and in `more`, such as one for each week. Raises UsageError where one was not marked yet."""
    every: dict[str, Statistics] = {}
    students: dict[str, dict[str, Any]] = {}
    look: list[tuple[str, str, Flag]] = []
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
                row["flags"] += [flag.kind for flag in marked.telling]
                look += [(name, marked.student, flag) for flag in _to_look_at(marked)]
            unfinished = unfinished or store.unfinished
            places.append(store.path.parent)
    rows = [students[name] for name in sorted(students)]
    labels = {name: name for name in students}
    if names:
        labels |= {other: other for *_, flag in look for other in flag.others}
    else:
        # In an order that says nothing about the names.
        rows.sort(key=lambda row: hashlib.sha256(row["student"].encode("utf-8", "replace")).digest())
        labels = {row["student"]: f"student {place}" for place, row in enumerate(rows, 1)}
        rows = [{**row, "student": labels[row["student"]]} for row in rows]
    order = {row["student"]: place for place, row in enumerate(rows)}
    classes = {name: found.to_json() for name, found in sorted(every.items())}
    for name, data in classes.items():
        for teach in data["teach"]:
            teach["students"] = sorted((labels[student] for student in every[name].who[teach["kind"]]), key=order.__getitem__)
    return Report(places[0], classes, rows, _gathered(look, labels, order), names, unfinished)


def _to_look_at(marked: Marked) -> Iterator[Flag]:
    """A notebook's flags, and what else a teacher wants to know of it."""
    if marked.error:
        yield Flag(UNMARKED, f"not marked: {marked.error}")
    elif NO_ANSWERS in marked.remarks:
        yield Flag(EMPTY, NO_ANSWERS)
    if marked.unread:
        yield Flag(UNREAD, marked.unread)
    yield from marked.telling


def _gathered(look: Sequence[tuple[str, str, Flag]], labels: Mapping[str, str], order: Mapping[str, int]) -> list[dict[str, Any]]:
    """Each sentence once for each assignment, with all the students that it is said of."""
    found: dict[tuple[str, int, str, str], list[str]] = {}
    for assignment, student, flag in look:
        says = flag.naming(lambda name: labels.get(name, NOBODY))
        place = LOOK_FIRST.index(flag.kind) if flag.kind in LOOK_FIRST else len(LOOK_FIRST)  # from results of another version
        found.setdefault((assignment, place, flag.kind, says), []).append(labels[student])
    rows = [(key, sorted(set(students), key=order.__getitem__)) for key, students in found.items()]
    rows.sort(key=lambda row: (*row[0][:2], order[row[1][0]], row[0][3]))
    return [{"assignment": assignment, "kind": kind, "says": says, "students": students} for (assignment, _, kind, says), students in rows]
