"""The one table of slips: it has the contract's kinds, and each entry's own example is found as that kind, in its scene."""

from __future__ import annotations

import importlib
from typing import Any

import pytest
from marked_lines import scene_named, step_of

from plusway.autograde.judging import SLIPS, judge
from plusway.autograde.judging.slips import SlipKind

CONTRACT = (
    "flipped-force",
    "flipped-inertia",
    "missing-force",
    "extra-force",
    "mass-for-weight",
    "weight-for-mass",
    "other-body",
    "total-mass",
    "whole-system",
    "sine-cosine",
    "whole-weight",
    "flipped-friction",
    "static-kinetic",
    "one-tension",
    "radius",
    "strand-count",
    "clashing-directions",
    "flipped-tie",
    "undistributed",
    "lost-term",
    "moved-sign",
    "arithmetic",
    "free-fall",
    "unit",
    "rounding",
    "does-not-follow",
    "false-sense",
)


def test_the_table_has_the_kinds_of_the_contract_and_no_others() -> None:
    assert sorted(SLIPS) == sorted(CONTRACT)


def _answers(entry: SlipKind) -> dict[str, Any]:
    """The answers file that makes the slip: the entry's example, and before it what it follows from."""
    e = entry.example
    answers: dict[str, Any] = {"scene": e.scene, "directions": e.positive}
    if e.step == "working":
        answers["working"] = [*e.before, e.text]
        answers["equations"] = {"sack": "T - 63.7 = 6.5a", "counterweight": "88.2 - T = 9a"}
    elif e.step in ("ties", "sense"):
        answers[e.step] = [e.text]
    else:
        answers[e.step] = {e.item: e.text}
    if entry.kind == "clashing-directions":
        answers["equations"]["sack"] = "T - m_1 g = m_1 a"
    return answers


@pytest.mark.parametrize("entry", SLIPS.values(), ids=SLIPS)
def test_the_example_of_an_entry_is_found_as_that_kind(entry: SlipKind) -> None:
    step = step_of(judge(scene_named(entry.example.scene), _answers(entry)), entry.example.step, entry.example.item)
    assert (step.verdict, [s.kind for s in step.slips]) == ("slip", [entry.kind])


@pytest.mark.parametrize("entry", SLIPS.values(), ids=SLIPS)
def test_an_entry_names_an_operator_that_stands_in_the_package(entry: SlipKind) -> None:
    module, _, name = entry.operator.partition(".")
    found: object = importlib.import_module(f"plusway.autograde.judging.{module}")
    for part in name.split("."):
        found = getattr(found, part)
    assert callable(found)


@pytest.mark.parametrize("entry", SLIPS.values(), ids=SLIPS)
def test_a_slip_is_told_at_three_levels_that_are_not_the_same(entry: SlipKind) -> None:
    step = step_of(judge(scene_named(entry.example.scene), _answers(entry)), entry.example.step, entry.example.item)
    slip = step.slips[0]
    assert len({slip.says, slip.why, slip.how}) == 3
    for text in (slip.says, slip.why, slip.how):
        assert text[:1].isupper() or text[:1] == "“", text
        assert text.rstrip().endswith((".", ".)", "?")), text
        assert "{" not in text, text


@pytest.mark.parametrize("entry", [e for e in SLIPS.values() if e.example.step == "equations"], ids=lambda e: e.kind)
def test_no_level_gives_the_finished_line_away(entry: SlipKind) -> None:
    step = step_of(judge(scene_named(entry.example.scene), _answers(entry)), "equations", entry.example.item)
    assert all(" = " not in text for s in step.slips for text in (s.says, s.how))


def test_a_message_names_the_body_the_force_and_the_direction_that_this_student_chose() -> None:
    answers = {
        "directions": {"sack": "up", "counterweight": "down"},
        "equations": {"counterweight": "m_2 g + T = m_2 a"},
    }
    (slip,) = step_of(judge(scene_named("feed-sack"), answers), "equations", "counterweight").slips
    assert slip.kind == "flipped-force"
    assert slip.term == "T"
    for word in ("down", "counterweight", "tension", "up", "minus"):
        assert word in slip.says
