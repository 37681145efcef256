"""Scenes whose letters the lines of these tests are about; the numbers in them are invented."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

import pytest

from plusway.autograde.reading import (
    Group,
    Line,
    Name,
    Node,
    Number,
    Power,
    Product,
    Root,
    Sum,
    Trig,
    Vocabulary,
    read,
    to_text,
)
from plusway.autograde.scene import load_text

HANGING = """
title = "Feed sack and counterweight"
story = "Two bodies hang from one rope over a light pulley."
[bodies.sack]
index = 1
mass = "6.5 kg"
moves = "vertical"
[bodies.counterweight]
index = 2
mass = "9 kg"
moves = "vertical"
[[ropes]]
symbol = "T"
pulls = [["sack", "up"], ["counterweight", "up"]]
[ask]
values = ["a", "T"]
"""

WHEEL = """
title = "Crate, drum and load"
story = "A crate on a rough ramp is tied over a heavy drum to a hanging load."
[bodies.crate]
index = 1
mass = "5 kg"
moves = "slope"
angle = "30 deg"
friction = { kinetic = 0.2, static = 0.3 }
[bodies.load]
index = 2
mass = "9 kg"
moves = "vertical"
[wheels.drum]
radius = "0.12 m"
mass = "4 kg"
shape = "disk"
[[ropes]]
symbol = "T_1"
pulls = [["crate", "upslope"], ["drum", "counterclockwise"]]
[[ropes]]
symbol = "T_2"
pulls = [["load", "up"], ["drum", "clockwise"]]
[ask]
values = ["a", "T_1", "T_2"]
[ask.motion]
distance = "1.2 m"
"""

COMMA = HANGING.replace("title =", "decimal_comma = true\ntitle =")

CLASS = """
title = "Two kegs"
story = "One keg lies on a table, the other hangs; the class writes F_g, F_N and F_f."
[bodies.keg]
index = 1
mass = "5 kg"
moves = "level"
friction = { kinetic = 0.2 }
[bodies.cask]
index = 2
mass = "9 kg"
moves = "vertical"
[[ropes]]
symbol = "T"
pulls = [["keg", "right"], ["cask", "up"]]
[notation]
weight = "F_g"
normal = "F_N"
friction = "F_f"
[ask]
values = ["a", "T"]
"""

ALONE = """
title = "One crate"
story = "One crate is pulled over a level floor."
[bodies.crate]
mass = "5 kg"
moves = "level"
friction = { kinetic = 0.2 }
[[forces]]
symbol = "F"
on = "crate"
direction = "right"
size = "40 N"
angle = "25 deg"
[ask]
values = ["a"]
"""

TOMLS = {"hanging": HANGING, "wheel": WHEEL, "comma": COMMA, "class": CLASS, "alone": ALONE}


@pytest.fixture(scope="session")
def vocabularies() -> dict[str, Vocabulary]:
    """The vocabulary of each scene of this file, by name."""
    return {name: Vocabulary.of(load_text(toml, name=name, file=f"{name}.toml")) for name, toml in TOMLS.items()}


@pytest.fixture(scope="session")
def hanging(vocabularies: dict[str, Vocabulary]) -> Vocabulary:
    return vocabularies["hanging"]


@pytest.fixture(scope="session")
def wheel(vocabularies: dict[str, Vocabulary]) -> Vocabulary:
    return vocabularies["wheel"]


@pytest.fixture(scope="session")
def reads_as(vocabularies: dict[str, Vocabulary]) -> Callable[[str, str, list[str]], None]:
    """reads_as(scene, line, texts): the line has just these readings, likeliest first, and each is in order."""

    def check(scene: str, line: str, expected: list[str]) -> None:
        found = read(line, vocabularies[scene]).lines
        assert [to_text(meant) for meant in found] == expected
        for text in expected:
            again = [to_text(meant) for meant in read(text, vocabularies[scene]).lines]
            assert text in again, "the plain text of a reading is one of that text's own readings"
        for meant in found:
            assert meant.text == line
            for node in nodes(meant):
                points_into(line, node)

    return check


def points_into(line: str, node: Node) -> None:
    """A name's and a number's own text stands at its place in the line."""
    start, end = node.at
    assert 0 <= start < end <= len(line)
    if isinstance(node, Name):
        assert line[start:end] == node.text
    if isinstance(node, Number):
        assert line[start:end].startswith(node.text)
        assert node.unit_text in line[start:end]


def nodes(what: Line | Node) -> Iterator[Node]:
    """Every node of a line or of a node."""
    if isinstance(what, Line):
        inner: Iterable[Line | Node] = what.sides if what.condition is None else (*what.sides, what.condition)
    else:
        yield what
        inner = {
            Sum: lambda n: [t for _, t in n.terms],
            Product: lambda n: [f for _, f in n.factors],
            Power: lambda n: [n.base],
            Root: lambda n: [n.inner],
            Trig: lambda n: [n.argument],
            Group: lambda n: [n.inner],
        }.get(type(what), lambda n: [])(what)
    for node in inner:
        yield from nodes(node)
