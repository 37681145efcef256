"""What the words of a sense check say, as checks in signs: "T is between W_1 and W_2", "m_2 is very large", "a = 0 and T = W_1 if m_1 = m_2"."""

from __future__ import annotations

import re

from ..reading.reader import MAX_LENGTH

_BETWEEN = re.compile(r"(.+?) ?\b(?:(?:is|lies) )?(?:in )?between (.+?) and (.+)", re.IGNORECASE)
_SIZES = re.compile(r"\| ?(\w+) ?\|")
_JOINED = re.compile(r" and | ?[;,] (?:and )?", re.IGNORECASE)
_THEN = r"(?:⇒|=>|\\Rightarrow\b|\\implies\b)"
_IF = r"(?:if|when|for|as|where)"
_CONDITION_FIRST = re.compile(rf"(?:{_IF} (?P<said>.+?) ?(?::|,? ?\bthen\b|, |{_THEN})|(?P<put>.+?) ?{_THEN}) ?(?P<rest>.+)", re.IGNORECASE)
_CONDITION_LAST = re.compile(rf"(?P<rest>.+?),? {_IF} (?P<said>.+)", re.IGNORECASE)
_EXTREME = re.compile(r" (?:is |becomes |gets )?(?:(?:very|really|extremely) )?(?:(large|big|huge|heavy|great)|(small|tiny|light))\b(?! ?(?:than|compared))", re.IGNORECASE)
_TO_INFINITY = re.compile(r"(?:->|→|\\to\b|\\rightarrow\b|=) ?(?:∞|\\infty\b|infinity\b|inf\b)", re.IGNORECASE)


def in_signs(text: str) -> list[str]:
    """The checks of which one has to hold, where the text has words or bars for signs; [] where it has none, or is too long to be read."""
    plain = _one_space(text)
    said = _SIZES.sub(r"\1", _TO_INFINITY.sub(">> 1", plain))  # a check speaks of sizes as well as of signed values
    said = _EXTREME.sub(lambda m: " >> 1" if m[1] else " << 1", said)
    between = _BETWEEN.fullmatch(said)
    if between is not None:
        x, low, high = between.groups()
        return [f"{low} < {x} < {high}", f"{high} < {x} < {low}"]
    return [said] if said != plain else []


def joined(text: str) -> list[str]:
    """The checks that a text joins with a comma or "and", which all have to hold; a limiting case that they share goes with each of them."""
    plain = _one_space(text)
    shared = _CONDITION_FIRST.fullmatch(plain) or _CONDITION_LAST.fullmatch(plain)
    if shared is None:
        return _JOINED.split(plain)
    condition = shared["said"] or shared.groupdict().get("put")
    return [f"{condition} => {part}" for part in _JOINED.split(shared["rest"])]


def _one_space(text: str) -> str:
    """The text with single spaces, in which no pattern has to try runs of them; nothing of a text that no reader takes."""
    return " ".join(text.split()) if len(text) <= MAX_LENGTH else ""
