"""Whose numbers: the one seed rule, the same in the browser that opens a lesson and at marking."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.marking.assignment import assignment_from, seed_for
from plusway.autograde.marking.mark import mark_notebook
from plusway.autograde.marking.numbers import is_seed, seed_in, with_numbers
from plusway.autograde.scene import Scene
from plusway.lessons import assign, catalogue

BALE = "hay-bale-on-ramp"
SEED = "3b8e7ba79e876cc1"
BALE_OF_S017 = {"m_1": "21 kg", "m_2": "33 kg", "mu_k": "0.40", "mu_s": "0.65", "theta": "35 deg"}


def data(scene: Scene) -> dict[str, str]:
    """Every datum but g, as written."""
    return {n: f"{s.given.text} {s.given.unit}".strip() for n, s in scene.symbols.items() if s.given and n != "g"}


def numbers(assignment: str, student: str) -> dict[str, str]:
    return data(with_numbers(catalogue.text(BALE), BALE, seed_for(assignment, student)))


def test_the_rule_is_the_one_that_is_written_down() -> None:
    """The first sixteen hexadecimal figures of a hash that any language has: SHA-256 of plusway, assignment, student."""
    assert seed_for("ps1", "Özgür") == hashlib.sha256("plusway\0ps1\0Özgür".encode()).hexdigest()[:16] == SEED


def test_the_student_and_the_assignment_settle_the_numbers() -> None:
    """These must never change: a notebook given out last year is still marked with its own."""
    assert numbers("week-3", "s017") == BALE_OF_S017


@pytest.mark.parametrize(("assignment", "student"), [("week-3", "s018"), ("week-4", "s017"), ("week-3s", "017")])
def test_another_student_or_assignment_has_other_numbers(assignment: str, student: str) -> None:
    """Nor do the two names run together."""
    assert numbers(assignment, student) != numbers("week-3", "s017")


SCENES = [("a scene that is set once has the student's own seed", {"p": BALE, "q": "feed-sack"}, True),
          ("alone", {"p": BALE}, True), ("a problem of no known scene", {}, True),
          ("a scene that is set twice has a seed for each problem", {"p": BALE, "q": BALE}, False),
          ("beside others", {"a": "feed-sack", "p": BALE, "p-2": BALE, "b": "mine-cart"}, False)]


@pytest.mark.parametrize(("scenes", "own"), [case[1:] for case in SCENES], ids=[case[0] for case in SCENES])
def test_the_seed_of_a_problem(scenes: dict[str, str], own: bool) -> None:
    """By what is set, in whatever order a saved notebook has it; assignments of one problem a scene keep last year's numbers."""
    assert (seed_in(SEED, "p", scenes) == SEED) is own
    assert seed_in(SEED, "p", scenes) == seed_in(SEED, "p", dict(reversed(scenes.items())))
    assert is_seed(seed_in(SEED, "p", scenes))


def test_a_scene_that_is_set_twice_has_other_numbers_the_second_time_in_lesson_and_marking_alike(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In JupyterLab, whose notebooks have their keys in any order, beside a copy where nobody says which is open, and at marking."""
    from plusway.widgets import Problem

    planned = assign.plan("week-3", [BALE, "feed-sack", BALE], per_student=True)
    copy = json.loads(json.dumps(assign.of_student(planned, "s017")))
    ids = ["feed-sack", f"{BALE}-2", BALE]
    for name in ("mine.ipynb", "copy.ipynb"):
        (tmp_path / name).write_text(json.dumps(copy, sort_keys=True), encoding="utf-8")
    monkeypatch.setenv("JPY_SESSION_NAME", str(tmp_path / "mine.ipynb"))
    seen = {id: Problem(BALE, id=id).scene for id in ids}
    monkeypatch.delenv("JPY_SESSION_NAME")
    monkeypatch.chdir(tmp_path)
    assert {id: Problem(BALE, id=id).scene.digest for id in ids} == {id: scene.digest for id, scene in seen.items()}
    assert data(seen[BALE]) != data(seen[f"{BALE}-2"])
    assert data(seen["feed-sack"]) == data(with_numbers(catalogue.text("feed-sack"), "feed-sack", seed_for("week-3", "s017")))
    source = assignment_from(json.loads(json.dumps(planned.notebook)), "x")
    marked = mark_notebook(json.dumps(copy).encode(), source, student="s017")
    assert marked.flags == ()
    assert {p.problem: with_numbers(catalogue.text(p.scene), p.scene, p.variant).digest for p in marked.problems} == {
        id: scene.digest for id, scene in seen.items()}


@given(st.text(max_size=8), st.text(max_size=8))
def test_every_student_has_a_seed(assignment: str, student: str) -> None:
    """Whatever anybody is called, and marking knows it for a seed."""
    assert is_seed(seed_for(assignment, student))
