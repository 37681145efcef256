"""Every key that a scene file may have is explained, and every one that is explained is used by a scene that ships."""

from __future__ import annotations

import re
from typing import Any

import pytest

from plusway.autograde.scene import scene_keys
from plusway.autograde.scene.loading import tomllib
from plusway.lessons import catalogue

# Keys that plusway adds to the contract's and that no shipped scene needs.
UNUSED = {"decimal_comma", "notation.inertia"}


@pytest.mark.parametrize("key", scene_keys())
def test_a_key_has_one_sentence(key: str) -> None:
    """It starts with a capital letter (or a value that is typed) and ends with a full stop."""
    sentence = scene_keys()[key]
    assert re.match(r"[A-Z{]|true ", sentence)
    assert sentence.endswith(".")


def test_the_keys_of_the_contract_are_there() -> None:
    """Paths are written as a reader would write them."""
    keys = scene_keys()
    assert {"title", "g", "bodies.NAME.mass", "bodies.NAME.friction.kinetic", "wheels.NAME.drag", "ropes[].pulls",
            "contacts[].pushes", "rolling[].wheel", "forces[].angle", "ask.values",
            "ask.motion.distance"} <= {*keys}  # fmt: skip


def used(tables: Any, above: str) -> set[str]:
    """The key paths of a parsed file."""
    found = set()
    for key, value in tables.items():
        path = f"{above}{key}"
        found.add(path)
        if key in ("bodies", "wheels") and not above:
            for thing in value.values():
                found |= used(thing, f"{path}.NAME.")
        elif isinstance(value, dict):
            found |= used(value, path + ".")
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for item in value:
                found |= used(item, path + "[].")
    return found


def test_the_scenes_that_ship_show_every_key_but_a_few() -> None:
    """A teacher finds an example of each."""
    shown = set().union(*(used(tomllib.loads(catalogue.text(n)), "") for n in catalogue.names()))
    assert set(scene_keys()) - shown == UNUSED
