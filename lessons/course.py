"""The guided lessons: a readable source in `guided/` for each, from which the notebook that ships is built.

A source is Markdown: three dashed lines with the scene's name, a title, an introduction, then for each step a heading
`## step: heading of its cells` with its text; {thing} and {inertia} stand for what they say. `python -m plusway.lessons.course`
builds all notebooks anew into `notebooks/`; the same source gives the same bytes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import nbformat
from nbformat.notebooknode import NotebookNode

from ..autograde.errors import PluswayError
from ..autograde.records.answers import STEPS
from . import catalogue
from .notebook import ProblemSpec, build
from .pages import PAGES, page

SOURCES = Path(__file__).parent / "guided"
NOTEBOOKS = Path(__file__).parent / "notebooks"

_FRONT = re.compile(r"\A---\nscene: *(?P<scene>[a-z0-9-]+)\n---\n\s*# (?P<title>[^\n]+)\n")
_STEP = re.compile(r"^## (?P<step>[a-z]+): (?P<heading>[^\n]+)\n", re.MULTILINE)


class CourseError(PluswayError):
    """A lesson's source that can't be built: file, what was found, what would do."""


@dataclass(frozen=True)
class Source:
    """A lesson's source: the scene's name, the title, the introduction, {step: (heading, text)}."""

    name: str
    scene: str
    title: str
    introduction: str
    headings: dict[str, tuple[str, str]]


def read_source(path: Path) -> Source:
    """The source at `path`. Raises CourseError."""
    text = path.read_text(encoding="utf-8")
    front = _FRONT.match(text)
    if front is None:
        raise CourseError(f"{path.name}: expected ---, scene: NAME, ---, and a line '# title' at the top")
    parts = _STEP.split(text[front.end():])
    headings: dict[str, tuple[str, str]] = {}
    for step, heading, body in zip(parts[1::3], parts[2::3], parts[3::3], strict=True):
        if step not in STEPS:
            raise CourseError(f"{path.name}: '## {step}:' is no step; the steps are {', '.join(STEPS)}")
        headings[step] = heading.strip(), _unwrap(body)
    return Source(path.stem, front["scene"], front["title"].strip(), _unwrap(parts[0]), headings)


def lesson(source: Source) -> NotebookNode:
    """The notebook of a lesson."""
    scene = catalogue.find(source.scene)
    problem = ProblemSpec(scene.name, scene, catalogue.text(source.scene), headings=source.headings)
    return build(source.title, [problem], assignment=source.name, introduction=source.introduction)


def write_all(folder: Path = NOTEBOOKS) -> list[Path]:
    """Build every lesson and every page into `folder` and say where."""
    folder.mkdir(exist_ok=True)
    written = []
    built = [(path, lesson(read_source(path))) for path in sorted(SOURCES.glob("*.md"))]
    built += [(path, page(path)) for path in sorted(PAGES.glob("*.md"))]
    for path, notebook in built:
        target = folder / f"{path.stem}.ipynb"
        target.write_text(nbformat.writes(notebook) + "\n", encoding="utf-8")
        written.append(target)
    return written


def _unwrap(text: str) -> str:
    """Paragraphs as single lines, as a notebook shows them."""
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in text.strip().split("\n\n"))


if __name__ == "__main__":
    for written in write_all():
        print(written.name)
