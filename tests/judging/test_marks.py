"""What each verdict is worth: method and accuracy, follow-through, and errors that cost once only. Sums worked by hand."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from line_writer import figure, first_directions, in_letters, pieces, plain, setup_of
from marked_lines import Marked, corpus, judged, paper, scene_named, step_of

from plusway.autograde.algebra import Poly
from plusway.autograde.judging import Scheme, SchemeError, Verdicts, judge, load_scheme
from plusway.autograde.judging.scheme import scheme_from
from plusway.lessons.catalogue import names

# The answers of the contract: every step right.
FULL: dict[str, Any] = {
    "scene": "feed-sack",
    "student": "s017",
    "variant": 3,
    "directions": {"sack": "up", "counterweight": "down"},
    "forces": {"sack": [["T", "up"], ["W_1", "down"]], "counterweight": [["T", "up"], ["W_2", "down"]]},
    "equations": {"sack": "T - 63.7 = 6.5a", "counterweight": "m_2 g - T = m_2 a"},
    "ties": ["a_1 = a_2"],
    "working": ["T = 6.5a + 63.7", "88.2 - (6.5a + 63.7) = 9a", "24.5 = 15.5a", "a = 1.58"],
    "results": {"a": "1.58 m/s^2", "T": "74.0 N"},
    "sense": ["W_1 < T", "T < W_2", "a < g"],
}


def marked(scheme: Scheme | None = None, **changes: Any) -> Verdicts:
    """The verdicts on the full answers with some steps changed (None: left out)."""
    answers = {k: v for k, v in {**FULL, **changes}.items() if v is not None}
    return judge(scene_named("feed-sack"), answers, scheme)


def points(verdicts: Verdicts, step: str) -> list[float]:
    return [s.points for s in verdicts.steps if s.step == step]


def test_a_paper_without_a_slip_earns_everything() -> None:
    verdicts = marked()
    assert (verdicts.points, verdicts.of) == (12.0, 12.0)


def test_an_empty_paper_is_worth_the_same_and_earns_nothing() -> None:
    verdicts = judge(scene_named("feed-sack"), {})
    assert (verdicts.points, verdicts.of) == (0.0, 12.0)
    assert {s.verdict for s in verdicts.steps} == {"blank"}


# (what is changed, step, the points of its items by hand)
CASES: list[tuple[str, dict[str, Any], str, list[float]]] = [
    (
        "a turned sign costs the accuracy mark",
        {"equations": {"sack": "T + 63.7 = 6.5a", "counterweight": "88.2 - T = 9a"}},
        "equations",
        [1, 2],
    ),
    (
        "the same turned sign costs once",
        {"equations": {"sack": "T + 63.7 = 6.5a", "counterweight": "-88.2 - T = 9a"}},
        "equations",
        [1, 2],
    ),
    (
        "another turned sign costs again",
        {"equations": {"sack": "T + 63.7 = 6.5a", "counterweight": "88.2 - T = -9a"}},
        "equations",
        [1, 1],
    ),
    (
        "a missing force costs the method mark, and so both",
        {"equations": {"sack": "T = 6.5a", "counterweight": "88.2 - T = 9a"}},
        "equations",
        [0, 2],
    ),
    (
        "a missing force costs in every equation",
        {"equations": {"sack": "T = 6.5a", "counterweight": "-T = 9a"}},
        "equations",
        [0, 0],
    ),
    (
        "an extra force costs the method mark",
        {"equations": {"sack": "T - 63.7 + 88.2 = 6.5a", "counterweight": "88.2 - T = 9a"}},
        "equations",
        [0, 2],
    ),
    (
        "the whole system may stand for one body",
        {"equations": {"sack": "24.5 = 15.5a", "counterweight": "88.2 - T = 9a"}},
        "equations",
        [1, 2],
    ),
    (
        "the whole system stands for one body only",
        {"equations": {"sack": "24.5 = 15.5a", "counterweight": "24.5 = 15.5a"}},
        "equations",
        [1, 0],
    ),
    (
        "a wrong g costs once",
        {"equations": {"sack": "T - 65 = 6.5a", "counterweight": "90 - T = 9a"}},
        "equations",
        [1, 2],
    ),
    (
        "a wrong g costs once in the results too",
        {"equations": None, "working": None, "ties": None, "results": {"a": "1.61 m/s^2", "T": "75.5 N"}},
        "results",
        [0, 1],
    ),
    (
        "an unread equation earns nothing",
        {"equations": {"sack": "T - 63.7", "counterweight": "88.2 - T = 9a"}},
        "equations",
        [0, 2],
    ),
    ("a missing unit costs half, once", {"results": {"a": "1.58", "T": "74.0"}}, "results", [0.5, 1]),
    ("a wrong unit costs as a missing one", {"results": {"a": "1.58 N", "T": "74.0 N"}}, "results", [0.5, 1]),
    ("rounded too far costs half", {"results": {"a": "2 m/s^2", "T": "74.0 N"}}, "results", [0.5, 1]),
    ("a wrong value earns nothing", {"results": {"a": "3.77 m/s^2", "T": "74.0 N"}}, "results", [0, 1]),
    (
        "results in another order are paid in the order asked",
        {"results": {"T": "74.0 N", "a": "3.77 m/s^2"}},
        "results",
        [0, 1],
    ),
    (
        "one slip in a diagram costs half of it",
        {"forces": {"sack": [["T", "up"]], "counterweight": [["T", "up"], ["W_2", "down"]]}},
        "forces",
        [0.5, 1],
    ),
    (
        "two slips in a diagram cost all of it",
        {"forces": {"sack": [["T", "down"], ["W_1", "up"]], "counterweight": [["T", "up"], ["W_2", "down"]]}},
        "forces",
        [0, 1],
    ),
    ("a tie of the wrong sign earns nothing", {"ties": ["a_1 = -a_2"]}, "ties", [0]),
    ("one letter a for both says the tie", {"ties": None}, "ties", [1]),
    ("true checks share the mark for sense", {"sense": ["W_1 < T", "T > W_2"]}, "sense", [0.5, 0]),
    ("one true check earns all of it", {"sense": ["T < W_2"]}, "sense", [1]),
    ("a check that says nothing earns nothing", {"sense": ["W_1 < W_2"]}, "sense", [0]),
]


@pytest.mark.parametrize(("changes", "step", "expected"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_points_of_a_step(changes: dict[str, Any], step: str, expected: list[float]) -> None:
    assert points(marked(**changes), step) == pytest.approx(expected)


# Follow-through. sack: m where m g belongs, 88.2 - 6.5 = 81.7 = 15.5 a: a = 5.271, T = 6.5 + 34.26 = 40.76.
MASS_FOR_WEIGHT = {"sack": "T - 6.5 = 6.5a", "counterweight": "88.2 - T = 9a"}


def test_what_follows_from_the_students_own_wrong_line_earns_its_marks() -> None:
    verdicts = marked(
        equations=MASS_FOR_WEIGHT,
        working=["T = 6.5a + 6.5", "88.2 - 6.5a - 6.5 = 9a", "81.7 = 15.5a", "a = 5.27"],
        results={"a": "5.27 m/s^2", "T": "40.8 N"},
        sense=["a < g"],
    )
    assert [s.verdict for s in verdicts.steps if s.step == "working"] == ["follows"] * 4
    assert [(s.verdict, s.points) for s in verdicts.steps if s.step == "results"] == [("follows", 1), ("follows", 1)]
    assert sum(points(verdicts, "working")) == 2
    assert verdicts.points == verdicts.of - 2  # the one equation, and nothing after it


def test_a_right_value_that_does_not_follow_from_the_students_own_lines_is_still_right() -> None:
    verdicts = marked(equations=MASS_FOR_WEIGHT, working=None)
    assert points(verdicts, "results") == [1, 1]


def test_a_value_that_cannot_be_earns_no_last_mark() -> None:
    """T + 63.7 = 6.5a with 88.2 - T = 9a gives a = 151.9/15.5 = 9.8, free fall, and a rope without tension."""
    verdicts = marked(
        equations={"sack": "T + 63.7 = 6.5a", "counterweight": "88.2 - T = 9a"},
        working=None,
        results={"a": "9.8 m/s^2", "T": "0 N"},
    )
    assert points(verdicts, "results")[0] == 0


def test_a_rope_that_pushes_earns_no_last_mark() -> None:
    """T = -6.5a with 88.2 - T = 9a: 88.2 = 2.5a, a = 35.3, T = -229."""
    verdicts = marked(
        equations={"sack": "-T = 6.5a", "counterweight": "88.2 - T = 9a"},
        working=None,
        results={"a": "35.3 m/s^2", "T": "-229 N"},
    )
    assert points(verdicts, "results") == [0, 0]


def test_a_slip_in_the_working_costs_one_mark_and_the_rest_follows() -> None:
    verdicts = marked(
        working=["T = 6.5a + 63.7", "88.2 - 6.5a - 63.7 = 9a", "25.5 = 15.5a", "a = 1.65"],
        results={"a": "1.65 m/s^2", "T": "74.4 N"},
        sense=["a < g"],
    )
    assert verdicts.points == verdicts.of - 1
    assert [s.verdict for s in verdicts.steps if s.step == "results"] == ["follows", "follows"]


# (what is said, lines of working, their points, the points of a = 1.58 as 1.59): 24.5/15.5 = 1.581
ROUNDED = [
    ("the line that gives the value is off by rounding", ["24.5 = 15.5a", "a = 1.60"], [1, 0, 0.5], 1),
    ("a line after the value is off by rounding", ["24.5 = 15.5a", "a = 24.5/15.5", "a = 1.60"], [1, 0, 1, 0], 0.5),
    ("a line after the value is wrong", ["24.5 = 15.5a", "a = 24.5/15.5", "a = 1.85"], [1, 0, 1, 0], 0),
]


@pytest.mark.parametrize(("lines", "working", "result"), [x[1:] for x in ROUNDED], ids=[x[0] for x in ROUNDED])
def test_a_rounding_costs_half_of_a_mark_once_wherever_it_is_made(lines: list[str], working: list[float], result: float) -> None:
    both = ["88.2 - (6.5a + 63.7) = 9a", *lines]
    verdicts = marked(working=both, results={"a": f"{lines[-1][4:]} m/s^2"})
    assert points(verdicts, "working")[: len(both)] == working
    assert points(verdicts, "results")[0] == result


# (what is said, the equations, the working, a and T): with g = 10 it is a = 25/15.5 = 1.613, T = 75.5
TEN: list[tuple[str, dict[str, str], list[str] | None]] = [
    ("in the equations", {"sack": "T - 65 = 6.5a", "counterweight": "90 - T = 9a"}, ["90 - (65 + 6.5a) = 9a", "25 = 15.5a", "a = 1.613"]),
    ("in the working", FULL["equations"] | {"sack": "T - m_1 g = m_1 a"}, ["T = 65 + 6.5a", "90 - (65 + 6.5a) = 9a", "25 = 15.5a", "a = 1.613"]),
    ("in the results", FULL["equations"] | {"sack": "T - m_1 g = m_1 a"}, None),
]


@pytest.mark.parametrize(("equations", "working"), [x[1:] for x in TEN], ids=[x[0] for x in TEN])
def test_a_wrong_g_costs_once_wherever_it_comes_in(equations: dict[str, str], working: list[str] | None) -> None:
    verdicts = marked(equations=equations, working=working, results={"a": "1.613 m/s^2", "T": "75.5 N"}, sense=["a < g"])
    blank = sum(s.of for s in verdicts.steps if s.verdict == "blank")
    assert verdicts.points == verdicts.of - blank - 1
    assert any(slip.kind == "arithmetic" and "g" in slip.says for s in verdicts.steps for slip in s.slips)


def test_a_part_of_a_mark_is_no_more_than_the_whole() -> None:
    for key in ("rounding", "unit", "forces_slip"):
        with pytest.raises(SchemeError, match="a number from 0 to 1"):
            scheme_from({key: 2})


def test_directions_are_worth_what_the_scheme_gives() -> None:
    scheme = Scheme(directions=2.0)
    assert points(marked(scheme), "directions") == [1, 1]
    wrong = marked(scheme, directions={"sack": "sideways", "counterweight": "down"})
    assert [(s.verdict, s.points) for s in wrong.steps if s.step == "directions"] == [("unread", 0), ("right", 1)]


@pytest.mark.parametrize("directions", [("up", "down"), ("down", "up")])
def test_a_direction_against_the_motion_is_a_right_choice(directions: tuple[str, str]) -> None:
    sign = 1 if directions[0] == "up" else -1
    lines = ("T - 63.7 = 6.5a", "88.2 - T = 9a") if sign > 0 else ("63.7 - T = 6.5a", "T - 88.2 = 9a")
    verdicts = marked(
        directions=dict(zip(("sack", "counterweight"), directions, strict=True)),
        equations=dict(zip(("sack", "counterweight"), lines, strict=True)),
        working=None,
        results={"a": f"{sign * 1.58} m/s^2", "T": "74.0 N"},
    )
    assert points(verdicts, "equations") == [2, 2]
    assert points(verdicts, "results") == [1, 1]


# Laws that hold for every paper --------------------------------------------------------------------------------------


def full_answers(scene: str) -> dict[str, Any]:
    """Right equations, ties and results of a shipped scene, as far as they can be written without the judge."""
    setup = setup_of(scene, first_directions(scene))
    symbols = setup.scene.symbols
    return {
        "directions": dict(first_directions(scene)),
        "equations": {t: in_letters(plain(setup, Poly.sum(pieces(setup, t)))) + " = 0" for t in setup.equations},
        "ties": [in_letters(t.poly) + " = 0" for t in setup.ties],
        "results": {s: f"{figure(float(setup.values[s]), 4)} {symbols[s].unit}" for s in setup.scene.asked},
    }


@pytest.mark.parametrize("scene", names())
def test_right_equations_ties_and_results_earn_all_their_points(scene: str) -> None:
    verdicts = judge(scene_named(scene), full_answers(scene))
    lost = [(s.step, s.item, s.text, s.points, s.of) for s in verdicts.steps if s.text and s.points != s.of]
    assert lost == []


@pytest.mark.parametrize("scene", names())
def test_a_paper_is_worth_the_same_however_much_of_it_is_answered(scene: str) -> None:
    empty, full = judge(scene_named(scene), {}), judge(scene_named(scene), full_answers(scene))
    assert empty.points == 0
    assert full.of == pytest.approx(empty.of)
    assert {(s.step, s.item) for s in empty.steps} <= {(s.step, s.item) for s in full.steps}


def test_no_line_of_the_corpus_changes_what_its_paper_is_worth() -> None:
    worth = {n: judge(scene_named(n), {}).of for n in names()}
    changed = []
    for m in corpus():
        if paper(m).of != pytest.approx(worth[m.scene]):
            changed.append((m.name, paper(m).of, worth[m.scene]))
    assert changed == []


def _in_bounds(m: Marked) -> bool:
    step = judged(m)
    marks = sum(earned for _, earned, _ in step.marks)
    return 0 <= step.points <= step.of and (not step.marks or marks == pytest.approx(step.points))


def test_points_lie_between_nothing_and_all_and_are_the_sum_of_their_marks() -> None:
    assert [m.name for m in corpus() if not _in_bounds(m)] == []


def test_a_right_line_earns_all_and_a_slip_less_than_all_unless_it_was_paid_for_before() -> None:
    wrong = []
    for m in corpus():
        step = judged(m)
        if step.verdict == "right" and step.points != step.of:
            wrong.append((m.name, step.points, step.of))
        if step.verdict == "slip" and step.of and step.points >= step.of:
            wrong.append((m.name, step.points, step.of))
    assert wrong == []


def test_the_total_is_the_sum_of_the_steps_and_the_json_says_the_same() -> None:
    verdicts = marked(equations=MASS_FOR_WEIGHT)
    told = json.loads(json.dumps(verdicts.to_json()))
    assert told["points"] == pytest.approx(sum(s["points"] for s in told["steps"]))
    assert told["of"] == pytest.approx(sum(s["of"] for s in told["steps"]))
    assert told["scene"] == "feed-sack"
    assert all({"step", "item", "text", "verdict", "points", "of", "slips"} <= set(s) for s in told["steps"])


# The scheme ----------------------------------------------------------------------------------------------------------


def test_a_teacher_can_weigh_the_steps_anew(tmp_path: Path) -> None:
    file = tmp_path / "scheme.toml"
    file.write_text("equation_method = 2\nequation_accuracy = 3\nsense = 0\n", encoding="utf-8")
    verdicts = marked(
        load_scheme(file), equations={"sack": "T + 63.7 = 6.5a", "counterweight": "88.2 - T = 9a"}, working=None
    )
    assert points(verdicts, "equations") == [2, 5]
    assert sum(s.of for s in verdicts.steps if s.step == "sense") == 0


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("equation_methods = 1\n", "equation_methods: not a key of a scheme; did you mean equation_method? The keys are"),
        ("coffee = 1\n", "coffee: not a key of a scheme; the keys are"),
        ("unit = -1\n", "unit"),
        ("unit = true\n", "unit"),
        ("unit = 'half'\n", "unit"),
        ("unit = 101\n", "unit"),
        ("unit = nan\n", "unit"),
        ("unit = \n", "TOML"),
        ("= [[[", "TOML"),
    ],
)
def test_a_scheme_that_cannot_be_used_is_told_in_one_line(tmp_path: Path, text: str, says: str) -> None:
    file = tmp_path / "scheme.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(SchemeError) as told:
        load_scheme(file)
    assert says in str(told.value)
    assert "scheme.toml" in str(told.value)
    assert "\n" not in str(told.value)


def test_a_scheme_that_is_not_there_is_told_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(SchemeError, match=r"nowhere\.toml"):
        load_scheme(tmp_path / "nowhere.toml")


def test_the_item_of_a_step_is_a_name_a_symbol_or_a_place() -> None:
    verdicts = marked()
    assert step_of(verdicts, "equations", "sack").text == "T - 63.7 = 6.5a"
    assert step_of(verdicts, "results", "T").text == "74.0 N"
    assert step_of(verdicts, "working", 2).text == "24.5 = 15.5a"
