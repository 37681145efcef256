"""Finding the notebooks in a folder of collected work, and whose each one is."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from ..errors import UsageError
from ..records.answers import clean_text

SUFFIX = ".ipynb"
PASSED_OVER = ("feedback", "handout", "autograded", "release", "source", "node_modules", "__pycache__")


@dataclass(frozen=True)
class Submission:
    """One notebook: its path below the folder (with /), and the student that the folder says it is of."""

    file: str
    student: str


def submissions_in(folder: str | os.PathLike[str], passing_over: str | os.PathLike[str] | None = None,
                   assignment: str = "") -> Iterator[Submission]:
    """Every notebook below `folder`, in the order of their paths, a few at a time. Folders that are links are not
    followed; hidden ones, and the one where results go, are passed over. In nbgrader's layout (student/assignment/file)
    only the named assignment's. Raises UsageError where there is no folder."""
    root = Path(folder)
    if not root.exists():
        raise UsageError(f"{folder}: there is no such folder; give the one that holds the collected notebooks")
    if not root.is_dir():
        raise UsageError(f"{folder}: this is a file; give the folder that holds the collected notebooks")
    skipped = Path(passing_over).resolve() if passing_over is not None else None
    # In a course folder of nbgrader only submitted/ holds the students' work.
    start = root / "submitted" if (root / "submitted").is_dir() else root
    for path in _walk(start, skipped, top=start == root):
        parts = path.relative_to(start).parts
        if assignment and start != root and len(parts) > 2 and parts[1] != assignment:
            continue
        yield Submission(path.relative_to(root).as_posix(), clean_text(student_of(parts)))


def student_of(parts: tuple[str, ...]) -> str:
    """Whose notebook it is, by its path below the folder of submissions: nbgrader's student/assignment/file, a folder for
    each student, or files named after students.

    >>> student_of(("s017", "ps1", "ps1.ipynb")), student_of(("s017", "ps1.ipynb")), student_of(("s017.ipynb",))
    ('s017', 's017', 's017')
    """
    return parts[0] if len(parts) > 1 else parts[0][: -len(SUFFIX)]


def _walk(folder: Path, skipped: Path | None, top: bool) -> Iterator[Path]:
    try:
        with os.scandir(folder) as entries:
            found = sorted(entries, key=lambda entry: entry.name)
    except PermissionError:
        raise UsageError(f"{folder}: this folder may not be read; change its permissions or leave it out") from None
    for entry in found:
        if entry.name.startswith("."):
            continue
        if entry.is_dir(follow_symlinks=False):
            path = Path(entry.path)
            if not (top and entry.name in PASSED_OVER) and path.resolve() != skipped:
                yield from _walk(path, skipped, top=False)
        elif entry.name.endswith(SUFFIX) and len(entry.name) > len(SUFFIX):
            yield Path(entry.path)
