"""Text from anybody, fit to be shown: nothing in it moves a terminal's cursor, turns the reading order round or ends the line."""

from __future__ import annotations


def printable(text: str, instead: str = "") -> str:
    """The text with one character for each that is not printable: control characters and escape sequences, line breaks,
    marks that turn the reading order, halves of characters, spaces other than the usual one.

    instead: that character; "" for the picture of a control character where Unicode has one (␛), else �. Places still fit.

    >>> printable("T\\x1b[2J = 3\\u202e"), printable("T\\n= 3", " ")
    ('T␛[2J = 3�', 'T = 3')
    """
    return text if text.isprintable() else "".join(c if c.isprintable() else instead or _picture(c) for c in text)


def _picture(character: str) -> str:
    return chr(0x2400 + ord(character)) if ord(character) < 32 else "\N{REPLACEMENT CHARACTER}"
