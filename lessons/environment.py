"""A virtual environment for a clone, made with nothing but Python and git: shared by `lessons/open` and `tests/run`.

Standard library only, and readable by old Pythons, so that they can say what is missing. It is not part of the wheel.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NoReturn

ROOT = Path(__file__).resolve().parent.parent
OLDEST = (3, 10)
PACKAGE = ("pyproject.toml", "README.md", ".src", "lessons", "widgets", "autograde")


def say(line: str) -> None:
    """One line about what is going on, at once."""
    print("plusway: " + line, file=sys.stderr, flush=True)


def stop(line: str) -> NoReturn:
    """End with the one line that says what to do."""
    say(line)
    raise SystemExit(2)


def is_root() -> bool:
    """Whether this process may do everything on this machine."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


def apt_install(*packages: str) -> bool:
    """Install Debian packages where this user may; False where that is not to be had."""
    if not (is_root() and shutil.which("apt-get")):
        return False
    environment = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    quiet = ["apt-get", "-qq", "-o", "Dpkg::Use-Pty=0"]
    subprocess.run([*quiet, "update"], env=environment, check=False, stdout=subprocess.DEVNULL)
    done = subprocess.run([*quiet, "install", "--yes", "--no-install-recommends", *packages], env=environment,
                          check=False, stdout=subprocess.DEVNULL)
    return done.returncode == 0


def venv_python(folder: Path) -> Path:
    """The Python of a virtual environment."""
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def _new_enough() -> str:
    """A Python that plusway runs on: this one, else a newer one on the path."""
    if sys.version_info >= OLDEST:
        return sys.executable
    for minor in range(20, OLDEST[1] - 1, -1):
        found = shutil.which(f"python3.{minor}")
        if found and subprocess.run([found, "-c", ""], check=False, stderr=subprocess.DEVNULL).returncode == 0:
            return found
    stop(f"needs Python {OLDEST[0]}.{OLDEST[1]} or newer; this is {sys.version_info[0]}.{sys.version_info[1]}")


def _runs(*command: str) -> bool:
    return subprocess.run(command, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0


def make(folder: Path) -> Path:
    """Make the virtual environment unless it stands and works; returns its Python.

    Debian keeps the part that brings pip into a new environment in a package of its own. Where that is missing, a pip
    that is there fills the environment; else the system's package manager brings it, where this user may.
    """
    python = venv_python(folder)
    if python.exists() and _runs(str(python), "-m", "pip", "--version"):
        return python
    base = _new_enough()
    say(f"making a virtual environment in {folder.name}")
    shutil.rmtree(folder, ignore_errors=True)
    if _runs(base, "-c", "import ensurepip, venv") and _runs(base, "-m", "venv", str(folder)):
        return python
    if _runs(base, "-m", "venv", "--without-pip", str(folder)) and \
            _runs(base, "-m", "pip", "--python", str(python), "install", "--quiet", "pip"):
        return python
    shutil.rmtree(folder, ignore_errors=True)
    if apt_install("python3-venv") and _runs(base, "-m", "venv", str(folder)):
        return python
    shutil.rmtree(folder, ignore_errors=True)
    stop("this Python can't make a virtual environment; install its venv package (on Debian and Ubuntu: "
         "apt install python3-venv) and give the command again")


def install(python: Path, extras: str = "", editable: bool = False) -> None:
    """Install this clone into the environment, unless just that was done before.

    The stamp tells an unchanged clone from a changed one by the contents of its files; an editable install follows the
    files by itself, so that only its metadata count.
    """
    stamp = python.parent.parent / "plusway-installed.json"
    try:
        before = json.loads(stamp.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        before = {}
    metadata = _digest("pyproject.toml", ".src", "widgets/labextension")
    wanted = {"extras": extras, "metadata": metadata, "files": "editable"}
    if before.get("files") == "editable" and before.get("metadata") == metadata and \
            set(filter(None, extras.split(","))) <= set(str(before.get("extras")).split(",")):
        return
    if not editable:
        wanted["files"] = _digest(*PACKAGE)
        if before == wanted:
            return
    say("installing plusway and what it needs (a minute or two the first time)")
    target = str(ROOT) + (f"[{extras}]" if extras else "")
    command = [str(python), "-m", "pip", "install", "--quiet", "--quiet", "--disable-pip-version-check",
               *(["--editable"] if editable else []), target]
    if subprocess.run(command, check=False).returncode != 0:
        stop("pip could not install plusway; the lines above say why. Mend that and give the command again")
    stamp.write_text(json.dumps(wanted), encoding="utf-8")


def _digest(*paths: str) -> str:
    """A digest of the files under these paths of the clone."""
    digest = hashlib.sha256()
    for path in paths:
        top = ROOT / path
        for file in [top] if top.is_file() else sorted(top.rglob("*")):
            if "__pycache__" in file.parts or not file.is_file():
                continue
            digest.update(str(file.relative_to(ROOT)).encode() + b"\0" + file.read_bytes() + b"\0")
    return digest.hexdigest()
