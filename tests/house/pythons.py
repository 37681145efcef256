"""The Pythons that plusway supports and this machine has, oldest first, one path a line: on the path, or kept by pyenv.

    python3 tests/house/pythons.py

Standard library only; used by `.ci/run`. Of each version one is enough, and the Python that runs this comes before all others.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "lessons"))

from environment import OLDEST

NEWEST_LOOKED_FOR = 20
ASK = ("import sys, venv, ensurepip, sqlite3, ssl; assert sys.version_info.releaselevel == 'final'; "
       "print(*sys.version_info[:2])")


def candidates() -> Iterator[str]:
    """Every Python that might do."""
    yield sys.executable
    kept = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv") / "versions"
    for minor in range(OLDEST[1], NEWEST_LOOKED_FOR):
        yield from map(str, sorted(kept.glob(f"*/bin/python3.{minor}"), reverse=True))
        if found := shutil.which(f"python3.{minor}"):
            yield found


def version(python: str) -> tuple[int, int] | None:
    """(major, minor) of a released Python that starts and can make an environment, else None."""
    try:
        done = subprocess.run([python, "-c", ASK], check=False, capture_output=True, text=True, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        return None
    words = done.stdout.split()
    return (int(words[0]), int(words[1])) if done.returncode == 0 and len(words) == 2 else None


def found() -> dict[tuple[int, int], str]:
    """{version: path}, oldest first."""
    first: dict[tuple[int, int], str] = {}
    for python in candidates():
        which = version(python)
        if which is not None and which >= OLDEST:
            first.setdefault(which, python)
    return dict(sorted(first.items()))


if __name__ == "__main__":
    print(*found().values(), sep="\n")
