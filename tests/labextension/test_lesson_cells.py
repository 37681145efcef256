"""Which cells run by themselves when a notebook is opened: the lesson's own, and never any other code."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from nbformat.v4 import new_code_cell

pytestmark = pytest.mark.browser

Make = Callable[..., Any]

HARMLESS = [
    "from plusway.widgets import Problem",
    'from plusway.widgets import Problem\nproblem = Problem("feed-sack")',
    "# The feed sack\n\nproblem = Problem('feed-sack', id=\"sack 2\")  # again",
    'problem = Problem("feed-sack", settings={"hints": False, "worked": ["ties", "sense"], "verdicts": None})',
    'problem = Problem(\n    "feed-sack",\n    id="x",\n)\n',
    'problem = Problem("""title = "A crate"\n[bodies.crate]\nmass = "2 kg"\n""")',
    'p = Problem("a", settings=[1, -2.5, .5, (True,), {}])',
    "problem.directions()",
    'problem.equation("sack")\nproblem.equation(thing="counterweight")',
    "problem.working()\r\nproblem.results()",
    'problem.find_slip("flipped-force", seed=2)',
    "from plusway.widgets import WorkedExample",
    'from plusway.widgets import WorkedExample\n\nWorkedExample("feed-sack")',
    'WorkedExample("""title = "A crate"\n[bodies.crate]\nmass = "2 kg"\n""")',
    "from plusway.lessons.practice import practice\n\npractice()",
    'from plusway.lessons.explore import explore\n\nexplore("feed-sack")',
    "from plusway.lessons.lab import fell, fitted, measured, plan\n\nplan([(0.240, 0.260)], distance=1.20)",
    'measured("""\nm1 (kg); m2 (kg)\n0.2; 0.3\n""")',
    'data = measured("invented-runs")\ndata',
    'fell("invented-photogate")',
    "",
]

HARMFUL = [
    "import os",
    "from plusway.widgets import *",
    "from plusway.widgets import Problem, os",
    "from plusway import widgets",
    "from os import Problem",
    "from plusway.widgets import Problem; import os",
    'problem = Problem(open("/etc/passwd").read())',
    'problem = Problem(f"{__import__(\'os\').getcwd()}")',
    'problem = Problem(b"x")',
    'problem = Problem("a" "b" if x else "c")',
    'problem = Problem("a" + x)',
    'problem = Problem("a" % x)',
    "problem = Problem(*x)",
    "problem = Problem(x)",
    "problem = Problem(id=x)",
    "problem = Problem({x for x in y})",
    "problem = Problem(lambda: 1)",
    "problem = Problem(1 + 1)",
    "problem = Problem(2**99)",
    "problem = Problem",
    "from plusway.widgets import WorkedExample as Problem",
    "from plusway.widgets import workedexample",
    "from plusway.lessons.practice import practice, known",
    "from plusway.widgets import practice",
    "from practice import practice",
    "from plusway.lessons.explore import practice",
    "from plusway.lessons.explore.os import explore",
    "from plusway.lessons.practice import Practice",
    'practice("/tmp")',
    "practice(folder='/tmp')",
    "practice.forget()",
    'practice().export("a")',
    "from plusway.lessons.lab import fell, Path",
    "from plusway.lessons.lab import explore",
    'measured("my-file.csv")',
    'measured("//elsewhere/share/runs.csv")',
    'measured("invented-runs", source="a.csv")',
    "measured(['a.csv'])",
    "measured()",
    'fell("/etc/passwd")',
    "fitted(data)",
    "data",
    'data = measured("invented-runs")\nother',
    'data = measured("invented-runs")\ndata.runs',
    'data = plan("a")',
    'data = measured("invented-runs").runs',
    "explore(x)",
    'explore("feed-sack").reply_to({})',
    "WorkedExample",
    "WorkedExample(x)",
    "WorkedExample(open('a'))",
    "WorkedExample('a').choose('sack', 'up')",
    "WorkedExample('a')._scene",
    "WorkedExample('a')()",
    "WorkedExample.__subclasses__()",
    "x = WorkedExample('a')",
    "Worked('a')",
    "problem = Problem()()",
    'problem = Problem("a").directions().__class__',
    "problem.directions",
    "problem.directions().close()",
    "problem.__class__()",
    "problem._widget()",
    "problem.answers()",
    "problem.directions(x)",
    "problem.directions(problem.forces())",
    "problem.scene.x()",
    "!ls",
    "%run evil.py",
    "%%bash\nls",
    "problem.directions()?",
    "?problem.directions()",
    "problem.directions() # fine\rimport os",
    "problem.directions()\x0cimport os",
    "problem.directions() if True else 1",
    "if True: problem.directions()",
    " problem.directions()",
    "problem.directions() \\\n import os",
    'problem.directions("""" + x + """")',
    'problem.directions("\\x41")',
    "problem.directions('a' 'b')",
    "problem = other = Problem('a')",
    "problem: int = Problem('a')",
    "problem.directions()\u2028import os",
    "\ufeffimport os",
    "@problem.directions()",
    "del problem",
    "ﬁle = Problem('a')",
    "Problem(" + "[" * 40 + "]" * 40 + ")",
    "x = Problem('" + "a" * 30_000 + "')",
]


@pytest.fixture(scope="module")
def harmless(lab: Any, browser: Any) -> Iterator[Callable[[str], Any]]:
    """harmless(source): what the extension reads in a cell, None where it won't run it."""
    context = browser.new_context()
    page = context.new_page()
    page.goto(lab.url.replace("/lab/tree/", "/lab/workspaces/cells/tree/"))
    page.wait_for_function("() => globalThis._JUPYTERLAB?.plusway !== undefined")
    modules = page.evaluate("() => performance.getEntriesByType('resource').map((one) => one.name).find((name) => name.includes('/extensions/plusway/static/'))")
    yield lambda source: page.evaluate(
        "async ([beside, source]) => (await import(new URL('lessonCells.js', beside).href)).harmless(source)",
        [modules, source],
    )
    context.close()


@pytest.mark.parametrize("source", HARMLESS)
def test_a_plain_lesson_cell_is_known(harmless: Callable[[str], Any], source: str) -> None:
    """A cell of the harmless statements, with literals only, may run by itself."""
    assert harmless(source) is not None


@pytest.mark.parametrize("source", HARMFUL)
def test_any_other_code_is_refused(harmless: Callable[[str], Any], source: str) -> None:
    """One name, operator, prefix or odd character too many, and the cell does not run by itself."""
    assert harmless(source) is None


@pytest.mark.parametrize(
    ("source", "read"),
    [
        ('p = Problem("feed-sack")', {"does": "problem", "name": "p", "problem": "feed-sack"}),
        ('p = Problem("feed-sack", "twice")', {"does": "problem", "name": "p", "problem": "twice"}),
        ('p = Problem("feed-sack", id="again")', {"does": "problem", "name": "p", "problem": "again"}),
        ('p.equation("sack")', {"does": "step", "name": "p", "step": "equations", "item": "sack"}),
        ("p.sense()", {"does": "step", "name": "p", "step": "sense", "item": None}),
        ('WorkedExample("feed-sack")', {"does": "show", "name": "WorkedExample"}),
    ],
)
def test_a_lesson_cell_says_which_step_it_shows(harmless: Callable[[str], Any], source: str, read: dict[str, Any]) -> None:
    """The panel's rows come from the cells, so that they are there before any kernel is."""
    assert harmless(source) == [read]


@pytest.mark.parametrize("front", ["lab", "notebook"])
def test_opening_runs_the_lessons_cells_and_no_other(desk: Make, front: str) -> None:
    """The reader's own cell keeps its empty prompt; the lesson's four have run in order."""
    lesson = desk(front).open().ran()
    assert lesson.prompts() == ["", "1", "2", "3", "4"]


def test_only_opening_a_lesson_leaves_nothing_to_save(desk: Make) -> None:
    """Who opens a lesson and closes it again is not asked about changes that the lesson made by running."""
    lesson = desk().open().ran()
    lesson.clean()
    assert lesson.kept_counts() == [None, 1, 2, 3, 4]


def test_a_mailed_cell_with_other_code_does_not_run(desk: Make, own_cell: Callable[[str], Any]) -> None:
    """A mark in the metadata proves nothing: code is not run, the rest of the lesson is, and the banner says so."""
    evil = 'open("evidence", "w").close()'
    lesson = desk(
        "lab", own_cell('from plusway.widgets import Problem\nproblem = Problem("feed-sack")'), own_cell(evil),
        own_cell("problem.ties()"), own_cell("other.directions()"),
        new_code_cell('from plusway.widgets import Problem\nunmarked = Problem("feed-sack")'),
    ).open()  # fmt: skip
    lesson.page.locator(".pwlab-banner", has_text="hold other code").wait_for()
    lesson.page.locator(".jp-CodeCell .jp-InputPrompt", has_text="[2]").wait_for()
    lesson.page.wait_for_timeout(1000)
    assert lesson.prompts() == ["", "1", "", "2", "", ""]
    assert not (lesson.file.parent / "evidence").exists()


@pytest.mark.parametrize("name", ["plusway.py", *(pytest.param(name, marks=pytest.mark.thorough) for name in ("numpy.py", "plusway/__init__.py"))])
def test_python_files_beside_a_mailed_notebook_do_not_run(desk: Make, name: str) -> None:
    """A file that would stand in for a library keeps the lesson from starting until the reader says so."""
    lesson = desk()
    planted = lesson.file.parent / name
    planted.parent.mkdir(exist_ok=True)
    planted.write_text("import pathlib; pathlib.Path(__file__).with_name('evidence').touch()", encoding="utf-8")
    lesson.open()
    lesson.page.locator(".pwlab-banner", has_text=name).wait_for()
    lesson.page.wait_for_timeout(1500)
    assert lesson.prompts() == [""] * 5
    assert not (planted.parent / "evidence").exists()
    planted.unlink()
    lesson.page.get_by_role("button", name="Run the lesson").click()
    lesson.started()
    lesson.page.locator(".pwlab-banner").wait_for(state="hidden")


def test_a_notebook_that_is_no_lesson_is_left_alone(desk: Make) -> None:
    """Without the plusway record in its metadata nothing runs, even where cells look like a lesson's."""
    lesson = desk()
    text = lesson.file.read_text(encoding="utf-8")
    lesson.file.write_text(text.replace('"metadata": {\n  "kernelspec"', '"metadata": {\n  "was": 1, "kernelspec"').replace('"plusway": {\n   "id"', '"other": {\n   "id"'), encoding="utf-8")
    lesson.open()
    lesson.page.locator("text=/Python 3 .*\\| Idle/").first.wait_for()
    lesson.page.wait_for_timeout(1500)
    assert lesson.prompts() == [""] * 5
