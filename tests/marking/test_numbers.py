"""Whose numbers: the one seed rule, the same in the browser that opens a lesson and at marking."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.marking.assignment import seed_for
from plusway.autograde.marking.numbers import is_seed, with_numbers
from plusway.autograde.scene import Scene
from plusway.lessons import catalogue

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


@given(st.text(max_size=8), st.text(max_size=8))
def test_every_student_has_a_seed(assignment: str, student: str) -> None:
    """Whatever anybody is called, and marking knows it for a seed."""
    assert is_seed(seed_for(assignment, student))
