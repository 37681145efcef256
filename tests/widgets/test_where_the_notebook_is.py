"""Outside JupyterLab nobody says which notebook a kernel serves: the working folder has to do, and copies lie about."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import PluswayError
from plusway.lessons import assign, catalogue
from plusway.widgets import Problem
from plusway.widgets.place import find_place
from plusway.widgets.problem import forget_all


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """The notebook of an assignment about a scene of the teacher's own, `easy`; the working folder is an empty one."""
    monkeypatch.delenv("JPY_SESSION_NAME", raising=False)
    (tmp_path / "easy.toml").write_text(catalogue.text("feed-sack"), encoding="utf-8")
    notebook: dict[str, Any] = json.loads(json.dumps(assign.plan("ps1", [str(tmp_path / "easy.toml")]).notebook))
    (tmp_path / "work").mkdir()
    monkeypatch.chdir(tmp_path / "work")
    forget_all()
    return notebook


def save(notebook: dict[str, Any], name: str, **more: Any) -> None:
    changed = copy.deepcopy(notebook)
    changed["metadata"]["plusway"].update(more)
    Path(name).write_text(json.dumps(changed), encoding="utf-8")


def test_a_notebook_under_another_name_has_its_scene(record: dict[str, Any]) -> None:
    """Copied out of the course and run by nbconvert."""
    save(record, "renamed.ipynb")
    assert find_place("easy").notebook.name == "renamed.ipynb"
    assert list(Problem("easy", id="easy").scene.things) == ["sack", "counterweight"]


def test_of_several_copies_the_scene_is_taken_and_no_answers(record: dict[str, Any]) -> None:
    """The problem is the same in all of them; whose answers are meant nobody can say."""
    save(record, "a.ipynb", answers={"easy": {"results": {"a": "1.58 m/s^2"}}})
    save(record, "b.ipynb")
    problem = Problem("easy", id="easy")
    assert list(problem.scene.things) == ["sack", "counterweight"]
    assert problem.answers() == {"scene": "easy"}


DIFFERING: dict[str, dict[str, Any]] = {
    "another student's numbers": {"seed": "0123456789abcdef"},
    "another scene": {"problems": {"easy": {"scene": "easy", "scene_toml": catalogue.text("mine-cart")}}},
    "a list of problems": {"problems": ["easy"]},
}


@pytest.mark.parametrize("change", DIFFERING.values(), ids=list(DIFFERING))
def test_where_the_copies_differ_one_line_says_what_to_do(record: dict[str, Any], change: dict[str, Any]) -> None:
    """No numbers are guessed."""
    save(record, "a.ipynb")
    save(record, "b.ipynb", **change)
    with pytest.raises(PluswayError, match="run it in its folder without other copies there"):
        Problem("easy", id="easy")
