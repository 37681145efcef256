"""Letters that a result or a check may have and that no datum explains: the one a for all, and time, speed and distance."""

from __future__ import annotations

from collections.abc import Mapping

from ..autograde.scene.model import Scene
from .words import MEANINGS, letters


def meanings(scene: Scene, directions: Mapping[str, str]) -> list[tuple[str, str]]:
    """(letter, what it stands for) as far as this scene and these directions call for it."""
    out = []
    if "a" in scene.asked and _is_size(scene, directions):
        out.append((letters(scene, "a"), MEANINGS["shared_acceleration"]))
    for kind in ("distance", "time", "speed"):
        name = next((s.name for s in scene.symbols.values() if s.kind == kind), None)
        if name is not None:
            out.append((letters(scene, name), MEANINGS[kind]))
    return out


def _is_size(scene: Scene, directions: Mapping[str, str]) -> bool:
    """Whether the accelerations have one size but not one sign for these directions, all of them chosen."""
    if any(directions.get(t) not in scene.directions(t) for t in scene.things):
        return False
    from ..autograde.judging.context import context_for  # it keeps what the judge worked out for these directions

    setup = context_for(scene, dict(directions)).setup
    return not setup.shared and bool(setup.size_of)
