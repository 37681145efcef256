"""What the lessons say: one goal, sections in order, fading, computed numbers, and physics that no choice of directions changes."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from nbformat.notebooknode import NotebookNode

from plusway.autograde.judging import judge
from plusway.autograde.marking.assignment import assignment_from
from plusway.autograde.marking.cells import grade_id
from plusway.autograde.mechanics.agreeing import agreeing_directions
from plusway.autograde.mechanics.derive import derive
from plusway.autograde.mechanics.wording import rounded
from plusway.autograde.mechanics.worked import solution_json
from plusway.autograde.scene import Scene, load_text
from plusway.lessons import catalogue
from plusway.lessons.course import SOURCES, lesson, read_source
from plusway.lessons.placeholders import PlaceholderError, filled
from plusway.lessons.source import Section, Source
from plusway.widgets.worked import worked_answers

ALL = sorted(SOURCES.glob("*.md"))
ALL_NAMED = pytest.mark.parametrize("path", ALL, ids=lambda path: path.stem)

PLACE = re.compile(r"\{[^}\n]*\}")
HEAD = re.compile(r"^##? .*$", re.MULTILINE)
SYMBOL = re.compile(r"\b(?:[A-Za-z]+)_\d\b")
CODE = re.compile(r"`[^`\n]*`")
UNIT = r"(?:k?g|mg|N|kN|m|c?m|km|s|min|h|J|W|rad|deg|degrees|°|per ?cent|%)"


@cache
def built(path: Path) -> tuple[Source, NotebookNode]:
    """A lesson's source and its notebook, built once."""
    source = read_source(path)
    return source, lesson(source)


def sections(path: Path, kind: str) -> list[Section]:
    """The sections of one kind."""
    return [section for section in built(path)[0].sections if section.kind == kind]


def problems() -> Iterator[tuple[str, str, Scene]]:
    """(lesson, problem, scene with the lesson's own numbers) for every problem of the course."""
    for path in ALL:
        for name, record in built(path)[1].metadata["plusway"]["problems"].items():
            yield path.stem, name, load_text(record["scene_toml"], name=record["scene"], file=f"{path.name}, {name}")


def examples() -> Iterator[tuple[str, str, Scene]]:
    """(lesson, "example", scene) for every worked example."""
    for path in ALL:
        for section in sections(path, "worked example"):
            yield path.stem, "example", catalogue.find(section.scene)


def literal_numbers(source: str) -> list[str]:
    """The numbers typed in a source: all digits but those of placeholders, headings' options, letters' indices and, within code, bare
    counts such as `2T` or `a = 0`."""
    text = SYMBOL.sub("", PLACE.sub("", HEAD.sub(lambda head: head[0].partition(" | ")[0], source)))
    found = [code for code in CODE.findall(text) if re.search(rf"\d[.,]\d|\d\s*{UNIT}\b", code)]
    return found + re.findall(r"\S*\d\S*", CODE.sub("", text))


def test_the_course_has_twelve_lessons_in_order() -> None:
    """01 to 12; the pages for practice, exploring and the lab come after them."""
    assert [path.stem.partition("-")[0] for path in ALL] == [f"{n:02d}" for n in range(1, 13)]


@ALL_NAMED
def test_a_lesson_has_its_parts_in_order(path: Path) -> None:
    """A worked example, a half-finished problem, a whole one, what the idealisations were used for, and two checks or more."""
    kinds = [section.kind for section in built(path)[0].sections]
    assert kinds[:4] == ["worked example", "half-finished", "problem", ""]
    assert set(kinds[4:]) <= {"check yourself", "find the slip"}
    assert kinds.count("check yourself") >= 2
    words = built(path)[0].sections[3]
    assert words.heading == "What the words were for"
    assert len(words.text.split("\n- ")) >= 3


@ALL_NAMED
def test_the_goal_is_one_sentence(path: Path) -> None:
    """It says what the reader does, ends with the only full stop, and fits on two lines."""
    goal = built(path)[0].goal
    assert re.fullmatch(r"You [^.!?]+\.", goal)
    assert len(goal.split()) <= 30


@ALL_NAMED
def test_every_number_is_computed(path: Path) -> None:
    """No literal number in a source: each comes through a placeholder from the scene or from its solution."""
    assert literal_numbers(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("typed", ["The stone has 15 kg.", "a = 1.09 here", "about 3 times", "`T = 131 N`", "`a = 0.5g`", "1.5m", "30° steep", "in lesson 2"])
def test_a_typed_number_is_found(typed: str) -> None:
    """The check itself: whatever a writer might type is seen."""
    assert literal_numbers(f"# T\n\n{typed}\n") != []


@pytest.mark.parametrize("fine", ["T_1 and m_2", "`2T - m_1 g`", "`m_1 = m_2 => a = 0`", "{result.a} and {feed-sack:data.m_1}", "## x: y | data: m = 3 kg"])
def test_indices_and_placeholders_are_no_typed_numbers(fine: str) -> None:
    """The check itself: what must not be seen is not."""
    assert literal_numbers(f"# T\n\n{fine}\n") == []


def test_results_are_put_in_rounded_with_their_units() -> None:
    """Feed sack and counterweight: T = 2 m1 m2 g/(m1 + m2) = 73.98 N, a = (m2 - m1) g/(m1 + m2) = 1.5806 m/s2, by hand."""
    scene = catalogue.find("feed-sack")
    text = "{data.m_1}; {data.g}; {result.a}; {result.T}; {way.sack}; {line.sack}; {numbers.sack}; {tie.1}; {mill-hoist:data.m_2}; {thing}; W_1; `W_1`"
    assert filled(text, scene) == (
        "6.5 kg; 9.8 m/s²; 1.58 m/s²; 74.0 N; up; T - m₁ g = m₁ a; T - 63.7 = 6.5a; a₁ = a₂; 15.0 kg; {thing}; W₁; `W_1`"
    )
    assert filled("{data.theta}, {result.f}, mu_k", catalogue.find("parcel-down-a-chute")) == "33°, 6.90 N, μₖ"


@pytest.mark.parametrize(("code", "unbroken"), [("`m g sin(theta)`", True), ("`{line.sack}`", True), ("`m_1 = m_2 and more => a = 0`", False)])
def test_a_short_formula_stays_on_one_line(code: str, unbroken: bool) -> None:
    """Its spaces don't break; a long one may, for it would not fit on a narrow page. Either is read as it was before."""
    scene = catalogue.find("feed-sack")
    done = filled(f"so {code} holds", scene)
    assert ("\N{NO-BREAK SPACE}" in done) is unbroken
    assert done.count(" ") == (2 if unbroken else 2 + code.count(" "))
    assert ("-\N{WORD JOINER}" in done) is ("line" in code)  # a line may end behind a hyphen, even before such a space
    copied = filled("`{line.sack}`", scene).strip("`")
    (verdict,) = [v for v in judge(scene, {"equations": {"sack": copied}}).to_json()["steps"] if (v["step"], v["item"]) == ("equations", "sack")]
    assert verdict["verdict"] == "right"


@pytest.mark.parametrize(("text", "says"), [("{result.q}", "no result 'q'"), ("{data.T}", "no data 'T'"), ("{way.cow}", "no way 'cow'"), ("{sum.a}", "there is no 'sum'")])
def test_a_placeholder_without_a_value_is_told(text: str, says: str) -> None:
    """Which placeholder, and what is missing."""
    with pytest.raises(PlaceholderError, match=says):
        filled(text, catalogue.find("feed-sack"))


@ALL_NAMED
def test_the_checks_are_about_other_problems(path: Path) -> None:
    """From the second lesson on at least one check comes from an earlier lesson; none repeats numbers that the lesson has shown."""
    number = ALL.index(path)
    here = {section.scene for section in built(path)[0].sections if section.kind in ("worked example", "half-finished", "problem")}
    earlier = {section.scene for other in ALL[:number] for section in built(other)[0].sections}
    checks = sections(path, "check yourself")
    if number:
        assert any(section.scene in earlier - here for section in checks)
    for section in checks:
        assert "data" in section.options, section.scene
        assert 0 < len(section.options.get("steps", "all").split(",")) < 7


@ALL_NAMED
def test_every_check_that_asks_for_equations_asks_for_plus_first(path: Path) -> None:
    """The method begins with the positive direction, so no equation is asked for before it."""
    for section in sections(path, "check yourself"):
        steps = [step.strip() for step in section.options["steps"].split(",")]
        assert "equations" not in steps or "directions" in steps, section.scene


@ALL_NAMED
def test_no_step_asks_for_more_checks_than_earn_the_mark(path: Path) -> None:
    """One check that holds has the whole mark of the scheme, so no page says that two are needed."""
    scene = catalogue.find("feed-sack")
    steps = judge(scene, {"sense": ["W_1 < T"]}).to_json()["steps"]
    assert [(s["points"], s["of"]) for s in steps if s["step"] == "sense"] == [(1.0, 1.0)]
    said = " ".join(cell.source for cell in built(path)[1].cells if cell.cell_type == "markdown")
    assert not re.search(r"(two|2|three|several|some) checks", said)


def test_no_two_problems_of_the_course_share_a_name() -> None:
    """Answers are kept under it, and without help from the server a notebook is found by it."""
    names = [name for _, name, _ in problems()]
    assert len(names) == len(set(names))


def test_less_is_given_as_the_course_goes_on() -> None:
    """The fading: never more worked steps than in the lesson before, and in the end no more than one."""
    counts = [len(section.options["given"].split(",")) for path in ALL for section in sections(path, "half-finished")]
    assert counts == sorted(counts, reverse=True)
    assert (counts[0], counts[-1]) == (3, 1)


@ALL_NAMED
def test_given_steps_are_shown_and_not_marked(path: Path) -> None:
    """A half-finished problem shows all its steps, has grade cells for those that are left, and its given steps really are worked."""
    _, notebook = built(path)
    (section,) = sections(path, "half-finished")
    scene = catalogue.find(section.scene)
    given = [step.strip() for step in section.options["given"].split(",")]
    cells = {cell.metadata["nbgrader"]["grade_id"] for cell in notebook.cells if "nbgrader" in cell.metadata}
    shown = {(c.metadata["plusway"]["step"], c.metadata["plusway"]["item"]) for c in notebook.cells
             if c.metadata.get("plusway", {}).get("problem") == scene.name and c.metadata["plusway"]["step"]}
    for step in judge(scene, {}).steps:
        item = step.item if step.step in ("forces", "equations") else None
        assert (step.step, item) in shown
        assert (grade_id(scene.name, step.step, str(item) if item else None) in cells) is (step.step not in given)
    answers: dict[str, object] = {}
    for name in given:
        values = dict(worked_answers(scene, answers, name))
        answers[name] = values.get(None, values)
    assert {step.verdict for step in judge(scene, answers).steps if step.step in given} == {"right"}
    opening = next(c.source for c in notebook.cells if c.cell_type == "code" and f'id="{scene.name}"' in c.source)
    assert f'settings={{"worked": {json.dumps(given)}}}' in opening


@ALL_NAMED
def test_marks_are_those_of_the_grade_cells(path: Path) -> None:
    """What `plusway mark` counts for a lesson is what its grade cells are worth: no point for a step that is given or not asked."""
    _, notebook = built(path)
    graded = [c.metadata["nbgrader"] for c in notebook.cells if c.metadata.get("nbgrader", {}).get("grade")]
    names = [meta["grade_id"] for meta in graded]
    assert len(names) == len(set(names))
    assignment = assignment_from(notebook, path.stem)
    counted = sum(p.counted(judge(load_text(p.toml, name=p.scene), {})).of for p in assignment.problems)
    assert counted == pytest.approx(sum(meta["points"] for meta in graded))
    assert counted > 0


def flips(scene: Scene, most: int | None = None) -> Iterator[dict[str, str]]:
    """Every choice of positive directions, or so many of them, spread evenly."""
    every = list(product(*(scene.directions(thing) for thing in scene.things)))
    for words in every[:: max(1, len(every) // (most or len(every)))]:
        yield dict(zip(scene.things, words, strict=True))


def key(scene: Scene, positive: dict[str, str]) -> dict[str, object]:
    """The worked solution as the answers of a student who chose these directions and makes no mistake."""
    solved = solution_json(scene, positive)
    answers: dict[str, object] = {"directions": positive}
    for step in ("forces", "equations", "ties"):
        values = dict(worked_answers(scene, answers, step))
        answers[step] = values.get(None, values)
    answers["equations"] = solved["equations"]
    answers["ties"] = solved["ties"]
    values = derive(scene, positive).values
    answers["results"] = {s: f"{rounded(values[s])} {solved['values'][s]['unit']}" for s in scene.asked if s in values}
    answers["working"] = [line["text"] for step in solved["steps"] if step["step"] in ("numbers", "working") for line in step["lines"] if line["kind"] == "math"]
    answers["sense"] = [line["text"] for step in solved["steps"] if step["step"] == "sense" for line in step["lines"] if line["kind"] == "math"][:2]
    return answers


EVERY = [*examples(), *problems()]
EVERY_NAMED = pytest.mark.parametrize(("lesson", "name", "scene"), EVERY, ids=[f"{where}-{name}" for where, name, _ in EVERY])


@EVERY_NAMED
def test_no_choice_of_directions_changes_the_physics(lesson: str, name: str, scene: Scene) -> None:
    """Sizes, forces, and which way it goes are the same for every choice; an acceleration has the sign that the choice gives it."""
    first = derive(scene, agreeing_directions(scene))
    for positive in flips(scene):
        setup = derive(scene, positive)
        assert setup.regime == first.regime
        for symbol, value in first.values.items():
            if symbol in setup.values:
                assert abs(setup.values[symbol]) == abs(value), (positive, symbol)
        for thing, way in setup.regime.direction.items():
            symbol = scene.symbol_of("alpha" if thing in scene.wheels else "acceleration", thing)
            if symbol and setup.values.get(symbol):
                assert (setup.values[symbol] > 0) == (way == positive[thing]), (positive, thing)


@pytest.mark.slow
@EVERY_NAMED
def test_every_worked_solution_is_right_to_our_own_judge(lesson: str, name: str, scene: Scene) -> None:
    """Whatever directions the reader has flipped to, each line that the solution shows is judged right, or as following: for a worked example
    every choice, for the other problems three."""
    for positive in flips(scene, None if name == "example" else 3):
        wrong = [(step.step, step.item, step.text, step.verdict) for step in judge(scene, key(scene, positive)).steps
                 if step.verdict not in ("right", "follows")]
        assert wrong == [], positive
