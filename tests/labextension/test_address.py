"""Where the installed extension's modules stand: a browser keeps them for a year, so their address changes with what they hold."""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path

INSTALLED = Path(sys.prefix) / "share/jupyter/labextensions/plusway"


def test_the_modules_stand_in_a_folder_called_after_their_contents() -> None:
    """Names, sizes and bytes of all of them, in order; package.json leads there, and no older folder is left beside it."""
    load = json.loads((INSTALLED / "package.json").read_text(encoding="utf-8"))["jupyterlab"]["_build"]["load"]
    entry = INSTALLED / load
    found = hashlib.sha256()
    for file in sorted(entry.parent.iterdir()):
        found.update(f"{file.name} {file.stat().st_size} ".encode() + file.read_bytes())
    assert (entry.parent.name, entry.name) == (found.hexdigest()[:12], "remoteEntry.js")
    assert [folder.name for folder in entry.parent.parent.iterdir()] == [entry.parent.name]
