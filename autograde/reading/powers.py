"""What stands above: which powers are read, and the power of one half, which is a root."""

from __future__ import annotations

from collections.abc import Sequence

from .complaints import complain
from .tokens import Token
from .tree import Number, Place

_HALVES = ("0.5", ".5", "½", "0,5")
_BRACKETS = (("(", ")"), ("[", "]"), ("{", "}"))
_ONE_HALF = (
    *((half,) for half in _HALVES),
    *((opened, half, closed) for half in _HALVES for opened, closed in _BRACKETS),
    *((opened, "1", "/", "2", closed) for opened, closed in _BRACKETS),
)


def half_at(tokens: Sequence[Token]) -> int:
    """How many of the tokens say "to the power of one half", ^0.5 or ^(1/2), from the first on; 0 where they don't."""
    if tokens[0].kind != "^":
        return 0
    said = tuple(t.value.text if isinstance(t.value, Number) and not t.value.unit else t.kind for t in tokens[1:6])
    return next((1 + len(half) for half in _ONE_HALF if said[: len(half)] == half), 0)


def whole_power(text: str, at: Place) -> int:
    """The power that a text says: 1 to 4, else a complaint."""
    if text in ("1", "2", "3", "4"):
        return int(text)
    instead = "Write 1/R in place of R^-1." if text.startswith("-") else "Write higher powers as products."
    raise complain("exponent", at, instead=instead)
