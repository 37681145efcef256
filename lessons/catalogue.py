"""The scenes that ship with plusway, found by name; and any scene file by its path."""

from __future__ import annotations

import os
from difflib import get_close_matches
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING

from ..autograde.scene import Scene, SceneError, load, load_text

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

_SUFFIX = ".toml"


def _folder() -> Traversable:
    return resources.files(__package__) / "scenes"


def names() -> list[str]:
    """The names of the scenes that ship, sorted."""
    return sorted(entry.name[: -len(_SUFFIX)] for entry in _folder().iterdir() if entry.name.endswith(_SUFFIX))


def text(name: str) -> str:
    """The TOML text of a scene that ships, as its author wrote it. SceneError where there is none of that name."""
    if name not in names():
        raise SceneError(name, "", _unknown(name))
    return (_folder() / (name + _SUFFIX)).read_text(encoding="utf-8")


def path(name: str) -> Traversable:
    """Where the file of a scene that ships lies."""
    if name not in names():
        raise SceneError(name, "", _unknown(name))
    return _folder() / (name + _SUFFIX)


def find(name_or_path: str | os.PathLike[str]) -> Scene:
    """The scene that ships under that name, or the one in the file at that path.

    What has a folder in it or ends in .toml is a path; a file without either is tried where no scene has the name.
    """
    wanted = os.fspath(name_or_path)
    looks_like_path = wanted.endswith(_SUFFIX) or "/" in wanted or os.sep in wanted
    if not looks_like_path and wanted in names():
        return _shipped(wanted)
    if looks_like_path or os.path.isfile(wanted):
        return load(wanted)
    raise SceneError(wanted, "", _unknown(wanted))


@lru_cache(maxsize=256)
def _shipped(name: str) -> Scene:
    return load_text(text(name), name=name, file=name + _SUFFIX)


def _unknown(name: str) -> str:
    close = get_close_matches(name.lower()[:60], names(), n=3, cutoff=0.5)
    hint = f"did you mean {' or '.join(close)}? " if close else ""
    return (
        f"no scene of that name ships; {hint}`plusway scenes` lists those that do; name your own by its path (my.toml)"
    )
