"""What a choice of states is, and what it is found to give."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

ON, OFF, STICK, PLUS, MINUS = "on", "off", "stick", "+", "-"
Choice = dict[str, str]


@dataclass(frozen=True)
class Outcome:
    """A choice that holds, with its accelerations and multipliers along the default positive directions.

    loose: multipliers that the equations leave open; `force` then has one possible value.
    """

    choice: Mapping[str, str]
    acc: Mapping[str, Fraction]
    force: Mapping[str, Fraction]
    loose: tuple[str, ...]
