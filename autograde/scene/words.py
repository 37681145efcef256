"""How a scene's things and directions are called in a sentence."""

from __future__ import annotations

DIRECTION_LABELS: dict[str, str] = {
    "up": "up", "down": "down", "left": "left", "right": "right", "upslope": "up the slope", "downslope": "down the slope",
    "clockwise": "clockwise", "counterclockwise": "counterclockwise", "away": "away from the slope", "into": "into the slope",
}  # fmt: skip


def way(direction: str) -> str:
    """A direction as it reads in a sentence: "upslope" -> "up the slope"; any other text as it is."""
    return DIRECTION_LABELS.get(direction, direction)


def thing_name(name: str) -> str:
    """A thing's name as it reads in a sentence: "feed_sack" -> "feed sack"."""
    return name.replace("_", " ").replace("-", " ")
