"""The scheme: what each step is worth. A teacher edits it as a TOML file; every key has a default.

The defaults follow published practice (method and accuracy marks per equation of motion, follow-through, one error one cost);
the numbers themselves are ours.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from pathlib import Path
from typing import Any

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

from ..errors import PluswayError


class SchemeError(PluswayError):
    """A scheme file that can't be used: one line with file, key, what was found and what would do."""


@dataclass(frozen=True)
class Scheme:
    """Points; every one may be any number from 0 to 100. `NOTES` says what each is for."""

    directions: float = 0.0
    forces: float = 1.0
    forces_slip: float = 0.5
    equation_method: float = 1.0
    equation_accuracy: float = 1.0
    whole_system: float = 1.0
    ties: float = 1.0
    working_line: float = 1.0
    results: float = 1.0
    sense: float = 1.0
    rounding: float = 0.5
    unit: float = 0.5


PARTS = ("forces_slip", "rounding", "unit")  # parts of a mark, not points

NOTES: dict[str, str] = {
    "directions": "for choosing every positive direction (any choice is right)",
    "forces": "for each thing's force diagram",
    "forces_slip": "what one slip in a diagram costs",
    "equation_method": "for each equation: every force and the inertia are there (signs, sine and cosine condoned)",
    "equation_accuracy": "for each equation: as it should be",
    "whole_system": "for a true equation of the whole in one body's place, once",
    "ties": "for the ties together",
    "working_line": "for each milestone of the working",
    "results": "for each value asked",
    "sense": "for the sense checks together",
    "rounding": "what is left of a result, or of a milestone of the working, that is off by rounding only",
    "unit": "what is left of a result whose unit is missing or wrong, the first time",
}
"""Of each key of a scheme, what its points are for."""


def scheme_from(table: Mapping[str, Any], file: str = "scheme") -> Scheme:
    """A scheme from the table of a TOML file. Raises SchemeError."""
    known = {f.name for f in fields(Scheme)}
    for key, value in table.items():
        if key not in known:
            near = get_close_matches(key, sorted(known), n=1)
            meant = f"did you mean {near[0]}? The" if near else "the"
            raise SchemeError(f"{file}: {key}: not a key of a scheme; {meant} keys are {', '.join(sorted(known))}")
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= 100:
            raise SchemeError(f"{file}: {key}: {value!r} is not a number of points from 0 to 100")
        if key in PARTS and value > 1:
            raise SchemeError(f"{file}: {key}: {value!r} is more than the whole; it is a part of the mark, a number from 0 to 1")
    return Scheme(**{k: float(v) for k, v in table.items()})


def load_scheme(path: str | Path) -> Scheme:
    """A scheme from a TOML file. Raises SchemeError."""
    try:
        text = Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise SchemeError(
            f"{path}: can't be read ({error.__class__.__name__}); give a TOML file with the scheme's keys"
        ) from None
    try:
        return scheme_from(tomllib.loads(text), str(path))
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise SchemeError(f"{path}: not TOML: {error}".splitlines()[0]) from None
