"""A student's line -> its readings: what stands around the equation (labels, remarks, conditions), then the equation."""

from __future__ import annotations

import re
from itertools import islice, product
from typing import NamedTuple

from .complaint import Complaint
from .complaints import complain
from .greek import fold
from .parser import Parser
from .tokens import Scanner
from .tree import Line, Reading
from .vocabulary import Vocabulary

MAX_LENGTH = 400
MAX_READINGS = 8

_LEAD = re.compile(
    r"\s*(?:(?:so|thus|hence|therefore|then|and so|and|now|now,|we get|we have|this gives|gives|giving|i\.e\.|ie|or|but|also|"
    r"because|since|\\therefore)\b[,:]?|∴|⇒|=>|->|\\Rightarrow\b|\\implies\b|[•>]\s|[-*]\s(?=\S+\s*=)|\$\$?|\\\(|\\\[)\s*",
    re.IGNORECASE,
)
_LEAD_LABEL = re.compile(
    r"\s*(?:[(\[](\d{1,2}|[ivx]{1,4})[)\]]|(\d{1,2})\)|([①-⑳])|(\d{1,2})\.(?=\s))\s+(?=\S)", re.IGNORECASE
)
_TAIL_LABEL = re.compile(
    r"(?:\s+|\s*[.…]{2,}\s*|\s*…\s*|,\s*)(?:[(\[]\s*(?:eqn?\.?\s*)?(\d{1,2}|i{1,3}|iv|v|\*)\s*[)\]]|([①-⑳]))\s*$"
)
_TAIL = re.compile(r"(?:\s+|[.;,!✓✔]|\$\$?|\\\)|\\\])+$")
_WAYS = (
    r"up|down|left|right|upslope|downslope|upwards?|downwards?|leftwards?|rightwards?|to the left|to the right|up the (?:slope|plane|incline)|"
    r"down the (?:slope|plane|incline)|clockwise|counter-?clockwise|anti-?clockwise|cw|ccw|acw|each|both|same|↑|↓|←|→|⇒|upward|downward"
)
_TAIL_NOTE = re.compile(
    rf"(?<=[\w)\]°²}}])\s*(?:,\s*)?(?:[(\[]\s*({_WAYS})\s*[)\]]|(?<![A-Za-z])(?<=[\s\d)])({_WAYS})|([↑↓←→]))\s*$",
    re.IGNORECASE,
)
_TAIL_REMARK = re.compile(r"\s+\(([A-Za-z][A-Za-z' -]*[A-Za-z]{3}[A-Za-z' -]*)\)\s*$")
_IF = re.compile(
    r"\s*(?:if|when|for|as|where|provided|in case)\s+(.+?)\s*(?::|,?\s*\bthen\b|,|⇒|=>|->|\\Rightarrow\b|\\implies\b)(?=\s)\s*",
    re.IGNORECASE | re.DOTALL,
)
_IF_ALONE = re.compile(r"\s*(?:if|when)\s+", re.IGNORECASE)
_IF_LATER = re.compile(r"\s*,?\s*\b(?:if|when|for|as)\s+(?=\S)", re.IGNORECASE)
_ARROW = re.compile(r"⇒|=>|->|\\Rightarrow\b|\\implies\b|\\to\b|\\rightarrow\b")
_RELATION = re.compile(r"[=<>≤≥≈≠≪≫~]|\\(?:ll|gg|le|ge|leq|geq|ne|approx|lt|gt)\b")
_HEADING = re.compile(r"\s*([^=<>:≈⇒]{1,40}):\s*(?=\S)")


class _Frame(NamedTuple):
    """Where the equation stands in the text, and what stands around it."""

    start: int
    end: int
    condition: tuple[int, int] | None
    label: str
    note: str
    remarks: tuple[str, ...]


def read(text: str, vocabulary: Vocabulary) -> Reading:
    """Read one line. Raises Complaint, and nothing else, for every text.

    The readings are those of every real ambiguity (a letter that may be two things, a unit that may be a letter),
    likeliest
    first; readings that make no sense on their own are left out.
    """
    folded = prepared(text)
    first: Complaint | None = None
    lines: list[Line] = []
    remarks: list[str] = []
    for frame in _frames(folded):
        try:
            _read_frame(text, folded, frame, vocabulary, lines, remarks)
        except Complaint as complaint:
            first = first or complaint
    if not lines:
        assert first is not None
        raise first
    return Reading(tuple(lines), tuple(dict.fromkeys(remarks)))


def prepared(text: object) -> str:
    """The text with look-alike characters made plain, of the same length; a complaint where it is no text, or too long."""
    if not isinstance(text, str):
        raise complain("not-text", (0, 0))
    if len(text) > MAX_LENGTH:
        raise complain("too-long", (MAX_LENGTH, len(text)), found=len(text), limit=MAX_LENGTH)
    return fold(text)


def _read_frame(
    text: str, folded: str, frame: _Frame, vocabulary: Vocabulary, lines: list[Line], remarks: list[str]
) -> None:
    remarks += frame.remarks
    scanner = Scanner(folded, text, vocabulary, {})
    lines_before = len(lines)
    complaint: Complaint | None = None
    try:
        _add(_line(text, frame, scanner), lines)
        remarks += scanner.remarks
    except Complaint as c:
        complaint = c
    if scanner.met:
        keys = list(scanner.met)
        options = product(*(range(scanner.met[k]) for k in keys))
        ordered = sorted(islice(options, 1, 64), key=sum)
        for choice in ordered[: MAX_READINGS - 1]:
            other = Scanner(folded, text, vocabulary, dict(zip(keys, choice, strict=True)))
            try:
                _add(_line(text, frame, other), lines)
            except Complaint:
                continue
            if complaint is not None:
                remarks += other.remarks
    if len(lines) == lines_before and complaint is not None:
        raise complaint


def _add(line: Line, lines: list[Line]) -> None:
    if line not in lines:
        lines.append(line)


def _line(text: str, frame: _Frame, scanner: Scanner) -> Line:
    condition = None
    if frame.condition is not None:
        sides, relations = Parser(scanner, *frame.condition).sides()
        if not relations:
            raise complain("condition", sides[0].at)
        condition = Line(tuple(sides), tuple(relations), text)
    sides, relations = Parser(scanner, frame.start, frame.end).sides()
    if condition is not None and not relations:
        raise complain("statement", sides[0].at)
    return Line(tuple(sides), tuple(relations), text, condition, frame.label, frame.note)


def _frames(text: str) -> list[_Frame]:
    """How the text may be divided; more than one where a trailing (2) may be a factor."""
    start, end, remarks = 0, len(text), []
    label = note = ""
    end = _cut(text, start, end)
    leading = _LEAD_LABEL.match(text, start, end)
    if leading and _RELATION.search(text, leading.end(), end):
        label, start = next(g for g in leading.groups() if g), leading.end()
    start = _lead(text, start, end)
    frames: list[_Frame] = []
    tail = (
        _TAIL_LABEL.search(text, start, end)
        if text[end - 1 : end] in (")", "]") or text[end - 1 : end] in tuple("①②③④⑤⑥⑦⑧⑨⑩")
        else None
    )
    if tail and tail.start() > start:
        before = text[tail.start() - 1]
        if (
            before.isdigit()
            and text[tail.start() : tail.end()].startswith((" (", " ["))
            and not text[tail.start() :].startswith("  ")
        ):
            frames.append(_Frame(start, end, None, label, note, ()))  # T = 6.5 (2) may be a product
        label, end = tail.group(1) or tail.group(2), _cut(text, start, tail.start())
    start, heading = _heading(text, start, end)
    remarks += heading
    found = _TAIL_NOTE.search(text, start, end)
    if (found and found.start() > start and "=" in text[start : found.start()]) or (
        found and text[start : start + 1].isdigit()
    ):
        note, end = next(g for g in found.groups() if g).strip().lower(), _cut(text, start, found.start())
    else:
        remark = _TAIL_REMARK.search(text, start, end)
        if remark and remark.start() > start and len(remark.group(1).replace(" ", "")) > 3:
            remarks.append(f"“({remark.group(1)})” was taken as a remark.")
            note, end = remark.group(1), _cut(text, start, remark.start())
    start, end, condition = _condition(text, start, end)
    main = _Frame(start, end, condition, label, note, tuple(remarks))
    return [main, *frames]


def _cut(text: str, start: int, end: int) -> int:
    """The end without trailing stops and white space."""
    found = _TAIL.search(text, start, end)
    return found.start() if found else end


def _lead(text: str, start: int, end: int) -> int:
    while True:
        found = _LEAD.match(text, start, end)
        if not found or found.end() == start:
            return start
        start = found.end()


def _heading(text: str, start: int, end: int) -> tuple[int, list[str]]:
    """sack: T - W_1 = m_1 a"""
    if (
        ":" not in text[start:end]
        or _IF_ALONE.match(text, start, end)
        or re.match(r"\s*(?:for|as)\b.*[=<>≪≫]", text[start:end], re.IGNORECASE)
    ):
        return start, []
    found = _HEADING.match(text, start, end)
    if found and _RELATION.search(text, found.end(), end):
        return found.end(), [f"“{found.group(1).strip()}:” was taken as a heading."]
    return start, []


def _condition(text: str, start: int, end: int) -> tuple[int, int, tuple[int, int] | None]:
    """if m_1 = m_2: a = 0, m_1 = m_2 => a = 0, a = 0 if m_1 = m_2."""
    found = _IF.match(text, start, end)
    if found:
        rest = _lead(text, found.end(), end)
        if not text[rest:end].strip():
            raise complain("statement", found.span(1))
        return rest, end, found.span(1)
    alone = _IF_ALONE.match(text, start, end)
    if alone:
        raise complain("statement", (alone.end(), end))
    arrows = list(_ARROW.finditer(text, start, end))
    if arrows:
        # m_1 -> 0 is a limit, not a step: its arrow has no relation before it.
        arrow = arrows[-1]
        if len(arrows) > 1:
            raise complain("two-arrows", arrows[1].span())
        if not text[arrow.end() : end].strip():
            raise complain("statement", (start, _cut(text, start, arrow.start())))
        return arrow.end(), end, (start, arrow.start())
    later = _IF_LATER.search(text, start, end)
    if later and later.start() > start:
        return start, later.start(), (later.end(), end)
    return start, end, None
