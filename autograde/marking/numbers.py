"""Each student's own numbers: drawn from the assignment and the student, so that marking finds the same ones again."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
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


def seed_in(seed: str, problem: str, scenes: Mapping[str, str]) -> str:
    """The seed of one problem's numbers. scenes: {problem: its scene's name} of the whole assignment, in any order, for a notebook that is
    saved may have them in another. It is the student's own, but where a scene is set several times, each has one made of that.

    >>> seed_in("0123456789abcdef", "a", {"a": "sack", "b": "cart"})
    '0123456789abcdef'
    >>> seed_in("0123456789abcdef", "a", {"a": "sack", "b": "sack"}), seed_in("0123456789abcdef", "b", {"a": "sack", "b": "sack"})
    ('4fa0a802af9518fa', 'd6bd32444a49acf3')
    """
    if list(scenes.values()).count(scenes.get(problem, "")) < 2:
        return seed
    return hashlib.sha256(f"plusway\0{seed}\0{problem}".encode("utf-8", "replace")).hexdigest()[:16]


@lru_cache(maxsize=1024)
def with_numbers(toml: str, name: str, seed: str) -> Scene:
    """The scene of a TOML text with the numbers of a seed. Raises MechanicsError where it has no sensible variants."""
    return vary(scene_of(toml, name), 1, seed)[0]
