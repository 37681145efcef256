"""A session as the notebook has it, without a browser: problems, evidence, the file, what is shown."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from plusway.lessons import catalogue
from plusway.lessons.practice import Practice
from plusway.lessons.practice.keeping import NAME, File
from plusway.lessons.practice.known import known_html, known_text
from plusway.lessons.practice.record import Record
from plusway.lessons.practice.session import Session, scene_for
from plusway.lessons.practice.skills import SKILLS, skills_of
from plusway.widgets import problem as problems
from plusway.widgets.worked import worked_answers


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Each test works in a folder of its own, with a fresh kernel's memory."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JPY_SESSION_NAME", str(tmp_path / "practice.ipynb"))
    problems.forget_all()
    yield
    problems.forget_all()


def answer(session: Session, step: str, item: str | None, value: object) -> None:
    """Commit an answer as the browser does."""
    assert session.problem is not None
    shows = {"directions": session.problem.directions, "forces": session.problem.forces, "equations": session.problem.equation, "ties": session.problem.ties}
    reply = shows[step]().reply_to({"kind": "commit", "id": 1, "item": item, "value": value, "hints": 0})
    assert reply is not None
    assert reply["kind"] == "committed", reply


def solve_first_steps(session: Session) -> None:
    """Directions, forces, equations and ties, all right."""
    problem = session.problem
    assert problem is not None
    for step in ("directions", "forces", "equations", "ties"):
        for item, value in list(worked_answers(problem.scene, problem.answers(), step)):
            answer(session, step, item, value)


def test_a_session_shows_a_problem_and_all_its_steps(tmp_path: Path) -> None:
    """Bar, steps in order, bar, table."""
    session = Session(tmp_path)
    kinds = [type(child).__name__ for child in session.view.children]
    assert kinds[0] == "Bar"
    assert kinds[-2:] == ["Bar", "HTML"]
    order = ["Directions", "Forces", "Equation", "Ties", "Working", "Results", "Sense"]
    assert [k for k in order if k in kinds] == kinds[1:-2]


def test_right_answers_raise_what_is_known_and_are_kept_at_once(tmp_path: Path) -> None:
    """After each commit the file and the table are up to date."""
    session = Session(tmp_path)
    solve_first_steps(session)
    kept = File(tmp_path).open().record
    assert kept.standings()["hanging"].p > 0.7
    assert kept.standings()["forces"].seen >= 1
    assert known_html(kept.standings()) == session._table.value


@pytest.mark.parametrize(("scene", "asked"), [("cask-over-a-heavy-wheel", "a, T₁, T₂, α"), ("slate-on-bench", "a, T, f₁"), ("two-kegs-class-letters", "a, T, R₁, F_f1")])
def test_what_is_to_be_found_stands_above_the_problem(tmp_path: Path, scene: str, asked: str) -> None:
    """In the letters of the scene's class, set as everywhere."""
    session = Session(tmp_path, scenes={scene: skills_of(catalogue.find(scene))})
    assert f"To find: {asked}." in session.top.shown["lines"]


def test_ten_problems_one_after_the_other(tmp_path: Path) -> None:
    """Each has a number, fresh numbers of its own and no two in a row are the same scene."""
    session = Session(tmp_path)
    for number in range(1, 11):
        assert session.top.shown["heading"].startswith(f"Problem {number}: ")
        assert session.top.shown["turn"] == number
        solve_first_steps(session)
        reply = session.bottom.reply_to({"kind": "press", "id": 3, "name": "next"})
        assert reply is not None
        assert reply["says"].startswith("A new problem.")
    past = File(tmp_path).open().record.problems
    assert len({p.id for p in past}) == len(past) == 11
    assert all(a.scene != b.scene for a, b in pairwise(past))
    assert len({p.target for p in past}) >= 3


def test_a_restarted_kernel_finds_the_problem_as_it_was_left(tmp_path: Path) -> None:
    """Same numbers, same answers, and no evidence counted twice."""
    session = Session(tmp_path)
    solve_first_steps(session)
    assert session.problem is not None
    before, answers = session.problem.scene, session.problem.answers()
    counted = len(File(tmp_path).open().record.occasions())
    problems.forget_all()
    again = Session(tmp_path)
    assert again.problem is not None
    assert (again.problem.scene, again.problem.answers()) == (before, answers)
    assert len(File(tmp_path).open().record.occasions()) == counted


def test_a_problem_has_fresh_numbers(tmp_path: Path) -> None:
    """They differ from those of the scene that ships."""
    from plusway.lessons import catalogue

    record = File(tmp_path).open().record
    session = Session(tmp_path)
    last = session.record.last
    assert last is not None
    assert scene_for(last) == scene_for(last) != catalogue.find(last.scene)
    assert record == Record(record.seed)


def test_a_scene_that_no_longer_ships_makes_way_for_a_new_problem(tmp_path: Path) -> None:
    """The history stays."""
    session = Session(tmp_path)
    text = (tmp_path / NAME).read_text(encoding="utf-8")
    last = session.record.last
    assert last is not None
    (tmp_path / NAME).write_text(text.replace(f'"scene": "{last.scene}"', '"scene": "gone"'), encoding="utf-8")
    again = Session(tmp_path)
    assert [p.scene == "gone" for p in again.record.problems] == [True, False]


def test_a_broken_file_is_said_above_the_problem(tmp_path: Path) -> None:
    """And practice goes on."""
    (tmp_path / NAME).write_text("{", encoding="utf-8")
    session = Session(tmp_path)
    assert "plusway-practice.broken-1.json" in session.top.shown["notice"]
    assert session.problem is not None


def test_only_buttons_that_are_shown_can_be_pressed(tmp_path: Path) -> None:
    """Any other message gets no answer."""
    session = Session(tmp_path)
    for message in ({"kind": "press", "id": 1, "name": "forget"}, {"kind": "press", "name": "next"}, "next", {"kind": "run", "id": 1}):
        assert session.top.reply_to(message) is None
    assert session.top.reply_to({"kind": "ping", "id": 5}) == {"kind": "pong", "id": 5}


def test_forgetting_is_final(tmp_path: Path) -> None:
    """What is still on show writes nothing any more; practice() begins anew."""
    practice = Practice()
    session = practice(tmp_path)
    assert isinstance(session, Session)
    assert "deleted" in repr(practice.forget(tmp_path))
    solve_first_steps(session)
    assert not (tmp_path / NAME).exists()
    assert practice(tmp_path) is not session


def test_running_the_cell_again_shows_the_same_session(tmp_path: Path) -> None:
    """No problem is lost by it."""
    practice = Practice()
    assert practice(tmp_path) is practice(tmp_path)


def test_what_is_known_is_said_in_words_and_numbers(tmp_path: Path) -> None:
    """A table with a caption and headings; bars are hidden from a screen reader, for the number stands beside them."""
    session = Session(tmp_path)
    solve_first_steps(session)
    standings = session.record.standings()
    html, text = known_html(standings), known_text(standings)
    assert html.count('scope="row"') == len(SKILLS)
    assert html.count('scope="col"') == 4
    assert "<caption" in html
    assert len(re.findall("<svg", html)) == len(re.findall('aria-hidden="true"', html)) == sum(s.seen > 0 for s in standings.values())
    assert text.count("\n") == len(SKILLS) - 1
    assert "nothing to go by yet" in text
    assert "on its way" in text


def test_errors_are_said_and_never_raised_at_a_learner(tmp_path: Path) -> None:
    """Each is one line of text."""
    practice = Practice()
    (tmp_path / NAME).write_text('{"format": 99}', encoding="utf-8")
    for said in (practice(tmp_path), practice.known(tmp_path), practice.export("x.csv", tmp_path)):
        assert len(repr(said).splitlines()) == 1
    assert "later plusway" in repr(practice(tmp_path))
