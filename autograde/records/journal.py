"""The journal: every committed answer, one JSON line each, appended to a file beside the notebook.

Appending is the one thing that a crash can't undo: a line is written with a single write to a file opened for
appending, under a lock where the system has one, and fsynced before the student is told that the answer is kept. A
reader believes nothing: torn, binary and foreign lines are passed over and counted.
"""

from __future__ import annotations

import errno
import json
import os
import tempfile
import uuid
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime, timezone
from pathlib import Path
from typing import Any

from .answers import Remarks
from .atomic import fsync_folder
from .entries import GREATEST_N, Entry, entry_of
from .errors import JournalError, NotebookError
from .notebook import checked

try:
    import fcntl
except ImportError:  # Windows: the append is still one write; two tabs may then get the same n, and `when` decides
    fcntl = None  # type: ignore[assignment]

SUFFIX = ".plusway.jsonl"
LONGEST_LINE = 400_000  # bytes
LARGEST = 16_000_000  # bytes; a journal this long is no student's work
MOST_REMARKS = 20

_ADVICE = {
    errno.EACCES: "the folder may not be written to; copy the notebook to a folder of your own and open it there",
    errno.EPERM: "the folder may not be written to; copy the notebook to a folder of your own and open it there",
    errno.EROFS: "the folder is read-only; copy the notebook to a folder of your own and open it there",
    errno.ENOSPC: "the disk is full; delete something, then commit the answer again",
    errno.EDQUOT: "your quota of disk space is used up; delete something, then commit the answer again",
    errno.EFBIG: "the file would be larger than this system lets it be; move it away, then commit the answer again",
    errno.ENOENT: "the folder is gone; save the notebook somewhere else and open it there",
    errno.EISDIR: "there is a folder of that name; rename it",
}


@dataclass(frozen=True)
class Read:
    """What a journal holds: its entries in the order of writing, and one remark for each kind of line passed over."""

    entries: tuple[Entry, ...]
    remarks: tuple[str, ...] = ()


def parse(raw: bytes) -> Read:
    """Read a journal's bytes. Never raises; unusable lines are counted in a remark."""
    entries: list[Entry] = []
    remarks = Remarks()
    bad = 0
    for line in raw.split(b"\n"):
        if not line.strip():
            continue
        entry = None
        if len(line) <= LONGEST_LINE:
            with suppress(ValueError, RecursionError):
                entry = entry_of(json.loads(line), remarks)
        if entry is None:
            bad += 1
        else:
            entries.append(entry)
    if bad:
        lines = f"{bad} line{'s' if bad > 1 else ''}"
        remarks.insert(0, f"the journal has {lines} that can't be read (torn or foreign): passed over")
    return Read(tuple(entries), remarks.told(MOST_REMARKS))


def of_lesson(read: Read, lesson: str) -> tuple[Entry, ...]:
    """The entries that belong to the notebook with that id; entries or notebooks without an id belong together."""
    return tuple(e for e in read.entries if not lesson or not e.lesson or e.lesson == lesson)


def beside(notebook: str | os.PathLike[str]) -> Path:
    """Where the journal of a notebook is kept."""
    path = Path(notebook)
    return path.with_name(path.stem + SUFFIX)


def handed_in_with(notebook: Path) -> tuple[bytes, str]:
    """The bytes of the journal beside a notebook that was handed in, and "" or why they were not read: what is wrong with a
    journal must not cost the notebook. Never raises."""
    path = beside(notebook)
    if not os.path.lexists(path):
        return b"", ""
    try:
        with open(checked(path, path.parent), "rb") as stream:
            raw = stream.read(LARGEST + 1)
    except NotebookError as error:
        return b"", f"the journal beside the notebook was not read: {error}"
    except OSError as error:
        return b"", f"the journal beside the notebook can't be read: {error.strerror or error}"
    if len(raw) > LARGEST:
        return b"", f"the journal beside the notebook is larger than {LARGEST // 1_000_000} MB: not read"
    return raw, ""


def entries_for(notebook: str | os.PathLike[str], lesson: str = "") -> Read:
    """All that the student's own folder knows of this notebook, also after it was renamed or copied.

    The notebook's id finds its entries in any journal of the folder; without an id only the file name can.
    Raises JournalError where the folder or the journal can't be read.
    """
    own = beside(notebook)
    found: dict[str, Entry] = {}
    remarks: list[str] = []
    others = sorted(p for p in own.parent.glob("*" + SUFFIX) if p != own) if lesson else []
    for path in [own, *others]:
        try:
            read = Journal(path).read()
        except JournalError as error:
            if path == own:
                raise
            remarks.append(f"not looked at: {error}")  # another lesson's trouble must not hide this one's answers
            continue
        entries = of_lesson(read, lesson) if path == own else tuple(e for e in read.entries if e.lesson == lesson)
        found.update({e.id or f"{path.name}:{place}": e for place, e in enumerate(entries)})
        if entries or path == own:
            remarks += read.remarks
    return Read(tuple(found.values()), tuple(remarks))


def highest(entries: Iterable[Entry]) -> int:
    """The largest count of any entry; 0 where there is none."""
    return max((e.n for e in entries), default=0)


class Journal:
    """The journal file at `path`: `append` and `read` are all the effects that there are.

    `clock` returns the present time (with time zone); only its reading in the record depends on it, never an order.
    """

    def __init__(self, path: str | os.PathLike[str], clock: Callable[[], datetime] | None = None) -> None:
        self.path = Path(path)
        self._clock = clock or (lambda: datetime.now(timezone.utc))
        self._seen = 0  # bytes already searched for the highest n
        self._inode = 0
        self._n = 0

    def read(self) -> Read:
        """Every entry; an absent file holds none. Raises JournalError where it is there and can't be read."""
        try:
            with open(self.path, "rb") as stream:
                raw = stream.read(LARGEST + 1)
        except FileNotFoundError:
            return Read(())
        except OSError as error:
            raise self._trouble("read", error) from None
        if len(raw) > LARGEST:
            raise self._too_large()
        return parse(raw)

    def probe(self) -> None:
        """Nothing, where an answer could be kept just now; JournalError where it could not. Leaves no file behind."""
        try:
            if self.path.exists():
                os.close(os.open(self.path, os.O_WRONLY | os.O_APPEND))
            else:
                with tempfile.TemporaryFile(dir=self.path.parent):
                    pass
        except OSError as error:
            raise self._trouble("written", error) from None

    def append(self, problem: str, step: str, value: Any, *, item: str | None = None, hints: int = 0, lesson: str = "",
               above: int = 0) -> Entry:
        """Keep one answer and return its entry once it is on the disk; its n is above every n in the file and `above`
        (the highest in the notebook's metadata). Raises JournalError; nothing is then kept of it."""
        when = self._clock().astimezone(timezone.utc).isoformat(timespec="milliseconds")
        try:
            new = not self.path.exists()
            with self._locked() as handle:
                size = os.fstat(handle).st_size
                n = min(max(self._highest(handle, size), above) + 1, GREATEST_N)
                entry = Entry(uuid.uuid4().hex, when, n, problem, step, item, value, hints, lesson)
                line = json.dumps(entry.to_json(), ensure_ascii=True, separators=(",", ":")).encode() + b"\n"
                if len(line) > LONGEST_LINE:  # what could not be read back must not be called kept
                    raise JournalError("this answer is too long to be kept; shorten it, then commit it again")
                if size + len(line) > LARGEST:
                    raise self._too_large()
                # A torn last line is closed off first, so that it costs itself only.
                torn = size > 0 and os.pread(handle, 1, size - 1) != b"\n" if hasattr(os, "pread") else True
                self._write(handle, (b"\n" if torn and size else b"") + line, size)
                self._n = n
            if new:
                fsync_folder(self.path.parent)
        except JournalError:
            raise
        except OSError as error:
            raise self._trouble("written", error) from None
        return entry

    @contextmanager
    def _locked(self) -> Iterator[int]:
        handle = os.open(self.path, os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0), 0o666)
        try:
            if fcntl is not None:
                with suppress(OSError):  # some network file systems have no locks; appending still works
                    fcntl.flock(handle, fcntl.LOCK_EX)
            yield handle
        finally:
            os.close(handle)  # which also gives the lock back

    def _write(self, handle: int, line: bytes, size: int) -> None:
        try:
            if os.write(handle, line) != len(line):  # the disk filled up in the middle of the line
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            os.fsync(handle)
        except OSError:
            with suppress(OSError):
                os.ftruncate(handle, size)
            raise

    def _highest(self, handle: int, size: int) -> int:
        """The highest n in the file; only what came since the last look is read."""
        inode = os.fstat(handle).st_ino
        if inode != self._inode or size < self._seen:
            self._inode, self._seen, self._n = inode, 0, 0
        if size > self._seen:
            with open(self.path, "rb") as stream:
                stream.seek(self._seen)
                self._n = max(self._n, highest(parse(stream.read(LARGEST)).entries))
            self._seen = size
        return self._n

    def _too_large(self) -> JournalError:
        return JournalError(f"{self.path.name}: larger than {LARGEST // 1_000_000} MB, so it is no journal of a lesson; "
                            "move it away, then commit the answer again")

    def _trouble(self, what: str, error: OSError) -> JournalError:
        advice = _ADVICE.get(error.errno or 0, error.strerror or type(error).__name__)
        return JournalError(f"{self.path.name}: your answers can't be {what} here: {advice}")
