"""Which grade cells a problem has, and what each is worth: the judge's items gathered as the notebook shows them.

Forces and equations have a cell for each thing; directions, ties, working, results and sense checks one for the step.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ..judging.verdicts import Verdicts
from ..method import PER_THING, STEPS
from ..scene.words import thing_name


@dataclass(frozen=True)
class Graded:
    """One grade cell: the step, the thing (None where the cell is for the whole step), and its points."""

    step: str
    item: str | None
    points: float
    of: float

    @property
    def key(self) -> tuple[str, str | None]:
        return self.step, self.item


def cells_of(verdicts: Verdicts) -> tuple[Graded, ...]:
    """The grade cells of one problem, in the order of the method."""
    return cells_of_json(verdicts.to_json())


def cells_of_json(verdicts: Mapping[str, Any]) -> tuple[Graded, ...]:
    """The same, from verdicts in the contract's JSON."""
    sums: dict[tuple[str, str | None], tuple[float, float]] = {}
    for step in sorted(verdicts["steps"], key=lambda s: STEPS.index(s["step"])):
        key = cell_of(step)
        points, of = sums.get(key, (0.0, 0.0))
        sums[key] = points + step["points"], of + step["of"]
    return tuple(Graded(step, item, points, of) for (step, item), (points, of) in sums.items())


def cell_of(step: Mapping[str, Any]) -> tuple[str, str | None]:
    """The (step, item) of the cell in which one of the judge's items is shown."""
    name = str(step["step"])
    return name, str(step["item"]) if name in PER_THING else None


def item_name(step: Mapping[str, Any]) -> str:
    """What one of the judge's items is about, for a sentence: a thing by its name in words, a result by its symbol, else "".

    >>> item_name({"step": "forces", "item": "big_bale"}), item_name({"step": "results", "item": "m_1"}), item_name({"step": "ties", "item": 0})
    ('big bale', 'm_1', '')
    """
    item = step["item"]
    return "" if isinstance(item, int) else str(item) if step["step"] == "results" else thing_name(str(item))


def grade_id(problem: str, step: str, item: str | None = None, part: str = "") -> str:
    """nbgrader's id of a cell: letters, figures, _ and - only, so anything else is spelt as its code point.

    >>> grade_id("feed-sack", "equations", "box A"), grade_id("feed-sack", "ties")
    ('feed-sack--equations--box-x20-A', 'feed-sack--ties')
    """
    return "--".join(_plain(name) for name in (problem, step, item, part) if name)


def points_call(variable: str, step: str, item: str | None = None) -> str:
    """The one line of a grade cell; its value is a float, and nbgrader reads the repr of that.

    >>> points_call("problem", "equations", "sack")
    'problem.points("equations", "sack")'
    """
    return f"{variable}.points({', '.join(quoted(name) for name in (step, item) if name is not None)})"


def quoted(name: str) -> str:
    """A string literal in double quotes that is the same in Python and JSON."""
    escaped = "".join(f"\\u{ord(c):04x}" if ord(c) < 32 else "\\" + c if c in '"\\' else c for c in name)
    return f'"{escaped}"'


def points_in(graded: Iterable[Graded], key: tuple[str, str | None], most: float) -> float:
    """The points for a grade cell that is worth `most` (a teacher may have changed it): in proportion."""
    for cell in graded:
        if cell.key == key and cell.of > 0:
            return round(min(max(cell.points / cell.of, 0.0), 1.0) * most, 6)
    return 0.0


def _plain(name: str) -> str:
    return re.sub(r"[^a-zA-Z0-9_-]", lambda found: f"-x{ord(found.group()):x}-", name)
