"""The browser's side as text: modules that join without clashes, and message shapes that agree with Python's."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import get_type_hints

import pytest
from ipywidgets.embed import dependency_state

from plusway.autograde.method import STEPS
from plusway.widgets import Problem, messages, static
from plusway.widgets.scripted import the_script
from plusway.widgets.steps import StepWidget

STATIC = Path(static.__file__).parent / "static"
MODULES = sorted(path for path in STATIC.glob("*.js") if path.name != "messages.js")
TOP_LEVEL = re.compile(r"^(?:export )?(?:async )?(?:function|const|let|class) (\w+)", re.MULTILINE)
KINDS = {cls.step: cls for cls in StepWidget.__subclasses__()}


def typedefs() -> Iterator[tuple[str, set[str]]]:
    """(name, keys) of every object type in messages.js."""
    text = re.sub(r"\n \*\s*", " ", (STATIC / "messages.js").read_text(encoding="utf-8"))
    for body, name in re.findall(r"@typedef \{\{(.*?)\}\} (\w+)", text):
        yield name, set(re.findall(r"(\w+)\??:", re.sub(r"\{[^{}]*\}", "object", body)))


def test_every_step_has_its_widget() -> None:
    """One widget for each kind of step."""
    assert set(KINDS) == set(STEPS)


def test_the_joined_script_stands_alone() -> None:
    """Nothing is left to import, each kind of widget is exported once, and nothing comes from a network."""
    text = static.script()
    assert not re.search(r"^import ", text, re.MULTILINE)
    exported = re.findall(r"^export (?:const )?(\w+)", text, re.MULTILINE)
    assert sorted(exported) == sorted(map(static.part, static.KINDS))
    assert re.findall(r"https?://[^\"' ]+", text) in ([], ["http://www.w3.org/2000/svg", "http://www.w3.org/1998/Math/MathML"])


def test_the_script_travels_once_for_forty_widgets(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> None:
    """Each widget refers to the one model that holds the script, and carries a few lines of its own."""
    shown = []
    for problem in (Problem("feed-sack", id=f"number-{n}") for n in range(4)):
        shown += [problem.directions(), problem.ties(), problem.working(), problem.results(), problem.sense(), problem.closing()]
        shown += [make(thing) for make in (problem.forces, problem.equation) for thing in ("sack", "counterweight")]
    assert len({widget.model_id for widget in shown}) == 40
    assert {widget.get_state()["script"] for widget in shown} == {f"IPY_MODEL_{the_script().model_id}"}
    assert the_script().get_state()["text"] == static.script()
    assert max(len(widget.get_state()["_esm"]) for widget in shown) < len(static.script()) / 50


def test_a_widget_that_is_saved_by_itself_takes_the_script_along(problem: Problem) -> None:
    """ipywidgets writes a page of chosen widgets with all models that they refer to."""
    saved = dependency_state([problem.equation("sack")])
    assert saved[the_script().model_id]["state"]["text"] == static.script()


def test_a_script_that_was_closed_is_made_anew() -> None:
    """ipywidgets can close all widgets of a kernel; the next one still finds its script."""
    first = the_script()
    first.close()
    assert the_script() is not first
    assert the_script() is the_script()


def test_two_versions_of_the_script_do_not_meet() -> None:
    """A page keeps each script by a name that is made of its text."""
    assert f'name = "{static.script_name()}"' in static.esm("bar")
    with pytest.raises(KeyError):
        static.esm("lever")


def test_no_two_modules_share_a_top_level_name() -> None:
    """So that joining them can't make one shadow the other."""
    seen: dict[str, str] = {}
    for path in MODULES:
        for name in TOP_LEVEL.findall(path.read_text(encoding="utf-8")):
            assert name not in seen, f"{name} in {path.name} and {seen[name]}"
            seen[name] = path.name


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_no_module_makes_markup_from_text(path: Path) -> None:
    """A student's text reaches the page as text: no innerHTML and its kin, no eval."""
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|setHTMLUnsafe", text)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_a_module_fits_on_a_few_screens(path: Path) -> None:
    """One idea a file."""
    assert len(path.read_text(encoding="utf-8").splitlines()) < 400


@pytest.mark.parametrize(("name", "keys"), list(typedefs()), ids=lambda value: value if isinstance(value, str) else "")
def test_the_message_shapes_agree(name: str, keys: set[str]) -> None:
    """The JSDoc types of the browser and the TypedDicts of the kernel have the same keys."""
    assert keys == set(get_type_hints(getattr(messages, name)))


def test_every_message_has_its_twin() -> None:
    """No TypedDict is missing from messages.js."""
    ours = {name for name, value in vars(messages).items() if isinstance(value, type) and value.__module__ == messages.__name__}
    assert ours == {name for name, _ in typedefs()}


@pytest.mark.parametrize("path", [path for path in MODULES if path.name != "words.js"], ids=lambda path: path.stem)
def test_whatever_is_said_stands_in_the_table_of_words(path: Path) -> None:
    """No module but words.js holds a sentence or a label of several words, so that a translator has one place to go to."""
    code = re.sub(r"(?m)^\s*//.*$|(?s:/\*.*?\*/)", "", path.read_text(encoding="utf-8"))
    assert re.findall(r"[\"`][A-Z][a-z’]+ [a-z][^\"`]*[\"`]", code) == []
