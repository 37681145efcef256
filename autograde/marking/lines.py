"""One student's lines of one step as HTML: each as written, as a formula, with its verdict, the reason and the marks.

For plusway's own page and for nbgrader's. Everything that comes from outside is escaped, and nothing here is of the key.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import groupby
from typing import Any

from ..method import PER_THING, TABLES
from ..printable import printable
from ..reading import Complaint, Vocabulary, read, to_mathml
from .cells import cell_of, item_name
from .comments import SAID, reasons

SIGNS = {"right": "✓", "follows": "→", "slip": "✗", "unread": "?", "blank": "–"}

RULES = {
    "ol.lines": "list-style: none; margin: 0; padding: 0;",
    "ol.lines > li": "border-top: 1px solid var(--soft); padding: .55rem 0;",
    ".written": "font-family: ui-monospace, monospace; white-space: pre-wrap;",
    ".verdict": "font-weight: 600;",
    ".reason": "margin: .2rem 0 0;",
    "mark": "background: none; color: inherit; padding: 0; text-decoration: underline wavy; text-underline-offset: .25em;",
    ".formula": "display: inline-block; max-width: 100%; overflow-x: auto; vertical-align: bottom; margin-right: 1rem;",
    "math": "font-size: 1.1em;",
    ".decided": "border-left: .25rem solid var(--quiet); padding-left: .6rem;",
}


NARROW = "32rem"
NARROW_RULES = {
    # No browser breaks a formula: as flexible rows its sides go below each other, at the equals sign.
    ".formula > math, .formula > math > mrow": "display: flex; flex-wrap: wrap; align-items: baseline; row-gap: .3em;",
    ".formula > math > mrow > mo": "margin: 0 .28em;",
}


def style_of_lines(within: str = "") -> str:
    """The style of these lines; within: a selector, where the rest of the page is not ours. The page says what --soft and --quiet are."""
    usual, narrow = ("".join(f"{', '.join(f'{within} {one}'.strip() for one in selector.split(', '))} {{ {rule} }}\n" for selector, rule in rules.items())
                     for rules in (RULES, NARROW_RULES))
    return f"{usual}@media screen and (max-width: {NARROW}) {{\n{narrow}}}\n"


def lines(rows: Sequence[Mapping[str, Any]], vocabulary: Vocabulary | None, marks: bool = True) -> str:
    """A list of the judge's items of one step. vocabulary: None where there is none, and so no formulas; marks: False where the judge's
    points are not those that count."""
    if rows and not any(row["text"] for row in rows) and all(row["step"] not in (*PER_THING, *TABLES) for row in rows):
        # One line for all that was left blank, and so with the points of all.
        rows = [{**rows[0], **{key: sum(float(row[key]) for row in rows) for key in ("points", "of")}}]
    return f'<ol class="lines">\n{"".join(_item(row, vocabulary, marks) for row in rows)}</ol>\n'


def out_of(points: float, worth: float) -> str:
    """Points as pages have them: "1.5 of 2"."""
    return f"{points:g} of {worth:g}"


def _item(step: Mapping[str, Any], vocabulary: Vocabulary | None, marks: bool) -> str:
    name = f"{escape(about)}: " if (about := item_name(step)) else ""
    written = _written(step, vocabulary)
    verdict = str(step["verdict"])
    worth = f', {out_of(float(step["points"]), float(step["of"]))}' if marks and step["of"] and step["step"] != "sense" else ""
    out = (f"<li>{name}{written}<div><span class=\"verdict\"><span aria-hidden=\"true\">{SIGNS.get(verdict, '')}</span> "
           f"{escape(SAID.get(verdict, verdict))}</span>{worth}</div>\n")
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
        return f'<span class="formula">{to_mathml(read(text, vocabulary).lines[0])}</span>'
    except Complaint:
        return ""


def _places(step: Mapping[str, Any]) -> Iterator[tuple[int, int]]:
    for found in (step, *step["slips"]):
        if found.get("at"):
            yield int(found["at"][0]), int(found["at"][1])


def _pointed(text: str, places: Sequence[tuple[int, int]]) -> str:
    """The text with the places in question marked, overlaps joined; control characters made visible."""
    shown = printable(text, "·")
    marked = [any(start <= i < end for start, end in places) for i in range(len(shown))]
    if all(marked):
        return escape(shown)
    out = ""
    for inside, group in groupby(range(len(shown)), key=marked.__getitem__):
        piece = escape("".join(shown[i] for i in group))
        out += f"<mark>{piece}</mark>" if inside else piece
    return out
