"""What looks odd in a notebook, one plain sentence for each sort: for the teacher to look at. None of it costs or earns a point, for the
marking reads the answers and nothing else; and none of it proves anything, so the sentences say what is there and not why.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from ..printable import printable
from .given_out import GivenOut, GradeCell, build_of, cells_in, grade_id_of, metadata_of, nbgrader_of, number, source_of
from .marked import Flag

CELLS, CLAIMS, REACHES, BUILD, NOTES = "cells", "claims", "reaches", "build", "notes"

SAYS = {
    CELLS: "{}; it was marked from the answers all the same",
    CLAIMS: "{}; the marking works out its own",
    REACHES: "code in a cell of their own mentions {}, as in: {}; it was not run",
    BUILD: "was given out before the assignment was built anew, or says so; which grading cells it should have is not known",
    NOTES: "has text in cells of their own",
}
"""The sentence of each kind of flag."""

CLAIMING = frozenset({"points", "score", "scores", "grade", "grades", "mark", "marks", "marked", "verdict", "verdicts", "override", "overrides",
                      "auto_score", "manual_score"})
"""Names under which no lesson keeps anything in its record, or in a grade cell beside what nbgrader has there."""

BEYOND = (
    ("the gradebook", re.compile(r"gradebook|\bnbgrader\b", re.IGNORECASE)),
    ("the checker", re.compile(r"\bautograde\b|\bsys\.modules\b|\b__builtins__\b|\bclass +Problem\b|\bdef +(?:points|verdicts|judge)\b"
                               r"|\.(?:points|verdicts|judge|_desk)\b *=(?!=)|\bsetattr *\([^)\n]{0,80}[\"'](?:points|verdicts|judge)")),
)
"""What code has to mention to get at the marks."""

LONGEST_SOURCE = 20_000
LONGEST_QUOTE = 80


def odd(notebook: Mapping[str, Any], given: GivenOut, earned: Mapping[str, tuple[float, float]], scheme: str = "") -> Iterator[Flag]:
    """The flags of one notebook. given: what was given out, where that is known; earned: {grade cell: points and of} as the judge has them;
    scheme: the points that were marked with, as text."""
    claims = list(_claims(notebook))
    if isinstance(notebook.get("cells"), list):  # of a very large file only the record was read
        cells = {cell.name: cell for cell in given.graded}
        theirs = [cell for cell in cells_in(notebook) if grade_id_of(cell) in cells]
        other_build = bool(given.build) and build_of(notebook) not in ("", given.build)
        if changed := list(_changed(theirs, cells, other_build)):
            yield Flag(CELLS, SAYS[CELLS].format(", ".join(changed)))
        if other_build:
            yield Flag(BUILD, SAYS[BUILD])
        else:
            claims += _claimed_in_cells(theirs, cells, earned if scheme == given.scheme else {})
        own = [cell for cell in cells_in(notebook) if source_of(cell).strip() and source_of(cell) not in given.texts]
        if (found := _reaching(own)) is not None:
            yield Flag(REACHES, SAYS[REACHES].format(*found))
        if given and any(_is_note(cell, cells, given.others) for cell in own):
            yield Flag(NOTES, SAYS[NOTES])
    if claims:
        yield Flag(CLAIMS, SAYS[CLAIMS].format(", ".join(claims)))


def _changed(theirs: list[Mapping[str, Any]], cells: Mapping[str, GradeCell], other_build: bool) -> Iterator[str]:
    """What became of the grade cells, in words. other_build: they were given out with other cells, so none is missed."""
    there = Counter(map(grade_id_of, theirs))
    rewritten = {grade_id_of(cell) for cell in theirs
                 if cell.get("cell_type") != "code" or _call(source_of(cell)) != _call(cells[grade_id_of(cell)].source)}
    for count, what in ((0 if other_build else len(cells) - len(there), "taken out"), (len(rewritten), "rewritten"),
                        (sum(n > 1 for n in there.values()), "copied")):
        if count:
            yield f"a grading cell was {what}" if count == 1 else f"{count} grading cells were {what}"


def _call(source: str) -> str:
    """A grade cell's line without the number of its problem, which is another where a problem was put in before it."""
    return re.sub(r"^problem(_[0-9]+)?\b", "problem", source.strip())


def _claims(notebook: Mapping[str, Any]) -> Iterator[str]:
    """What the notebook's metadata says of points and verdicts. Answers and entries are the student's text, and are not looked at."""
    metadata = notebook.get("metadata")
    metadata = metadata if isinstance(metadata, Mapping) else {}
    record = metadata.get("plusway")
    names = {name for table in (metadata, record) if isinstance(table, Mapping) for name in table if name in CLAIMING}
    if names:
        yield f"the file's own data has {', '.join(sorted(names))} written into it"


def _claimed_in_cells(theirs: list[Mapping[str, Any]], cells: Mapping[str, GradeCell],
                      earned: Mapping[str, tuple[float, float]]) -> Iterator[str]:
    """What grade cells say of their points, in their metadata or as their output."""
    if any(_worth_changed(nbgrader_of(cell), cells[grade_id_of(cell)].of) for cell in theirs):
        yield "a grading cell has other points written into its data"
    for cell in theirs:
        printed, of = _printed(cell), cells[grade_id_of(cell)].of
        points, worth = earned.get(grade_id_of(cell), (of, of))
        limit = min(points, of) if worth == of else of  # a teacher who changed the points of a cell changed the measure
        if printed is not None and not printed <= limit + 1e-6:
            yield f"a grading cell shows {printed:g} points where there are {limit:g} (it may have been run before a later change)"
            return


def _worth_changed(meta: Mapping[str, Any], of: float) -> bool:
    return ("points" in meta and number(meta["points"]) != of) or any(name in meta for name in CLAIMING - {"points", "grade"})


def _printed(cell: Mapping[str, Any]) -> float | None:
    """The number that a cell's output shows; None where it shows none."""
    outputs = cell.get("outputs")
    for output in outputs[:5] if isinstance(outputs, list) else ():
        data = output.get("data") if isinstance(output, Mapping) else None
        text = data.get("text/plain") if isinstance(data, Mapping) else None
        text = "".join(map(str, text)) if isinstance(text, list) else text
        if isinstance(text, str) and re.fullmatch(r"-?[0-9]{1,9}(?:\.[0-9]{0,17})?", text.strip()):
            return float(text)
    return None


def _reaching(own: list[Mapping[str, Any]]) -> tuple[str, str] | None:
    """What code in these cells mentions of what it has no business with, and the line; None for nothing."""
    for cell in own:
        if cell.get("cell_type") != "code":
            continue
        source = source_of(cell)[:LONGEST_SOURCE]
        for what, pattern in BEYOND:
            if found := pattern.search(source):
                line = source[source.rfind("\n", 0, found.start()) + 1:].partition("\n")[0].strip()
                shown = printable(line[:LONGEST_QUOTE], "·")
                return what, shown + ("…" if len(line) > LONGEST_QUOTE else "")
    return None


def _is_note(cell: Mapping[str, Any], cells: Mapping[str, GradeCell], others: frozenset[str]) -> bool:
    """Whether a cell is the student's own: none that was given out to be written in, and none that the lesson has locked (an assignment
    may have been built anew since it was handed out)."""
    name, metadata = grade_id_of(cell), metadata_of(cell)
    locked = metadata.get("deletable") is False and metadata.get("editable") is False
    return name not in cells and name not in others and not locked
