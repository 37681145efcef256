"""The cells that a teacher gave out, as far as a notebook that comes back is held against them; and how a cell of any shape is read."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from ..records.answers import clean_text


@dataclass(frozen=True)
class GradeCell:
    """One of plusway's grade cells as it was given out: its id, its one line, and what it is worth."""

    name: str
    source: str
    of: float


@dataclass(frozen=True)
class GivenOut:
    """What was given out. graded: the grade cells; others: the ids of cells that nbgrader knows for another reason, such as those that a
    student writes into; texts: what stands in any cell; scheme: the record's own points, as text; build: see `build_of`."""

    graded: tuple[GradeCell, ...] = ()
    others: frozenset[str] = frozenset()
    texts: frozenset[str] = frozenset()
    scheme: str = ""
    build: str = ""

    def __bool__(self) -> bool:
        return bool(self.texts)

    @property
    def digest(self) -> str:
        """Changes when anything changes that could change what is said of a notebook."""
        return repr((self.graded, sorted(self.others), sorted(self.texts), self.scheme, self.build))

    def with_texts_of(self, notebook: Mapping[str, Any]) -> GivenOut:
        """The same, with what else stands in the cells of a version that nbgrader made of it."""
        return replace(self, texts=self.texts | {source_of(cell) for cell in cells_in(notebook)})


def given_out_in(notebook: Mapping[str, Any], problems: Iterable[str], scheme: str = "") -> GivenOut:
    """What a teacher's notebook gives out. problems: their ids, with which the ids of plusway's grade cells begin."""
    graded: list[GradeCell] = []
    others: set[str] = set()
    beginnings = tuple(f"{problem}--" for problem in problems)
    for cell in cells_in(notebook):
        name, meta = grade_id_of(cell), nbgrader_of(cell)
        if name.startswith(beginnings) and cell.get("cell_type") == "code" and meta.get("grade") and not meta.get("solution"):
            graded.append(GradeCell(name, source_of(cell), number(meta.get("points")) or 0.0))
        elif name:
            others.add(name)
    return GivenOut(tuple(graded), frozenset(others), frozenset(source_of(cell) for cell in cells_in(notebook)), scheme, build_of(notebook))


def build_of(notebook: Mapping[str, Any]) -> str:
    """Which build of an assignment a notebook says that it comes from: `plusway assign --force` may have made another since it was given
    out, with other problems or points and so with other grade cells. "" where it says nothing."""
    metadata = notebook.get("metadata")
    record = metadata.get("plusway") if isinstance(metadata, Mapping) else None
    settings = record.get("settings") if isinstance(record, Mapping) else None
    if not isinstance(record, Mapping) or not isinstance(record.get("id"), str):
        return ""
    return f"{record['id']} {json.dumps(settings.get('scheme') if isinstance(settings, Mapping) else None, sort_keys=True)}"


def cells_in(notebook: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    """The cells of a notebook of any shape."""
    cells = notebook.get("cells")
    yield from (cell for cell in (cells if isinstance(cells, list) else []) if isinstance(cell, Mapping))


def metadata_of(cell: Mapping[str, Any]) -> Mapping[str, Any]:
    """A cell's metadata; {} where they are none."""
    metadata = cell.get("metadata")
    return metadata if isinstance(metadata, Mapping) else {}


def nbgrader_of(cell: Mapping[str, Any]) -> Mapping[str, Any]:
    """What nbgrader's part of the metadata says; {} where there is none."""
    meta = metadata_of(cell).get("nbgrader")
    return meta if isinstance(meta, Mapping) else {}


def grade_id_of(cell: Mapping[str, Any]) -> str:
    """The name by which nbgrader knows the cell; "" where it knows none."""
    name = nbgrader_of(cell).get("grade_id")
    return name if isinstance(name, str) else ""


def source_of(cell: Mapping[str, Any]) -> str:
    """A cell's text, of however many lines the file makes it; "" where it is none."""
    source = cell.get("source")
    if isinstance(source, list):
        source = "".join(line for line in source if isinstance(line, str))
    return clean_text(source) if isinstance(source, str) else ""


def number(value: object) -> float | None:
    """A number that JSON holds, of a size that can be reckoned with; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e15:
        return None
    return float(value)
