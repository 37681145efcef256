"""Called by hatchling when the package is built: the JupyterLab extension gets an address that changes with what it holds.

A server lets browsers keep an extension's files for a year without asking again, so that after an upgrade the old modules would go on
beside new widgets. `package.json`, which no browser keeps, says where the modules are; here their folder is called after their contents.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

TARGET = "share/jupyter/labextensions/plusway"


def digest(folder: Path) -> str:
    """What tells one set of files from another: twelve hexadecimal digits."""
    found = hashlib.sha256()
    for file in sorted(folder.iterdir()):
        found.update(f"{file.name} {file.stat().st_size} ".encode() + file.read_bytes())
    return found.hexdigest()[:12]


class AddressHook(BuildHookInterface[Any]):
    """Adds the extension's files to the wheel, also to that of an editable install."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        source = Path(self.root) / "widgets" / "labextension"
        package = json.loads((source / "package.json").read_text(encoding="utf-8"))
        folder, _, entry = package["jupyterlab"]["_build"]["load"].rpartition("/")
        address = f"{folder}/{digest(source / folder)}"
        package["jupyterlab"]["_build"]["load"] = f"{address}/{entry}"
        self.made = Path(tempfile.mkdtemp())
        (self.made / "package.json").write_text(json.dumps(package, indent=2) + "\n", encoding="utf-8")
        build_data["shared_data"] |= {
            str(self.made / "package.json"): f"{TARGET}/package.json",
            str(source / "install.json"): f"{TARGET}/install.json",
            str(source / folder): f"{TARGET}/{address}",
        }

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        shutil.rmtree(self.made)
