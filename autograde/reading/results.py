"""A result such as "a = 1.58 m/s^2", "about 74 N" or "T is zero", as lines of the reader."""

from __future__ import annotations

import re

from .complaints import complain
from .reader import prepared, read
from .tree import Reading
from .vocabulary import Vocabulary

_ABOUT = re.compile(
    r"\s*(?:is |it is )?(?:about|approximately|approx\.?|roughly|around|ca\.?|circa|≈|~|=)\s*", re.IGNORECASE
)
_IS = re.compile(r"(?<=[\s\w}])\s+(is|of)\s+(?=[-+\d.½⅓¼¾(]|about|approx)", re.IGNORECASE)
_ZERO = re.compile(r"\b(zero|none|nil|nothing)\b", re.IGNORECASE)


def read_value(text: str, vocabulary: Vocabulary) -> Reading:
    """Read a text as the value of something: "= 1.58 m/s^2", "about 74 N", "T is 74 N", "zero". Places are those of the text.

    The value is the last side of each line. Raises Complaint, and nothing else, for every text; so for one with a condition or
    a comparison, which states no value.
    """
    folded = prepared(text)
    about = _ABOUT.match(folded)
    hidden = list(text)
    if about and about.end() < len(text):
        hidden[: about.end()] = " " * about.end()
    for found in _IS.finditer(folded):
        hidden[found.start(1) : found.end(1)] = "= "
    for found in _ZERO.finditer(folded):
        hidden[found.start() : found.end()] = "0" + " " * (found.end() - found.start() - 1)
    reading = read("".join(hidden), vocabulary)
    for line in reading.lines:
        if line.condition is not None or not set(line.relations) <= {"=", "≈"}:
            raise complain("no-value", (line.sides[0].at[0], line.sides[-1].at[1]))
    return reading
