"""Exploring a scene: what the sliders do, and that the curve waits for a prediction."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest

from plusway.autograde.errors import PluswayError
from plusway.lessons import catalogue
from plusway.lessons.explore import DOES, GROWS, OPTIONS, SAME, SHRINKS, TURNS, Exploration, explore, trend


@pytest.fixture
def feed_sack() -> Exploration:
    """Feed sack and counterweight, nothing moved yet."""
    return Exploration(catalogue.find("feed-sack"))


def test_nothing_is_given_away_before_the_prediction(feed_sack: Exploration) -> None:
    """Neither curve nor value nor text; moving a slider does not change that."""
    for _ in range(2):
        shown = feed_sack.shown()
        assert (shown["picture"], shown["text"], shown["values"], shown["verdicts"]) == ("", "", [], [])
        assert [q["symbol"] for q in shown["questions"]] == ["a", "T"]
        feed_sack.set({"m_1": 8.0})
        assert shown["says"] == ""


def test_after_the_prediction_the_curve_comes_with_the_same_in_words(feed_sack: Exploration) -> None:
    """For feed sack and counterweight, a = (m_2 - m_1) g/(m_1 + m_2) falls with m_1 through 0 at m_1 = m_2, and T grows."""
    feed_sack.predict({"a": GROWS, "T": GROWS})
    shown = feed_sack.shown()
    assert shown["picture"].startswith("data:image/svg+xml;base64,")
    assert "a = 0 at m_1 = 9.00 kg" in shown["text"]
    assert "Limit for m_1 very large" in shown["text"]
    assert shown["verdicts"][:2] == ["You predicted that a would grow. When m_1 grows, a shrinks.", "As you predicted: when m_1 grows, T grows."]
    assert shown["values"] == ["a = 1.58 m/s²", "T = 74.0 N"]
    assert shown["questions"] == []


def test_every_datum_wants_a_prediction_of_its_own(feed_sack: Exploration) -> None:
    """And one that was made stays made."""
    feed_sack.predict({"a": SHRINKS, "T": GROWS})
    feed_sack.about("g")
    assert feed_sack.shown()["picture"] == ""
    feed_sack.about("m_1")
    assert feed_sack.shown()["picture"] != ""


@pytest.mark.parametrize("choices", [{}, {"a": GROWS}, {"a": GROWS, "T": "explode"}, {"a": GROWS, "T": None}, {"a": GROWS, "T": ["grow"]}])
def test_half_a_prediction_is_none(feed_sack: Exploration, choices: dict[str, object]) -> None:
    """It is said what is missing."""
    feed_sack.predict(choices)
    assert feed_sack.shown()["picture"] == ""
    assert feed_sack.shown()["notice"].startswith("Predict first")


def test_a_slider_changes_the_numbers(feed_sack: Exploration) -> None:
    """a for 7 kg and 9 kg with g = 9.8 is 2 * 9.8/16 = 1.225."""
    feed_sack.predict({"a": SHRINKS, "T": GROWS})
    feed_sack.set({"m_1": 7.0})
    assert feed_sack.shown()["values"][0] in ("a = 1.22 m/s²", "a = 1.23 m/s²")
    assert next(f for f in feed_sack.shown()["fields"] if f["name"] == "m_1")["value"] == 7.0


@pytest.mark.parametrize(
    "values", [{"m_9": 1.0}, {"m_1": "7"}, {"m_1": True}, {"m_1": math.nan}, {"m_1": math.inf}, {"m_1": None}, {"m_1": [1]}, {"__class__": 1}]
)
def test_other_values_are_refused(feed_sack: Exploration, values: dict[str, object]) -> None:
    """Only numbers for the scene's own data; the scene stays as it is."""
    before = feed_sack.scene
    with pytest.raises(PluswayError):
        feed_sack.set(values)
    assert feed_sack.scene is before


def test_a_value_beyond_its_slider_is_brought_back(feed_sack: Exploration) -> None:
    """No page can ask for a mass of 10^9 kg."""
    feed_sack.set({"m_1": 1e9})
    field = next(f for f in feed_sack.shown()["fields"] if f["name"] == "m_1")
    assert field["value"] == field["high"]


def test_data_that_do_not_fit_together_are_told_and_not_taken() -> None:
    """A kinetic coefficient above the static one."""
    state = Exploration(catalogue.find("hay-bale-on-ramp"))
    before = state.scene
    state.set({"mu_k": 1.0})
    assert "don't fit together" in state.shown()["notice"]
    assert state.scene is before


@pytest.mark.slow
@pytest.mark.thorough  # all scenes together
@pytest.mark.parametrize("name", catalogue.names())
def test_any_scene_can_be_explored(name: str) -> None:
    """Every slider holds its own value, every datum can be put on the axis, and the first curve can be drawn."""
    state = Exploration(catalogue.find(name))
    for field in state.shown()["fields"]:
        assert field["low"] <= field["value"] <= field["high"]
        assert 20 <= (field["high"] - field["low"]) / field["step"] <= 260
    assert state.datum != "g"
    asked = state.asked()
    state.predict(dict.fromkeys(asked, SAME))
    shown = state.shown()
    assert shown["notice"] == ""
    assert len(shown["verdicts"]) == len(asked) + 1
    assert shown["text"]


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        (list(range(30)), GROWS), ([-k for k in range(30)], SHRINKS), ([5.0] * 30, SAME), ([abs(k - 15) for k in range(30)], TURNS),
        ([0.0] * 15 + [100.0] * 15, TURNS), ([0.0] * 10 + [float(k) for k in range(20)], TURNS), ([math.nan] * 5, TURNS), ([], TURNS),
        ([math.nan, *range(30)], GROWS), ([1 / (1 + k) for k in range(12)], SHRINKS),
    ],
)  # fmt: skip
def test_what_a_curve_does(values: Sequence[float], expected: str) -> None:
    """In the words that a prediction may use."""
    assert trend(values) == expected
    assert expected in OPTIONS


def test_messages_of_the_widget() -> None:
    """What is no message gets no answer; a mistake is an answer in words; the state follows."""
    widget = explore("feed-sack")
    for message in ("set", {"kind": "set", "id": 1}, {"kind": "set", "values": {}}, {"kind": "evil", "id": 1}, {"kind": "predict", "id": 1, "choices": 3}):
        assert widget.reply_to(message) is None
    assert widget.reply_to({"kind": "ping", "id": 4}) == {"kind": "pong", "id": 4}
    reply = widget.reply_to({"kind": "about", "id": 2, "datum": "<b>"})
    assert reply is not None
    assert "no such datum" in reply["says"]
    reply = widget.reply_to({"kind": "predict", "id": 3, "choices": {"a": SHRINKS, "T": GROWS}})
    assert reply is not None
    assert reply["says"].startswith("As you predicted")
    assert widget.shown["picture"]


def test_an_unknown_scene_is_said() -> None:
    """With those that are near."""
    with pytest.raises(PluswayError, match="did you mean feed-sack"):
        explore("fed-sack")


@pytest.mark.parametrize(
    ("name", "datum", "says"),
    [
        ("hay-bale-on-ramp", "theta", "angle of the slope under the bale"), ("parcel-down-a-chute", "theta", "angle of the slope"),
        ("slate-on-bench", "mu_k", "coefficient of kinetic friction of the slate"), ("well-bucket", "R", "radius of the drum"),
        ("cask-over-a-heavy-wheel", "I", "rotational inertia of the wheel"), ("winch-with-crank", "L", "given torque on the drum"),
        ("stepped-wheel", "r", "radius at which a rope pulls the wheel"), ("polisher-pushed", "phi", "angle of the pull or push on the polisher"),
        ("grindstone-with-drag", "tau_f", "friction torque in the bearing of the stone"), ("feed-sack", "g", "acceleration of free fall"),
    ],
)  # fmt: skip
def test_a_slider_says_what_it_moves(name: str, datum: str, says: str) -> None:
    """In the words of the course, and of the right thing."""
    assert {f["name"]: f["says"] for f in Exploration(catalogue.find(name)).shown()["fields"]}[datum] == says


def test_both_tensions_of_a_wheel_are_predicted_and_told() -> None:
    """What a heavy wheel makes of one tension is the point; the data are 11 kg, 16 kg, 0.36 kg m² and 0.30 m."""
    state = Exploration(catalogue.find("cask-over-a-heavy-wheel"))
    state.about("I")
    assert state.asked() == ("a", "T_1", "T_2")
    state.predict({"a": SHRINKS, "T_1": SHRINKS, "T_2": GROWS})
    assert [line.partition(":")[0] for line in state.shown()["verdicts"][:3]] == ["As you predicted"] * 3
    assert state.shown()["values"] == ["a = 1.58 m/s²", "T_1 = 125 N", "T_2 = 132 N"]


def test_greek_letters_and_directions_as_everywhere() -> None:
    """No word theta, no word upslope. With 30° and mu_k = 0.35 the bale goes up: a = (24 - 18 (0.5 + 0.35 · 0.866)) 9.8/42 = 2.23."""
    state = Exploration(catalogue.find("hay-bale-on-ramp"))
    state.about("theta")
    state.predict({"a": TURNS, "T": TURNS})
    shown = state.shown()
    assert shown["prompt"] == "Predict: when θ grows and all else stays as it is set,"
    assert shown["verdicts"][0] == f"As you predicted: when θ grows, a {DOES[TURNS]}."
    assert shown["verdicts"][-1] == "Counted as plus: bale up the slope, trough down."
    assert "for θ from" in shown["text"]
    assert shown["values"][0] == "a = 2.23 m/s²"
