"""Two students with the same slips in the same order, where chance would hardly bring that about.

A slip's chance is how often the class made it. For a pair that shares a whole row of slips, the chance that two particular
students both made every one of them is the product of the squares; times the number of pairs in the class it is the number
of such pairs to be expected. Slips of one kind in one problem count once, for one misunderstanding makes several of them.
This is our own rough measure (no source): it flags, it proves nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from hashlib import sha256

from .marked import Flag, Marked

FEWEST_SLIPS = 3
EXPECTED_PAIRS = 0.01

Slip = tuple[str, str, str, str, str]


def slips_of(marked: Marked) -> tuple[Slip, ...]:
    """The slips in their order: problem, step, item, kind, and the line as written without its spaces."""
    return tuple((problem.problem, step["step"], str(step["item"]), slip["kind"], "".join(str(step["text"]).split()))
                 for problem, step in marked.steps() for slip in step["slips"])


class Alike:
    """Gathers the class notebook by notebook; holds a short hash for each notebook and a count for each different slip."""

    def __init__(self) -> None:
        self._count: dict[bytes, int] = defaultdict(int)
        self._groups: dict[bytes, list[tuple[str, str]]] = defaultdict(list)
        self._rows: dict[bytes, tuple[bytes, ...]] = {}
        self._total = 0

    def add(self, marked: Marked) -> None:
        self._total += 1
        slips = slips_of(marked)
        for name in {_short(*slip) for slip in slips}:
            self._count[name] += 1
        if len(slips) >= FEWEST_SLIPS:
            row = _short(*(part for slip in slips for part in slip))
            self._groups[row].append((marked.file, marked.student))
            if row not in self._rows:
                first = {(slip[0], slip[3]): _short(*slip) for slip in reversed(slips)}
                self._rows[row] = tuple(first.values())

    def flags(self) -> Mapping[str, tuple[Flag, ...]]:
        """{file: flags} for every notebook that is too much like another student's."""
        out: dict[str, tuple[Flag, ...]] = {}
        for row, group in self._groups.items():
            students = {student for _, student in group}
            if len(students) < 2 or len(self._rows[row]) < FEWEST_SLIPS or self.expected(self._rows[row]) >= EXPECTED_PAIRS:
                continue
            for file, student in group:
                others = ", ".join(sorted(students - {student})[:5])
                out[file] = (Flag("alike", f"the same slips, on the same lines, in the same order as {others}"),)
        return out

    def expected(self, slips: Iterable[bytes]) -> float:
        """How many pairs in the class would share these slips if students made them independently."""
        pairs = self._total * (self._total - 1) / 2
        for slip in slips:
            pairs *= (self._count[slip] / self._total) ** 2
        return pairs


def _short(*parts: str) -> bytes:
    return sha256("\0".join(parts).encode("utf-8", "replace")).digest()[:12]
