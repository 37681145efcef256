"""What the browser tests need besides Python: a Chromium and axe-core. Standard library only; used by `tests/run`.

Each function says on standard error what it found or fetched, and returns a path.
"""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "lessons"))

from environment import ROOT, apt_install, say, stop

CHROMIUMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
AXE = "4"  # the newest release of this series


def _works(path: str) -> bool:
    try:
        return subprocess.run([path, "--version"], check=False, capture_output=True, timeout=60).returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        return False


def installed_chromium() -> str | None:
    """The Chromium of PLUSWAY_CHROMIUM, else one on the path that starts."""
    named = os.environ.get("PLUSWAY_CHROMIUM")
    if named:
        if not _works(named):
            stop(f"PLUSWAY_CHROMIUM={named} does not start; name one that does or unset it")
        return named
    return next((found for found in map(shutil.which, CHROMIUMS) if found and _works(found)), None)


def chromium(python: Path) -> str:
    """A Chromium that starts: an installed one, else the system's package, else Playwright's own download."""
    found = installed_chromium()
    if found:
        say(f"browser tests use the installed {found}")
        return found
    say("no Chromium found; asking the system's package manager")
    if apt_install("chromium"):
        found = installed_chromium()
        if found:
            say(f"browser tests use {found}, just installed")
            return found
    say("no Chromium from the system; asking Playwright for its own")
    if subprocess.run([str(python), "-m", "playwright", "install", "chromium"], check=False).returncode == 0:
        ask = "from playwright.sync_api import sync_playwright as p\nwith p() as q: print(q.chromium.executable_path)"
        path = subprocess.run([str(python), "-c", ask], check=False, capture_output=True, text=True).stdout.strip()
        if path and _works(path):
            say(f"browser tests use Playwright's own {path}")
            return path
    stop("no Chromium could be had: install one (on Debian: apt install chromium) or set PLUSWAY_CHROMIUM to its path; "
         "--no-browser-tests leaves the browser tests out")


def axe(python: Path) -> str:
    """axe.min.js of axe-core: from npm where it is installed, else the copy in a Python package of the registry."""
    place = ROOT / ".venv" / f"axe-{AXE}.min.js"
    if not place.exists():
        script = _axe_from_npm() or _axe_from_python(python)
        if script is None:
            stop("axe-core could not be had, from npm or from pip; --no-browser-tests leaves the browser tests out")
        draft = place.with_suffix(".part")
        draft.write_bytes(script)
        draft.replace(place)
    return str(place)


def _axe_from_npm() -> bytes | None:
    npm = shutil.which("npm")
    if npm is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run([npm, "pack", f"axe-core@{AXE}", "--json"], cwd=folder, check=False,
                              capture_output=True, text=True)
        if done.returncode != 0:
            return None
        packed = Path(folder) / json.loads(done.stdout)[0]["filename"]
        with tarfile.open(packed) as archive:
            member = archive.extractfile("package/axe.min.js")
            say("axe-core comes from npm")
            return member.read() if member else None


def _axe_from_python(python: Path) -> bytes | None:
    with tempfile.TemporaryDirectory() as folder:
        fetch = [str(python), "-m", "pip", "download", "--quiet", "--no-deps", "--dest", folder]
        if subprocess.run([*fetch, "axe-playwright-python"], check=False).returncode != 0:
            return None
        import zipfile

        for wheel in Path(folder).glob("*.whl"):
            with zipfile.ZipFile(io.BytesIO(wheel.read_bytes())) as archive:
                for name in archive.namelist():
                    if name.endswith("axe.min.js"):
                        say("npm is not installed; axe-core comes from the Python package axe-playwright-python")
                        return archive.read(name)
    return None
