"""A scene to be bent: the same good text that every table of bad files changes in one place."""

from __future__ import annotations

import pytest

GOOD = """\
title = "Sledge and stone"
g = "9.8 m/s^2"

[bodies.sledge]
index = 1
mass = "14 kg"
moves = "level"
friction = { kinetic = 0.2, static = 0.3 }

[bodies.stone]
index = 2
mass = "5.5 kg"
moves = "vertical"

[wheels.drum]
radius = "0.12 m"
inertia = "0.03 kg m^2"

[[ropes]]
symbol = "T_1"
pulls = [["sledge", "right"], ["drum", "counterclockwise"]]

[[ropes]]
symbol = "T_2"
pulls = [["stone", "up"], ["drum", "clockwise"]]

[[forces]]
symbol = "F"
on = "sledge"
direction = "right"
size = "4 N"

[ask]
values = ["a", "T_1"]
"""


@pytest.fixture(scope="session")
def good() -> str:
    return GOOD
