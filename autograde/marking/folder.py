"""Finding the notebooks in a folder of collected work, and whose each one is."""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from ..errors import UsageError

SUFFIX = ".ipynb"
DEEPEST = 20  # folders within folders
SHUT = f"this folder may not be looked into, or lies more than {DEEPEST} folders deep, so nothing in it was marked; see to its permissions"
PASSED_OVER = ("feedback", "handout", "autograded", "release", "source", "node_modules", "__pycache__")


@dataclass(frozen=True)
class Submission:
    """One notebook: its path below the folder (with /), and the student that the folder says it is of, both as text that any
    file can hold; `path` is the same path as the system has it ("": no different)."""

    file: str
    student: str
    path: str = ""

    def below(self, folder: Path) -> Path:
        return folder / (self.path or self.file)


def submissions_in(folder: str | os.PathLike[str], passing_over: str | os.PathLike[str] | None = None,
                   assignment: str = "", known: Collection[str] = ()) -> Iterator[Submission]:
    """Every notebook below `folder`, in the order of their paths, a few at a time. Folders that are links are not
    followed; hidden ones, and the one where results go, are passed over. In nbgrader's layout (student/assignment/file)
    only the named assignment's. known: students who are really called NAME (2). A folder within that can't be looked into, or lies too deep, is given as if it were a
    notebook, so that it ends as a line in the table. Raises UsageError where there is no folder."""
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
        file = path.relative_to(root).as_posix()
        yield Submission(_text(file), _text(student_of(parts, known)), file)


def student_of(parts: tuple[str, ...], known: Collection[str] = ()) -> str:
    """Whose notebook it is, by its path below the folder of submissions: nbgrader's student/assignment/file, a folder for
    each student, or files named after students. A browser calls the second download of s017.ipynb "s017 (1).ipynb".

    >>> student_of(("s017", "ps1", "ps1.ipynb")), student_of(("s017", "ps1.ipynb")), student_of(("s017.ipynb",))
    ('s017', 's017', 's017')
    >>> student_of(("s017 (1).ipynb",)), student_of(("Anna (2).ipynb",), known=["Anna (2)"])
    ('s017', 'Anna (2)')
    """
    if len(parts) > 1:
        return parts[0]
    name = parts[0].removesuffix(SUFFIX)
    again = re.fullmatch(r"(.*\S) ?\([1-9][0-9]{0,2}\)", name, re.DOTALL)
    return name if again is None or name in known else again.group(1)


def _text(name: str) -> str:
    """A file's name as text: bytes that are none are written as \\xff, so that different names stay different."""
    return os.fsencode(name).decode("utf-8", "backslashreplace")


def _walk(folder: Path, skipped: Path | None, top: bool, depth: int = 0) -> Iterator[Path]:
    try:
        with os.scandir(folder) as entries:
            found = sorted(entries, key=lambda entry: entry.name)
    except OSError as error:
        if depth == 0:
            raise UsageError(f"{folder}: this folder can't be read: {error.strerror or error}") from None
        yield folder
        return
    if depth > DEEPEST:
        yield folder
        return
    for entry in found:
        if entry.name.startswith("."):
            continue
        if entry.is_dir(follow_symlinks=False):
            path = Path(entry.path)
            if not (top and entry.name in PASSED_OVER) and path.resolve() != skipped:
                yield from _walk(path, skipped, top=False, depth=depth + 1)
        elif entry.name.endswith(SUFFIX) and len(entry.name) > len(SUFFIX):
            yield Path(entry.path)
