"""What stands around an equation in a line: lead words, labels, headings, conditions, direction words, remarks."""

from __future__ import annotations

import re
from typing import NamedTuple

from .complaints import complain
from .greek import GREEK
from .tree import Place


class Frame(NamedTuple):
    """Where the equation and its condition stand in the text, and what was around them."""

    start: int
    end: int
    condition: Place | None
    label: str
    note: str
    remarks: tuple[str, ...]


_LEAD = re.compile(
    r"""\s*(?:(?:and\ so|so|thus|hence|therefore|then|and|now|we\ get|we\ have|this\ gives|gives|giving|i\.e\.|ie|or|but|also
    |because|since)\b[,:]?
    |(?:from|using|use|by|with|in|into|adding|add|sub\w*\.?|put\w*|insert\w*)\s+(?:(?:eqn?\.?|equations?)\s*)?[(\[]\d{1,2}[)\]]
    (?:\s*(?:and|into|in|to|with|from|,|&|\+|-|−)\s*(?:(?:eqn?\.?|equation)\s*)?[(\[]\d{1,2}[)\]])*\s*[:,]?(?=\s)
    |\\therefore\b|∴|⇒|=>|->|→|\\Rightarrow\b|\\implies\b|•\s|\*\s(?=\S+\s*=)|\$\$?|\\\(|\\\[)\s*""",
    re.IGNORECASE | re.VERBOSE,
)
_LEAD_LABEL = re.compile(
    r"\s*(?:[(\[](\d{1,2}|[ivx]{1,4})[)\]]|(\d{1,2})\)|([①-⑳])|(\d{1,2})\.(?=\s))\s+(?=[^\s=<>≤≥≈≠≪≫~+*/^)\-]|-\S)",
    re.IGNORECASE,
)
_TAIL_LABEL = re.compile(
    r"(?:\s+|\s*[.…]{2,}\s*|\s*…\s*|,\s*)(?:[(\[]\s*(?:eqn?\.?\s*)?(\d{1,2}|i{1,3}|iv|v|\*)\s*[)\]]|([①-⑳]))\s*$"
)
_TAIL = re.compile(r"(?:[\s.;,!✓✔$]|\\\)|\\\])+$")  # each character in one way only: else a run of them is tried in all
_TAIL_SIGNS = frozenset(" .;,!✓✔$)]\n\r")
_WAYS = r"""up|down|left|right|upslope|downslope|(?:up|down|left|right)wards?|to\ the\ (?:left|right)
    |(?:up|down)\ the\ (?:slope|plane|incline|ramp)|clockwise|(?:counter|anti)-?clockwise|cw|ccw|acw|each|both"""
_TAIL_NOTE = re.compile(
    rf"(?<=[\w)\]°²}}])\s*(?:,\s*)?(?:[(\[]\s*({_WAYS}|[↑↓←→])\s*[)\]]|(?<=[\s\d)])({_WAYS})|([↑↓←→]))\s*$",
    re.IGNORECASE | re.VERBOSE,
)
_TAIL_REMARK = re.compile(r"\s+\(([A-Za-z][A-Za-z' -]*[A-Za-z]{3}[A-Za-z' -]*)\)\s*$")
_IF = re.compile(
    r"\s*(?:if|when|for|as|where|provided)\s+(.+?)\s*(?::|,?\s*\bthen\b|,(?=\s)|⇒|=>|\\Rightarrow\b|\\implies\b)\s*",
    re.IGNORECASE | re.DOTALL,
)
_IF_ALONE = re.compile(r"\s*(?:if|when)\s+", re.IGNORECASE)
_TWO_STATEMENTS = re.compile(r"(.*?[=<>≈≪≫]+\s*\S.*?)\s+(\S+\s*[=<>≈].*)", re.DOTALL)
_FIGURES = re.compile(
    r"(?:[\s,]+|\s*[(\[]\s*)(?:correct\s+)?(?:to\s+)?\d\s*(?:s\.?\s*f\.?|d\.?\s*p\.?|sig\.?\s*figs?\.?|significant figures|decimal places)\s*[)\]]?\s*$",
    re.IGNORECASE,
)
_IF_LATER = re.compile(r"\s*,?\s*\b(?:if|when|for|as)\s+(?=[^\s=<>≤≥≈≠≪≫+*/^)\-])", re.IGNORECASE)
_ARROW = re.compile(
    r"(,?\s+(?:and\s+)?(?:so|therefore|hence|thus|implies|gives|giving)\b,?(?=\s)|[,;]?\s*(?:∴|\\therefore\b)|⇒|=>|\\Rightarrow\b|\\implies\b)|->|→|\\to\b|\\rightarrow\b",
    re.IGNORECASE,
)
_RELATION = re.compile(r"[=<>≤≥≈≠≪≫~→]|->|\\(?:ll|gg|le|ge|leq|geq|ne|approx|lt|gt|to)\b")
_HEADING = re.compile(r"\s*([^=<>:≈⇒→]{1,40}):\s*(?=\S)")
_NET = re.compile(
    r"""\s*(?:(?:Σ|∑|\\sum\b|\\Sigma\b|sum(?:\ of)?(?:\ the)?)\s*(?:forces|torques|(?:\\?tau|[FTMτ])(?:_?\{?\w+\}?)?)
    |(?:F|\\?tau|τ)_?\{?(?:net|res|resultant|total)\}?|(?:net|resultant|total)\ (?:force|torque))\s*=\s*(?=[^=]+=)""",
    re.IGNORECASE | re.VERBOSE,
)


def frames(text: str) -> list[Frame]:
    """How the text may be divided, likeliest first; more than one where a trailing (2) may be a factor."""
    end = _cut(text, 0, len(text))
    label, start = _leading_label(text, end)
    others: list[Frame] = []
    start = _lead(text, start, end)
    note = ""
    remarks: list[str] = []
    tail = _TAIL_LABEL.search(text, start, end) if text[end - 1 : end] in _LABEL_ENDS else None
    if tail and text[start : tail.start()].rstrip(" .…,")[-1:] not in _NO_OPERAND:
        if text[tail.start() - 1].isdigit() and text[tail.start() : tail.start() + 2] in (" (", " ["):
            others.append(Frame(start, end, None, label, "", ()))  # T = 6.5 (2) may be a product
        label, end = _label(tail), _cut(text, start, tail.start())
    if ":" in text:
        start, remarks = _heading(text, start, end)
    net = _NET.match(text, start, end)  # ΣF = T - W_1 = m_1 a
    if net:
        start = net.end()
    last = text[end - 1 : end]
    if last.isalpha() or last in _NOTE_ENDS:
        note, end, remarks = _note(text, start, end, remarks)
    start, end, condition = _condition(text, start, end)
    return [Frame(start, end, condition, label, note, tuple(remarks)), *others]


_NO_OPERAND = frozenset(("", *"=+-*/^<>≤≥≈≠≪≫(["))
_CIRCLED = "①②③④⑤⑥⑦⑧⑨⑩⑪⑫⑬⑭⑮⑯⑰⑱⑲⑳"
_LABEL_ENDS = frozenset(")]" + _CIRCLED)
_NOTE_ENDS = frozenset(")]↑↓←→")


def _label(found: re.Match[str]) -> str:
    text = next(g for g in found.groups() if g)
    return str(_CIRCLED.index(text) + 1) if text in _CIRCLED else text


def _leading_label(text: str, end: int) -> tuple[str, int]:
    """(1) T - 63.7 = 6.5a"""
    found = _LEAD_LABEL.match(text, 0, end)
    if found and _RELATION.search(text, found.end(), end):
        return _label(found), found.end()
    return "", len(text) - len(text.lstrip())


def _cut(text: str, start: int, end: int) -> int:
    """The end without trailing stops and white space."""
    if text[end - 1 : end] not in _TAIL_SIGNS:
        return end
    found = _TAIL.search(text, start, end)
    return found.start() if found else end


def _lead(text: str, start: int, end: int) -> int:
    while True:
        found = _LEAD.match(text, start, end)
        if not found or found.end() == start:
            return start
        start = found.end()


def _note(text: str, start: int, end: int, remarks: list[str]) -> tuple[str, int, list[str]]:
    """T = 74 N (up), and other remarks in parentheses at the end."""
    said_to = _FIGURES.search(text, start, end)  # (3 s.f.)
    if said_to and said_to.start() > start:
        end = _cut(text, start, said_to.start())
    found = _TAIL_NOTE.search(text, start, end)
    if found and found.start() > start:
        note = next(g for g in found.groups() if g)
        return note.strip().lower(), _cut(text, start, found.start()), remarks
    found = _TAIL_REMARK.search(text, start, end)
    before = text[start : found.start()].rstrip()[-1:] if found else ""
    if found and before not in _NO_OPERAND and not all(w in GREEK or len(w) < 3 for w in found.group(1).split()) and len(found.group(1).replace(" ", "")) > 3:
        said = f"“({found.group(1)})” was taken as a remark."
        return found.group(1), _cut(text, start, found.start()), [*remarks, said]
    return "", end, remarks


def _heading(text: str, start: int, end: int) -> tuple[int, list[str]]:
    """sack: T - W_1 = m_1 a"""
    found = _HEADING.match(text, start, end)
    if found and not _IF_ALONE.match(text, start, end) and _RELATION.search(text, found.end(), end):
        return _lead(text, found.end(), end), [f"“{found.group(1).strip()}:” was taken as a heading."]
    return start, []


def _condition(text: str, start: int, end: int) -> tuple[int, int, Place | None]:
    """if m_1 = m_2: a = 0; m_1 = m_2 => a = 0; m_1 << m_2: a = g; a = 0 if m_1 = m_2."""
    found = _IF.match(text, start, end)
    if found:
        rest = _lead(text, found.end(), end)
        if not text[rest:end].strip():
            raise complain("statement", found.span(1))
        return rest, end, found.span(1)
    alone = _IF_ALONE.match(text, start, end)
    if alone:
        start = alone.end()
        loose = None if _steps(text, start, end) else _TWO_STATEMENTS.match(text, start, end)
        if loose:
            return loose.start(2), end, loose.span(1)
    steps = _steps(text, start, end)
    if alone and not steps:
        raise complain("statement", (alone.end(), end))
    if steps:
        if len(steps) > 1:
            raise complain("two-arrows", steps[1])
        if not text[steps[0][1] : end].strip():
            raise complain("statement", (start, _cut(text, start, steps[0][0])))
        return steps[0][1], end, (start, steps[0][0])
    colon = text.find(":", start, end)
    if colon > 0 and _RELATION.search(text, start, colon) and _RELATION.search(text, colon, end):
        return colon + 1, end, (start, colon)
    later = _IF_LATER.search(text, start, end)
    if later and later.start() > start:
        return start, later.start(), (later.end(), end)
    return start, end, None


def _steps(text: str, start: int, end: int) -> list[Place]:
    """Places of the arrows that mean "so"; m_1 -> 0, with no relation before its arrow, is a limit."""
    out: list[Place] = []
    since = start
    for arrow in _ARROW.finditer(text, start, end):
        since = max(since, *(text.rfind(c, since, arrow.start()) + 1 for c in ",:"))
        if arrow.group(1) or _RELATION.search(text, since, arrow.start()):
            out.append(arrow.span())
            since = arrow.end()
    return out
