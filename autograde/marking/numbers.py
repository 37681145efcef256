"""Each student's own numbers: drawn from the assignment and the student, so that marking finds the same ones again."""

from __future__ import annotations

import re
from functools import lru_cache

from ..mechanics.variants import vary
from ..scene.model import Scene
from .assignment import scene_of


def is_seed(claimed: object) -> bool:
    """Whether this has the shape of a seed; what a notebook claims may be anything.

    >>> is_seed("0123456789abcdef"), is_seed("7"), is_seed(None)
    (True, False, False)
    """
    return isinstance(claimed, str) and re.fullmatch("[0-9a-f]{16}", claimed) is not None


@lru_cache(maxsize=1024)
def with_numbers(toml: str, name: str, seed: str) -> Scene:
    """The scene of a TOML text with the numbers of a seed. Raises MechanicsError where it has no sensible variants."""
    return vary(scene_of(toml, name), 1, seed)[0]
