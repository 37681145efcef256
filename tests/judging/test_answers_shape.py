"""Answers of any shape: the judge gives verdicts, or tells in one line which key it can't take; it never fails in another way."""

from __future__ import annotations

import json
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import HealthCheck, given, settings
from marked_lines import corpus, scene_named

from plusway.autograde.judging import AnswersError, Verdicts, judge
from plusway.lessons.catalogue import names

SACK = "feed-sack"
STEPS = ("directions", "forces", "equations", "ties", "working", "results", "sense")
STRANGE: list[Any] = [
    None, True, False, 0, 1, -1.5, float("inf"), float("nan"), 10**40, "", " ", "text", "\x00", "\ud800", "🧺", [], {}, [[]], [{}], [None], [1, 2],
    ["T"], [["T"]], [["T", "up", "now"]], [["T", 3]], [[["T", "up"]]], {"sack": None}, {"sack": []}, {"sack": {}}, {"sack": 7}, {"sack": True},
    {"sack": "T" * 200_000}, {"sack": ["T - 63.7 = 6.5a"]}, {"": ""}, {"a": None}, {"a": 1.58}, {"a": [1.58]}, {"T": True}, {1: "up"}, ["x"] * 5000, "x" * 200_000,
]  # fmt: skip


def outcome(answers: Any) -> str:
    """ "verdicts" or the one line of the complaint."""
    try:
        verdicts = judge(scene_named(SACK), answers)
    except AnswersError as error:
        text = str(error)
        assert text
        assert "\n" not in text
        assert len(text) < 400
        return text
    assert isinstance(verdicts, Verdicts)
    json.dumps(verdicts.to_json())
    return "verdicts"


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("value", STRANGE, ids=lambda v: repr(v)[:30].encode("ascii", "backslashreplace").decode())
def test_a_step_of_any_shape_gives_verdicts_or_one_line(step: str, value: Any) -> None:
    told = outcome({"scene": SACK, step: value})
    assert told == "verdicts" or told.startswith(step)


@pytest.mark.parametrize(
    "answers", [None, True, 3, 1.5, "text", [], [1], [["directions", {}]], b"bytes", ("scene",)], ids=repr
)
def test_answers_that_are_no_object_are_told(answers: Any) -> None:
    assert outcome(answers) != "verdicts"


# (what is given, a word that the complaint has to say)
TOLD = [
    ({"equation": {"sack": "T = 1"}}, "equations"),
    ({"directionz": {}}, "directions"),
    ({"equations": {"sak": "T = 1"}}, "sack"),
    ({"equations": {"pulley": "T = 1"}}, "counterweight"),
    ({"directions": {"sack": 1}}, "directions.sack"),
    ({"forces": {"sack": ["T", "up"]}}, "forces.sack[0]"),
    ({"forces": {"sack": [["T", "up"], ["W_1"]]}}, "forces.sack[1]"),
    ({"working": {"0": "T = 1"}}, "working"),
    ({"working": ["T = 1", 2]}, "working[1]"),
    ({"results": ["1.58 m/s^2"]}, "results"),
    ({"results": {"a": True}}, "results.a"),
    ({"sense": [["a", "<", "g"]]}, "sense[0]"),
]


@pytest.mark.parametrize(("answers", "word"), TOLD, ids=[json.dumps(a)[:60] for a, _ in TOLD])
def test_the_complaint_names_the_key_and_what_would_do(answers: dict[str, Any], word: str) -> None:
    told = outcome(answers)
    assert word in told


def test_every_key_but_the_scene_may_be_missing() -> None:
    assert outcome({}) == "verdicts"
    assert outcome({"scene": SACK, "student": "s017", "variant": 3}) == "verdicts"
    assert all(outcome({step: None}) == "verdicts" for step in STEPS)


def test_a_number_as_a_result_is_read_as_written_without_a_unit() -> None:
    verdicts = judge(scene_named(SACK), {"results": {"a": 1.58}})
    (step,) = [s for s in verdicts.steps if s.step == "results" and s.item == "a"]
    assert [s.kind for s in step.slips] == ["unit"]


def test_a_thing_that_a_student_named_with_markup_is_not_echoed_at_length() -> None:
    told = outcome({"equations": {"<script>alert(1)</script>" * 50: "T = 1"}})
    assert told != "verdicts"
    assert len(told) < 400


TEXTS = st.one_of(
    st.text(max_size=40),
    st.text(alphabet="TWNfam_12g +-*/=()0.5<>^;,²½αθµ√⇒≈\n", max_size=30),
    st.sampled_from([m.text for m in corpus()]),
    st.tuples(st.sampled_from([m.text for m in corpus()]), st.integers(0, 40), st.text(max_size=3)).map(
        lambda x: x[0][: x[1]] + x[2] + x[0][x[1] :]
    ),
)
PAPERS = st.fixed_dictionaries(
    {},
    optional={
        "directions": st.dictionaries(
            st.sampled_from(["sack", "counterweight"]), st.one_of(st.sampled_from(["up", "down"]), TEXTS), max_size=2
        ),
        "forces": st.dictionaries(
            st.sampled_from(["sack", "counterweight"]),
            st.lists(st.tuples(TEXTS, TEXTS).map(list), max_size=4),
            max_size=2,
        ),
        "equations": st.dictionaries(st.sampled_from(["sack", "counterweight"]), TEXTS, max_size=2),
        "ties": st.lists(TEXTS, max_size=3),
        "working": st.lists(TEXTS, max_size=4),
        "results": st.dictionaries(st.one_of(st.sampled_from(["a", "T"]), st.text(max_size=8)), TEXTS, max_size=3),
        "sense": st.lists(TEXTS, max_size=3),
    },
)


@given(PAPERS)
@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_text_in_any_step_gives_verdicts(answers: dict[str, Any]) -> None:
    assert outcome(answers) == "verdicts"


@given(st.sampled_from(names()), st.data())
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_text_in_any_step_of_any_scene_gives_verdicts(name: str, data: st.DataObject) -> None:
    scene = scene_named(name)
    things = st.sampled_from(list(scene.things))
    answers = {
        "directions": {t: data.draw(st.sampled_from(scene.directions(t))) for t in scene.things},
        "equations": data.draw(st.dictionaries(things, TEXTS, max_size=2)),
        "ties": data.draw(st.lists(TEXTS, max_size=2)),
        "working": data.draw(st.lists(TEXTS, max_size=3)),
        "results": data.draw(st.dictionaries(st.sampled_from(list(scene.asked)), TEXTS, max_size=2)),
        "sense": data.draw(st.lists(TEXTS, max_size=2)),
    }
    verdicts = judge(scene, answers)
    assert all(0 <= s.points <= s.of for s in verdicts.steps)
    assert all(s.verdict in ("right", "follows", "slip", "unread", "blank") for s in verdicts.steps)


JSONS = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=10)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.one_of(st.sampled_from((*STEPS, "scene", "sack", "a", "T")), st.text(max_size=5)), inner, max_size=3
        ),
    ),
    max_leaves=12,
)


@given(st.one_of(JSONS, st.dictionaries(st.sampled_from(STEPS), JSONS, max_size=4)))
@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_json_of_any_shape_gives_verdicts_or_one_line(answers: Any) -> None:
    outcome(answers)
