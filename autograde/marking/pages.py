"""Writing the students' pages, some dozens at a time: here, or in several processes, which need nothing but the records."""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from pathlib import Path

from ..errors import PluswayError
from ..records.atomic import fsync_all, write_atomic
from .assignment import Assignment
from .feedback import Shown, page, shown
from .marked import Marked
from .processes import end_with_parent

AT_ONCE = 50


@dataclass(frozen=True)
class Page:
    """One page to write: where, whose, and the student's records as the store keeps them (lines of JSON)."""

    path: Path
    student: str
    records: tuple[str, ...]


Pager = Callable[[Iterable[Sequence[Page]], Assignment], None]
"""Where pages are written: takes them by the handful and holds few at a time. Raises OSError where one can't be written."""


def write_pages(pages: Sequence[Page], assignment: Assignment) -> None:
    """A handful of pages; when this returns they would survive a power cut."""
    for one in pages:
        work = [Marked.from_json(json.loads(record)) for record in one.records]
        write_atomic(one.path, page(one.student, work, _scenes(work, assignment)), flush=False)
    fsync_all([one.path for one in pages])


def pages_here(handfuls: Iterable[Sequence[Page]], assignment: Assignment) -> None:
    """One handful after another, in this process."""
    for pages in handfuls:
        write_pages(pages, assignment)


def pages_in_processes(count: int) -> Pager:
    """In `count` processes of this machine; what a process that dies had in hand is written here."""

    def pager(handfuls: Iterable[Sequence[Page]], assignment: Assignment) -> None:
        waiting = iter(handfuls)
        in_hand: deque[Sequence[Page]] = deque()
        futures: deque[Future[None]] = deque()
        with ProcessPoolExecutor(count, initializer=end_with_parent) as pool:
            try:
                while True:
                    while len(in_hand) < 2 * count and (pages := next(waiting, None)):
                        in_hand.append(pages)
                        futures.append(pool.submit(write_pages, pages, assignment))
                    if not futures:
                        return
                    futures.popleft().result()
                    in_hand.popleft()
            except BrokenProcessPool:
                futures.clear()
        pages_here(in_hand, assignment)
        pages_here(waiting, assignment)

    return pager


def _scenes(work: Sequence[Marked], assignment: Assignment) -> dict[str, Shown]:
    """{problem: scene} for the problems of some notebooks, as far as their scenes can be had."""
    texts = {p.id: (p.toml, p.scene) for p in assignment.problems}
    for marked in work:
        for problem in marked.problems:
            toml = assignment.library.get(problem.scene)
            if toml is not None:
                texts.setdefault(problem.problem, (toml, problem.scene))
    variants = {problem.problem: problem.variant for marked in work for problem in marked.problems}
    found: dict[str, Shown] = {}
    for name, (toml, scene) in texts.items():
        try:
            found[name] = shown(toml, scene, variants.get(name, ""))
        except PluswayError:
            continue  # shown without formulas: the page needs the scene for nothing else
    return found
