"""The numbers that a story (or a title) names: which datum each of them is, and the same words with other data.

One rule for whatever hands out fresh numbers: a number that is surely one datum follows it; one that may be a datum but
can't follow it (no unit, another unit, or two data that look alike) is `unclear`, and no fresh numbers are given; one that
is no datum at all stays and is told as a `stray`. So no student reads one number in the story and another in the data.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from ..scene.model import Quantity, Scene
from ..scene.quantities import UNITS
from .sensible import datum, groups

_METRE = r"met(?:er|re)s?"
# How people write the units of `UNITS`: signs as they are, words in any case.
_WRITTEN = {
    "kg": r"kg|(?i:kilogram(?:me)?s?|kilos?)", "g": r"g|(?i:gram(?:me)?s?)", "mg": r"mg|(?i:milligram(?:me)?s?)",
    "t": r"t|(?i:tonn?es?|tons?)",
    "m": rf"m|(?i:{_METRE})", "cm": rf"cm|(?i:centi{_METRE})", "mm": rf"mm|(?i:milli{_METRE})", "km": rf"km|(?i:kilo{_METRE})",
    "N": r"N|(?i:newtons?)", "kN": r"kN|(?i:kilonewtons?)", "mN": r"mN|(?i:millinewtons?)",
    "N m": rf"N[ ·⋅]?m|(?i:newton[ -]?{_METRE})", "N cm": rf"N[ ·⋅]?cm|(?i:newton[ -]?centi{_METRE})",
    "kN m": r"kN[ ·⋅]?m", "mN m": r"mN[ ·⋅]?m",
    "kg m^2": rf"kg[ ·⋅]?m(?:\^2|²)|(?i:kilogram[ -]{_METRE}[ -]squared)", "g m^2": r"g[ ·⋅]?m(?:\^2|²)",
    "kg cm^2": r"kg[ ·⋅]?cm(?:\^2|²)", "g cm^2": r"g[ ·⋅]?cm(?:\^2|²)",
    "m/s": rf"m/s|m s(?:\^-1|⁻¹)|(?i:{_METRE} (?:per|a) second)", "cm/s": r"cm/s", "mm/s": r"mm/s",
    "km/h": rf"km/hr?|(?i:kilo{_METRE} (?:per|an) hour)",
    "m/s^2": rf"m/s(?:\^2|²|/s)|m s(?:\^-2|⁻²)|(?i:{_METRE} (?:per|a) second (?:squared|(?:per|a|each) second))",
    "cm/s^2": r"cm/s(?:\^2|²)", "mm/s^2": r"mm/s(?:\^2|²)",
    "deg": r"deg|°|º|(?i:degrees?)",
    "%": r"%|(?i:per ?cent)", "": r"s|(?i:seconds?|minutes?|min|hours?)",  # what is surely no datum of a scene
}  # fmt: skip
_KIND_OF = {unit: kind for kind, units in UNITS.items() for unit in units if unit}
_UNIT = "|".join(f"(?P<u{i}>(?:{pattern})(?![\\w^²/]))" for i, pattern in enumerate(_WRITTEN.values()))
_UNITS = tuple(_WRITTEN)
_AFTER = re.compile(rf"(?P<gap>\s*-?\s*)(?:{_UNIT})")
_ALSO = re.compile(r"\s*(?:,\s*and|,|and|or|to|–|-)\s*(?=\S)")

_ONES = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen",
    "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
]  # fmt: skip
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_WORDS = {word: Fraction(n) for n, word in enumerate(_ONES)} | {word: Fraction(10 * n) for n, word in enumerate(_TENS, 2)}
_WORD = rf"(?:(?:{'|'.join(_TENS)})[ -](?:{'|'.join(_ONES[1:10])})|{'|'.join(sorted(_WORDS, key=len, reverse=True))})"
_NUMBER = re.compile(
    r"(?<![\w.^])(?:"
    r"(?P<parts>\d+/\d+)|(?P<figures>\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:[.,]\d+)?|\.\d+)(?P<power>[eE][+-]?\d{1,2}(?!\w))?"
    rf"|(?i:(?P<word>{_WORD})(?P<half>[ -]and[ -]a[ -]half)?\b|(?P<only>half an?)(?=[ -])))"
)


@dataclass(frozen=True)
class Mention:
    """A number in a text. `text` as it stands there with its unit, `span` of the number alone, `data` the groups of
    data (as in `sensible.groups`; the empty tuple for data that never vary) that it may be; `sure` where it can follow."""

    text: str
    span: tuple[int, int]
    data: tuple[tuple[str, ...], ...]
    sure: bool


def unclear(scene: Scene) -> tuple[str, ...]:
    """The numbers of story and title that may be a datum and could not follow it, as they stand there."""
    return _texts(m for m in _all(scene) if any(m.data) and not m.sure)


def told(scene: Scene) -> tuple[str, ...]:
    """The data that story and title say ("25 kg", "30 degrees", "0.30"), as they say them."""
    return _texts(m for m in _all(scene) if any(m.data))


def strays(scene: Scene) -> tuple[str, ...]:
    """The numbers of story and title that are no datum: they stay as they are whatever the data become."""
    return _texts(m for m in _all(scene) if not m.data)


def retold(scene: Scene, new: Mapping[str, str]) -> Scene:
    """The scene with its story and title as they are with these data: {"m_1": "7 kg"}. Its own data stay as they are."""
    return replace(scene, story=_retold(scene, scene.story, new), title=_retold(scene, scene.title, new))


def _retold(scene: Scene, text: str, new: Mapping[str, str]) -> str:
    for m in reversed(mentions(scene, text)):
        if m.sure and m.data[0] and m.data[0][0] in new:
            figures = new[m.data[0][0]].split(" ")[0].lstrip("-")
            figures = figures.replace(".", ",") if scene.decimal_comma else figures
            text = _article(text[: m.span[0]], figures) + figures + text[m.span[1] :]
    return text


def _article(before: str, figures: str) -> str:
    """What stands before a number, with "a" or "an" as the number now asks for: an 8 kg box, a 5 kg box."""
    hit = re.search(r"\b([Aa])n? $", before)
    if hit is None:
        return before
    an = re.match(r"8|(?:11|18)(?!\d)", figures) is not None
    return f"{before[: hit.start()]}{hit[1]}{'n' if an else ''} "


def _all(scene: Scene) -> Iterator[Mention]:
    yield from mentions(scene, scene.story)
    yield from mentions(scene, scene.title)


def _texts(found: Iterator[Mention]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(m.text for m in found))


def mentions(scene: Scene, text: str) -> list[Mention]:
    """Every number of the text, in its order; words such as "two" only where a unit follows."""
    known = [(names, datum(scene, names[0])[1]) for names in groups(scene)]
    varying = {name for names, _ in known for name in names}
    known += [((), s.given) for n, s in scene.symbols.items() if s.given is not None and n not in varying]
    found = []
    for hit in _NUMBER.finditer(text):
        unit, end = _unit_after(text, hit.end())
        if unit is None and hit["figures"] is None and hit["parts"] is None:
            continue
        value = _value(hit, scene.decimal_comma)
        own = end > hit.end()
        may_be = [(names, q) for names, q in known if _may_be(value, unit, q) or (not own and _may_be(value, None, q))]
        data = tuple(dict.fromkeys(names for names, _ in may_be))
        # Without a unit only a coefficient is sure, and only with its decimals: "2" may be two of anything.
        sure = len(data) == 1 and all(q.unit == unit if q.unit else not own and value.denominator > 1 for _, q in may_be)
        found.append(Mention(text[hit.start() : end], hit.span(), data, sure))
    return found


def _unit_after(text: str, at: int) -> tuple[str | None, int]:
    """The unit of a number that ends there, and the end of both; "5 and 7 kg" gives 5 its unit too. None: there is none."""
    start, first = at, True
    while True:
        hit = _AFTER.match(text, at)
        if hit is not None:
            i = next(i for i in range(len(_UNITS)) if hit[f"u{i}"] is not None)
            return _UNITS[i], hit.end() if first else start
        also = _ALSO.match(text, at)
        another = _NUMBER.match(text, also.end()) if also is not None else None
        if another is None:
            return None, start
        at, first = another.end(), False


def _value(hit: re.Match[str], comma: bool) -> Fraction:
    if hit["parts"] is not None:
        above, below = hit["parts"].split("/")
        return Fraction(int(above), int(below) or 1)
    if hit["figures"] is not None:
        figures = hit["figures"]
        thousands = not comma and re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", figures)
        return Fraction(figures.replace(",", "" if thousands else ".") + (hit["power"] or ""))
    if hit["only"] is not None:
        return Fraction(1, 2)
    whole = sum((_WORDS[part] for part in re.split("[ -]", hit["word"].lower())), Fraction(0))
    return whole + (Fraction(1, 2) if hit["half"] else 0)


def _may_be(value: Fraction, unit: str | None, q: Quantity) -> bool:
    """Whether a number with this unit (None: without any) is that datum: the same figures, or as much in another unit."""
    if unit is None:
        return value == abs(Fraction(q.text))
    if unit == "%":
        return not q.unit and value == 100 * abs(q.value)
    if not unit or not q.unit or _KIND_OF.get(q.unit) != _KIND_OF[unit]:
        return False
    return value * UNITS[_KIND_OF[unit]][unit] == abs(q.value)
