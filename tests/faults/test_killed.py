"""kill -9 at random moments, a few times; `python tests/faults/kills.py` does it a few hundred times (README.md beside it)."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

KILLS = Path(__file__).with_name("kills.py")


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork on Windows")
@pytest.mark.parametrize(("kind", "kills"), [("answering", 6), ("marking", 4), ("marking-in-two", 3), ("reporting", 2)])
def test_nothing_is_lost_or_counted_twice_by_a_kill(kind: str, kills: int) -> None:
    """What the killed process had confirmed is there once, every file is whole, and no process of its own outlives it."""
    done = subprocess.run([sys.executable, str(KILLS), f"--{kind}", str(kills)], capture_output=True, text=True, timeout=300,
                          check=False)
    assert (done.returncode, done.stderr) == (0, "")
    row = done.stdout.splitlines()[-1].split("|")
    assert int(row[2]) >= kills
    assert [cell.strip() for cell in row[5:9]] == ["0"] * 4
