"""Notebooks that carry another student's identity: the seed that marking would have given another of the class, or another's name.

It says so to the teacher only. The student is marked by the numbers in the file, whosever they are (mark.py).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from hashlib import sha256

from .assignment import seed_for
from .marked import Flag, Marked

NUMBERS, NAME, ANSWERS = "the numbers", "the student's name inside the file", "the answers"


class Identities:
    """Gathers the files of one assignment one by one; holds a few words for each and a hash of its answers."""

    def __init__(self, assignment: str, students: Iterable[str]) -> None:
        """students: everybody who might be meant."""
        self._students = set(students)
        self._seeds = {seed_for(assignment, student): student for student in self._students}
        self._papers: dict[str, set[bytes]] = defaultdict(set)
        self._odd: list[tuple[str, bytes, dict[str, list[str]]]] = []  # file, its answers, {other: what is theirs}

    def add(self, marked: Marked) -> None:
        """One file more."""
        paper = _paper(marked)
        self._papers[marked.student].add(paper)
        theirs: dict[str, list[str]] = {}
        for what, other in ((NUMBERS, self._seeds.get(marked.seed)), (NAME, marked.named if marked.named in self._students else None)):
            if other is not None and other != marked.student:
                theirs.setdefault(other, []).append(what)
        if theirs:
            self._odd.append((marked.file, paper, theirs))

    def flags(self) -> Mapping[str, tuple[Flag, ...]]:
        """{file: flags} for every file that carries another student's identity; whether the answers are the same is said too."""
        return {file: tuple(self._flag(other, what, paper) for other, what in theirs.items()) for file, paper, theirs in self._odd}

    def _flag(self, other: str, what: list[str], paper: bytes) -> Flag:
        parts = [*what, ANSWERS] if paper and paper in self._papers[other] else what
        said = ", ".join(parts[:-1]) + (" and " if len(parts) > 1 else "") + parts[-1]
        return Flag("whose", f"{said} {'is that' if parts == [NAME] else 'are those'} of {other}", (other,))


def _paper(marked: Marked) -> bytes:
    """A hash of everything that is written in a notebook; b"" where nothing is."""
    lines = [f"{problem.problem}\0{step['step']}\0{step['item']}\0{step['text']}" for problem, step in marked.steps() if step["text"]]
    return sha256("\1".join(lines).encode("utf-8", "replace")).digest() if lines else b""
