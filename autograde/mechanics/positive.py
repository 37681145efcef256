"""The positive direction of each thing, as it was chosen or as it is by default."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from ..scene.model import Scene
from .errors import MechanicsError


def positive_directions(scene: Scene, positive: Mapping[str, str] | None) -> dict[str, str]:
    """The chosen words for all things; MechanicsError with a suggestion for an unknown thing or word."""
    chosen = {t: scene.directions(t)[0] for t in scene.things}
    for thing, word in (positive or {}).items():
        if thing not in chosen:
            raise MechanicsError(f"there is no {thing!r} in {scene.name}{_near(thing, scene.things)}")
        if word not in scene.directions(thing):
            words = scene.directions(thing)
            raise MechanicsError(
                f"{thing} cannot have {word!r} as positive: it is {words[0]} or {words[1]}{_near(word, words)}"
            )
        chosen[thing] = word
    return chosen


def _near(word: str, known: tuple[str, ...]) -> str:
    close = get_close_matches(str(word), known, 1)
    return f": did you mean {close[0]!r}?" if close else f": it has {', '.join(known)}" if len(known) > 2 else ""
