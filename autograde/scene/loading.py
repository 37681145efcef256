"""Read a scene file: bytes -> TOML -> tables -> records -> checks, every failure one `SceneError`."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path as FilePath
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from . import cures
from .build import build
from .checks import MOST_STRANDS, MOST_THINGS, check
from .digest import digest_of
from .document import SceneTable
from .error import Path, SceneError, Trouble, key_path, listed, near, shown
from .model import Scene
from .places import line_of
from .scene_keys import table_at
from .symbols import check_asked, symbol_table

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

MOST_BYTES = 256 * 1024
MOST_VALUES = 500
# The TOML parser takes time that grows with the square of the parts of a dotted key.
_MOST_DOTS = 400_000


_HEADER = re.compile(r"\s*\[[^=,]*\]\s*(#.*)?$")
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")


def load(path: str | os.PathLike[str]) -> Scene:
    """The scene of a TOML file; its name is the file's stem. SceneError says in one line what to mend."""
    file = os.fspath(path)
    return load_text(_read(file), name=FilePath(file).stem, file=file)


def load_text(text: str, name: str = "scene", file: str = "scene.toml") -> Scene:
    """The scene of a TOML text. `file` is what messages call it."""
    try:
        return replace(complete(_scene(text, name)), file=file)
    except Trouble as trouble:
        raise SceneError(file, key_path(trouble.path), trouble.says, line_of(text, trouble.path)) from None
    except _Unparsed as trouble:
        raise SceneError(file, "", trouble.says, trouble.line) from None


def complete(scene: Scene) -> Scene:
    """Check a scene that has just been built, and give it its symbols and its digest; Trouble where it does not fit."""
    check(scene)
    scene = replace(scene, symbols=symbol_table(scene))
    check_asked(scene)
    return replace(scene, digest=digest_of(scene))


@dataclass
class _Unparsed(Exception):
    says: str
    line: int | None = None


def _read(file: str) -> str:
    try:
        if os.path.isdir(file):
            raise SceneError(file, "", "is a folder; name a TOML file in it")
        if os.path.exists(file) and not os.path.isfile(file):
            raise SceneError(file, "", "is not a regular file; name a TOML file")
        with open(file, "rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise SceneError(file, "", "there is no such file") from None
    except (OSError, ValueError) as why:
        if isinstance(why, SceneError):
            raise
        raise SceneError(file, "", f"can't be read ({getattr(why, 'strerror', None) or why})") from None
    if len(data) > MOST_BYTES:
        raise SceneError(file, "", f"is larger than {MOST_BYTES // 1024} KB; a scene is a page of text")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        line = data.count(b"\n", 0, why.start) + 1
        raise SceneError(file, "", "is not UTF-8 text; save it as UTF-8", line) from None


def _scene(text: str, name: str) -> Scene:
    tables = _tables(text)
    _count(tables)
    comma = tables.get("decimal_comma") is True
    try:
        return build(SceneTable.model_validate(tables, context={"decimal_comma": comma}), name)
    except ValidationError as errors:
        raise _first(errors.errors(include_url=False, include_context=True), tables) from None


def _tables(text: str) -> dict[str, Any]:
    if len(text) > MOST_BYTES:
        raise _Unparsed(f"is larger than {MOST_BYTES // 1024} KB; a scene is a page of text")
    lines = text.split("\n")
    dots = [line.count(".") for line in lines]
    if sum(d * d for d in dots) > _MOST_DOTS or any(
        d > 8 and _HEADER.match(line) for d, line in zip(dots, lines, strict=True)
    ):
        deepest = dots.index(max(dots)) + 1
        raise _Unparsed("has keys of too many dotted parts; a scene needs three at most", deepest)
    try:
        return tomllib.loads(text, parse_float=str)
    except tomllib.TOMLDecodeError as why:
        says, line = _syntax(str(why), lines)
        raise _Unparsed(says, line) from None
    except RecursionError:
        raise _Unparsed("is nested too deeply; a scene needs three levels at most") from None
    except ValueError:
        # Python refuses to convert integers of thousands of digits.
        raise _Unparsed("holds a number of far too many digits") from None


def _syntax(message: str, lines: list[str]) -> tuple[str, int | None]:
    """Split the parser's "… (at line 3, column 7)" into words with a cure, and line."""
    hit = _PLACE.search(message)
    if not hit:
        return f"is not TOML: {message}", None
    says = message[: hit.start()]
    if hit[1] is None:
        return f"is not TOML: {says} at the end of the file", None
    number = int(hit[1])
    cure = cures.syntax(says, lines[number - 1] if number <= len(lines) else "")
    return f"is not TOML: {says} at column {hit[2]}" + (f"; {cure}" if cure else ""), number


def _count(tables: dict[str, Any]) -> None:
    """Refuse what is far too large before anything is done with it."""
    size = {k: len(v) for k, v in tables.items() if isinstance(v, (dict, list))}
    things = size.get("bodies", 0) + size.get("wheels", 0)
    if things > MOST_THINGS:
        raise Trouble(
            ("bodies" if size.get("bodies") else "wheels",), f"{things} things; at most {MOST_THINGS} will do"
        )
    for key in ("ropes", "contacts", "rolling", "forces"):
        if size.get(key, 0) > 2 * MOST_THINGS:
            raise Trouble((key,), f"{size[key]} of them; at most {2 * MOST_THINGS} will do")
    for table, key in (("ropes", "pulls"), ("contacts", "pushes")):
        rows = [r.get(key) for r in _rows(tables, table) if isinstance(r, dict)]
        strands = sum(len(r) for r in rows if isinstance(r, list))
        if strands > MOST_STRANDS:
            raise Trouble((table,), f"{strands} strands in all; at most {MOST_STRANDS} will do")
    ask = tables.get("ask")
    values = ask.get("values") if isinstance(ask, dict) else None
    if isinstance(values, list) and len(values) > MOST_VALUES:
        raise Trouble(("ask", "values"), f"{len(values)} of them; at most {MOST_VALUES} will do")


def _rows(tables: dict[str, Any], key: str) -> list[Any]:
    rows = tables.get(key)
    return rows if isinstance(rows, list) else []


def _first(errors: list[ErrorDetails], tables: dict[str, Any]) -> Trouble:
    """The error that helps most: a misspelt key before the missing one that it was meant to be."""
    unknown = [e for e in errors if e["type"] == "extra_forbidden"]
    return _trouble((unknown or errors)[0], tables)


_NEEDS = {
    "int_type": "a whole number", "bool_type": "true or false", "list_type": "a list in square brackets",
    "dict_type": "a table", "model_type": "a table", "string_type": "text in quotation marks",
}  # fmt: skip


def _trouble(error: ErrorDetails, tables: dict[str, Any]) -> Trouble:
    path: Path = tuple(p for p in error["loc"] if p != "[key]")
    kind = error["type"]
    if kind == "scene":
        return Trouble(path, error["ctx"]["says"])
    if kind == "extra_forbidden":
        known = list(_fields_at(path[:-1]))
        if len(path) == 1 and isinstance(error["input"], dict) and "moves" in error["input"]:
            return Trouble(path, f"there is no such table; a body is written [bodies.{path[0]}]")
        return Trouble(path, f"there is no such key; use one of {listed(known)}{near(str(path[-1]), known)}")
    if kind == "missing":
        about = _description(path)
        if path == ("ask",):
            about = f"Write {cures.TABLES[path]}."
        return Trouble(path, f"missing. {about}" if about else "missing")
    what = f"{shown(error['input'])} is not {_NEEDS.get(kind, 'what belongs here')}"
    if kind in ("dict_type", "model_type"):
        what += f"; {cures.table(path)}"
    elif kind == "list_type":
        what += f"; {cures.listing(path)}"
    return Trouble(path, what)


def _fields_at(path: Path) -> Iterator[str]:
    model = _model_at(path)
    if model is not None:
        yield from model.model_fields


def _description(path: Path) -> str:
    model = _model_at(path[:-1])
    field = model.model_fields.get(str(path[-1])) if model else None
    return (field.description or "") if field else ""


def _model_at(path: Path) -> type[BaseModel] | None:
    return table_at(tuple(str(p) for p in path))
