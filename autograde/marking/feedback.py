"""One student's feedback as an HTML page: each line as written, its verdict, the reason, the marks. No key, no other student.

Everything that comes from outside is escaped, and the page forbids scripts and anything from elsewhere.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from itertools import groupby
from typing import Any

from ..reading import Complaint, Vocabulary, read, to_mathml
from ..records.answers import PER_THING, TABLES
from .assignment import scene_of
from .cells import cell_of
from .comments import SAID, reasons, to_student
from .marked import Marked, ProblemMarks
from .numbers import is_seed, with_numbers

STEP_TITLES = {"directions": "Which way is plus", "forces": "Forces", "equations": "Equations", "ties": "Ties",
               "working": "Working", "results": "Results", "sense": "Does it make sense"}
SIGNS = {"right": "✓", "follows": "→", "slip": "✗", "unread": "?", "blank": "–"}

STYLE = """
:root { color-scheme: light dark; --ink: #1d2733; --paper: #fdfcf9; --soft: #ece8dd; --quiet: #5a6472; }
@media (prefers-color-scheme: dark) { :root { --ink: #e8e6df; --paper: #16191d; --soft: #2a2f36; --quiet: #a9b0ba; } }
body { font: 1.05rem/1.5 system-ui, sans-serif; color: var(--ink); background: var(--paper); max-width: 52rem;
  margin: 0 auto; padding: 1.5rem 1rem 4rem; overflow-wrap: anywhere; }
h1, h2, h3, h4 { line-height: 1.25; } h4 { margin: 1.4rem 0 .3rem; font-size: 1.05rem; }
.quiet { color: var(--quiet); } .marks { float: right; font-variant-numeric: tabular-nums; }
ol.lines { list-style: none; margin: 0; padding: 0; }
ol.lines > li { border-top: 1px solid var(--soft); padding: .55rem 0; }
.written { font-family: ui-monospace, monospace; white-space: pre-wrap; }
.verdict { font-weight: 600; } .reason { margin: .2rem 0 0; } mark { background: none; color: inherit;
  text-decoration: underline wavy; text-underline-offset: .25em; }
math { font-size: 1.1em; margin-right: 1rem; } .data { margin-top: -.4rem; } .decided { border-left: .25rem solid var(--quiet); padding-left: .6rem; }
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
    data = [f"{s.name} = {s.given.text} {s.given.unit}".strip() for s in scene.symbols.values() if s.given is not None]
    return Shown(scene.title, scene.story, ", ".join(data), Vocabulary.of(scene))


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
    marks = "not counted" if marked.second else _of(marked.points, marked.of)
    out = f'<section>\n<h2>{escape(name)} <span class="marks">{marks}</span></h2>\n'
    if marked.second or one_of_several:
        out += f"<p>Your file {escape(marked.file)}: {escape(marked.second or 'this is the one that counts')}.</p>\n"
    if marked.error:
        return out + f"<p>{escape(to_student(marked.error))}</p>\n</section>\n"
    out += "".join(f'<p class="quiet">Note: {escape(remark)}.</p>\n' for remark in marked.remarks)
    return out + "".join(_problem(problem, scenes.get(problem.problem)) for problem in marked.problems) + "</section>\n"


def _problem(marks: ProblemMarks, scene: Shown | None) -> str:
    title = scene.title if scene else marks.scene
    out = f'<section>\n<h3>{escape(title)} <span class="marks">{_of(marks.points, marks.of)}</span></h3>\n'
    if scene and scene.story:
        out += f"<p>{escape(scene.story)}</p>\n"
    if scene and scene.data:
        out += f'<p class="quiet data">Given: {escape(scene.data)}</p>\n'
    vocabulary = scene.vocabulary if scene else None
    for step, items in groupby(marks.verdicts["steps"], key=lambda s: str(s["step"])):
        rows = list(items)
        worth = sum(float(row["of"]) for row in rows)
        points = f' <span class="marks">{_of(sum(float(row["points"]) for row in rows), worth)}</span>' if worth else ""
        out += f'<h4>{escape(STEP_TITLES.get(step, step))}{points}</h4>\n<ol class="lines">\n'
        shown = rows if any(row["text"] for row in rows) or step in (*PER_THING, *TABLES) else rows[:1]
        out += "".join(_item(row, vocabulary) for row in shown) + "</ol>\n"
    return out + "</section>\n"


def _item(step: Mapping[str, Any], vocabulary: Vocabulary | None) -> str:
    name = "" if isinstance(step["item"], int) else f"{escape(str(step['item']))}: "
    written = _written(step, vocabulary)
    verdict = str(step["verdict"])
    of = f', {_of(float(step["points"]), float(step["of"]))}' if step["of"] and step["step"] != "sense" else ""
    out = (f"<li>{name}{written}<div><span class=\"verdict\"><span aria-hidden=\"true\">{SIGNS.get(verdict, '')}</span> "
           f"{escape(SAID.get(verdict, verdict))}</span>{of}</div>\n")
    if step["verdict"] != "blank":
        out += "".join(f'<p class="reason">{escape(says)}</p>\n' for says in reasons(step))
    if "override" in step:
        decided = step["override"]
        out += (f'<p class="reason decided">Decided by your teacher on {escape(str(decided["date"]))}: '
                f"{escape(str(decided['reason']))}</p>\n")
    return out + "</li>\n"


def _written(step: Mapping[str, Any], vocabulary: Vocabulary | None) -> str:
    text = str(step["text"])
    if not text:
        return ""
    return f'{_formula(step, text, vocabulary)}<span class="written">{_pointed(text, list(_places(step)))}</span>'


def _formula(step: Mapping[str, Any], text: str, vocabulary: Vocabulary | None) -> str:
    if vocabulary is None or step["verdict"] == "unread" or cell_of(step)[0] in ("directions", "forces"):
        return ""
    try:
        return to_mathml(read(text, vocabulary).lines[0])
    except Complaint:
        return ""


def _places(step: Mapping[str, Any]) -> Iterator[tuple[int, int]]:
    for found in (step, *step["slips"]):
        if found.get("at"):
            yield int(found["at"][0]), int(found["at"][1])


def _pointed(text: str, places: Sequence[tuple[int, int]]) -> str:
    """The text with the places in question marked, overlaps joined; control characters made visible."""
    shown = "".join(c if c.isprintable() else "·" for c in text)
    marked = [any(start <= i < end for start, end in places) for i in range(len(shown))]
    if all(marked):
        return escape(shown)
    out = ""
    for inside, group in groupby(range(len(shown)), key=marked.__getitem__):
        piece = escape("".join(shown[i] for i in group))
        out += f"<mark>{piece}</mark>" if inside else piece
    return out


def _of(points: float, of: float) -> str:
    return f"{points:g} of {of:g}"
