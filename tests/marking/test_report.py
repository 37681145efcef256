"""`plusway report`: what a class's results say, in words, tables and pictures."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.marking.statistics import Score, Statistics
from plusway.lessons import assign
from plusway.lessons.command import main

from .conftest import SCENE, answers_of


@pytest.fixture
def marked(tmp_path: Path, copy_of: Callable[..., dict[str, Any]]) -> Path:
    """Ten students: four right, three with a flipped weight, one with a missing one, one half-finished, one broken file."""
    folder = tmp_path / "class"
    folder.mkdir()
    path, _ = assign.write(assign.plan("ps1", [SCENE]), tmp_path / "course")
    for place, slip in enumerate(["", "", "", "", "flipped", "flipped", "flipped", "missing", "half"]):
        (folder / f"Name{place}.ipynb").write_text(json.dumps(copy_of(answers_of(slip=slip))))
    (folder / "Name9.ipynb").write_text("{")
    main(["mark", str(folder), "--assignment", str(path)])
    return folder


def data(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "marks" / "report.json").read_text(encoding="utf-8"))
    return found


def test_the_figures_are_those_of_the_class(marked: Path) -> None:
    """Counted by hand from the fixture."""
    assert main(["report", str(marked)]) == 0
    found = data(marked)["assignments"]["ps1"]
    steps = {(s["step"], s["item"]): s for s in found["steps"]}
    assert (found["notebooks"], found["unmarked"], sum(found["tenths"])) == (10, 1, 9)
    assert steps[("ties", None)]["blank"] == 1
    assert steps[("ties", None)]["success"] == pytest.approx(8 / 9, abs=1e-4)
    assert steps[("equations", "sack")]["success"] == pytest.approx((5 * 2 + 3 * 1 + 0) / 18, abs=1e-4)
    assert (found["kinds"]["flipped-force"], found["kinds"]["missing-force"]) == (3, 1)


def test_what_to_teach_again_comes_with_an_example(marked: Path) -> None:
    """The commonest kind first, where it happened, and a line of somebody's."""
    main(["report", str(marked)])
    first = data(marked)["assignments"]["ps1"]["teach"][0]
    assert (first["kind"], first["notebooks"], first["item"]) == ("flipped-force", 3, "sack")
    assert first["example"] == answers_of(slip="flipped")["equations"]["sack"]


def test_a_slip_is_told_with_the_direction_that_was_chosen(marked: Path) -> None:
    """By kind, body and direction."""
    main(["report", str(marked)])
    slip = data(marked)["assignments"]["ps1"]["slips"][0]
    assert (slip["kind"], slip["item"], slip["directions"]) == ("flipped-force", "sack", {"up": 3})


def test_names_are_hidden_unless_asked_for(marked: Path) -> None:
    """Neither page nor data have them; with --names both do."""
    main(["report", str(marked)])
    for name in ("report.html", "report.json"):
        assert "Name" not in (marked / "marks" / name).read_text(encoding="utf-8").replace("Names are hidden", "")
    main(["report", str(marked), "--names"])
    assert "Name4" in (marked / "marks" / "report.html").read_text(encoding="utf-8")


def test_every_picture_has_words_that_say_the_same(marked: Path) -> None:
    """A picture is one sentence to a screen reader, and its figures stand in a table."""
    main(["report", str(marked)])
    page = (marked / "marks" / "report.html").read_text(encoding="utf-8")
    assert page.count("<svg") == page.count('<figure role="img" aria-label="') == 3
    assert "The commonest kind is flipped-force, in 3 of 9 notebooks." in page
    assert "<script" not in page


def test_the_same_results_give_the_same_page(marked: Path) -> None:
    """No time, no random id."""
    main(["report", str(marked)])
    first = (marked / "marks" / "report.html").read_bytes()
    main(["report", str(marked)])
    assert (marked / "marks" / "report.html").read_bytes() == first


@given(st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=3, max_size=40))
def test_discrimination_is_the_correlation(pairs: list[tuple[float, float]]) -> None:
    """Against the definition, in plain Python (statistics.correlation of the standard library)."""
    from statistics import StatisticsError, correlation

    score = Score(1.0)
    for x, y in pairs:
        score.add(x, y, False)
    found = score.discrimination
    try:
        expected = correlation(*map(list, zip(*pairs, strict=True)))
    except StatisticsError:
        return
    if found is not None:
        assert found == pytest.approx(expected, abs=1e-3)


def test_an_empty_class_has_a_report_too() -> None:
    """Nothing divides by nothing."""
    assert Statistics().to_json()["teach"] == []
