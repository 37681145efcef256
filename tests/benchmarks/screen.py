"""The lesson in a real browser, against a bare anywidget in the same notebook, JupyterLab and run.

A bare widget is an input, a label and an echo from its kernel: what anything on this platform costs. Chromium and JupyterLab are those of
the tests; the figures of one row are measured in turns. Modules are compiled once, as where they were installed.
"""

from __future__ import annotations

import importlib.util
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from time import perf_counter
from types import ModuleType
from typing import Any

import nbformat
from nbformat.v4 import new_code_cell, new_notebook
from ratios import Ratio

COMMITS = 100
WIDGETS = 40
OPENINGS = 5
STARTS = 3
PATIENCE = 60_000  # ms

BARE = '''
import anywidget
class Bare(anywidget.AnyWidget):
    _esm = """
export default { render({ model, el }) {
  const root = document.createElement("div"); root.className = "bare";
  const label = document.createElement("label"); label.textContent = "line ";
  const field = document.createElement("input"); const said = document.createElement("p");
  label.append(field); root.append(label, said); el.append(root);
  let waiting = null;
  model.on("msg:custom", (message) => { said.textContent = message.text; waiting?.(); });
  root.ask = (text) => new Promise((done) => { waiting = done; model.send({ kind: "echo", text }); });
} };
"""
    def __init__(self):
        super().__init__()
        self.on_msg(lambda widget, content, buffers: widget.send({"text": content["text"]}))
'''
OPEN = 'from plusway.widgets import Problem\nproblem = Problem("feed-sack")'
STEPS = ["problem.directions()", 'problem.forces("sack")', 'problem.forces("counterweight")', 'problem.equation("sack")',
         'problem.equation("counterweight")', "problem.ties()", "problem.working()", "problem.results()", "problem.sense()", "problem.closing()"]  # fmt: skip

TURN = """async ({line, wanted}) => {
  const root = document.querySelector('.plusway[data-step="equations"][data-item="sack"]');
  const field = root.querySelector('input');
  field.value = line;
  field.dispatchEvent(new Event('input', {bubbles: true}));
  const box = root.querySelector('.pw-verdicts');
  const there = () => box.querySelector(`[data-verdict="${wanted}"]`) !== null;
  const begun = performance.now();
  const ours = new Promise((done) => {
    const watch = new MutationObserver(() => { if (there()) { watch.disconnect(); done(performance.now() - begun); } });
    watch.observe(box, {childList: true, subtree: true, attributes: true});
  });
  field.dispatchEvent(new KeyboardEvent('keydown', {key: 'Enter', bubbles: true, cancelable: true}));
  const taken = await ours;
  // What follows a verdict (points, saving) is done before the bare widget's turn, so that it does not stand in its way.
  await new Promise((go) => setTimeout(go, 150));
  const start = performance.now();
  await document.querySelector('.bare').ask(line);
  return [taken, performance.now() - start];
}"""


def measure() -> list[Ratio]:
    """Commit to verdict, forty widgets, and the first widget after the command."""
    with tempfile.TemporaryDirectory() as folder, _compiled(Path(folder) / "compiled"), _browser() as browser:
        return [*_commits(Path(folder), browser), _opening(Path(folder), browser), _starting(Path(folder), browser)]


# --- commit to verdict -----------------------------------------------------------------------------------------------


def _commits(folder: Path, browser: Any) -> list[Ratio]:
    (folder / "commits").mkdir()
    _write(folder / "commits" / "lesson.ipynb", [OPEN, *STEPS, BARE + "Bare()"])
    ours, theirs = [], []
    with _lab(folder / "commits") as lab, _page(browser) as page:
        page.goto(lab.address("lesson.ipynb"))
        _idle(page)
        _run_all(page)
        page.locator(".bare").wait_for(state="attached")
        page.locator('.plusway[data-step="equations"][data-item="sack"] input').wait_for(state="attached")
        for thing, word in (("sack", "up"), ("counterweight", "down")):
            page.get_by_role("group", name=f"Plus for the {thing}").get_by_label(word, exact=True).check()
        page.get_by_role("button", name="Use these directions").click()
        page.locator('.plusway[data-step="directions"][data-state="done"]').wait_for()
        for turn in range(COMMITS + 4):
            right = turn % 2 == 0
            line = f"T {'-' if right else '+'} 63.7 = 6.5{'a' if turn % 4 < 2 else 'a_1'}"
            a, b = page.evaluate(TURN, {"line": line, "wanted": "right" if right else "slip"})
            if turn >= 4:  # the first ones fill caches
                ours.append(a)
                theirs.append(b)
    beside, rare = median(theirs), sorted(ours)[int(0.95 * len(ours))]
    return [
        Ratio(f"commit to verdict in the page, median of {COMMITS}", median(ours), beside + 15, "a bare widget's round trip and 15 ms", "ms", 1.0,
              f"the bare round trip alone: {beside:.1f} ms; a whole lesson of ten widgets is open"),
        Ratio(f"commit to verdict, 95th percentile of {COMMITS}", rare, 100, "100 ms", "ms", 1.0,
              f"the bare round trip's: {sorted(theirs)[int(0.95 * len(theirs))]:.1f} ms"),
    ]  # fmt: skip


# --- opening ---------------------------------------------------------------------------------------------------------


def _opening(folder: Path, browser: Any) -> Ratio:
    """From "Run all" to the last of forty widgets, the kernel being there."""
    (folder / "opening").mkdir()
    scenes = ["feed-sack", "mill-hoist", "hay-bale-on-ramp", "slate-on-bench", "lanterns-on-a-line"]
    steps = ["directions", "forces", "equation", "ties", "working", "results", "sense", "directions"]
    cells = [f'from plusway.widgets import Problem\nproblems = [Problem(name, id=f"{{name}} {{n}}") for name in {scenes} for n in (0, 1)]']
    cells += [f"problems[{2 * (k // 8) + (k % 8 == 7)}].{steps[k % 8]}()" for k in range(WIDGETS)]
    _write(folder / "opening" / "ours.ipynb", cells)
    _write(folder / "opening" / "bare.ipynb", [BARE, *["Bare()"] * WIDGETS])
    taken: dict[str, list[float]] = {"ours": [], "bare": []}
    with _lab(folder / "opening") as lab:
        for _ in range(OPENINGS):
            for name, look in (("ours", ".plusway[data-state]"), ("bare", ".bare")):
                with _page(browser) as page:
                    page.goto(lab.address(f"{name}.ipynb"))
                    _idle(page)
                    start = perf_counter()
                    _run_all(page)
                    page.wait_for_function(f"() => document.querySelectorAll('{look}').length === {WIDGETS}")
                    taken[name].append(perf_counter() - start)
                    _shut_down(lab)
    return Ratio(f"{WIDGETS} step widgets, from Run all to the last", median(taken["ours"]), median(taken["bare"]), f"{WIDGETS} bare widgets", "s", 1.3,
                 f"median of {OPENINGS} each; the import of either library is in it")  # fmt: skip


# --- from the command to the first widget ----------------------------------------------------------------------------


def _starting(folder: Path, browser: Any) -> Ratio:
    taken: dict[str, list[float]] = {"ours": [], "bare": []}
    for turn in range(STARTS):
        ours = folder / f"learn{turn}"
        start = perf_counter()
        with _lab(ours) as lab, _page(browser) as page:
            page.goto(lab.url)
            page.locator('.plusway[data-step="directions"]').first.wait_for(state="attached")
            taken["ours"].append(perf_counter() - start)
        bare = folder / f"bare{turn}"
        bare.mkdir()
        _write(bare / "bare.ipynb", [BARE + "Bare()"])
        start = perf_counter()
        with _bare_lab(bare) as address, _page(browser) as page:
            page.goto(address)
            _idle(page)
            _run_all(page)
            page.locator(".bare").first.wait_for(state="attached")
            taken["bare"].append(perf_counter() - start)
    return Ratio("plusway learn to the lesson's first widget", median(taken["ours"]), median(taken["bare"]), "jupyter lab to a bare widget that a script runs", "s", None,
                 f"median of {STARTS} each, server, page and kernel from nothing")  # fmt: skip


# --- the page --------------------------------------------------------------------------------------------------------


def _run_all(page: Any) -> None:
    page.get_by_role("menuitem", name="Run", exact=True).click()
    page.locator('.lm-Menu-item[data-command="runmenu:run-all"]').click()


def _idle(page: Any) -> None:
    page.locator(".jp-Notebook .jp-Cell").first.wait_for()
    page.locator(r"text=/Python 3 .*\| Idle/").first.wait_for()


def _write(file: Path, sources: list[str]) -> None:
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(new_notebook(cells=[new_code_cell(source) for source in sources], metadata={"kernelspec": kernel}), file)


@contextmanager
def _compiled(folder: Path) -> Iterator[None]:
    """Let what is started here keep compiled modules, in a folder of this run. A shell that forbids it (PYTHONDONTWRITEBYTECODE) would have
    every kernel compile the clone's modules anew, and none of the libraries', which pip has compiled."""
    before = dict(os.environ)
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = str(folder)
    try:
        yield
    finally:
        os.environ.clear()
        os.environ.update(before)


@contextmanager
def _browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    tests = _tests()
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=_chromium(), args=[*tests.FLAGS, *(["--no-sandbox"] if root else [])])
        yield browser
        browser.close()


@contextmanager
def _page(browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    yield page
    page.on("dialog", lambda dialog: dialog.accept())
    context.close()


@contextmanager
def _lab(folder: Path) -> Iterator[Any]:
    with tempfile.TemporaryDirectory() as home:
        lab = _tests().start_lab(folder, Path(home))
        try:
            yield lab
        finally:
            lab.stop()


@contextmanager
def _bare_lab(folder: Path) -> Iterator[str]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with tempfile.TemporaryDirectory() as home:
        surroundings = dict(os.environ, HOME=home, JUPYTER_CONFIG_DIR=f"{home}/config", JUPYTER_DATA_DIR=f"{home}/data", JUPYTER_RUNTIME_DIR=f"{home}/runtime")
        root = ["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        process = subprocess.Popen(
            [sys.executable, "-m", "jupyterlab", "--no-browser", f"--ServerApp.port={port}", "--IdentityProvider.token=t", f"--ServerApp.root_dir={folder}",
             "--LabApp.news_url=None", "--ServerApp.open_browser=False", *root],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=surroundings, **_tests().INTERRUPTIBLE)  # fmt: skip
        try:
            _until(lambda: _answers(port))
            yield f"http://127.0.0.1:{port}/doc/tree/bare.ipynb?token=t"
        finally:
            process.send_signal(signal.SIGINT)
            try:
                process.wait(20)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def _until(met: Callable[[], bool]) -> None:
    end = perf_counter() + PATIENCE / 1000
    while not met():
        if perf_counter() > end:
            raise TimeoutError("the bare JupyterLab did not answer")


def _answers(port: int) -> bool:
    with socket.socket() as probe:
        probe.settimeout(0.2)
        return probe.connect_ex(("127.0.0.1", port)) == 0


def _shut_down(lab: Any) -> None:
    """End every kernel, so that the next opening begins without one."""
    import urllib.request

    base = lab.url.partition("/lab")[0]
    headers = {"Authorization": f"token {lab.token}"}
    with urllib.request.urlopen(urllib.request.Request(f"{base}/api/sessions", headers=headers), timeout=60) as answer:
        sessions = json.loads(answer.read())
    for session in sessions:
        urllib.request.urlopen(urllib.request.Request(f"{base}/api/sessions/{session['id']}", headers=headers, method="DELETE"), timeout=60).close()


def _chromium() -> str:
    import shutil

    path = os.environ.get("PLUSWAY_CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if not path:
        raise FileNotFoundError("no Chromium: python3 tests/run gets one")
    return path


def _tests() -> ModuleType:
    """The tests' own helpers, which start a JupyterLab."""
    if "plusway_tests" not in sys.modules:
        spec = importlib.util.spec_from_file_location("plusway_tests", Path(__file__).parents[1] / "conftest.py")
        assert spec is not None
        assert spec.loader is not None
        sys.modules["plusway_tests"] = module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    return sys.modules["plusway_tests"]
