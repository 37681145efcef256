"""A notebook file -> its JSON as a plain dict, or one clear NotebookError. Nothing is believed and nothing is run.

A file of ordinary size is parsed whole. A very large one (somebody printed in a loop) is not: its answers record is
cut out of the bytes by stepping over strings, so that neither memory nor patience depends on what fills the rest.
"""

from __future__ import annotations

import json
import mmap
import os
import re
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .errors import NotebookError

PARSED_WHOLE = 16_000_000  # bytes
LARGEST = 1_000_000_000
MOST_MARKS = 5_000_000  # brackets, strings and escaped quotes that are stepped over: some seconds' work

_MARK = re.compile(rb'["{}\[\],:]')
_INNER_MARK = re.compile(rb'["{}\[\]]')  # below the top level nothing is looked for
_LONGEST_RUN = 1_000_000  # backslashes before a quote; an even number of them
_MAGIC = (
    (b"PK\x03\x04", "a zip archive"), (b"\x1f\x8b", "a gzip archive"), (b"7z\xbc\xaf", "a 7z archive"),
    (b"Rar!", "a RAR archive"), (b"%PDF", "a PDF"), (b"\x89PNG", "a picture"), (b"\xff\xd8\xff", "a picture"),
    (b"SQLite format 3", "a database"), (b"\xd0\xcf\x11\xe0", "an old Office document"),
)
_RESAVE = "ask for the .ipynb file that JupyterLab saves"
_CLEAR = "clear its outputs, save it, and hand it in again"


@dataclass(frozen=True)
class Notebook:
    """A parsed notebook: `json` is a dict whose further shape is unknown; `remarks` say what was left out of it."""

    json: dict[str, Any]
    remarks: tuple[str, ...] = ()


def parse_notebook(raw: bytes | mmap.mmap) -> Notebook:
    """Read a notebook's bytes. Raises NotebookError with one line that says what the file is instead."""
    size = len(raw)
    head = raw[:2000].lstrip()
    if not head and not raw[: min(size, PARSED_WHOLE)].strip():
        raise NotebookError(f"the file is empty; {_RESAVE}")
    for magic, what in _MAGIC:
        if head.startswith(magic):
            raise NotebookError(f"the file is {what}, not a notebook; {_RESAVE}")
    if head[:1] == b"<":
        raise NotebookError(f"the file is a web page (HTML), not a notebook; {_RESAVE}")
    if size > PARSED_WHOLE:
        return _cut_out(raw)
    try:
        document = json.loads(raw[:])
    except RecursionError:
        raise NotebookError(f"the file is nested too deeply to be a notebook; {_RESAVE}") from None
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise NotebookError(f"the file is broken JSON at {place} ({error.msg}); {_RESAVE}") from None
    except UnicodeDecodeError:
        raise NotebookError(f"the file is not text, so it is no notebook; {_RESAVE}") from None
    except ValueError:  # a number of thousands of digits
        raise NotebookError(f"the file holds a number too long to read; {_RESAVE}") from None
    if not isinstance(document, dict):
        raise NotebookError(f"the file is JSON but no notebook; {_RESAVE}")
    _check_format(document)
    return Notebook(document)


def read_notebook(path: str | os.PathLike[str], within: str | os.PathLike[str] | None = None) -> Notebook:
    """Read the notebook at `path`. Raises NotebookError, also for a link that leads out of the folder `within`."""
    file = checked(path, within)
    try:
        with open(file, "rb") as stream:
            size = os.fstat(stream.fileno()).st_size
            if size > PARSED_WHOLE:
                with mmap.mmap(stream.fileno(), 0, access=mmap.ACCESS_READ) as mapped:
                    return parse_notebook(mapped)
            return parse_notebook(stream.read(PARSED_WHOLE + 1))
    except OSError as error:
        raise NotebookError(f"the file can't be read: {error.strerror or error}") from None


def checked(path: str | os.PathLike[str], within: str | os.PathLike[str] | None = None) -> Path:
    """`path`, once it is known to be an ordinary file that lies, links followed, in the folder `within` (its own folder
    where none is given). Raises NotebookError."""
    file = Path(path)
    home = Path(within) if within is not None else file.parent
    try:
        real = file.resolve(strict=True)
        outside = file.is_symlink() and not real.is_relative_to(home.resolve())
        mode = os.stat(real).st_mode
    except FileNotFoundError:
        raise NotebookError("the file is a symbolic link that leads nowhere: not followed" if file.is_symlink()
                            else "there is no such file") from None
    except (OSError, RuntimeError, ValueError) as error:
        why = getattr(error, "strerror", None) or "a link leads to itself"
        raise NotebookError(f"the file can't be read: {why}") from None
    if outside:
        raise NotebookError("the file is a symbolic link out of its folder: not followed; ask for the notebook itself")
    if not stat.S_ISREG(mode):
        raise NotebookError("there is a folder or a device where a notebook should be")
    return real


def _check_format(document: dict[str, Any]) -> None:
    version = document.get("nbformat")
    if isinstance(version, int) and not isinstance(version, bool) and version < 4:
        raise NotebookError(f"the notebook is in the old format {version}; open it in JupyterLab, save it, and hand it "
                            "in again")
    if not isinstance(version, int) or isinstance(version, bool) or version > 4:
        raise NotebookError(f"the file is JSON but does not say that it is a notebook of format 4; {_RESAVE}")


def _cut_out(raw: bytes | mmap.mmap) -> Notebook:
    """The top-level "metadata" and "nbformat" of a file that is too large to be parsed whole."""
    megabytes = f"{len(raw) / 1e6:.0f} MB"
    if len(raw) > LARGEST:
        raise NotebookError(f"the file has {megabytes}, which is too large to be read; {_CLEAR}")
    document: dict[str, Any] = {}
    depth = place = count = 0
    key: bytes | None = None
    start: int | None = None  # where the value of `key` begins
    while (found := (_MARK if depth < 2 else _INNER_MARK).search(raw, place)) is not None:
        mark, began, place = found.group(), found.start(), found.end()
        count += 1
        if mark == b'"':
            place, quotes = _past_string(raw, place, MOST_MARKS - count)
            count += quotes
            if depth == 1 and start is None:
                key = raw[began: min(place, began + 64)]
        elif depth == 1 and mark == b":" and start is None:
            start = place
        elif depth == 1 and mark in b",}":
            if key in (b'"metadata"', b'"nbformat"') and start is not None:
                _take(document, key, raw, start, began)
            key = start = None
        if count >= MOST_MARKS:
            raise NotebookError(f"the file has {megabytes}, more than can be read; {_CLEAR}")
        depth += (mark in b"{[") - (mark in b"}]")
    _check_format(document)
    return Notebook(document, (f"the file has {megabytes}, nearly all of it output: only its answers record was read",))


def _past_string(raw: bytes | mmap.mmap, place: int, most: int) -> tuple[int, int]:
    """Where the string ends whose first character is at `place`, and how many escaped quotes there are in it; the end of the
    file where it doesn't end, or has more than `most` of them."""
    for escaped in range(most + 1):
        quote = raw.find(b'"', place)
        if quote < 0:
            return len(raw), escaped
        before = raw[max(place, quote - _LONGEST_RUN): quote]
        if (len(before) - len(before.rstrip(b"\\"))) % 2 == 0:
            return quote + 1, escaped
        place = quote + 1
    return len(raw), most


def _take(document: dict[str, Any], key: bytes, raw: bytes | mmap.mmap, start: int, end: int) -> None:
    if end - start > PARSED_WHOLE:
        raise NotebookError("the notebook's metadata are too large to be read; ask for a fresh copy")
    try:
        document[key.decode()[1:-1]] = json.loads(raw[start:end])
    except (ValueError, RecursionError):
        raise NotebookError(f"the file is broken JSON in its metadata; {_RESAVE}") from None
