"""The operators: every way in which one slip changes a thing's equation. One function a kind, named in the table of slips."""

from __future__ import annotations

from collections.abc import Iterator

from ...mechanics.setup import Setup
from ..pieces import INERTIA, Variant, pieces_of
from .change import Operator
from .forces import (
    RATIO,
    extra_force,
    flipped_force,
    flipped_inertia,
    missing_force,
    one_tension,
    strand_count,
    turned_ratio,
)
from .sizes import (
    IN_FRICTION,
    OF_THE_RIGHT_KIND,
    free_fall,
    mass_for_weight,
    other_body,
    radius,
    sine_cosine,
    static_kinetic,
    total_mass,
    weight_for_mass,
    whole_weight,
)

__all__ = ["IN_FRICTION", "OF_THE_RIGHT_KIND", "OPERATORS", "RATIO", "doubles_on_one", "singles"]

OPERATORS: tuple[Operator, ...] = (
    flipped_force,
    flipped_inertia,
    missing_force,
    extra_force,
    mass_for_weight,
    weight_for_mass,
    other_body,
    total_mass,
    sine_cosine,
    whole_weight,
    static_kinetic,
    one_tension,
    radius,
    strand_count,
    turned_ratio,
    free_fall,
)


def singles(setup: Setup, thing: str) -> list[Variant]:
    """Every single slip in this thing's equation."""
    pieces = pieces_of(setup, thing)
    return [v for operator in OPERATORS for v in operator(setup, thing, pieces)]


def doubles_on_one(setup: Setup, thing: str, found: list[Variant]) -> Iterator[Variant]:
    """Two slips in the same piece: one that changes it and a turned sign."""
    pieces = pieces_of(setup, thing)
    for v in found:
        if len(v.touched) == 1 and v.kinds[0] not in (
            "flipped-force",
            "flipped-friction",
            "flipped-inertia",
            "missing-force",
            "extra-force",
        ):
            (n,) = v.touched
            changed = pieces[n].poly + v.delta
            flip = (
                "flipped-inertia"
                if pieces[n].symbol == INERTIA
                else "flipped-friction"
                if pieces[n].kind in ("friction", "rolling", "drag")
                else "flipped-force"
            )
            yield Variant((*v.kinds, flip), v.term, -changed - pieces[n].poly, v.touched, v.words)
