"""A lock: holding a file so that one process at a time does something. The system gives it back when the process ends, however it ends."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

try:
    import fcntl
except ImportError:  # Windows has another way of saying it
    fcntl = None  # type: ignore[assignment]

HELD = (errno.EACCES, errno.EAGAIN, errno.EDEADLK)


@contextmanager
def locked(path: Path) -> Iterator[bool]:
    """Hold the file at `path` (made where it is missing, and left behind) for the block; False where another process has it.

    A child process does not inherit it. Where the file system has no locks, everybody is told True. Raises OSError where the
    file can't be opened.
    """
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    try:
        yield _taken(handle)
    finally:
        os.close(handle)  # which also gives the lock back


def _taken(handle: int) -> bool:
    try:
        if fcntl is not None:
            fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            import msvcrt

            windows: Any = msvcrt
            windows.locking(handle, windows.LK_NBLCK, 1)
    except OSError as error:
        return error.errno not in HELD
    return True
