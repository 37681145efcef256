"""Writing a file so that a reader, or a crash, meets either the old contents or the new, never half of either."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

PART = ".part"


@contextmanager
def replacing(path: str | os.PathLike[str], flush: bool = True) -> Iterator[IO[bytes]]:
    """Open a temporary file beside `path`; on leaving without error it is fsynced and takes the place of `path`.

    flush: False for one of many files, which `fsync_all` then makes survive a power cut together.

    Raises OSError where the folder can't be written; `path` is then untouched and nothing is left lying about.
    """
    target = Path(path)
    try:
        with _beside(target, flush) as stream:
            yield stream
    except OSError as error:
        error.filename = str(target)  # what the reader knows, not the temporary file's name, or none
        raise


@contextmanager
def _beside(target: Path, flush: bool) -> Iterator[IO[bytes]]:
    handle, name = tempfile.mkstemp(prefix=f".{target.name[:60]}.", suffix=PART, dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            yield stream
            stream.flush()
            if flush:
                os.fsync(stream.fileno())
        os.chmod(name, _mode_for(target))
        os.replace(name, target)
    except BaseException:
        with suppress(FileNotFoundError):
            os.unlink(name)
        raise
    if flush:
        fsync_folder(target.parent)


def write_atomic(path: str | os.PathLike[str], contents: str | bytes, flush: bool = True) -> None:
    """Replace `path` by `contents` (text is written as UTF-8) in one step. Raises OSError."""
    raw = contents.encode("utf-8", "replace") if isinstance(contents, str) else contents
    with replacing(path, flush) as stream:
        stream.write(raw)


def fsync_all(paths: Sequence[Path]) -> None:
    """Make files that were written with flush=False survive a power cut: at once, which takes a disk far less than one by one."""
    for path in paths:
        handle = os.open(path, os.O_RDWR)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    for folder in {path.parent for path in paths}:
        fsync_folder(folder)


def sweep(folder: Path, older_than: float = 0.0) -> None:
    """Delete what `replacing` had to leave in `folder` when its process was killed. older_than: seconds, where another process
    may be writing there just now."""
    for path in folder.glob(f".*{PART}"):
        with suppress(OSError):  # gone in the meantime, or not ours to delete: it is only in the way
            if time.time() - path.stat().st_mtime >= older_than:
                path.unlink()


def fsync_folder(folder: Path) -> None:
    """Make a new name in `folder` survive a power cut, on systems where a folder can be fsynced at all."""
    with suppress(OSError):  # Windows, and some network file systems, have no such thing: nothing to mend there
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _mode_for(target: Path) -> int:
    """The permissions the file has already, else what the process would give a new file (mkstemp gives 0600)."""
    with suppress(OSError):
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
