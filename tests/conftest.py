"""What tests of several areas share: a real Chromium, a real JupyterLab that shows a folder of lessons, and its own interface."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
import uuid
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.error import HTTPError
from urllib.parse import quote, urlsplit

import pytest
from hypothesis import settings

settings.register_profile("plusway", deadline=None)  # a busy machine is no fault of the code: no test looks at the clock
settings.load_profile("plusway")

SHOTS = Path(__file__).parent / "shots"
FLAGS = ("--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync")


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of a Chromium. Without one a browser test fails; it is never skipped."""
    path = os.environ.get("PLUSWAY_CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if not path:
        pytest.fail("no Chromium: `python3 tests/run` gets one, PLUSWAY_CHROMIUM names one, "
                    "`python3 tests/run --no-browser-tests` does without")
    return path


@pytest.fixture(scope="session")
def axe_script() -> str:
    """The text of axe-core, which `tests/run` fetches."""
    path = os.environ.get("PLUSWAY_AXE")
    if not path:
        pytest.fail("no axe-core: `python3 tests/run` gets it, or PLUSWAY_AXE names an axe.min.js")
    return Path(path).read_text(encoding="utf-8")


@pytest.fixture
def axe(axe_script: str) -> Callable[..., list[str]]:
    """axe(page, ".plusway"): what axe finds against WCAG 2.2 A and AA and its own good practice there, as rule and element."""

    def look(page: Any, *within: str) -> list[str]:
        page.evaluate(axe_script)
        found = page.evaluate("""(within) => axe.run({include: within.map((one) => [one])}, {resultTypes: ['violations'],
            runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})""", list(within))
        return [f"{v['id']}: {node['html'][:140]} {node.get('failureSummary', '')[:300]}"
                for v in found["violations"] for node in v["nodes"]]

    return look


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Any]:
    """A running Chromium, as Playwright's Browser."""
    from playwright.sync_api import sync_playwright

    root = hasattr(os, "geteuid") and os.geteuid() == 0
    with sync_playwright() as playwright:
        flags = [*FLAGS, *(["--no-sandbox"] if root else [])]
        started = playwright.chromium.launch(executable_path=chromium, args=flags)
        yield started
        started.close()


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A fresh page of 1280 by 900 pixels in a context of its own."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(60_000)
    yield context.new_page()
    context.close()


@dataclass(frozen=True)
class Lab:
    """A JupyterLab that `plusway learn` started: its address with the key, and the folder that it shows."""

    url: str
    folder: Path
    process: subprocess.Popen[str]

    @property
    def token(self) -> str:
        return self.url.partition("token=")[2]

    def address(self, notebook: str) -> str:
        """Where a notebook of the folder opens, alone (no other document open beside it)."""
        parts = urlsplit(self.url)
        return f"{parts.scheme}://{parts.netloc}/doc/tree/{quote(notebook)}?token={self.token}"

    def fresh(self) -> Path:
        """A folder of its own for one test."""
        folder = self.folder / uuid.uuid4().hex[:8]
        folder.mkdir()
        return folder

    def stop(self) -> None:
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            try:
                self.process.wait(20)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()
        if self.process.stdout:
            self.process.stdout.close()


# Where the tests themselves run in the background of a shell, Ctrl-C is ignored, and a child would inherit that.
INTERRUPTIBLE: dict[str, Any] = (
    {"preexec_fn": lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)} if os.name == "posix" else {}
)


@pytest.fixture(scope="session")
def interruptible() -> dict[str, Any]:
    """Arguments of subprocess.Popen for a child that Ctrl-C can stop."""
    return INTERRUPTIBLE


def ask_server(url: str, token: str, what: str, method: str = "GET", body: Any = None) -> Any:
    """Ask the server of this address by its own interface; the answer's JSON, None where it has none."""
    parts = urlsplit(url)
    request = urllib.request.Request(f"{parts.scheme}://{parts.netloc}/{what}", None if body is None else json.dumps(body).encode(),
                                     {"Authorization": f"token {token}", "Content-Type": "application/json"}, method=method)
    with urllib.request.urlopen(request, timeout=60) as answer:
        text = answer.read()
    return json.loads(text) if text else None


def kernel_of(url: str, token: str, file: Path) -> dict[str, Any]:
    """The running kernel of a notebook in a folder of its own."""
    sessions = ask_server(url, token, "api/sessions")
    return dict(next(one for one in sessions if one["path"].endswith(f"{file.parent.name}/{file.name}"))["kernel"])


def on_disk(file: Path) -> dict[str, Any]:
    """A notebook as the disk has it. Jupyter Server writes it in place, so a read may meet half of it, and reads again."""
    for _ in range(100):
        try:
            return dict(json.loads(file.read_text(encoding="utf-8")))
        except ValueError:
            time.sleep(0.05)
    return dict(json.loads(file.read_text(encoding="utf-8")))


def set_theme(url: str, token: str, name: str) -> None:
    """Choose a theme of JupyterLab, "JupyterLab Dark", as its settings editor does; the server keeps it."""
    ask_server(url, token, "lab/api/settings/@jupyterlab/apputils-extension:themes", "PUT", {"raw": json.dumps({"theme": name})})


def shot(target: Any, name: str) -> None:
    """A picture of a page or of an element of it in tests/shots, to be looked at."""
    SHOTS.mkdir(exist_ok=True)
    target.screenshot(path=SHOTS / f"{name}.png")


def shipped(lab: Lab, name: str) -> Path:
    """A copy of a notebook that ships, in a folder of its own."""
    from plusway.lessons.course import NOTEBOOKS

    notebook = json.loads((NOTEBOOKS / f"{name}.ipynb").read_text(encoding="utf-8"))
    # Its own id, as a student's copy has after its first opening: drafts of another test must not show up here.
    notebook["metadata"]["plusway"]["id"] = uuid.uuid4().hex
    file = lab.fresh() / f"{name}.ipynb"
    file.write_text(json.dumps(notebook), encoding="utf-8")
    return file


def free_port() -> int:
    """A port that nobody listens on just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def start_lab(folder: Path, home: Path, *arguments: str) -> Lab:
    """Start `plusway learn` on a folder, with settings and data folders of its own under `home`."""
    if "--port" not in arguments:
        arguments = (*arguments, "--port", str(free_port()))
    surroundings = dict(os.environ, HOME=str(home), JUPYTER_CONFIG_DIR=str(home / "config"),
                        JUPYTER_DATA_DIR=str(home / "data"), JUPYTER_RUNTIME_DIR=str(home / "runtime"),
                        IPYTHONDIR=str(home / "ipython"), MPLCONFIGDIR=str(home / "matplotlib"))
    log = (home / "lab.log").open("a", encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", "plusway", "learn", "--no-browser", "--json", "--folder", str(folder), *arguments],
        stdout=subprocess.PIPE, stderr=log, text=True, env=surroundings, **INTERRUPTIBLE,
    )
    log.close()
    assert process.stdout is not None
    line = process.stdout.readline()
    if not line:
        process.wait(20)
        process.stdout.close()
        pytest.fail(f"plusway learn did not start: {(home / 'lab.log').read_text(encoding='utf-8')[-2000:]}")
    return Lab(json.loads(line)["url"], folder, process)


@pytest.fixture(scope="session")
def make_lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Lab]]:
    """make_lab(folder) starts a JupyterLab on that folder, for a user of its own unless `home` names one; all are stopped at the end."""
    with ExitStack() as running:

        def make(folder: Path, *arguments: str, home: Path | None = None) -> Lab:
            lab = start_lab(folder, home or tmp_path_factory.mktemp("home"), *arguments)
            running.callback(lab.stop)
            return lab

        yield make


@pytest.fixture(scope="session")
def lab(make_lab: Callable[..., Lab], tmp_path_factory: pytest.TempPathFactory) -> Lab:
    """One JupyterLab for all browser tests that only need some folder: write notebooks into `lab.folder`."""
    return make_lab(tmp_path_factory.mktemp("lessons"))


@pytest.fixture(autouse=True)
def no_kernel_left_behind(request: pytest.FixtureRequest) -> Iterator[None]:
    """A test's kernels end with its page: idle ones cost a server little each, a hundred of them half a processor."""
    yield
    if "lab" in request.fixturenames:
        lab = request.getfixturevalue("lab")
        for session in ask_server(lab.url, lab.token, "api/sessions"):
            with suppress(HTTPError):  # gone meanwhile
                ask_server(lab.url, lab.token, f"api/sessions/{session['id']}", "DELETE")


@pytest.fixture
def theme(lab: Lab) -> Iterator[Callable[[str], None]]:
    """theme("dark"), theme("light"): what documents opened afterwards look like; light again at the end, for the server keeps it."""
    yield lambda name: set_theme(lab.url, lab.token, f"JupyterLab {name.title()}")
    set_theme(lab.url, lab.token, "JupyterLab Light")


@pytest.fixture
def plusway(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """plusway("solve", "feed-sack") runs the command as a person would, in a fresh folder; `input` is typed to it."""

    def run(*arguments: str, **options: Any) -> subprocess.CompletedProcess[str]:
        options.setdefault("cwd", tmp_path)
        return subprocess.run([sys.executable, "-m", "plusway", *arguments], capture_output=True, text=True,
                              encoding="utf-8", timeout=120, check=False, **options)

    return run
