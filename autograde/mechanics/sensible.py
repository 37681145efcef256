"""Other numbers that a datum might as well have had: as large, as many figures, such as a school lab has.

Common practice, no source: 0.6 to 1.6 times the number that the author chose, in steps that the author might have
chosen too.
"""

from __future__ import annotations

from fractions import Fraction

from ..scene.model import Quantity, Scene, Symbol

LOW, HIGH = Fraction(6, 10), Fraction(16, 10)
STEEPEST, FLATTEST = 60, 5

# Sorts that several kinds belong to. Equal data of one sort stay equal (one snow, one kind of cart).
_SORTS = {"wheel_mass": "mass", "strand_radius": "radius"}
_FIXED = ("gravity",)


def groups(scene: Scene) -> list[tuple[str, ...]]:
    """The data that vary, those that stay equal together; in the order of the scene's symbols."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for name, symbol in scene.symbols.items():
        if symbol.given is None or symbol.kind in _FIXED or symbol.given.value == 0:
            continue
        found.setdefault((sort_of(symbol.kind), symbol.given.text, symbol.given.unit), []).append(name)
    for body in scene.bodies.values():
        if body.starts is not None and body.starts[1].value:
            speed = body.starts[1]
            found.setdefault(("starts", speed.text, speed.unit), []).append(f"starts {body.name}")
    return [tuple(names) for names in found.values()]


def sort_of(kind: str) -> str:
    """The sort of a kind of symbol: a wheel's mass is a mass."""
    return _SORTS.get(kind, kind)


def datum(scene: Scene, name: str) -> tuple[str, Quantity]:
    """The kind and the quantity of a datum that `groups` names."""
    if name.startswith("starts "):
        start = scene.bodies[name.removeprefix("starts ")].starts
        assert start is not None
        return "starts", start[1]
    symbol: Symbol = scene.symbols[name]
    assert symbol.given is not None
    return symbol.kind, symbol.given


def choices(kind: str, quantity: Quantity) -> tuple[str, ...]:
    """The texts with unit that a datum may have, its own among them."""
    value = Fraction(quantity.text)
    if "e" in quantity.text:  # figures of powers of ten are left as they are
        return (_with_unit(quantity.text, quantity.unit),)
    if kind in ("mu_k", "mu_s"):
        texts = _coefficients(value, quantity.text)
    else:
        step = _step(kind, quantity.text)
        places = len(quantity.text.partition(".")[2])
        size = abs(value)
        low, high = -(-size * LOW // step), size * HIGH // step
        if kind in ("angle", "force_angle"):
            low, high = max(low, -(-FLATTEST // step)), min(high, STEEPEST // step)
        sign = "-" if value < 0 else ""
        numbers = {i * step for i in range(int(low), int(high) + 1)} | {size}
        figures = (_figures(quantity.text),) if len(quantity.text) > 1 else (1, 2)  # 9 kg may become 12 kg
        texts = [sign + t for t in (_decimal(n, places) for n in sorted(numbers)) if _figures(t) in figures]
        texts = texts if quantity.text in texts else [*texts, quantity.text]
    return tuple(_with_unit(t, quantity.unit) for t in texts)


def _with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}".strip()


def _figures(text: str) -> int:
    return len(text.lstrip("-").replace(".", "").lstrip("0"))


def _step(kind: str, text: str) -> Fraction:
    """The spacing of numbers like this one: 5 in its last place for 1.20, 480 or 35 degrees, 2 for 1.64, else 1."""
    last = Fraction(1, 10 ** len(text.partition(".")[2]))
    digit = text[-1]
    if kind in ("angle", "force_angle"):
        return last * 5 if digit in "05" else last
    if _figures(text) < 3:
        return last
    return last * (5 if digit in "05" else 2 if digit in "2468" else 1)


def _coefficients(value: Fraction, text: str) -> list[str]:
    """Two decimals at most, in steps of 0.05 where the number allows it."""
    step = Fraction(5, 100) if value >= Fraction(1, 10) else Fraction(1, 100)
    low, high = -(-value * LOW // step), value * HIGH // step
    numbers = {i * step for i in range(max(1, int(low)), int(high) + 1)}
    places = 2 if len(text) > 3 else 1
    written = {_decimal(n, places if (n * 10**places).denominator == 1 else 2) for n in numbers}
    return sorted(written | {text}, key=Fraction)


def _decimal(number: Fraction, places: int) -> str:
    scaled = number * 10**places
    digits = str(int(scaled)).rjust(places + 1, "0")
    return digits if places == 0 else f"{digits[:-places]}.{digits[-places:]}"
