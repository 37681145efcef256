"""The corpus of marked lines, read from its tables, and one way to judge one line of it."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from plusway.autograde.judging import Step, Verdicts, judge
from plusway.autograde.scene.model import Scene
from plusway.lessons.catalogue import find

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

CORPUS = Path(__file__).parent / "corpus"
SINGLE = ("ties", "sense")
KEYED = ("equations", "results", "forces")


@dataclass(frozen=True)
class Marked:
    """One marked line: where it stands, what it says, and what a fair marker says of it.

    kinds: one entry for each kind expected, "a|b" where either will do, "*" where any will.
    """

    scene: str
    positive: Mapping[str, str]
    step: str
    item: str | int
    text: str
    verdict: str
    kinds: tuple[str, ...] = ()
    given: Mapping[str, Any] = field(default_factory=dict)

    @property
    def name(self) -> str:
        return f"{self.scene}: {self.step} {self.item}: {self.text}"

    def answers(self) -> dict[str, Any]:
        """The answers file that holds this line and what came with it."""
        out: dict[str, Any] = {"scene": self.scene, "directions": dict(self.positive)}
        for step, value in self.given.items():
            out[step] = dict(value) if isinstance(value, Mapping) else list(value)
        if self.step == "working":
            return out
        if self.step in SINGLE:
            out[self.step] = [self.text]
        else:
            value: Any = self.text
            if self.step == "forces":
                value = [part.strip().rsplit(" ", 1) for part in self.text.split(",")]
            out[self.step] = {**out.get(self.step, {}), self.item: value}
        return out

    def fits(self, kinds: set[str]) -> bool:
        """Whether the kinds found are those expected, no more and no fewer."""
        wanted = [set(k.split("|")) for k in self.kinds]
        if any("*" in w for w in wanted):
            return bool(kinds)
        return all(w & kinds for w in wanted) and all(any(k in w for w in wanted) for k in kinds)

    def agrees(self, step: Step) -> bool:
        """Whether a verdict of the judge is the one expected."""
        kinds = {s.kind for s in step.slips}
        return step.verdict in self.verdict.split("|") and (step.verdict != "slip" or self.fits(kinds))


def _lines(table: Mapping[str, Any]) -> Iterator[Marked]:
    for group in table["group"]:
        common = {"scene": group["scene"], "positive": group.get("positive", {}), "given": group.get("given", {})}
        for step in KEYED:
            for item, rows in group.get(step, {}).items():
                for text, verdict, *kinds in rows:
                    yield Marked(step=step, item=item, text=text, verdict=verdict, kinds=tuple(kinds), **common)
        for step in SINGLE:
            for text, verdict, *kinds in group.get(step, ()):
                yield Marked(step=step, item=0, text=text, verdict=verdict, kinds=tuple(kinds), **common)
        for chain in group.get("chains", ()):
            given = {**common["given"], "working": tuple(line[0] for line in chain)}
            for n, (text, verdict, *kinds) in enumerate(chain):
                yield Marked(common["scene"], common["positive"], "working", n, text, verdict, tuple(kinds), given)


@lru_cache(maxsize=1)
def corpus() -> tuple[Marked, ...]:
    """Every marked line of every table."""
    return tuple(
        line
        for file in sorted(CORPUS.glob("*.toml"))
        for line in _lines(tomllib.loads(file.read_text(encoding="utf-8")))
    )


@cache
def scene_named(name: str) -> Scene:
    """A shipped scene, loaded once."""
    return find(name)


_papers: dict[str, Verdicts] = {}


def paper(line: Marked) -> Verdicts:
    """The verdicts on the whole paper in which a marked line stands; each paper is judged once."""
    answers = line.answers()
    key = repr(answers)
    if key not in _papers:
        _papers[key] = judge(scene_named(line.scene), answers)
    return _papers[key]


def judged(line: Marked) -> Step:
    """The judge's verdict on one marked line."""
    return step_of(paper(line), line.step, line.item)


def step_of(verdicts: Verdicts, step: str, item: str | int) -> Step:
    """One item of one step."""
    return next(s for s in verdicts.steps if s.step == step and s.item == item)
