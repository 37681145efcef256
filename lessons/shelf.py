"""The student's own folder: the lessons that ship are copied into it, and whatever is there already is left alone."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from ..autograde.errors import UsageError

SHIPPED = Path(__file__).parent / "notebooks"


@dataclass(frozen=True)
class Shelf:
    """A student's folder. new: the lessons that were copied just now; kept: those that were there before."""

    folder: Path
    new: tuple[str, ...]
    kept: tuple[str, ...]

    @property
    def lessons(self) -> tuple[str, ...]:
        """Every lesson's file name, in the order of the course."""
        return tuple(sorted((*self.new, *self.kept)))


def lay_out(folder: str | Path, shipped: Iterable[Path] | None = None) -> Shelf:
    """Copy each shipped lesson that the folder does not hold yet.

    Raises UsageError where the folder can't be one (a file of that name, no right to write); never overwrites.
    """
    place = Path(folder).expanduser().absolute()
    lessons = sorted(SHIPPED.glob("*.ipynb")) if shipped is None else list(shipped)
    new: list[str] = []
    kept: list[str] = []
    try:
        place.mkdir(parents=True, exist_ok=True)
        for lesson in lessons:
            (new if _copy_once(lesson, place / lesson.name) else kept).append(lesson.name)
        with tempfile.TemporaryFile(dir=place):
            pass  # a folder that can't be written would lose the student's work without a word
    except (FileExistsError, NotADirectoryError):
        raise UsageError(f"{place}: this is a file, not a folder; choose another with --folder") from None
    except OSError as error:
        raise UsageError(f"{place}: {error.strerror or error}; the lessons need a folder that can be written to, "
                         f"choose one with --folder") from None
    return Shelf(place, tuple(new), tuple(kept))


def _copy_once(source: Path, target: Path) -> bool:
    """Copy a file whole or not at all; False, and nothing done, where the target exists."""
    if target.exists():
        return False
    handle, draft = tempfile.mkstemp(dir=target.parent, prefix=f".{target.stem}-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(source.read_bytes())
            file.flush()
            os.fsync(file.fileno())
        os.chmod(draft, 0o644)
        if target.exists():  # another `plusway learn` was quicker
            return False
        os.replace(draft, target)
        return True
    finally:
        with suppress(FileNotFoundError):
            os.unlink(draft)
