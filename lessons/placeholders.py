"""Numbers in a lesson's text: none is typed, each is filled in from the scene or from its solution.

    {data.m_1}      a datum as the scene file has it: 12.0 kg           {given}         all of them, as the steps show them
    {result.T}      a result, rounded to three figures: 131 N           {way.stone}     which way a thing goes: down
    {line.stone}    a thing's equation, in letters                      {numbers.stone} the same with numbers
    {tie.1}         the first relation between the accelerations        {asked}         what is to be found

Results and lines hold for the positive directions along the motion. With a scene's name and a colon in front a placeholder is about
that scene: {feed-sack:result.a}. A name without a dot that is none of these, such as {thing}, is left as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from ..autograde.errors import PluswayError
from ..autograde.mechanics.agreeing import agreeing_directions
from ..autograde.mechanics.wording import rounded
from ..autograde.mechanics.worked import Worked, solution_json, unit_of, work
from ..autograde.reading.greek import GREEK
from ..autograde.scene.given import given
from ..autograde.scene.model import Scene
from ..autograde.scene.notation import class_letter
from ..autograde.scene.words import DIRECTION_LABELS
from . import catalogue

_PLACE = re.compile(r"\{(?:(?P<scene>[a-z0-9-]+):)?(?P<what>[a-z]+)(?:\.(?P<name>[A-Za-z0-9_ ]+))?\}")
_SYMBOL = re.compile(r"\b(?:[A-Za-z]+|[α-ω])_[A-Za-z0-9]{1,3}(?:_[0-9])?\b|\b(?:alpha|theta|phi)\b")
_LOWERED = str.maketrans("0123456789ks", "₀₁₂₃₄₅₆₇₈₉ₖₛ", "_")
_CODE = re.compile(r"(`[^`\n]*`)")
_NARROW = 24  # characters of code, marks included, that fit between both side bars at 320 CSS pixels


class PlaceholderError(PluswayError):
    """A placeholder that nothing can be put in for: what was found, what would do."""


def filled(text: str, scene: Scene) -> str:
    """`text` with its placeholders filled in; symbols outside code are written with lowered indices: T₁. Raises PlaceholderError."""

    def fill(found: re.Match[str]) -> str:
        about = catalogue.find(found["scene"]) if found["scene"] else scene
        if found["name"] is None:
            return whole[found["what"]](about) if found["what"] in whole else found[0]
        if found["what"] not in _NAMED:
            raise PlaceholderError(f"{found[0]}: there is no {found['what']!r}; there are {', '.join([*_NAMED, *whole])}")
        try:
            return _NAMED[found["what"]](about, found["name"])
        except KeyError:
            raise PlaceholderError(f"{found[0]}: the scene {about.name} has no {found['what']} {found['name']!r}") from None

    whole: dict[str, Callable[[Scene], str]] = {"given": given, "asked": lambda s: ", ".join(class_letter(s, name) for name in s.asked)}
    parts = _CODE.split(_PLACE.sub(fill, text))
    return "".join(_unbroken(part) if place % 2 else _SYMBOL.sub(lambda m: pretty(m[0]), part) for place, part in enumerate(parts))


def _unbroken(code: str) -> str:
    """A formula that fits on a narrow page stays on one line: `m g sin(theta)`. Lines break at spaces, and behind a hyphen or a slash whatever
    follows. Copied from there it reads as any other, for the reader counts all of these as spaces."""
    if len(code) > _NARROW:
        return code
    return re.sub(r"([-/])", "\\1\N{WORD JOINER}", code).replace(" ", "\N{NO-BREAK SPACE}")


def task(scene: Scene, given: bool = True, find: bool = True) -> list[str]:
    """What is `given` and what to `find`: the lines of Markdown below a problem's story."""
    return [filled(line, scene) for line in ["**Given:** {given}."] * given + ["**Find:** {asked}."] * find]


def pretty(symbol: str) -> str:
    """A symbol in running text: "mu_k" -> "μₖ", "T_1" -> "T₁"; "F_f1" as it is, for there is no lowered f."""
    stem, _, index = symbol.partition("_")
    lowered = index.translate(_LOWERED)
    return GREEK.get(stem, stem) + (f"_{index}" if re.search("[A-Za-z]", lowered) else lowered)


def pretty_unit(unit: str) -> str:
    """ "m/s^2" -> "m/s²"."""
    return unit.replace("^2", "²")


@lru_cache(maxsize=128)
def _solved(key: _Key) -> Worked:
    return work(key.scene, agreeing_directions(key.scene))


class _Key:
    """Scenes hold dicts, so they are remembered by their digest."""

    def __init__(self, scene: Scene) -> None:
        self.scene, self._id = scene, (scene.name, scene.digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and other._id == self._id

    def __hash__(self) -> int:
        return hash(self._id)


def _data(scene: Scene, name: str) -> str:
    quantity = scene.symbols[name].given
    if quantity is None:
        raise KeyError(name)
    number = quantity.text.replace("-", "\N{MINUS SIGN}")
    return f"{number}°" if quantity.unit == "deg" else f"{number} {pretty_unit(quantity.unit)}".strip()


def _result(scene: Scene, name: str) -> str:
    unit = pretty_unit(unit_of(scene, name))
    number = rounded(_solved(_Key(scene)).setup.values[name]).replace("-", "\N{MINUS SIGN}")
    return number if unit in ("", "1") else f"{number} {unit}"


def _way(scene: Scene, name: str) -> str:
    word = _solved(_Key(scene)).setup.regime.direction[name]
    return DIRECTION_LABELS[word] if word else "at rest"


def _line(scene: Scene, name: str) -> str:
    return str(solution_json(scene, agreeing_directions(scene))["equations"][name])


def _numbers(scene: Scene, name: str) -> str:
    lines = {line.thing: line.text for step in _solved(_Key(scene)).steps if step.step == "numbers" for line in step.lines}
    return lines[name]


def _tie(scene: Scene, name: str) -> str:
    ties = solution_json(scene, agreeing_directions(scene))["ties"]
    if not name.isdigit() or not 1 <= int(name) <= len(ties):
        raise KeyError(name)
    return str(ties[int(name) - 1])


_NAMED: dict[str, Callable[[Scene, str], str]] = {"data": _data, "result": _result, "way": _way, "line": _line, "numbers": _numbers, "tie": _tie}
