"""The languages whose numbers a class may use: the decimal mark, and the word for it when a number is read aloud.

This is the place for another language: a row here, and it can be chosen (`language` in a lesson's settings). The sentences themselves
are English; DEVELOPERS.md says in which tables they stand. Numbers are never grouped by thousands, in any language: a point or a comma
between figures has one meaning only.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Language:
    """name: as it is called in itself; decimal_comma: whether 2.5 is written 2,5; mark: the word for the decimal mark."""

    name: str
    decimal_comma: bool
    mark: str


LANGUAGES: dict[str, Language] = {
    "en": Language("English", False, "point"),
    "da": Language("dansk", True, "komma"),
    "de": Language("Deutsch", True, "Komma"),
    "es": Language("español", True, "coma"),
    "fr": Language("français", True, "virgule"),
    "it": Language("italiano", True, "virgola"),
    "nl": Language("Nederlands", True, "komma"),
    "pl": Language("polski", True, "przecinek"),
    "pt": Language("português", True, "vírgula"),
    "sv": Language("svenska", True, "komma"),
}

_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_MARK = re.compile(r"(?<=\d)(?:[.,]| comma | point )(?=\d)")


def written(text: str, decimal_comma: bool) -> str:
    """A sentence of ours with its numbers as the class writes them.

    >>> written("T = 63.7 N.", True)
    'T = 63,7 N.'
    """
    return _POINT.sub(",", text) if decimal_comma else text


def spoken(text: str, language: str) -> str:
    """Spoken words with each decimal mark as a word of that language; as they are where no language is chosen.

    >>> spoken("T equals 63.7", "de"), spoken("T equals 63.7", "")
    ('T equals 63 Komma 7', 'T equals 63.7')
    """
    return _MARK.sub(f" {LANGUAGES[language].mark} ", text) if language in LANGUAGES else text
