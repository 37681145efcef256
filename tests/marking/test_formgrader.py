"""The Formgrader in a real browser: the points and the reasons of each step, and nothing of the student's that runs."""

from __future__ import annotations

import os
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from .conftest import answers_of
from .courses import Run, filled, fresh, hand_in

pytestmark = [pytest.mark.slow, pytest.mark.browser, pytest.mark.thorough]


@pytest.fixture
def address(template: Path, tmp_path: Path, run_in: Run) -> Iterator[str]:
    """The Formgrader's page of one marked submission."""
    course = fresh(template, tmp_path)
    notebook = filled(course, answers_of(slip="flipped"))
    notebook["cells"].append({"cell_type": "markdown", "id": "theirs", "metadata": {},
                              "source": "<img src=x onerror=\"document.title='ran'\"> a note"})
    hand_in(course, "s1", notebook)
    run_in(course, "nbgrader", "autograde", "ps1")
    with sqlite3.connect(course / "gradebook.db") as db:
        (name,) = db.execute("select id from submitted_notebook").fetchone()
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    home = str(tmp_path)
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])
    server = subprocess.Popen(
        [sys.executable, "-m", "jupyter", "lab", "--no-browser", "--allow-root", f"--port={port}", "--ServerApp.port_retries=0",
         "--IdentityProvider.token=test"], cwd=course, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        env={**os.environ, "PATH": path, "HOME": home, "JUPYTER_CONFIG_DIR": f"{home}/config", "JUPYTER_DATA_DIR": f"{home}/data",
             "JUPYTER_RUNTIME_DIR": f"{home}/runtime"})
    try:
        wait_for(f"http://127.0.0.1:{port}/api/status?token=test")
        yield f"http://127.0.0.1:{port}/formgrader/submissions/{name}/"
    finally:
        server.terminate()
        server.wait(30)


def wait_for(address: str, seconds: float = 120) -> None:
    until = time.monotonic() + seconds
    while True:
        try:
            urllib.request.urlopen(address, timeout=10).close()
            return
        except (urllib.error.URLError, OSError):
            if time.monotonic() > until:
                raise
            time.sleep(0.5)


def test_the_formgrader_shows_points_and_reasons(address: str, page: Any) -> None:
    """The slip's reason stands under its step, the points beside it, the student's HTML as text."""
    page.goto(f"{address.split('/formgrader')[0]}/login?token=test")  # from here on a cookie says who this is
    page.goto(address)
    page.wait_for_function("[...document.querySelectorAll('textarea.comment')].some(box => box.placeholder.includes('a slip'))")
    said = page.evaluate("[...document.querySelectorAll('textarea.comment')].map(box => box.placeholder)")
    assert len(said) == 9
    assert "`T + m_1 g = m_1 a_1`: a slip" in said[3]
    scores = page.evaluate("Object.fromEntries([...document.querySelectorAll('input.score')].map(box => [box.id, box.placeholder]))")
    assert sorted(scores.values()) == sorted(["0"] * 9 + ["0", "1", "1", "1", "2", "1", "2", "2", "1"])
    assert page.locator("img[src=x]").count() == 0
    assert page.title() != "ran"
