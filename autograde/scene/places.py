"""In which line of a TOML text a key stands: a help for the reader of a message, never for the parser."""

from __future__ import annotations

import re

from .error import Path

_HEADER = re.compile(r"\s*(\[\[?)([^\[\]]+)\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"\s*([A-Za-z0-9_\-.\"' ]{1,120}?)\s*=(.*)$")
_STRING = re.compile(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'|#.*$')


def lines_of_keys(text: str) -> dict[Path, int]:
    """The line (counted from 1) of every table and key that stands at the start of a line."""
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    depth = 0
    quoted = False
    for number, line in enumerate(text.split("\n"), start=1):
        triple = line.count('"""') + line.count("'''")
        inside, quoted = quoted, quoted ^ (triple % 2 == 1)
        if inside:
            continue
        bare = _STRING.sub("", line)
        if depth > 0:
            depth += bare.count("[") - bare.count("]")
            continue
        header = _HEADER.match(line)
        if header:
            parts: Path = tuple(p.strip().strip("\"'") for p in header[2].split("."))
            if header[1] == "[[":
                counts[parts] = counts.get(parts, -1) + 1
                parts = (*parts, counts[parts])
            elif parts[:1] in counts and len(parts) > 1:
                parts = (parts[0], counts[parts[:1]], *parts[1:])
            table = parts
            found.setdefault(table, number)
            continue
        pair = _KEY.match(line)
        if pair:
            name = tuple(p.strip().strip("\"'") for p in pair[1].split("."))
            for i in range(1, min(len(name), 6) + 1):
                found.setdefault((*table, *name[:i]), number)
            depth = max(0, bare.count("[") - bare.count("]"))
    return found


def line_of(text: str, path: Path) -> int | None:
    """The line of that key, or of the nearest table above it that can be found."""
    found = lines_of_keys(text)
    for end in range(len(path), 0, -1):
        if path[:end] in found:
            return found[path[:end]]
        # A table that is only named as part of a longer name: [body.sack], [[rope]].
        below = [line for key, line in found.items() if key[:end] == path[:end]]
        if below:
            return min(below)
    return None
