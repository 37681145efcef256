"""Answers as the contract has them, sifted out of JSON of any shape: a student's notebook is not to be trusted.

Steps and the values they take:

    directions  {thing: direction word}        forces     {thing: [[symbol, direction word], …]}
    equations   {thing: line}                  ties, working, sense   [line, …]
    results     {symbol: value with unit}
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..method import LISTS, STEPS
from ..printable import printable

FOUND = "found"
"""Not an answer, and never marked: what somebody did to find a slip, as [line, kind, mended line]; the item names the exercise."""

LONGEST_TEXT = 10_000  # characters; a longer text is cut to CUT and then fails in the reader, whose limit is far below
CUT = 1_000
MOST_ITEMS = 200
LONGEST_NAME = 100

MOST_REMARKS = 1_000  # on one notebook; a file can give cause for millions

Answers = dict[str, Any]


class Remarks(list[str]):
    """What could not be used, one line each; beyond MOST_REMARKS they are only counted, in `more`."""

    more = 0

    def append(self, remark: str) -> None:
        if len(self) < MOST_REMARKS:
            super().append(remark)
        else:
            self.more += 1

    def take(self, others: list[str], where: str = "") -> None:
        """Take in other remarks, with the place that they are about."""
        for remark in others:
            self.append(f"{where}: {remark}" if where else remark)
        self.more += getattr(others, "more", 0)

    def told(self, most: int) -> tuple[str, ...]:
        """The first `most` different ones, for one answer stands in several records of a notebook; and how many more there are."""
        different = list(dict.fromkeys(self))
        left = len(different) - most + self.more
        return (*different[:most], *([f"and {left} more remarks of this kind"] if left > 0 else []))


def sift(claimed: object) -> tuple[Answers, Remarks]:
    """The usable part of one problem's answers, and one remark for each part that was not. Never raises."""
    remarks = Remarks()
    if not isinstance(claimed, Mapping):
        remarks.append(f"the answers are {kind_of(claimed)} where a table of steps was expected: not read")
        return {}, remarks
    out: Answers = {}
    for step in STEPS:
        if step not in claimed or claimed[step] is None:
            continue
        value = sift_step(step, claimed[step], remarks)
        if value:
            out[step] = value
    return out, remarks


def sift_step(step: str, value: object, remarks: list[str]) -> Any:
    """The usable part of a whole step (see the table above); adds to `remarks`. Empty where nothing is usable."""
    if step in LISTS or step == FOUND:
        return _lines(step, value, remarks)
    if not isinstance(value, Mapping):
        remarks.append(f"{step}: {kind_of(value)} where a table was expected: not read")
        return {}
    if len(value) > MOST_ITEMS:
        remarks.append(f"{step}: {len(value)} entries; only the first {MOST_ITEMS} were read")
    out: dict[str, Any] = {}
    for name, item in list(value.items())[:MOST_ITEMS]:
        where = f"{step}, {tidy(name, 40)}"
        if not isinstance(name, str) or len(name) > LONGEST_NAME:
            remarks.append(f"{where}: not a name: not read")
            continue
        kept = _kept(step, where, item, remarks)
        if kept:
            out[clean_text(name)] = kept
    return out


def sift_item(step: str, item: str | None, value: object, remarks: list[str]) -> Any:
    """The usable part of what one widget committed: a thing's part where `item` names it, else the whole step."""
    if item is None or step in LISTS or step == FOUND:
        return sift_step(step, value, remarks)
    return _kept(step, f"{step}, {tidy(item, 40)}", value, remarks)


def text_of(where: str, value: object, remarks: list[str]) -> str:
    """One line of the student's, cut where it is absurdly long; "" (and a remark) where it is not text at all."""
    if value is None:
        return ""
    if not isinstance(value, str):
        remarks.append(f"{where}: {kind_of(value)} where text was expected: not read")
        return ""
    if len(value) > LONGEST_TEXT:
        remarks.append(f"{where}: {len(value)} characters; only the first {CUT} were read")
        value = value[:CUT]
    return clean_text(value)


def clean_text(value: str) -> str:
    """The text without half characters (lone surrogates), which no file can hold."""
    return value if value.isascii() else value.encode("utf-8", "replace").decode("utf-8")


def kind_of(value: object) -> str:
    """What a JSON value is, in words for a teacher."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, int | float):
        return "a bare number"
    if isinstance(value, str):
        return "text"
    return "a list" if isinstance(value, list) else "a table" if isinstance(value, Mapping) else "something else"


def tidy(value: object, longest: int) -> str:
    """A name for use within a one-line remark: no line breaks or control characters, and not long."""
    text = value if isinstance(value, str) else kind_of(value)
    text = printable(clean_text(text[: longest + 1]), "·")
    return text if len(text) <= longest else text[: longest - 1] + "…"


def _kept(step: str, where: str, value: object, remarks: list[str]) -> Any:
    """One named part of a step. A result that is a bare number is read as if it had been typed."""
    if step == "forces":
        return _arrows(where, value, remarks)
    if step == "results" and isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e15:
        return str(value)
    return text_of(where, value, remarks)


def _lines(step: str, value: object, remarks: list[str]) -> list[str]:
    if isinstance(value, str):
        value = value.splitlines()
    if not isinstance(value, list):
        remarks.append(f"{step}: {kind_of(value)} where a list of lines was expected: not read")
        return []
    if len(value) > MOST_ITEMS:
        remarks.append(f"{step}: {len(value)} lines; only the first {MOST_ITEMS} were read")
    # An unusable line stays as an empty one: verdicts count lines by their place.
    lines = [text_of(f"{step}, line {place + 1}", line, remarks) for place, line in enumerate(value[:MOST_ITEMS])]
    return lines if any(lines) else []


def _arrows(where: str, value: object, remarks: list[str]) -> list[list[str]]:
    if not isinstance(value, list):
        remarks.append(f"{where}: {kind_of(value)} where a list of forces was expected: not read")
        return []
    if len(value) > MOST_ITEMS:
        remarks.append(f"{where}: {len(value)} forces; only the first {MOST_ITEMS} were read")
    out: list[list[str]] = []
    for arrow in value[:MOST_ITEMS]:
        if isinstance(arrow, list) and len(arrow) == 2 and all(isinstance(part, str) for part in arrow):
            out.append([text_of(where, part, remarks) for part in arrow])
        else:
            remarks.append(f"{where}: a force that is not a symbol and a direction: not read")
    return out
