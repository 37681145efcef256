"""Where nobody said what was set: notebooks with a problem that most of the class's notebooks do not have.

A notebook that is marked without an assignment says for itself which of the shipped scenes it is about, and so could name one more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from .marked import Flag, Marked

FEWEST = 3  # notebooks, of which one can be unlike the others


class Unlike:
    """Gathers the notebooks of one assignment one by one; holds the names of their problems."""

    def __init__(self) -> None:
        self._titles: dict[str, dict[str, str]] = {}  # file: {problem: title}

    def add(self, marked: Marked) -> None:
        """One notebook more; one that could not be marked says nothing."""
        if not marked.error:
            self._titles[marked.file] = {p.problem: p.title or p.scene for p in marked.counting}

    def flags(self) -> Mapping[str, tuple[Flag, ...]]:
        """{file: flags} for every notebook with a problem that is in fewer than half of them, where others are in most."""
        count = Counter(problem for titles in self._titles.values() for problem in titles)
        if len(self._titles) < FEWEST or not any(2 * n > len(self._titles) for n in count.values()):
            return {}
        out: dict[str, tuple[Flag, ...]] = {}
        for file, titles in self._titles.items():
            if rare := [title for problem, title in titles.items() if 2 * count[problem] < len(self._titles)]:
                out[file] = (Flag("unlike", f"counts {', '.join(rare)}, which most of the other notebooks do not have"),)
        return out
