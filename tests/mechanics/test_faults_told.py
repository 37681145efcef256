"""Systems that no teacher means: the likely reason stands first, with the file and the key where to mend it."""

from __future__ import annotations

import pytest

from plusway.autograde.mechanics import MechanicsError, derive
from plusway.autograde.mechanics.worked import work
from plusway.autograde.scene import load_text


def body(name: str, index: int, mass: str, moves: str = "vertical", more: str = "") -> str:
    return f'[bodies.{name}]\nindex = {index}\nmass = "{mass}"\nmoves = "{moves}"\n{more}\n'


def link(symbol: str, *strands: str, table: str = "ropes", key: str = "pulls") -> str:
    rows = ", ".join(str(s.split()).replace("'", '"') for s in strands)
    return f'[[{table}]]\nsymbol = "{symbol}"\n{key} = [{rows}]\n'


def given(way: str, size: int) -> str:
    return f'acceleration = ["{way}", "{size} m/s^2"]'


TWO = body("one", 1, "4 kg") + body("two", 2, "7 kg")
LEVEL = body("one", 1, "4 kg", "level") + body("two", 2, "7 kg", "level")
RAMP = body("one", 1, "5 kg", "slope", 'angle = "25 deg"') + body("two", 2, "7 kg")
WHEEL = '[wheels.drum]\nradius = "0.15 m"\nmass = "3 kg"\nshape = "disk"\n'
LIFTS = body("one", 1, "4 kg", more=given("up", 1)) + body("two", 2, "7 kg", more=given("up", 2))
SINKING = body("one", 1, "4 kg", more=given("down", 1)) + body("two", 2, "7 kg", more=given("down", 2))

# (what is wrong, the scene without [ask], what is asked, key, fragment of the reason)
FAULTS: list[tuple[str, str, str, str, str]] = [
    ("a rope with one end", TWO + link("T", "one up"), "a", "ropes[0].pulls", "rope T has a single strand, so nothing is tied to one"),
    ("one of two ropes with one end", RAMP + WHEEL + link("T_1", "one upslope") + link("T_2", "two up", "drum clockwise"), "a",
     "ropes[0].pulls", "rope T_1 has a single strand"),
    ("a rope with both ends on one body", TWO + link("T", "one up", "one up"), "a", "ropes[0].pulls", "all its strands on one"),
    ("two ropes that turn the wheel one way", RAMP + WHEEL + link("T_1", "one upslope", "drum counterclockwise")
     + link("T_2", "two up", "drum counterclockwise"), "a", "ropes[0].pulls", "T_2 turns drum counterclockwise too"),
    ("a rope that pulls a body both ways", TWO + link("T", "one up", "one down", "two up"), "a", "ropes[0].pulls", "which cancels"),
    ("only that", body("one", 1, "4 kg") + link("T", "one up", "one down"), "T", "ropes[0].pulls", "which cancels"),
    ("given accelerations that slacken the rope", LIFTS + link("T", "one up", "two up"), "a", "ropes[0].pulls",
     "the accelerations given for one, two contradict rope T, which would go slack"),
    ("given accelerations that stretch the rope", SINKING + link("T", "one up", "two up"), "T", "ropes[0].pulls",
     "the accelerations given for one, two contradict rope T, which would have to stretch"),
    ("no rope at all", TWO, "a", "ropes", "nothing ties two to one"),
    ("a body that is left out", TWO + body("three", 3, "2 kg") + link("T", "one up", "two up"), "a", "ropes", "nothing ties three to one, two"),
    ("a pull listed the wrong way round", body("one", 1, "4 kg", "level") + body("two", 2, "7 kg") + link("T", "one right", "two down"), "a",
     "ropes[0].pulls", "rope T (one right, two down) goes slack"),
    ("a contact with one side", LEVEL + link("P", "one left", table="contacts", key="pushes"), "a", "contacts[0].pushes",
     "contact P has a single strand"),
    ("an acceleration asked that is given", body("one", 1, "4 kg", more=given("up", 1)) + link("T", "one up"), "a", "ask.values[0]",
     "the accelerations are given; ask for a tension"),
    ("sizes that differ as they should", TWO + link("T", "one up", "one up", "two up"), "a", "ask.values[0]", "differ in size"),
    ("two ropes for one", TWO + link("T_1", "one up", "two up") + link("T_2", "one up", "two up"), "T_1", "ask.values[0]", "several values fit"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "asked", "where", "reason"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS])
def test_the_real_reason_comes_first(text: str, asked: str, where: str, reason: str) -> None:
    """File, key, reason, in one line."""
    scene = load_text(f'title = "x"\n{text}[ask]\nvalues = ["{asked}"]\n', file="mine.toml")
    with pytest.raises(MechanicsError) as refused:
        derive(scene)
    message = str(refused.value)
    assert message.startswith(f"mine.toml: {where}: ")
    assert reason in message
    assert "\n" not in message


def test_a_rope_with_one_end_is_told_above_the_solution() -> None:
    """It may be meant (a lamp tied to the ceiling), so it is solved; what it counts as stands first."""
    scene = load_text('title = "x"\n' + TWO + link("T", "one up") + '[ask]\nvalues = ["a_2", "T"]\n')
    assert work(scene).steps[0].says.startswith("The rope T pulls nothing but one, so its other end counts as tied to something fixed.")
