"""The one exception of the scene file: one line that names the file, the key, what was found and what would do."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from ..errors import PluswayError
from ..printable import printable

Path = tuple[str | int, ...]


class SceneError(PluswayError):
    """A scene file that can't be used.

    `file` as the caller named it, `where` the key path ("bodies.sledge.moves") or "" for the file as a whole, `says`
    what was found and what would do, `line` the line of the key where it could be found (counted from 1).
    """

    def __init__(self, file: str, where: str, says: str, line: int | None = None) -> None:
        self.file = one_line(file, 300)
        self.where = one_line(where, 120)
        self.says = one_line(says, 600)
        self.line = line
        super().__init__(file, where, says, line)

    def __str__(self) -> str:
        file = self.file if self.line is None else f"{self.file}, line {self.line}"
        return ": ".join(part for part in (file, self.where, self.says) if part)


class Trouble(Exception):
    """What is wrong and at which key, before anyone has said in which file."""

    def __init__(self, path: Path, says: str) -> None:
        super().__init__(path, says)
        self.path = path
        self.says = says


def key_path(path: Path) -> str:
    """Write a path the way a reader finds it: ("ropes", 0, "pulls", 1) -> "ropes[0].pulls[1]" (lists count from 0)."""
    out = ""
    for part in path:
        out += f"[{part}]" if isinstance(part, int) else f".{part}" if out else part
    return out


def one_line(text: str, limit: int = 200) -> str:
    """The text without line breaks or control characters, cut at `limit` characters."""
    # surrogates (undecodable file names) can't be printed
    clean = printable(text, " ")
    return clean if len(clean) <= limit else clean[: limit - 1] + "…"


def shown(value: object) -> str:
    """How a message quotes what was found, never longer than a message can bear."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list" if value else "an empty list"
    if isinstance(value, str):
        return f"'{one_line(value, 60)}'"
    try:
        return one_line(str(value), 60)
    except ValueError:  # an int of more digits than Python is willing to print
        return "a huge number"


def listed(words: Iterable[str], limit: int = 24) -> str:
    """The words with commas between them, and how many there are where they are more than `limit`."""
    words = list(words)
    more = f" … ({len(words)} in all)" if len(words) > limit else ""
    return ", ".join(words[:limit]) + more


def near(word: str, known: Iterable[str]) -> str:
    """ "; did you mean 'x'?" where one of the known words is close or is how the word begins, else ""."""
    by_lower = {k.lower(): k for k in known}
    low = word.lower()[:60]
    hits = difflib.get_close_matches(low, by_lower, n=1, cutoff=0.6)
    hits += [k for k in by_lower if len(k) > 1 and low.startswith(k)]
    return f"; did you mean '{by_lower[hits[0]]}'?" if hits else ""
