"""The steps of the method are one table; what can't import it says the same."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from plusway.autograde.judging import judge
from plusway.autograde.judging.scheme import NOTES
from plusway.autograde.method import LISTS, METHOD, PER_THING, STEPS, TABLES
from plusway.lessons import catalogue
from plusway.lessons.notebook import HEADINGS, WIDGETS
from plusway.widgets import Problem

EXTENSION = Path("widgets/labextension/static")


def listed(root: Path, file: str, name: str) -> list[str]:
    """The texts of a JavaScript list or table, in their order: `NAME = ["a", "b"]`, `NAME = { a: "b", … }`."""
    found = re.search(rf"\b{name} = ([\[{{].*?[\]}}]);", (root / EXTENSION / file).read_text(encoding="utf-8"), re.DOTALL)
    assert found
    return re.findall(r'"([^"]*)"', found[1])


@pytest.mark.clone
@pytest.mark.parametrize(("file", "name", "ours"), [
    ("records.js", "STEPS", STEPS),
    ("records.js", "LISTED", LISTS),
    ("steps.js", "NAMES", tuple(step.title for step in METHOD)),
])
def test_the_extension_knows_the_steps_in_the_same_order(root: Path, file: str, name: str, ours: tuple[str, ...]) -> None:
    """JavaScript can't import the table, so it repeats it."""
    assert tuple(listed(root, file, name)) == ours


@pytest.mark.clone
@pytest.mark.parametrize("step", STEPS)
def test_the_extension_knows_which_call_shows_a_step(root: Path, step: str) -> None:
    """Only a cell that shows a step is run by itself when a lesson opens."""
    assert f'["{WIDGETS[step]}", "{step}"]' in (root / EXTENSION / "lessonCells.js").read_text(encoding="utf-8")


def test_every_step_has_answers_of_one_shape() -> None:
    """A table, a part for each thing, or lines."""
    assert sorted([*TABLES, *PER_THING, *LISTS]) == sorted(STEPS)


@pytest.mark.parametrize("step", STEPS)
def test_a_step_is_judged_shown_headed_and_worth_something(step: str) -> None:
    """Whoever adds one is told here what is still missing."""
    assert step in {judged.step for judged in judge(catalogue.find("feed-sack"), {}).steps}
    assert callable(getattr(Problem, WIDGETS[step]))
    assert all(HEADINGS[step])
    assert any(key.startswith(step.removesuffix("s")) for key in NOTES)
