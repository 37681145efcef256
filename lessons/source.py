"""Reading a lesson's source: Markdown with a title, an introduction and sections (see `course`)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from ..autograde.errors import PluswayError
from ..autograde.method import STEPS

_TITLE = re.compile(r"\A# (?P<title>[^\n]+)\n")
_GOAL = re.compile(r"\A\s*\*\*Goal\.\*\* (?P<goal>.+?)(?:\n\n|\Z)", re.DOTALL)
_SECTION = re.compile(r"^## ([^\n]+)\n", re.MULTILINE)
_STEP = re.compile(r"^### ([a-z]+(?: [^:\n]+)?): ([^\n]+)\n", re.MULTILINE)


class CourseError(PluswayError):
    """A lesson's source that can't be built: file, what was found, what would do."""


@dataclass(frozen=True)
class Section:
    """One section. kind: "worked example", "problem", …, or "" for text alone, whose heading is `scene`'s place: `heading`.

    options: {name: value} as written after the bars; headings: {step or "step thing": (heading, text)} for the cells of this problem's steps.
    """

    kind: str
    scene: str
    text: str
    heading: str = ""
    options: Mapping[str, str] = field(default_factory=dict)
    headings: Mapping[str, tuple[str, str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Source:
    """A lesson's source. name: the notebook's; goal: one sentence; introduction: what stands below it."""

    name: str
    title: str
    goal: str
    introduction: str
    sections: tuple[Section, ...]


def read_source(path: Path, kinds: Mapping[str, tuple[str, ...]]) -> Source:
    """The source at `path`; kinds: {kind of section: its options}. Raises CourseError."""
    text = path.read_text(encoding="utf-8")
    title = _TITLE.match(text)
    if title is None:
        raise CourseError(f"{path.name}: expected a line '# title' at the top")
    introduction, *parts = _SECTION.split(text[title.end():])
    goal = _GOAL.match(introduction)
    if goal is None:
        raise CourseError(f"{path.name}: expected a paragraph '**Goal.** …' below the title")
    sections = tuple(_section(path.name, head, body, kinds) for head, body in zip(parts[::2], parts[1::2], strict=True))
    return Source(path.stem, title["title"].strip(), " ".join(goal["goal"].split()), unwrapped(introduction[goal.end():]), sections)


def _section(file: str, head: str, body: str, kinds: Mapping[str, tuple[str, ...]]) -> Section:
    first, *extra = [part.strip() for part in head.split(" | ")]
    kind, _, scene = (part.strip() for part in first.partition(":"))
    if not scene:
        if kind in kinds:
            raise CourseError(f"{file}: '## {head}': name a scene, as in '## {kind}: feed-sack'")
        return Section("", "", unwrapped(body), heading=head.strip())
    if kind not in kinds:
        raise CourseError(f"{file}: '## {head}': there is no section {kind!r}; there are {', '.join(kinds)}")
    options = {}
    for part in extra:
        name, _, value = (piece.strip() for piece in part.partition(":"))
        if name not in kinds[kind] or not value:
            can = f"there are {', '.join(kinds[kind])}" if kinds[kind] else "there are none"
            raise CourseError(f"{file}: '## {head}': {part!r} is no option here; {can}")
        options[name] = value
    text, *steps = _STEP.split(body)
    headings = {}
    for step, heading, words in zip(steps[::3], steps[1::3], steps[2::3], strict=True):
        if step.partition(" ")[0] not in STEPS:
            raise CourseError(f"{file}: '### {step}:' is no step; the steps are {', '.join(STEPS)}")
        headings[step] = heading.strip(), unwrapped(words)
    return Section(kind, scene, unwrapped(text), options=options, headings=headings)


def unwrapped(text: str) -> str:
    """Paragraphs and points of a list as single lines, as a notebook shows them."""
    return "\n\n".join(
        "\n".join(" ".join(point.split()) for point in re.split(r"\n(?=- )", paragraph)) for paragraph in text.strip().split("\n\n")
    )
