"""The worked example in the kernel: what a flip changes, what it says of it, and what it does with messages that are none."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import PluswayError
from plusway.lessons import catalogue
from plusway.widgets import WorkedExample

SCENES = ["boat-pulled-ashore", "feed-sack", "garden-roller", "grindstone-with-drag", "ice-block-between-two-weights", "lamp-in-the-lift", "lanterns-on-a-line",
          "stepped-wheel", "three-bags-compound", "two-kegs-class-letters", "two-snowy-slopes"]


def lines(example: WorkedExample, step: str) -> list[str]:
    """The lines of a step, as text."""
    return [line["text"] for part in example.shown["steps"] if part["step"] == step for line in part["lines"]]


def signs(example: WorkedExample, thing: str) -> dict[str, str]:
    """{force: sign} of one thing."""
    return {row["symbol"]: row["sign"] for table in example.shown["signs"] if table["thing"] == thing for row in table["rows"]}


def test_it_begins_along_the_motion() -> None:
    """So that one letter a does, and the result is positive: feed sack and counterweight, 6.5 kg and 9 kg, a = 1.58 m/s2 by hand."""
    example = WorkedExample("feed-sack")
    assert [(thing["name"], thing["chosen"]) for thing in example.shown["things"]] == [("sack", "up"), ("counterweight", "down")]
    assert lines(example, "equations") == ["T - m_1 g = m_1 a", "m_2 g - T = m_2 a"]
    assert lines(example, "results")[:2] == ["a = 1.58 m/s^2", "T = 74.0 N"]
    assert example.shown["note"] == ""


def test_a_flip_rewrites_the_solution() -> None:
    """Signs, equation, tie and the acceleration turn; the tension does not."""
    example = WorkedExample("feed-sack")
    assert signs(example, "sack") == {"T": "+", "W_1": "−"}
    example.choose("sack", "down")
    assert signs(example, "sack") == {"T": "−", "W_1": "+"}
    assert lines(example, "equations") == ["m_1 g - T = m_1 a_1", "m_2 g - T = m_2 a_2"]
    assert lines(example, "ties") == ["a_1 = -a_2"]
    assert "T = 74.0 N" in lines(example, "results")
    example.choose("counterweight", "up")
    assert lines(example, "results")[:2] == ["a = -1.58 m/s^2", "T = 74.0 N"]


@pytest.mark.parametrize(
    ("scene", "flips", "note"),
    [
        ("feed-sack", [("sack", "down")],
         "Plus for the sack is now down. In its equation every force has turned its sign. The directions no longer agree with the ropes and contacts: "
         "each body has an acceleration of its own. a_1 is now −1.58 m/s². a_2 and T stay as they were. The motion is the same."),
        ("feed-sack", [("sack", "down"), ("counterweight", "up")],
         "Plus for the counterweight is now up. In its equation every force has turned its sign. The directions agree with the ropes and contacts again: "
         "one letter a does for all bodies. a_2 is now −1.58 m/s². a_1 and T stay as they were. The motion is the same."),
        ("crate-on-a-movable-pulley", [("crate", "down")],
         "Plus for the crate is now down. In its equation every force has turned its sign. The ties have turned their signs with it. a_1 is now "
         "−0.754 m/s². a_2 and T stay as they were. The motion is the same."),
        ("cask-over-a-heavy-wheel", [("wheel", "counterclockwise")],
         "Plus for the wheel is now counterclockwise. In its equation every torque has turned its sign. The ties have turned their signs with it. α is now "
         "−5.27 rad/s². a_1, a_2, T_1 and T_2 stay as they were. The motion is the same."),
        ("cable-reel-lifted", [("reel", "down"), ("reel", "down")], ""),
    ],
)  # fmt: skip
def test_it_says_what_has_changed_and_what_has_not(scene: str, flips: list[tuple[str, str]], note: str) -> None:
    """In plain sentences, for the eye and for a screen reader alike; nothing where nothing has changed."""
    example = WorkedExample(scene)
    for thing, word in flips:
        example.choose(thing, word)
    assert example.shown["note"] == note


def test_a_force_across_the_line_has_no_sign() -> None:
    """On a level bench the weight and the push of the bench are in the table, but not in the equation."""
    assert signs(WorkedExample("slate-on-bench"), "slate") == {"T": "+", "f_1": "−", "N_1": "", "W_1": ""}


@pytest.mark.parametrize("name", SCENES)
def test_every_mathematical_line_is_shown_as_a_formula(name: str) -> None:
    """For one scene of each kind and every choice of directions: what looks like an equation has its MathML."""
    example = WorkedExample(name)
    scene = catalogue.find(name)
    for words in product(*(scene.directions(thing) for thing in scene.things)):
        for thing, word in zip(scene.things, words, strict=True):
            if example._worked.setup.positive[thing] != word:
                example.choose(thing, word)
        bare = [line["text"] for step in example.shown["steps"] for line in step["lines"] if not line["mathml"] and re.match(r"\S+ [=<>] ", line["text"])]
        assert bare == []
        assert all(row["mathml"] for table in example.shown["signs"] for row in table["rows"] if row["enters"])


@pytest.mark.parametrize(
    "message", [None, 7, "choose", [], {}, {"kind": "choose"}, {"kind": "choose", "id": "7"}, {"kind": "burn", "id": 1}, {"id": 3}, {"kind": None, "id": 4}]
)
def test_what_is_no_message_is_not_answered(message: Any) -> None:
    """And changes nothing."""
    example = WorkedExample("feed-sack")
    before = example.shown
    assert example.reply_to(message) is None
    assert example.shown == before


@pytest.mark.parametrize(("thing", "word"), [("sack", "left"), ("cow", "up"), (None, None), (["sack"], "up"), ("sack", {"up": 1}), ("sack", ""), ("__class__", "up")])
def test_a_direction_that_is_none_is_refused_in_one_line(thing: Any, word: Any) -> None:
    """The solution stays as it is, and the answer says so."""
    example = WorkedExample("feed-sack")
    before = example.shown
    answer = example.reply_to({"kind": "choose", "id": 9, "thing": thing, "word": word})
    assert answer is not None
    assert (answer["kind"], answer["id"]) == ("trouble", 9)
    assert "the solution stays as it is" in answer["says"]
    assert "\n" not in answer["says"]
    assert example.shown == before


def test_messages_are_answered_with_their_id() -> None:
    """A choice and a ping, each with the id that it came with."""
    example = WorkedExample("feed-sack")
    assert example.reply_to({"kind": "ping", "id": 1}) == {"kind": "pong", "id": 1}
    assert example.reply_to({"kind": "choose", "id": 2, "thing": "sack", "word": "down"}) == {"kind": "chosen", "id": 2}
    assert example.shown["things"][0]["chosen"] == "down"


def test_a_scene_of_ones_own_will_do() -> None:
    """Its text, its name, or the scene itself; and a wrong one is told in one line."""
    scene = catalogue.find("mill-hoist")
    assert WorkedExample(scene).shown == WorkedExample(catalogue.text("mill-hoist")).shown == WorkedExample("mill-hoist").shown
    with pytest.raises(PluswayError, match="no scene named 'mill-hoist2'"):
        WorkedExample("mill-hoist2")


def test_its_module_stands_alone() -> None:
    """Nothing is left to import, and exactly one thing is exported."""
    text = str(WorkedExample._esm)
    assert not re.search(r"^import ", text, re.MULTILINE)
    assert len(re.findall(r"^export ", text, re.MULTILINE)) == 1


NUMBERS_WITH_A_POINT = re.compile(r"\d\.\d")


def strings(value: Any) -> list[str]:
    """Every text in it, wherever it stands."""
    if isinstance(value, dict):
        return [text for part in value.values() for text in strings(part)]
    bare = [re.sub(r' width="[^"]*"', "", value)] if isinstance(value, str) else []  # a space in a formula has its width in figures
    return [text for part in value for text in strings(part)] if isinstance(value, list) else bare


@pytest.mark.parametrize("name", SCENES)
def test_numbers_are_written_as_the_class_writes_them(name: str) -> None:
    """With decimal commas nothing on the page has a point in a number, formulas and notes too; without, nothing has a comma in one."""
    example, plain = WorkedExample(name, settings={"decimal_comma": True}), WorkedExample(name)
    thing = catalogue.find(name).things[0]
    for widget in (example, plain):
        chosen = next(one["chosen"] for one in widget.shown["things"] if one["name"] == thing)
        widget.choose(thing, next(word for word in catalogue.find(name).directions(thing) if word != chosen))
    assert [text for text in strings(example.shown) if NUMBERS_WITH_A_POINT.search(text)] == []
    both = [[line["text"] for step in widget.shown["steps"] for line in step["lines"]] for widget in (example, plain)]
    assert [text.replace(",", ".") for text in both[0]] == [text.replace(",", ".") for text in both[1]]
    if not catalogue.find(name).decimal_comma:
        assert [text for text in strings(plain.shown) if re.search(r"\d,\d", text)] == []
    bare = [line["text"] for step in example.shown["steps"] for line in step["lines"] if not line["mathml"] and re.match(r"\S+ [=<>] ", line["text"])]
    assert bare == []


def test_the_notebooks_settings_hold_for_it(notebook: Callable[..., Path]) -> None:
    """Letters and decimal mark of the class, as in the steps; what the cell says is stronger."""
    notebook(settings={"language": "de", "notation": {"weight": "F_g"}})
    shown = WorkedExample("feed-sack").shown
    assert "a = 1,58 m/s^2" in [line["text"] for step in shown["steps"] for line in step["lines"]]
    assert shown["given"].startswith("m_1 = 6,5 kg (sack)")
    assert "a = 1.58 m/s^2" in [line["text"] for step in WorkedExample("feed-sack", settings={"decimal_comma": False}).shown["steps"] for line in step["lines"]]


@pytest.mark.parametrize("name", catalogue.names())
def test_greek_letters_are_letters_in_sentences_too(name: str) -> None:
    """ "Write α by itself", not alpha; a formula has them anyway."""
    shown = WorkedExample(name).shown
    said = [step["says"] for step in shown["steps"]] + [line["text"] for step in shown["steps"] for line in step["lines"] if not line["mathml"]]
    assert [text for text in said if re.search(r"\b(?:alpha|theta|phi|mu|tau)(?:\b|_)", text)] == []
