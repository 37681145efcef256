"""Where a problem's scene comes from, and what a teacher may set."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import PluswayError
from plusway.autograde.marking.assignment import seed_for
from plusway.autograde.marking.numbers import with_numbers
from plusway.autograde.method import STEPS
from plusway.lessons import catalogue
from plusway.widgets import Problem

Ask = Callable[..., dict[str, Any]]


@pytest.fixture(autouse=True)
def _own_notebook(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> None:
    """Every test has a notebook and a kernel of its own."""


def test_a_scene_by_name_by_path_by_text_and_as_it_is(tmp_path: Path) -> None:
    """Four ways to name the same scene."""
    text = catalogue.text("feed-sack")
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    for scene in ("feed-sack", str(tmp_path / "mine.toml"), text, catalogue.find("feed-sack")):
        assert Problem(scene, id="p").scene.title == "Feed sack and counterweight"


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Problem("no-such-scene"), "there is no scene named 'no-such-scene'; `plusway scenes` lists those that ship"),
        (lambda: Problem("title = 3"), "title"),
        (lambda: Problem("feed-sack").equation("goat"), "there is no 'goat' in this scene; its things are sack, counterweight"),
        (lambda: Problem("feed-sack", settings={"hint": True}), "settings: hint: there is no such setting; there are verdicts, hints"),
        (lambda: Problem("feed-sack", settings={"verdicts": "soon"}), '"at once" or "after marking" would do'),
        (lambda: Problem("feed-sack", settings={"worked": ["lunch"]}), "a list of steps would do, out of directions, forces"),
        (lambda: Problem("feed-sack", settings={"hints": "no"}), "true or false would do"),
    ],
)
def test_what_cannot_be_is_said_in_one_line(make: Callable[[], Any], says: str) -> None:
    """A lesson's author reads what was found and what would do."""
    with pytest.raises(PluswayError) as caught:
        make()
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_student_meets_their_own_numbers(notebook: Callable[..., Path], ask: Ask) -> None:
    """The scene in the notebook's metadata, with this student's numbers, goes before the one that ships."""
    text = catalogue.text("feed-sack").replace("6.5 kg", "5.0 kg")
    notebook(problems={"feed-sack": {"scene": "feed-sack", "scene_toml": text, "variant": 3}})
    problem = Problem("feed-sack", id="feed-sack")
    ask(problem.equation("sack"), "commit", item="sack", value="T - 49 = 5.0a", hints=0)
    assert problem.points("equations", "sack") == 2.0


def test_a_seed_gives_the_numbers_that_the_marking_finds(notebook: Callable[..., Path]) -> None:
    """With numbers per student, the widgets draw the same numbers from the notebook's seed as the marking does, and show them."""
    text, seed = catalogue.text("feed-sack"), seed_for("week 3", "s017")
    notebook(problems={"feed-sack": {"scene": "feed-sack", "scene_toml": text}}, seed=seed, settings={"numbers": "per-student"})
    problem = Problem("feed-sack", id="feed-sack")
    assert problem.scene.digest == with_numbers(text, "feed-sack", seed).digest != catalogue.find("feed-sack").digest
    assert f"m_1 = {problem.scene.bodies['sack'].mass.text} kg" in problem.equation("sack").shown["earlier"][0]["text"]


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("feed-sack", "m_1 = 6.5 kg (sack), m_2 = 9 kg (counterweight), g = 9.8 m/s²"),
        ("toboggans-uphill", "m_1 = 24 kg (lower toboggan), m_2 = 31 kg (upper toboggan), μ_k1 = 0.10 (lower toboggan), μ_s1 = 0.14 (lower toboggan), μ_k2 = 0.10 (upper toboggan), "
                             "μ_s2 = 0.14 (upper toboggan), θ = 18°, F = 260 N, g = 9.8 m/s²"),
        ("polisher-pushed", "m = 14 kg, μ_k = 0.25, μ_s = 0.35, φ = −30°, F = 85 N, g = 9.8 m/s²"),
        ("well-bucket", "m_1 = 8.0 kg, R = 0.15 m, M = 12 kg, d = 6.0 m, g = 9.8 m/s², the drum is a solid disk"),
    ],
)  # fmt: skip
def test_the_data_stand_in_every_step(name: str, says: str) -> None:
    """Symbols with numbers and units, Greek by letter; g last."""
    for widget in (Problem(name).directions(), Problem(name).working()):
        assert widget.shown["earlier"][0] == {"label": "given", "text": says, "mathml": ""}


def test_a_teachers_scheme_counts_in_the_widgets_too(notebook: Callable[..., Path], ask: Ask) -> None:
    """The points that a student sees are those of the scheme in the notebook."""
    notebook(settings={"scheme": {"equation_method": 2, "equation_accuracy": 3}, "numbers": "same"})
    problem = Problem("feed-sack", id="feed-sack")
    ask(problem.equation("sack"), "commit", item="sack", value="T - 63.7 = 6.5a", hints=0)
    assert problem.points("equations", "sack") == 5.0


def test_verdicts_can_wait_for_the_marking(notebook: Callable[..., Path], ask: Ask) -> None:
    """Then an answer is kept, and neither verdict nor points are sent to the browser."""
    notebook(settings={"verdicts": "after marking"})
    problem = Problem("feed-sack", id="feed-sack")
    widget = problem.equation("sack")
    ask(widget, "commit", item="sack", value="T + 63.7 = 6.5a", hints=0)
    assert widget.shown["state"] == "kept"
    assert widget.shown["fields"][0]["verdicts"] == []
    assert problem.points("equations", "sack") == 0.0


def test_hints_can_be_switched_off(ask: Ask) -> None:
    """A hint that is asked for all the same is refused in words."""
    widget = Problem("feed-sack", settings={"hints": False}).equation("sack")
    assert "switched hints off" in ask(widget, "hint", item="sack", level=1)["says"]


def test_steps_can_be_shown_worked(ask: Ask) -> None:
    """Worked steps hold their answers from the start, and the others are the student's."""
    problem = Problem("feed-sack", settings={"worked": ["directions", "forces", "equations", "ties"]})
    states = [w.shown["state"] for w in (problem.directions(), problem.forces(), problem.equation(), problem.ties())]
    assert states == ["done"] * 4
    assert problem.working().shown["state"] == "blank"


def test_what_the_lesson_gives_is_called_given_and_counts_for_nothing(ask: Ask) -> None:
    """No points beside it; once the student has changed it, it is judged as theirs, still without points."""
    problem = Problem("feed-sack", settings={"worked": ["directions", "forces", "equations", "ties"]})
    for widget in (problem.directions(), problem.forces(), problem.equation(), problem.ties()):
        told = [v for field in widget.shown["fields"] for v in field["verdicts"]]
        assert {(v["verdict"], v["points"], v["of"]) for v in told} == {("given", 0.0, 0.0)}
    for line, word in (("T - W_1 = m_1 a_1", "right"), ("T + W_1 = m_1 a_1", "slip")):
        ask(problem.equation("sack"), "commit", item="sack", value=line, hints=0)
        (verdict,) = problem.equation("sack").shown["fields"][0]["verdicts"]
        assert (verdict["verdict"], verdict["points"], verdict["of"]) == (word, 0.0, 0.0)
    for thing, word in (("sack", "down"), ("counterweight", "up")):
        ask(problem.directions(), "commit", item=thing, value=word, hints=0)
    told = {field["item"]: field["verdicts"][0]["verdict"] for field in problem.directions().shown["fields"]}
    assert told == {"sack": "right", "counterweight": "given"}


def test_a_wheels_diagram_knows_torques_and_its_sign_is_told_as_a_turning(ask: Ask) -> None:
    """The torque R T is drawn as the pull T, on the wheel alone; a positive alpha does not "point"."""
    problem = Problem("well-bucket")
    assert "R T" in problem.forces("drum").shown["typed"]["drum"]["T"].split("; ")
    assert "R T" not in problem.forces("bucket").shown["typed"]["bucket"]["T"].split("; ")
    assert problem.forces("drum").shown["typed"]["drum"]["W_1"] == "m_1 g"
    ask(problem.directions(), "commit", item="drum", value="clockwise", hints=0)
    assert problem.directions().shown["note"].endswith("enter with a plus; α is positive if its angular acceleration is clockwise.")


@pytest.mark.parametrize(
    ("text", "word", "says"),
    [
        ("24.5/15.5 m/s^2", "right", "The value is right. Give it as a decimal number with its unit"),
        ("49/31", "slip", "The value of the fraction is right. Give it as a decimal number with its unit"),
        ("49 ÷ 31 m/s^2", "right", "The value is right. Give it as a decimal number with its unit"),
        ("31/49 m/s^2", "slip", ""),
        ("1.58 m/s^2", "right", ""),
        ("1.58 N", "slip", ""),
    ],
)
def test_a_fraction_as_a_result_is_told_what_a_result_looks_like(ask: Ask, text: str, word: str, says: str) -> None:
    """Where the value is right, and never where it is wrong; what is a decimal number already needs no word."""
    problem = Problem("feed-sack", settings={"worked": ["directions"]})
    ask(problem.results(), "commit", item="a", value=text, hints=0)
    (verdict,) = problem.results().shown["fields"][0]["verdicts"]
    assert verdict["verdict"] == word
    assert " ".join(verdict.get("remarks", [])).startswith(says)
    assert bool(verdict.get("remarks")) is bool(says)


def test_a_slip_that_costs_nothing_says_why(ask: Ask) -> None:
    """A unit that is wrong a second time: "a slip" beside all of its points would puzzle."""
    problem = Problem("feed-sack", settings={"worked": ["directions"]})
    told = {}
    for item, text in (("a", "1.58"), ("T", "74.0 kg")):
        ask(problem.results(), "commit", item=item, value=text, hints=0)
        told = {f["item"]: f["verdicts"][0] for f in problem.results().shown["fields"] if f["value"]}
    assert [(v["verdict"], v["points"], bool(v.get("remarks"))) for v in told.values()] == [("slip", 0.5, False), ("slip", 1.0, True)]
    assert "costs once" in told["T"]["remarks"][0]


def test_a_source_of_a_verdict_names_things_as_people_do(ask: Ask) -> None:
    """ "equation: red lantern" beside a line that follows from a wrong equation, and no name of a file's key."""
    problem = Problem("lanterns-on-a-line")
    for thing in problem.scene.things:
        ask(problem.directions(), "commit", item=thing, value="up", hints=0)
    ask(problem.equation("red_lantern"), "commit", item="red_lantern", value="T + 11.76 = 1.20a_1", hints=0)
    ask(problem.working(), "commit", item=None, value=["T = 1.20a_1 - 11.76"], hints=0)
    (verdict,) = problem.working().shown["fields"][0]["verdicts"][:1]
    assert (verdict["verdict"], verdict["from"]) == ("follows", ["equation: red lantern"])
    ask(problem.equation("red_lantern"), "commit", item="red_lantern", value="T - 11.76 = 1.20a_1", hints=0)
    (verdict,) = problem.working().shown["fields"][0]["verdicts"][:1]
    assert verdict["slips"][0]["says"] == "“- 11.76” (from equation: red lantern) crossed the equals sign and kept its sign."


@pytest.mark.parametrize("step", STEPS)
def test_any_step_can_be_the_worked_one(step: str) -> None:
    """Each step by itself may be shown worked: the first ones, the last ones, or one in the middle."""
    problem = Problem("feed-sack", settings={"worked": [step]})
    given = {v["step"] for v in problem.verdicts() if v["text"]}
    assert given == {step}


def test_worked_steps_keep_to_the_students_own_directions(ask: Ask, new_kernel: Callable[[], None]) -> None:
    """Whoever chose plus against the motion meets a working with the signs that go with it."""
    chosen = Problem("feed-sack", id="feed-sack")
    for thing in ("sack", "counterweight"):
        ask(chosen.directions(), "commit", item=thing, value="down", hints=0)
    new_kernel()
    problem = Problem("feed-sack", id="feed-sack", settings={"worked": ["equations", "working", "results"]})
    assert problem.answers()["equations"]["sack"] == "m_1 g - T = m_1 a_1"
    assert {v["verdict"] for v in problem.verdicts() if v["text"]} == {"right"}


@pytest.mark.parametrize(("sack", "counterweight"), [("up", "down"), ("down", "up"), ("up", "up"), ("down", "down")])
def test_what_is_shown_worked_follows_a_change_of_directions(ask: Ask, new_kernel: Callable[[], None], sack: str, counterweight: str) -> None:
    """The equations were there before the student chose: they are written anew, and hold for any choice, in the journal too."""
    settings = {"worked": ["forces", "equations", "ties"]}
    problem = Problem("feed-sack", id="feed-sack", settings=settings)
    for thing, word in (("sack", sack), ("counterweight", counterweight)):
        ask(problem.directions(), "commit", item=thing, value=word, hints=0)
    new_kernel()
    again = Problem("feed-sack", id="feed-sack", settings=settings)
    for told in (problem, again):
        shown = [v for v in told.verdicts() if v["step"] in settings["worked"] and v["text"]]
        assert {v["verdict"] for v in shown} == {"right"}
    assert problem.answers() == again.answers()


def test_what_the_student_changed_in_a_worked_step_stays_theirs(ask: Ask) -> None:
    """Only what is still as it was shown is written anew."""
    problem = Problem("feed-sack", settings={"worked": ["equations"]})
    ask(problem.equation("sack"), "commit", item="sack", value="T - W_1 = m_1 a_1", hints=0)
    before = problem.answers()["equations"]["counterweight"]
    for thing in ("sack", "counterweight"):
        ask(problem.directions(), "commit", item=thing, value="down", hints=0)
    assert problem.answers()["equations"]["sack"] == "T - W_1 = m_1 a_1"
    assert problem.answers()["equations"]["counterweight"] != before


@pytest.mark.parametrize("name", catalogue.names())
def test_worked_steps_hold_in_every_scene_that_ships(name: str) -> None:
    """What a teacher shows as worked is complete, and right by the judge's own word, with full points."""
    problem = Problem(name, settings={"worked": list(STEPS)})
    said = [(v["step"], v["item"], v["text"], v["verdict"]) for v in problem.verdicts()]
    assert [s for s in said if s[3] != "right"] == []
    assert sum(v["points"] for v in problem.verdicts()) == pytest.approx(sum(v["of"] for v in problem.verdicts()))


@pytest.mark.parametrize("name", catalogue.names())
def test_every_scene_gives_every_widget(name: str) -> None:
    """Each shipped scene can be shown step by step, with symbols to choose from and a picture in words."""
    problem = Problem(name)
    assert problem.directions().shown["picture"]["says"].strip()
    for thing in problem.scene.things:
        assert problem.forces(thing).shown["symbols"]
        assert problem.equation(thing).shown["fields"][0]["item"] == thing
    for widget in (problem.ties(), problem.working(), problem.results(), problem.sense()):
        assert widget.shown["state"] == "blank"


@pytest.mark.parametrize(("symbol", "letters"), [("W_1", "F_g1"), ("N_1", "R_1"), ("f_1", "F_f1"), ("T", "T")])
def test_forces_stand_in_the_letters_of_the_class(symbol: str, letters: str) -> None:
    """A scene with a notation of its own shows that notation."""
    symbols = Problem("two-kegs-class-letters").forces("vinegar").shown["symbols"]
    assert [own for name, _, own in symbols if name == symbol] == [letters]
