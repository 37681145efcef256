"""The guided lessons: a readable source in `guided/` for each, from which the notebook that ships is built.

`python -m plusway.lessons.course` builds all notebooks anew into `notebooks/`; the same source gives the same bytes. A source:

    # Two hanging bodies

    **Goal.** One sentence.

    Text. No number is typed: {feed-sack:data.m_1}, {feed-sack:result.a} are filled in (all of them in `placeholders`).

    ## worked example: feed-sack                      a solution that rewrites itself for any positive directions

    Text; here {data.m_1} and {result.a} are those of this section's scene.

    ## half-finished: lanterns-on-a-line | given: directions, forces, equations

    The steps that are given are shown worked and earn no points; this list is the fading, and a teacher may change it.

    ### ties: What the rope does                      the heading of a step's cells, and its text, in place of the usual ones

    {thing} and {inertia} stand for what they say. `### equations drum: …` is for the drum alone.

    ## problem: mill-hoist                            the whole problem, every step

    ## check yourself: cable-reel-lifted | steps: forces, equations | data: m = 120 kg, F = 1.40 kN

    Only these steps are asked for and marked; data: the scene with other numbers of our own.

    ## What the words were for                        any other heading without a scene: text alone

    ## find the slip: feed-sack | slip: flipped-force | seed: 2     a wrong solution; without `slip` the seed draws one; not marked

Another kind of section is a row in `sections.KINDS`: its name, its options, and the function that makes its cells.
"""

from __future__ import annotations

from pathlib import Path

import nbformat
from nbformat.notebooknode import NotebookNode

from ..autograde.errors import PluswayError
from . import catalogue
from .notebook import assembled, text_cell
from .pages import PAGES, page
from .placeholders import filled
from .sections import KINDS, built
from .source import CourseError, Source
from .source import read_source as _read

SOURCES = Path(__file__).parent / "guided"
NOTEBOOKS = Path(__file__).parent / "notebooks"

__all__ = ["NOTEBOOKS", "SOURCES", "CourseError", "Source", "lesson", "read_source", "write_all"]


def read_source(path: Path) -> Source:
    """The source at `path`. Raises CourseError."""
    return _read(path, {kind: options for kind, (options, _) in KINDS.items()})


def lesson(source: Source) -> NotebookNode:
    """The notebook of a lesson. Raises CourseError with the source's name."""
    try:
        scene = catalogue.find(next(s.scene for s in source.sections if s.scene))
        top = "\n\n".join([f"# {source.title}", f"**Goal.** {source.goal}", source.introduction])
        sections = [built(section, place, scene) for place, section in enumerate(source.sections)]
        cells = [text_cell("title", filled(top, scene)), *(cell for part in sections for cell in part.cells)]
    except StopIteration:
        raise CourseError(f"{source.name}: there is no section with a scene, such as '## problem: feed-sack'") from None
    except PluswayError as error:
        raise CourseError(f"{source.name}: {error}") from None
    problems = [part.problem for part in sections if part.problem is not None]
    return assembled(source.title, cells, problems, assignment=source.name)


def write_all(folder: Path = NOTEBOOKS) -> list[Path]:
    """Build every lesson and every page into `folder` and say where."""
    folder.mkdir(exist_ok=True)
    written = []
    ready = [(path, lesson(read_source(path))) for path in sorted(SOURCES.glob("*.md"))]
    ready += [(path, page(path)) for path in sorted(PAGES.glob("*.md"))]
    for path, notebook in ready:
        target = folder / f"{path.stem}.ipynb"
        target.write_text(nbformat.writes(notebook) + "\n", encoding="utf-8")
        written.append(target)
    return written


if __name__ == "__main__":
    for written in write_all():
        print(written.name)
