"""How a line reads while it is typed: MathML, spoken words, remarks or a complaint; each text is read once and remembered."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from ..autograde.languages import spoken
from ..autograde.reading.complaint import Complaint
from ..autograde.reading.vocabulary import Vocabulary

_REMEMBERED = 400


class Reader:
    """Reads the lines of one scene; `language`: that of numbers read aloud."""

    def __init__(self, vocabulary: Vocabulary, language: str = "") -> None:
        self._vocabulary, self._language = vocabulary, language
        self.preview = lru_cache(maxsize=_REMEMBERED)(self._preview)

    def mathml(self, text: str) -> str:
        """The line as MathML, "" where it can't be read."""
        return str(self.preview(text)["mathml"]) if isinstance(text, str) and text.strip() else ""

    def _preview(self, text: str) -> dict[str, Any]:
        """The parts of a Previewed message that depend on the text alone."""
        if not text.strip():
            return {"mathml": "", "speech": "", "remarks": [], "complaint": None}
        from ..autograde.reading import read, to_mathml, to_speech  # with the first line: a page opens without them

        try:
            reading = read(text, self._vocabulary)
        except Complaint as complaint:
            return {"mathml": "", "speech": "", "remarks": [], "complaint": {"says": complaint.says, "at": list(complaint.at)}}
        line = reading.lines[0]
        return {"mathml": to_mathml(line), "speech": spoken(to_speech(line), self._language), "remarks": list(reading.remarks), "complaint": None}
