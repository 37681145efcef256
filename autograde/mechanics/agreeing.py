"""Positive directions for things that nobody chose one for: along the motion, so that one letter a will do."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from ..scene.model import OPPOSITE, Scene
from .derive import derive

MOST_TRIED = 6  # things left open; beyond that the usual words are kept


def agreeing_directions(scene: Scene, chosen: Mapping[str, str] | None = None) -> dict[str, str]:
    """{thing: direction} for every thing: those chosen, and for the others the way they go.

    Where a chosen direction is against the motion, the others are turned as well if then all accelerations agree; where
    nothing moves, the first words that agree are taken. Raises MechanicsError as derive does.
    """
    fixed = dict(chosen or {})
    usual = {t: fixed.get(t, scene.directions(t)[0]) for t in scene.things}
    setup = derive(scene, usual)
    along = {t: setup.regime.direction.get(t) or usual[t] for t in scene.things}
    candidates = [{**along, **fixed}, {**{t: OPPOSITE[w] for t, w in along.items()}, **fixed}]
    left = [t for t in scene.things if t not in fixed]
    if not setup.regime.moves and len(left) <= MOST_TRIED:
        for words in product(*(scene.directions(t) for t in left)):
            candidates.append({**usual, **dict(zip(left, words, strict=True))})
    for positive in candidates:
        if len(derive(scene, positive).shared) > 1:
            return positive
    return candidates[0]
