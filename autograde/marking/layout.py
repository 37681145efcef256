"""A submission laid out afresh: the released notebook's cells in their order, with only what the student wrote put in.

So it makes no difference which cells the student deleted, copied, moved, retyped or gave other metadata.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from .given_out import cells_in, grade_id_of, metadata_of, source_of

MOST_NOTES = 200
LONGEST_NOTE = 20_000


def laid_out(released: Mapping[str, Any], submitted: Mapping[str, Any]) -> dict[str, Any]:
    """A valid notebook (as plain JSON) made of the released cells. From the submission come the texts of the cells that
    nbgrader calls solutions, and the student's own extra cells, which are kept as code cells so that nothing in them is
    ever rendered as HTML. Both inputs are left as they are."""
    out = copy.deepcopy(dict(released))
    known = {cell.get("id") for cell in out["cells"]} - {None}
    theirs = list(cells_in(submitted))
    written = {grade_id_of(cell): source_of(cell) for cell in theirs if grade_id_of(cell)}
    notes = _notes(theirs, known, set(filter(None, map(grade_id_of, out["cells"]))))
    cells: list[dict[str, Any]] = notes.pop(None, [])
    for cell in out["cells"]:
        meta = cell["metadata"].get("nbgrader") or {}
        if cell["cell_type"] == "code":
            cell.update(outputs=[], execution_count=None)
        if meta.get("solution") and meta.get("grade_id") in written:
            cell["source"] = written[meta["grade_id"]]
        cells.append(cell)
        for anchor in (cell.get("id"), meta.get("grade_id")):
            cells += notes.pop(anchor, []) if anchor else []
    for left in notes.values():
        cells += left
    out["cells"] = cells
    return out


def _notes(theirs: list[Mapping[str, Any]], known: set[Any], graded: set[str]) -> dict[str | None, list[dict[str, Any]]]:
    """The student's own cells, by the released cell that they stand behind (None: at the top)."""
    notes: dict[str | None, list[dict[str, Any]]] = {}
    anchor: str | None = None
    count = 0
    for cell in theirs:
        name, identity = grade_id_of(cell), cell.get("id")
        if name in graded or (isinstance(identity, str) and identity in known):
            anchor = name if name in graded else str(identity)
            continue
        source = source_of(cell)
        if not source.strip() or "plusway" in metadata_of(cell) or count >= MOST_NOTES:
            continue
        count += 1
        notes.setdefault(anchor, []).append({"cell_type": "code", "id": f"note-{count}", "metadata": {}, "outputs": [],
                                             "execution_count": None, "source": source[:LONGEST_NOTE]})
    return notes
