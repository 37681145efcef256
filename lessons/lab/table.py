"""A table of measurements from CSV text, whatever the country and the program that wrote it: pure.

Read are commas, semicolons, tabs and upright strokes between the cells, decimal points and decimal commas, units in the headings, in a
line below them or in the cells, a title above the headings, headings that come again, empty lines and lines that begin with #. What
can't be read is told with the number of the line and the line itself.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ...autograde.printable import printable
from .errors import LabError

UNITS: dict[str, dict[str, float]] = {
    "mass": {"kg": 1.0, "g": 1e-3, "mg": 1e-6},
    "length": {"m": 1.0, "cm": 1e-2, "mm": 1e-3},
    "time": {"s": 1.0, "ms": 1e-3, "µs": 1e-6, "us": 1e-6},
}
_WORDS = {"kilogram": "kg", "kilograms": "kg", "gram": "g", "grams": "g", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "second": "s",
          "seconds": "s", "sec": "s", "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm", "milliseconds": "ms"}  # fmt: skip
_HEADING = re.compile(r"^\s*(?P<name>.*?)\s*(?:\(\s*(?P<round>[^()]*)\s*\)|\[\s*(?P<square>[^\[\]]*)\s*\]|/\s*(?P<slash>[a-zA-Z]+)|\bin\s+(?P<word>[a-zA-Z]+))?\s*$")
_WITH_UNIT = re.compile(r"(?P<number>[^A-Za-zµ]+?)\s*(?P<unit>[A-Za-zµ]{1,3})")
_SEPARATORS = ";\t|,"
_MOST_ABOVE = 40  # lines of title above the headings
_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?")


@dataclass(frozen=True)
class Wanted:
    """A column. kind: mass, length, time. names: headings that mean it, in small letters without blanks and underscores.
    several: more columns of the kind may follow, numbered (t1, t2, …), and their cells may be empty."""

    kind: str
    names: tuple[str, ...]
    several: bool = False


@dataclass(frozen=True)
class Table:
    """rows: for each line {column: values in SI units}, one value except where a column comes several times. remarks: what was assumed."""

    rows: tuple[Mapping[str, tuple[float, ...]], ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Line:
    number: int
    text: str
    cells: list[str]


@dataclass(frozen=True)
class _Column:
    place: int
    key: str
    heading: str
    kind: str
    factor: float
    optional: bool


def read_table(text: str, wanted: Mapping[str, Wanted], name: str) -> Table:
    """The wanted columns of a CSV text. LabError, which shows the first bad line, where they can't be had."""
    remarks: list[str] = []
    separator, lines = _lines(text, wanted, name, remarks)
    if not lines:
        raise LabError(f"{name}: it is empty; expected a line of headings ({_example(wanted)}) and a line for each measurement")
    units = _units_below(lines)
    columns = _columns(lines[0], units, wanted, name, remarks)
    below = [line for line in lines[2 if units else 1 :] if line.cells != lines[0].cells]
    rows = [_row(line, lines[0], columns, separator, name) for line in below]
    if not rows:
        raise LabError(f"{name}: there are headings, but no measurements below them")
    return Table(tuple(rows), tuple(remarks))


def _lines(text: str, wanted: Mapping[str, Wanted], name: str, remarks: list[str]) -> tuple[str, list[_Line]]:
    """The separator, and the lines from the headings on that hold something, cut into cells."""
    kept = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip(" \t;,|") and not line.lstrip().startswith("#")]
    if kept and re.fullmatch(r"sep=.?", kept[0][1].strip()):  # a spreadsheet's own first line
        kept = kept[1:]
    if not kept:
        return ",", []
    heads = (n for n, (_, line) in enumerate(kept[:_MOST_ABOVE]) if _has_all(line, wanted))
    start = next(heads, 0)
    if start:
        remarks.append(f"passed over above the headings: {_shown(' / '.join(line for _, line in kept[:start]))}")
    kept = kept[start:]
    separator = _separator(kept[0][1])
    lines = []
    for number, line in kept:
        try:
            cells = next(csv.reader(io.StringIO(line), delimiter=separator, strict=True))
        except csv.Error as error:
            why = "a quote is opened here and not closed in the same line" if line.count('"') % 2 else str(error)
            raise LabError(f"{name}, line {number}: {why}. The line is: {_shown(line)}") from None
        while cells and not cells[-1].strip():
            cells.pop()
        lines.append(_Line(number, line, [cell.strip() for cell in cells]))
    return separator, lines


def _separator(line: str) -> str:
    """What stands between the cells of a line of headings."""
    return next((s for s in _SEPARATORS if s in line), ",")


def _has_all(line: str, wanted: Mapping[str, Wanted]) -> bool:
    """Whether a line has a heading for each wanted column."""
    labels = [_plain(found["name"]) for cell in line.split(_separator(line)) if (found := _HEADING.match(cell.strip(' "')))]
    return all(any(_means(label, w) for label in labels) for w in wanted.values())


def _units_below(lines: Sequence[_Line]) -> list[str]:
    """The units that stand in a line of their own below the headings; [] where that line holds something else."""
    cells = [cell.strip("()[] ") for cell in lines[1].cells] if len(lines) > 1 else []
    known = {*_WORDS, *(unit for units in UNITS.values() for unit in units)}
    return cells if any(cells) and all(cell in known or cell.lower() in known or not cell for cell in cells) else []


def _columns(head: _Line, units: Sequence[str], wanted: Mapping[str, Wanted], name: str, remarks: list[str]) -> list[_Column]:
    if all(_as_number(cell, ",") is not None or _as_number(cell, ";") is not None for cell in head.cells):
        raise LabError(f"{name}, line {head.number}: expected headings ({_example(wanted)}), found numbers. The line is: {_shown(head.text)}")
    found: list[_Column] = []
    passed: list[str] = []
    for place, heading in enumerate(head.cells):
        parts = _HEADING.match(heading)
        label = _plain(parts["name"] if parts else heading)
        key = next((k for k, w in wanted.items() if _means(label, w)), None)
        if key is None or (not wanted[key].several and any(c.key == key for c in found)):
            passed.append(heading)
            continue
        unit = (parts and next((u for u in (parts["round"], parts["square"], parts["slash"], parts["word"]) if u), "")) or ""
        unit = unit or (units[place] if place < len(units) else "")
        found.append(_Column(place, key, heading, wanted[key].kind, _factor(unit, wanted[key].kind, heading, head, name, remarks), wanted[key].several and any(c.key == key for c in found)))
    missing = [k for k in wanted if not any(c.key == k for c in found)]
    if missing:
        raise LabError(
            f"{name}, line {head.number}: there is no column {' and no column '.join(missing)}; expected headings like {_example(wanted)}. "
            f"The line is: {_shown(head.text)}"
        )
    if passed:
        remarks.append(f"not used: {', '.join(h or '(no heading)' for h in passed)}")
    return found


def _factor(unit: str, kind: str, heading: str, head: _Line, name: str, remarks: list[str]) -> float:
    known = UNITS[kind]
    plain = unit.strip().rstrip(".").replace("\u03bc", "\u00b5")  # two characters look like a micro sign
    plain = _WORDS.get(plain.lower(), plain)
    if plain not in known and plain.isupper() and plain != "MG":
        plain = plain.lower() if plain.lower() in known else plain
    if not plain:
        remarks.append(f"{heading}: no unit given, taken as {next(iter(known))}")
        return 1.0
    if plain in known:
        return known[plain]
    raise LabError(f"{name}, line {head.number}: {heading}: {plain!r:.20} is no unit of {kind} that is read here; {', '.join(known)} would do. The line is: {_shown(head.text)}")


def _row(line: _Line, head: _Line, columns: Sequence[_Column], separator: str, name: str) -> dict[str, tuple[float, ...]]:
    where = f"{name}, line {line.number}"
    if len(line.cells) > len(head.cells):
        hint = "; with decimal commas the cells must be kept apart by semicolons" if separator == "," else ""
        raise LabError(f"{where}: {len(line.cells)} cells under {len(head.cells)} headings{hint}. The line is: {_shown(line.text)}")
    out: dict[str, tuple[float, ...]] = {}
    for column in columns:
        cell = line.cells[column.place] if column.place < len(line.cells) else ""
        if not cell and column.optional:
            continue
        value, factor = _as_number(cell, separator), column.factor
        if value is None and (parts := _WITH_UNIT.fullmatch(cell)) and parts["unit"] in UNITS[column.kind]:
            value, factor = _as_number(parts["number"], separator), UNITS[column.kind][parts["unit"]]
        if value is None:
            found = f"found {cell!r:.30}" if cell else "found nothing"
            raise LabError(f"{where}: {column.heading}: {found}; a number would do. The line is: {_shown(line.text)}")
        out[column.key] = (*out.get(column.key, ()), value * factor)
    return out


def _as_number(cell: str, separator: str) -> float | None:
    """A number with a decimal point or a decimal comma; None for anything else, infinite ones too. Within a quoted cell a comma is a
    decimal one even where commas stand between the cells."""
    text = cell.replace("\u2212", "-").replace("\u00a0", "").replace("\u202f", "").replace(" ", "")
    if text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    if not _NUMBER.fullmatch(text):
        return None
    value = float(text)
    return value if math.isfinite(value) else None


def _means(label: str, wanted: Wanted) -> bool:
    return label in wanted.names or (wanted.several and re.sub(r"\d+$", "", label) in wanted.names)


def _plain(heading: str) -> str:
    return re.sub(r"[\s_.\-]", "", heading).lower().translate(str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789"))


def _example(wanted: Mapping[str, Wanted]) -> str:
    return "; ".join(f"{key} ({next(iter(UNITS[w.kind]))})" for key, w in wanted.items())


def _shown(line: str) -> str:
    shown = printable(line, " ")
    return shown if len(shown) <= 90 else shown[:87] + "..."
