"""Two students with the same slips in the same order, where chance would hardly bring that about.

The question asked of a pair: of all who slip in k places, how many slip in the same k places, with the same wrong lines? For students
who work alone, place by place, that is

    P = (product of odds(line) over the row) / e_k,   odds(line) = p(line) / (1 - p(any wrong line there)),

where e_k is the k-th elementary symmetric polynomial of every place's odds of a wrong line. How strong the two are drops out of it,
as it does in Rasch's model (from memory), so weak students, who share slips without copying, are not suspected for being weak. A
line's part p is taken from those who wrote something at its place, the pair itself left out, with half a student more, so that a
line that nobody else wrote is rare and not impossible (Jeffreys' prior). Slips of one kind count once in a notebook, as the commonest
of them, for one misunderstanding makes several; so does a place, for the first wrong line draws others after it.

A pair is flagged where P times the number of pairs in the class is below 0.01 (Bonferroni's bound). Were the parts known exactly and
the slips independent, fewer than one class in a hundred would have a pair flagged by chance: a row is flagged only if its own chance
is that small, so for each of the N pairs the sum over all such rows of P(row) P(row) is below 0.01/N. Those two "were" are not quite
true, so tests/marking/test_alike.py counts the false alarms in simulated classes whose students differ in strength and have
misunderstandings of their own. The measure is ours (no source): it flags, it proves nothing.

Beside it stands a plain fact: two notebooks whose typed answers are the same letter for letter, spaces too. Short papers that are all
right may be that by chance, so it is told only of papers of some length, with several lines that are not right (or only follow from one
that is not), of which nobody else in the class wrote one at least.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from hashlib import sha256
from math import prod

from ..judging.verdicts import FOLLOWS, SLIP, UNREAD
from .marked import Flag, Marked
from .overrides import bare

FEWEST_KINDS = 3
FALSE_ALARMS = 0.01  # pairs to be expected in a whole class that worked alone
FEWEST_LINES, FEWEST_WRONG = 8, 3  # in answers that are the same letter for letter
TYPED = ("equations", "ties", "working", "results", "sense")
NAMED = 5  # others that a flag names

Place = tuple[str, str, str]
Slip = tuple[str, str, str, str, str]
Row = tuple[tuple[str, Place, bytes], ...]
"""A notebook's slips, the first of each place: kind, place, and a short hash of the wrong line."""


def slips_of(marked: Marked) -> tuple[Slip, ...]:
    """The slips in their order: problem, step, item, kind, and the line as written without its spaces."""
    return tuple((problem.problem, step["step"], str(step["item"]), slip["kind"], bare(str(step["text"])))
                 for problem, step in marked.steps() for slip in step["slips"])


class Alike:
    """Gathers the class notebook by notebook; holds a short hash for each notebook and a count for each different slip."""

    def __init__(self) -> None:
        self._made: dict[bytes, int] = defaultdict(int)
        self._wrote: dict[Place, int] = defaultdict(int)
        self._slipped: dict[Place, int] = defaultdict(int)
        self._groups: dict[bytes, list[tuple[str, str]]] = defaultdict(list)
        self._rows: dict[bytes, Row] = {}
        self._total = 0
        self._wrong: dict[bytes, int] = defaultdict(int)  # a wrong line, letter for letter: how many wrote it
        self._papers: dict[bytes, list[tuple[str, str]]] = defaultdict(list)
        self._wrong_of: dict[bytes, tuple[bytes, ...]] = {}

    def add(self, marked: Marked) -> None:
        """One notebook more; what has nothing written in it is not of this class."""
        places = {_place(problem.problem, step["step"], step["item"]) for problem, step in marked.steps() if step["text"]}
        if not places:
            return
        self._total += 1
        self._add_paper(marked)
        for place in places:
            self._wrote[place] += 1
        slips = slips_of(marked)
        first: dict[Place, tuple[str, bytes]] = {}
        for problem, step, item, kind, line in slips:
            first.setdefault(_place(problem, step, int(item) if item.isdigit() else item), (kind, _short(problem, step, kind, line)))
        for place, (_, name) in first.items():
            self._slipped[place] += 1
            self._made[name] += 1
        if len({kind for kind, _ in first.values()}) >= FEWEST_KINDS:
            row = _short(*(part for slip in slips for part in slip))
            self._groups[row].append((marked.file, marked.student))
            self._rows.setdefault(row, tuple((kind, place, name) for place, (kind, name) in first.items()))

    def flags(self) -> Mapping[str, tuple[Flag, ...]]:
        """{file: flags} for every notebook that is too much like another student's; letter for letter the same goes before alike."""
        out: dict[str, tuple[Flag, ...]] = {}
        for row, group in self._groups.items():
            students = {student for _, student in group}
            if len(students) < 2 or self.expected(self._rows[row]) >= FALSE_ALARMS:
                continue
            for file, student in group:
                others = tuple(sorted(students - {student})[:NAMED])
                out[file] = (Flag("alike", f"the same slips, on the same lines, in the same order as {', '.join(others)}", others),)
        return out | self._same_papers()

    def _add_paper(self, marked: Marked) -> None:
        lines = [(_short(problem.problem, step["step"], str(step["item"]), step["text"]), step["verdict"])
                 for problem, step in marked.steps() if step["text"] and step["step"] in TYPED]
        wrong = tuple(line for line, verdict in lines if verdict in (SLIP, UNREAD, FOLLOWS))
        for line in set(wrong):
            self._wrong[line] += 1
        if len(lines) >= FEWEST_LINES and len(wrong) >= FEWEST_WRONG and any(verdict != FOLLOWS for line, verdict in lines if line in wrong):
            paper = sha256(b"".join(line for line, _ in lines)).digest()[:12]
            self._papers[paper].append((marked.file, marked.student))
            self._wrong_of[paper] = wrong

    def _same_papers(self) -> dict[str, tuple[Flag, ...]]:
        out: dict[str, tuple[Flag, ...]] = {}
        for paper, group in self._papers.items():
            students = {student for _, student in group}
            if len(students) < 2 or all(self._wrong[line] > len(group) for line in self._wrong_of[paper]):
                continue
            for file, student in group:
                others = tuple(sorted(students - {student})[:NAMED])
                says = f"the same answers, letter for letter and wrong lines included, as another notebook: {', '.join(others)}"
                out[file] = (Flag("alike", says, others),)
        return out

    def expected(self, row: Row) -> float:
        """At most so many pairs in the class would share such a row if all worked alone: N P of above."""
        mine = {place for _, place, _ in row}
        wrong = {place: self._part(self._slipped[place], place, 2 if place in mine else 0) for place in self._wrote}
        odds: dict[str, float] = {}
        for kind, place, name in row:
            odds[kind] = max(odds.get(kind, 0.0), self._part(self._made[name], place, 2) / (1 - wrong[place]))
        any_row = _symmetric([part / (1 - part) for part in wrong.values()], len(odds))
        return min(prod(odds.values()) / any_row, 1.0) * self._total * (self._total - 1) / 2

    def _part(self, count: int, place: Place, without: int) -> float:
        """The part of those who wrote at a place, so many of the pair left out, that a count is; never nought and never all."""
        return (max(count - without, 0) + 0.5) / (max(self._wrote[place] - without, count - without, 0) + 1)


def _symmetric(values: Iterable[float], degree: int) -> float:
    """The elementary symmetric polynomial: the sum of the products of `degree` different values.

    >>> _symmetric([1.0, 2.0, 3.0], 2)
    11.0
    """
    sums = [1.0] + [0.0] * degree
    for value in values:
        for k in range(degree, 0, -1):
            sums[k] += value * sums[k - 1]
    return sums[degree]


def _place(problem: str, step: str, item: str | int) -> Place:
    """Where a line stands; the lines of a list all stand in one place."""
    return problem, step, item if isinstance(item, str) else ""


def _short(*parts: str) -> bytes:
    return sha256("\0".join(parts).encode("utf-8", "replace")).digest()[:12]
