"""What a class writes: its letters, its decimal mark, and the language in which numbers are read aloud."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat
import pytest

from plusway.autograde.errors import PluswayError
from plusway.autograde.judging import judge
from plusway.autograde.languages import LANGUAGES, spoken, written
from plusway.autograde.marking.assignment import assignment_from, scene_of
from plusway.autograde.method import STEPS
from plusway.lessons import catalogue
from plusway.lessons.notebook import ProblemSpec, build
from plusway.widgets import Problem
from plusway.widgets.words import MEANINGS

Ask = Callable[..., dict[str, Any]]


@pytest.fixture(autouse=True)
def _own_notebook(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> None:
    """Every test has a notebook and a kernel of its own."""


def verdict(widget: Any, item: str, text: str) -> str:
    """The verdict on a line in one field of a step's widget."""
    widget.reply_to({"kind": "commit", "id": 1, "item": item, "value": text, "hints": 0})
    return next(str(v["verdict"]) for f in widget.shown["fields"] for v in f["verdicts"] if v["item"] == item)


def test_letters_of_the_class_are_shown_and_read() -> None:
    """A teacher's F_g and R stand in the lists, and lines with them hold; the usual letters hold too."""
    problem = Problem("hay-bale-on-ramp", settings={"notation": {"weight": "F_g", "normal": "R"}, "worked": ["directions"]})
    shown = {name: own for name, _, own in problem.forces("trough").shown["symbols"]}
    assert (shown["W_2"], shown["N_1"], shown["f_1"]) == ("F_g2", "R_1", "f_1")
    for line in ("T - F_g2 = m_2 a_2", "T - W_2 = m_2 a_2"):
        assert verdict(problem.equation("trough"), "trough", line) == "right"


@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ({"notation": {"weight": "a"}}, "settings: notation.weight: 'a_1' would also be"),
        ({"notation": {"mass": "M"}}, "letters for some of weight, normal, friction, inertia would do"),
        ({"notation": {"weight": "two words"}}, "one letter would do"),
        ({"notation": "F_g"}, "letters for some of"),
        ({"decimal_comma": "yes"}, "true or false would do"),
        ({"language": "xx"}, "settings: language: found 'xx'; one of en, da, de"),
    ],
)
def test_letters_and_languages_that_cannot_be_are_said_in_one_line(settings: dict[str, Any], says: str) -> None:
    """A teacher reads what was found and what would do."""
    with pytest.raises(PluswayError) as caught:
        Problem("feed-sack", settings=settings)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("settings", [{"decimal_comma": True}, {"language": "de"}, {"language": "en", "decimal_comma": True}], ids=str)
def test_with_a_decimal_comma_numbers_are_read_and_shown_with_it(settings: dict[str, Any]) -> None:
    """What the student types, what is given, and what the verdict says."""
    problem = Problem("feed-sack", settings={**settings, "worked": ["directions", "forces"]})
    equation = problem.equation("sack")
    assert equation.shown["earlier"][0]["text"] == "m_1 = 6,5 kg (sack), m_2 = 9 kg (counterweight), g = 9,8 m/s²"
    assert verdict(equation, "sack", "T - 63,7 = 6,5a_1") == "right"
    assert verdict(problem.results(), "T", "74,0 N") == "right"
    assert verdict(problem.results(), "a", "2,5 m/s^2") == "slip"
    slips = [s["says"] for f in problem.results().shown["fields"] for v in f["verdicts"] for s in v["slips"]]
    assert "2.5" not in "".join(slips)
    assert equation.shown["settings"]["decimal_comma"] is True
    closing = problem.closing().shown
    assert "T = 74,0 N up; W_1 = 63,7 N down." in closing["diagrams"][0]["says"][0]
    assert not any(f"{n}.{m}" in str([closing["says"], closing["notes"]]) for n in range(10) for m in range(10))


LINES = {"equations": ["T - 63,7 = 6,5a_1"], "ties": ["a_1 = -1,0a_2"], "working": ["T = 6,5a_1 + 63,7"], "results": ["1,581 m/s^2", "1,58 m/s²", "1,58"],
         "sense": ["a < 9,8", "T < 88,2 N"]}


@pytest.mark.parametrize("step", LINES)
def test_every_field_reads_a_decimal_comma_where_the_settings_ask_for_one(ask: Callable[..., Any], step: str) -> None:
    """Also one with three figures behind it: while it is typed, and once it is checked."""
    problem = Problem("feed-sack", settings={"decimal_comma": True, "worked": ["directions"]})
    widget = {"equations": problem.equation, "ties": problem.ties, "working": problem.working, "results": problem.results, "sense": problem.sense}[step]()
    item = {"equations": "sack", "results": "a"}.get(step)
    for line in LINES[step]:
        if step != "results":  # its field has no reading while it is typed
            assert ask(widget, "preview", text=line)["complaint"] is None
        ask(widget, "commit", item=item, value=line if item else [line], hints=0)
        (told,) = [v for f in widget.shown["fields"] if f["item"] == item for v in f["verdicts"] if v["text"] == line]
        assert told["verdict"] != "unread", told["says"]


@pytest.mark.parametrize("settings", [{}, {"decimal_comma": False}, {"language": "en"}], ids=str)
def test_without_one_a_comma_is_complained_about(settings: dict[str, Any]) -> None:
    """The complaint says what to write instead."""
    answer = Problem("feed-sack", settings=settings).equation("sack").reply_to({"kind": "preview", "id": 1, "text": "T - 63,7 = 6,5a"})
    assert answer is not None
    assert answer["complaint"]["says"] == "“63,7” has a comma in it. Write the number with a decimal point: 63.7."


CLASH, AGREE = {"sack": "up", "counterweight": "up"}, {"sack": "up", "counterweight": "down"}


@pytest.mark.parametrize(
    ("scene", "directions", "letters"),
    [
        ("feed-sack", CLASH, ["a"]),
        ("feed-sack", AGREE, []),
        ("feed-sack", {"sack": "up"}, []),
        ("feed-sack", {"sack": "up", "counterweight": "sideways"}, []),
        ("parcel-down-a-chute", {"parcel": "upslope"}, ["d", "t", "v"]),
        ("lanterns-on-a-line", {}, ["d", "t", "v"]),
        ("crate-on-a-movable-pulley", {"crate": "up", "sack": "up"}, []),
    ],
)
def test_letters_that_no_datum_explains_are_explained(ask: Ask, scene: str, directions: dict[str, str], letters: list[str]) -> None:
    """One a for accelerations of different signs is their size; time, speed and distance are said where they are asked."""
    problem = Problem(scene)
    for thing, word in directions.items():
        ask(problem.directions(), "commit", item=thing, value=word, hints=0)
    for step in (problem.working(), problem.results(), problem.sense()):
        told = [row["label"] for row in step.shown["earlier"] if row["text"] in MEANINGS.values()]
        assert told == letters
    assert not [row for row in problem.equation().shown["earlier"] if row["text"] in MEANINGS.values()]


def test_worked_steps_have_the_decimal_comma_too() -> None:
    """And are right with it, by the judge's own word."""
    problem = Problem("feed-sack", settings={"decimal_comma": True, "worked": list(STEPS)})
    assert "T - 63,7 = 6,5a_1" in problem.answers()["working"]
    assert {v["verdict"] for v in problem.verdicts()} == {"right"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_numbers_are_read_aloud_in_the_chosen_language(language: str) -> None:
    """The decimal mark is a word of that language; whole numbers have none."""
    mark = "," if LANGUAGES[language].decimal_comma else "."
    answer = Problem("feed-sack", settings={"language": language}).equation("sack").reply_to({"kind": "preview", "id": 1, "text": f"T - 63{mark}7 = 9a"})
    assert answer is not None
    assert answer["speech"] == f"T minus 63 {LANGUAGES[language].mark} 7 equals 9 a"


def test_without_a_language_numbers_are_read_as_they_are() -> None:
    """The screen reader knows its own language best."""
    assert spoken("T minus 63.7", "") == "T minus 63.7"
    assert written("m = 2.5 kg. See 3.", True) == "m = 2,5 kg. See 3."


@pytest.mark.parametrize("settings", [{"decimal_comma": True}, {"language": "fr"}, {"notation": {"weight": "G"}}], ids=str)
def test_the_marking_reads_lines_as_the_lesson_did(settings: dict[str, Any]) -> None:
    """What holds in the widget earns its points at the marking, for the settings stand in the teacher's notebook."""
    spec = ProblemSpec("feed-sack", catalogue.find("feed-sack"), catalogue.text("feed-sack"))
    notebook = build("Week 3", [spec], assignment="ps3", settings=settings)
    (found,) = assignment_from(nbformat.from_dict(notebook), "ps3.ipynb").problems
    line = "T - G_1 = m_1 a" if "notation" in settings else "T - 63,7 = 6,5a"
    steps = judge(scene_of(found.toml, found.scene), {"equations": {"sack": line}}).to_json()["steps"]
    assert [s["verdict"] for s in steps if s["step"] == "equations" and s["item"] == "sack"] == ["right"]
    assert verdict(Problem("feed-sack", settings=settings).equation("sack"), "sack", line) == "right"
