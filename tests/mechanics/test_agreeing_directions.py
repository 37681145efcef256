"""Directions that nobody chose: along the motion, so that one letter a will do."""

from __future__ import annotations

import pytest

from plusway.autograde.mechanics import derive
from plusway.autograde.mechanics.agreeing import agreeing_directions
from plusway.lessons.catalogue import find, names

CASES = [
    ("feed-sack", {}, {"sack": "up", "counterweight": "down"}),
    ("feed-sack", {"sack": "down"}, {"sack": "down", "counterweight": "up"}),
    ("feed-sack", {"sack": "up", "counterweight": "up"}, {"sack": "up", "counterweight": "up"}),
    ("chest-that-stays", {}, {"chest": "upslope", "pail": "down"}),
]


@pytest.mark.parametrize(("scene", "chosen", "expected"), CASES)
def test_what_is_left_open_agrees_with_what_was_chosen(scene: str, chosen: dict[str, str], expected: dict[str, str]) -> None:
    assert agreeing_directions(find(scene), chosen) == expected


@pytest.mark.parametrize("name", names())
def test_nothing_moves_against_its_own_plus_where_nobody_chose(name: str) -> None:
    scene = find(name)
    setup = derive(scene, agreeing_directions(scene))
    moving = [s.name for s in scene.symbols.values() if s.kind in ("acceleration", "alpha") and scene.bodies.get(s.thing or "", None) is not None]
    starts = any(b.starts for b in scene.bodies.values())
    assert starts or all(setup.values.get(a, 0) >= 0 for a in moving)
