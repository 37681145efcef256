"""Each student's own numbers: drawn from the assignment and the student, so that marking finds the same ones again."""

from __future__ import annotations

from functools import lru_cache

from ..mechanics.variants import variant_seed, vary
from ..scene.model import Scene
from .assignment import scene_of


def seed_for(assignment: str, student: str) -> str:
    """The seed that belongs to this student, as the notebook's metadata hold it."""
    return str(variant_seed(assignment, student))


def is_seed(text: str) -> bool:
    """Whether a text has the shape of a seed; what a notebook claims may be anything."""
    return text.isascii() and text.isdigit() and len(text) <= 10


@lru_cache(maxsize=1024)
def with_numbers(toml: str, name: str, seed: str) -> Scene:
    """The scene of a TOML text with the numbers of a seed. Raises MechanicsError where it has no sensible variants."""
    return vary(scene_of(toml, name), 1, int(seed))[0]
