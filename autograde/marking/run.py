"""Marking a whole folder: one task for each notebook, here, in several processes, or on a cluster.

Results are kept as they come (results.sqlite); only a few notebooks are under way at any time, so memory does not grow
with the class; a notebook whose digest is known is not marked again, so an interrupted run goes on where it stopped.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Collection, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import chain, islice
from pathlib import Path
from typing import Protocol

from ... import __version__
from ..errors import UsageError
from ..records.atomic import sweep
from ..records.errors import NotebookError
from ..records.journal import handed_in_with, parse
from ..records.lock import locked
from ..records.notebook import PARSED_WHOLE, Notebook, checked, read_notebook
from .alike import Alike
from .assignment import Assignment
from .feedback import file_name
from .folder import SHUT, SUFFIX, Submission, submissions_in
from .identity import Identities
from .mark import digest_of, mark_notebook
from .marked import Flag, Marked
from .overrides import Override
from .pages import AT_ONCE, Page, Pager, pages_here
from .processes import end_with_parent
from .second import seconds
from .store import Store, write_csv, write_jsonl
from .unlike import Unlike

COMMIT_EVERY = 0.5  # seconds
LOCK = ".marking"  # the file in the results' folder that a marking process holds


@dataclass(frozen=True)
class Job:
    """What every notebook of a run has in common; travels to other processes and machines."""

    assignment: Assignment
    overrides: tuple[Override, ...] = ()

    @property
    def context(self) -> str:
        return "\0".join([__version__, self.assignment.digest, repr(self.overrides)])


@dataclass(frozen=True)
class Task:
    """One notebook's bytes (or what was wrong with the file), its journal's, and what was wrong with that."""

    submission: Submission
    raw: bytes | Notebook | NotebookError
    journal: bytes = b""
    digest: str = ""
    remarks: tuple[str, ...] = ()


@dataclass
class Progress:
    """Counts for the one who waits. kept: not marked again, for nothing had changed; seconds: files that do not count, because the
    student handed in another."""

    marked: int = 0
    kept: int = 0
    unmarked: int = 0
    gone: int = 0
    seconds: int = 0
    remarks: list[str] = field(default_factory=list)


def mark_task(task: Task, job: Job) -> Marked:
    """Mark one notebook: the one function that runs here, in other processes and on a cluster. Never raises for a task."""
    found = parse(task.journal)
    return mark_notebook(task.raw, job.assignment, student=task.submission.student, file=task.submission.file,
                         journal=found.entries, remarks=(*task.remarks, *found.remarks), overrides=job.overrides)


class Marker(Protocol):
    """Where the tasks run: takes them in order, gives the marks as they come, and holds only a few at a time."""

    def __call__(self, tasks: Iterable[Task], job: Job) -> Iterator[tuple[Task, Marked]]: ...


def here(tasks: Iterable[Task], job: Job) -> Iterator[tuple[Task, Marked]]:
    """One after another, in this process."""
    for task in tasks:
        yield task, mark_task(task, job)


def in_processes(count: int) -> Marker:
    """In `count` processes of this machine. A process that dies takes its notebook along into the table, not the run."""

    def marker(tasks: Iterable[Task], job: Job) -> Iterator[tuple[Task, Marked]]:
        waiting = iter(tasks)
        again: deque[Task] = deque()
        while True:
            pending: dict[Future[Marked], Task] = {}
            with ProcessPoolExecutor(count, initializer=end_with_parent) as pool:
                try:
                    while True:
                        while len(pending) < 4 * count and (task := again.popleft() if again else next(waiting, None)):
                            pending[pool.submit(mark_task, task, job)] = task
                        if not pending:
                            return
                        done, _ = wait(pending, return_when=FIRST_COMPLETED)
                        for future in done:
                            result = future.result()
                            yield pending.pop(future), result
                except BrokenProcessPool:
                    yield from _one_by_one(pending.values(), job)

    return marker


def _one_by_one(tasks: Iterable[Task], job: Job) -> Iterator[tuple[Task, Marked]]:
    """After a process has died: each notebook that was under way in a process of its own, to find the one that kills."""
    for task in list(tasks):
        with ProcessPoolExecutor(1, initializer=end_with_parent) as pool:
            try:
                yield task, pool.submit(mark_task, task, job).result()
            except BrokenProcessPool:
                died = "the process that marked this notebook died (out of memory?); mark it yourself"
                yield task, Marked(task.submission.file, task.submission.student, job.assignment.name, error=died)


def mark_folder(folder: Path, out: Path, job: Job, marker: Marker = here,
                watch: Callable[[Marked | None, Progress], None] = lambda *_: None, pager: Pager = pages_here) -> Progress:
    """Mark every notebook below `folder` and bring all result files in `out` up to date: `sole_marker` and `mark_all` in one."""
    with sole_marker(folder, out, job.assignment.name) as listing:
        return mark_all(folder, out, job, listing, marker, watch, pager)


@contextmanager
def sole_marker(folder: Path, out: Path, assignment: str, known: Collection[str] = ()) -> Iterator[Iterator[Submission]]:
    """Be the only process that marks into `out`, for the block; gives the notebooks that there are to mark. What belongs to the
    results and is read before marking and written after it is safe in the block. Raises UsageError before anything is written where
    there is nothing to mark, work was handed in where the results go, or another process is marking into `out`. known: see `submissions_in`."""
    listing = submissions_in(folder, passing_over=out, assignment=assignment, known=known)
    first = next(listing, None)
    if first is None:
        raise UsageError(f"{folder}: no notebook (.ipynb) in this folder or below it")
    _no_work_among_results(folder, out)
    out.mkdir(parents=True, exist_ok=True)
    with locked(out / LOCK) as free:
        if not free:
            raise UsageError(f"{out}: another plusway mark is at work on these results; wait for it, or choose another --out")
        yield chain([first], listing)


def _no_work_among_results(folder: Path, out: Path) -> None:
    """A student may be called "marks", or an archive may hold such a folder: their notebooks would be passed over without a word."""
    within = out.is_dir() and out.resolve() != folder.resolve() and out.resolve().is_relative_to(folder.resolve())
    if within and not (folder / "submitted").is_dir() and (theirs := next(submissions_in(out), None)) is not None:
        raise UsageError(f"{theirs.below(out)}: lies where the results go, so it would not be marked; move it, or choose another --out")


def mark_all(folder: Path, out: Path, job: Job, listing: Iterator[Submission], marker: Marker = here,
             watch: Callable[[Marked | None, Progress], None] = lambda *_: None, pager: Pager = pages_here,
             roster: Collection[str] = ()) -> Progress:
    """Mark the notebooks of a listing. `watch` is called after each (None: kept as it was); roster: students of the class, as far as they are
    known, beside those who handed in. Raises UsageError where the results can't
    be kept any more; whatever was marked until then is not marked again."""
    progress = Progress()
    sweep(out)
    with Store(out / "results.sqlite") as store:
        last = time.monotonic()
        tasks = _tasks(folder, listing, job, store, progress, watch)
        for task, marked in marker(tasks, job):
            store.save(marked, task.digest)
            progress.marked += not marked.error
            progress.unmarked += bool(marked.error)
            watch(marked, progress)
            if time.monotonic() - last > COMMIT_EVERY:
                store.commit()
                last = time.monotonic()
        if (folder / "submitted").is_dir() and job.assignment.name:
            store.keep_others(job.assignment.name)
        progress.gone = store.forget_gone()
        progress.seconds = _count(store, folder)
        _compare(store, roster)
        store.commit()
        _write_results(store, out, job, pager)
        store.finish()
    return progress


def _tasks(folder: Path, listing: Iterable[Submission], job: Job, store: Store, progress: Progress,
           watch: Callable[[Marked | None, Progress], None]) -> Iterator[Task]:
    """A task for each notebook that has to be marked; the others are only noted as still there."""
    context = job.context
    for submission in listing:
        task = read_task(folder, submission, context)
        if task.digest and store.digest(submission.file) == task.digest:
            store.touch(submission.file)
            progress.kept += 1
            watch(None, progress)
        else:
            yield task


def read_task(folder: Path, submission: Submission, context: str) -> Task:
    """Read one notebook and its journal as bytes; a file too large to send about is cut down to its answers here."""
    path = submission.below(folder)
    raw: bytes | Notebook
    try:
        if path.suffix != SUFFIX:
            raise NotebookError(SHUT)  # only a folder is listed without being a notebook
        file = checked(path, folder if submission.file.count("/") == 0 else path.parent)
        large = file.stat().st_size > PARSED_WHOLE
        raw = read_notebook(file) if large else file.read_bytes()
    except NotebookError as error:
        return Task(submission, error, b"", digest_of(str(error).encode("utf-8", "replace"), b"", context))
    except OSError as error:
        return Task(submission, NotebookError(f"the file can't be read: {error.strerror or error}"))
    journal, trouble = handed_in_with(path)
    contents = raw if isinstance(raw, bytes) else repr(raw).encode("utf-8", "replace")
    digest = digest_of(contents, journal or trouble.encode("utf-8", "replace"), context)
    return Task(submission, raw, journal, digest, (trouble,) if trouble else ())


def _count(store: Store, folder: Path) -> int:
    """Settle which file counts where a student has several for one assignment; returns how many do not."""
    def changed(file: str) -> float:
        try:
            return (folder / file).stat().st_mtime
        except OSError:
            return 0.0  # a name that is no text, or a folder that can't be looked into

    not_counted = seconds(store.of_several(), changed)
    for file in {*store.second_files(), *not_counted}:
        store.count_instead(file, not_counted.get(file, ""))
    return len(not_counted)


def _compare(store: Store, roster: Collection[str]) -> None:
    """Flag notebooks that carry another student's identity, pairs that are too much alike, and notebooks about more than the others, in an
    assignment; the flags of an earlier run are replaced."""
    students = {*store.students(), *roster}
    classes: dict[str, tuple[Identities, Alike, Unlike]] = {}
    for marked in store.all():
        if marked.assignment not in classes:
            classes[marked.assignment] = Identities(marked.assignment, students), Alike(), Unlike()
        if not marked.second:
            for each in classes[marked.assignment]:
                each.add(marked)
    flags: dict[str, tuple[Flag, ...]] = {}
    for looks in classes.values():
        for found in looks:
            for file, some in found.flags().items():
                flags[file] = (*flags.get(file, ()), *some)
    for file in {*store.flagged_by_comparing(), *flags}:
        store.flag(file, flags.get(file, ()))


def _write_results(store: Store, out: Path, job: Job, pager: Pager) -> None:
    """results.jsonl, results.csv, and the page of every student who has none yet of these marks, perhaps because an earlier
    run was cut off before it came to that."""
    write_jsonl(store, out / "results.jsonl")
    write_csv(store, out / "results.csv")
    pages = out / "feedback"
    pages.mkdir(exist_ok=True)
    sweep(pages)
    wanted = store.unwritten()
    kept: set[str] = set()

    def missing() -> Iterator[Page]:
        for student in store.students():
            path = pages / file_name(student)
            kept.add(path.name)
            if student in wanted or not path.exists():
                yield Page(path, student, tuple(store.records_of(student)))

    some = missing()
    pager(iter(lambda: list(islice(some, AT_ONCE)), []), job.assignment)
    for path in pages.glob("*.html"):
        if path.name not in kept:
            path.unlink()
