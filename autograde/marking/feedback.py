"""One student's feedback as an HTML page: each line as written, its verdict, the reason, the marks. No key, no other student.

Everything that comes from outside is escaped, and the page forbids scripts and anything from elsewhere.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from itertools import groupby

from ..method import step_title
from ..reading import Vocabulary
from ..scene.given import given
from .assignment import scene_of
from .comments import to_student
from .lines import lines, out_of, style_of_lines
from .marked import Marked, ProblemMarks
from .numbers import is_seed, with_numbers

STYLE = """
:root { color-scheme: light dark; --ink: #1d2733; --paper: #fdfcf9; --soft: #ece8dd; --quiet: #5a6472; }
@media (prefers-color-scheme: dark) { :root { --ink: #e8e6df; --paper: #16191d; --soft: #2a2f36; --quiet: #a9b0ba; } }
body { font: 1.05rem/1.5 system-ui, sans-serif; color: var(--ink); background: var(--paper); max-width: 52rem;
  margin: 0 auto; padding: 1.5rem 1rem 4rem; overflow-wrap: anywhere; }
h1, h2, h3, h4 { line-height: 1.25; } h4 { margin: 1.4rem 0 .3rem; font-size: 1.05rem; }
.quiet { color: var(--quiet); } .marks { float: right; font-variant-numeric: tabular-nums; }
.data { margin-top: -.4rem; }
""" + style_of_lines() + """
@media print { :root { color-scheme: light; --ink: #000; --paper: #fff; --soft: #bbb; --quiet: #444; } body { max-width: none; padding: 0;
  font-size: 10.5pt; } li, tr, figure { break-inside: avoid; } h1, h2, h3, h4, caption { break-after: avoid; } }
"""


@dataclass(frozen=True)
class Shown:
    """What a problem's part of the page needs of its scene."""

    title: str
    story: str
    data: str
    vocabulary: Vocabulary


@lru_cache(maxsize=512)
def shown(toml: str, name: str, variant: str = "") -> Shown:
    """The scene of a TOML text as pages show it, with the numbers of a seed where `variant` is one; kept, because a class shares
    it. Raises SceneError."""
    scene = with_numbers(toml, name, variant) if is_seed(variant) else scene_of(toml, name)
    return Shown(scene.title, scene.story, given(scene), Vocabulary.of(scene))


def page(student: str, work: Sequence[Marked], scenes: Mapping[str, Shown]) -> str:
    """The whole page for one student. scenes: by problem; a problem without one is shown without formulas."""
    ordered = sorted(work, key=lambda marked: bool(marked.second))  # what counts stands first
    counting = {marked.counts_instead for marked in work}
    body = "".join(_notebook(marked, scenes, marked.file in counting) for marked in ordered)
    title = f"Feedback for {student}"
    return (f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" '
            f'content="width=device-width, initial-scale=1">\n<meta http-equiv="Content-Security-Policy" '
            f"content=\"default-src 'none'; style-src 'unsafe-inline'\">\n<title>{escape(title)}</title>\n"
            f"<style>{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{escape(title)}</h1>\n{body}</main>\n</body>\n</html>\n")


def file_name(student: str) -> str:
    """A file name for a student's page that is safe on every system, and another for every other student.

    >>> file_name("s017"), file_name("../x")
    ('s017.html', 'x-d6b96a97.html')
    """
    plain = re.sub(r"[^a-zA-Z0-9_-]+", "-", student).strip("-")[:60]
    if plain != student or not plain or plain.upper() in RESERVED:
        plain = f"{plain or 'student'}-{hashlib.sha256(student.encode('utf-8', 'replace')).hexdigest()[:8]}"
    return f"{plain}.html"


RESERVED = {"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(1, 10))}
"""What no file may be called on some systems."""


def _notebook(marked: Marked, scenes: Mapping[str, Shown], one_of_several: bool = False) -> str:
    name = marked.assignment or marked.file
    marks = "not counted" if marked.second else out_of(marked.points, marked.of)
    out = f'<section>\n<h2>{escape(name)} <span class="marks">{marks}</span></h2>\n'
    if marked.second or one_of_several:
        out += f"<p>Your file {escape(marked.file)}: {escape(marked.second or 'this is the one that counts')}.</p>\n"
    if marked.error:
        return out + f"<p>{escape(to_student(marked.error))}</p>\n</section>\n"
    out += "".join(f'<p class="quiet">Note: {escape(remark)}.</p>\n' for remark in marked.remarks)
    return out + "".join(_problem(problem, scenes.get(problem.problem)) for problem in marked.problems) + "</section>\n"


def _problem(marks: ProblemMarks, scene: Shown | None) -> str:
    title = scene.title if scene else marks.scene
    counted = "not counted" if marks.apart else out_of(marks.points, marks.of)
    out = f'<section>\n<h3>{escape(title)} <span class="marks">{counted}</span></h3>\n'
    if scene and scene.story:
        out += f"<p>{escape(scene.story)}</p>\n"
    if scene and scene.data:
        out += f'<p class="quiet data">Given: {escape(scene.data)}</p>\n'
    vocabulary = scene.vocabulary if scene else None
    for step, items in groupby(marks.verdicts["steps"], key=lambda s: str(s["step"])):
        rows = list(items)
        worth = sum(float(row["of"]) for row in rows)
        points = f' <span class="marks">{out_of(sum(float(row["points"]) for row in rows), worth)}</span>' if worth else ""
        out += f'<h4>{escape(step_title(step))}{points}</h4>\n{lines(rows, vocabulary)}'
    return out + "</section>\n"
