"""Positive directions for things that nobody chose one for: along the motion, so that one letter a will do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..scene.model import OPPOSITE, Scene
from .derive import derive


def agreeing_directions(scene: Scene, chosen: Mapping[str, str] | None = None) -> dict[str, str]:
    """{thing: direction} for every thing: those chosen, and for the others the way they go.

    Where nothing moves, the words that agree with the ropes are taken. Where a chosen direction is against the motion, the
    others are turned as well if then all accelerations agree. What the scene asks does not matter: with other data it may
    have no answer. Raises MechanicsError as derive does.
    """
    fixed = dict(chosen or {})
    unasked = replace(scene, asked=(), distance=None)
    setup = derive(unasked, {t: fixed.get(t, scene.directions(t)[0]) for t in scene.things})
    along = {t: way or setup.positive[t] for t, way in setup.regime.direction.items()}
    things = {scene.symbol_of("acceleration", t) or scene.symbol_of("alpha", t): t for t in scene.things}
    for symbol, factor in setup.size_of.items():
        thing = things.get(symbol)
        if thing is not None and setup.regime.direction.get(thing) is None and factor < 0:
            along[thing] = OPPOSITE[setup.positive[thing]]
    against = {t: OPPOSITE[way] for t, way in along.items()}
    choices = ({**along, **fixed}, {**against, **fixed})
    return next((c for c in choices if len(derive(unasked, c).shared) > 1), choices[0])
