"""A student's line -> all the ways in which it can be meant."""

from __future__ import annotations

import re
from itertools import islice, product

from .complaint import Complaint
from .complaints import complain
from .frame import Frame, frames
from .greek import fold
from .parser import Parser
from .tokens import Scanner
from .tree import Line, Reading
from .vocabulary import Vocabulary

MAX_LENGTH = 400
MAX_READINGS = 8
_GAP = re.compile(r"(?<=\S)\s{21,}(?=\S)")
"""White space within a line of which the patterns of words round a line would try every part; nobody lines up so far."""
_WORD = re.compile(r"(?<![\w\\])[^\W\d_]{2,}(?![\w{])")
_SIGN = re.compile(r"[=<>≤≥≈≠+*/^·×\\]|(?<![^\W\d_])-|-(?![^\W\d_])")


def read(text: str, vocabulary: Vocabulary) -> Reading:
    """Read one line. Raises Complaint, and nothing else, for every text.

    The readings are those of every real ambiguity (a letter that may be two things, a unit that may be a letter),
    likeliest first; those that make no sense on their own are left out.
    """
    folded = prepared(text)
    first: Complaint | None = None
    lines: list[Line] = []
    remarks: list[str] = []
    for frame in frames(folded):
        try:
            _read_frame(text, folded, frame, vocabulary, lines, remarks)
        except Complaint as complaint:
            first = first or complaint
    if not lines:
        assert first is not None
        if first.kind in ("unknown-word", "unknown-symbol") and _is_sentence(folded):
            at = (len(text) - len(text.lstrip()), len(text.rstrip()))
            raise complain("sentence", at) from first
        raise first
    return Reading(tuple(lines), tuple(dict.fromkeys(remarks)))


def _is_sentence(text: str) -> bool:
    """Two words or more, and no sign that an equation or an expression would have."""
    return len(_WORD.findall(text)) > 1 and not _SIGN.search(text)


def prepared(text: object) -> str:
    """The text with look-alike characters made plain, of the same length; a complaint where it is no text, or too long."""
    if not isinstance(text, str):
        raise complain("not-text", (0, 0))
    if len(text) > MAX_LENGTH:
        raise complain("too-long", (MAX_LENGTH, len(text)), found=len(text), limit=MAX_LENGTH)
    gap = _GAP.search(text)
    if gap:
        raise complain("gap", gap.span(), found=len(gap.group()))
    return fold(text)


def _read_frame(
    text: str, folded: str, frame: Frame, vocabulary: Vocabulary, lines: list[Line], remarks: list[str]
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
        for choice in _choices(keys, scanner.met):
            other = Scanner(folded, text, vocabulary, dict(zip(keys, choice, strict=True)))
            try:
                _add(_line(text, frame, other), lines)
            except Complaint:
                continue
            if complaint is not None:
                remarks += other.remarks
    if len(lines) == lines_before and complaint is not None:
        raise complaint


def _choices(keys: list[str], options: dict[str, int]) -> list[tuple[int, ...]]:
    """The other ways to take the ambiguities of a line, likeliest first: all units read as units, all as letters (who writes
    one unit in a line writes them all), then as few changes as can be."""
    units = tuple(int(k.startswith("unit ") and k.endswith("True")) for k in keys)
    letters = tuple(int(k.startswith("unit ") and k.endswith("False")) for k in keys)
    others = sorted(islice(product(*(range(options[k]) for k in keys)), 64), key=sum)
    ways = dict.fromkeys((units, letters, *others))
    ways.pop((0,) * len(keys))
    return list(ways)[: MAX_READINGS - 1]


def _add(line: Line, lines: list[Line]) -> None:
    if line not in lines:
        lines.append(line)


def _line(text: str, frame: Frame, scanner: Scanner) -> Line:
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
