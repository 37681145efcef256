"""Numbers with units as a scene file writes them ("6.5 kg", "9.8 m/s²", "30°") -> exact values in coherent SI units."""

from __future__ import annotations

import re
from fractions import Fraction

from .error import listed, near, shown
from .model import Quantity

# What each quantity may be written in, and its size in the coherent unit; degrees stay degrees.
UNITS: dict[str, dict[str, Fraction]] = {
    "mass": {"kg": Fraction(1), "g": Fraction(1, 1000), "mg": Fraction(1, 10**6), "t": Fraction(1000)},
    "length": {"m": Fraction(1), "cm": Fraction(1, 100), "mm": Fraction(1, 1000), "km": Fraction(1000)},
    "force": {"N": Fraction(1), "kN": Fraction(1000), "mN": Fraction(1, 1000)},
    "torque": {"N m": Fraction(1), "kN m": Fraction(1000), "mN m": Fraction(1, 1000), "N cm": Fraction(1, 100)},
    "inertia": {
        "kg m^2": Fraction(1),
        "g m^2": Fraction(1, 1000),
        "kg cm^2": Fraction(1, 10**4),
        "g cm^2": Fraction(1, 10**7),
    },
    "speed": {"m/s": Fraction(1), "cm/s": Fraction(1, 100), "mm/s": Fraction(1, 1000), "km/h": Fraction(5, 18)},
    "acceleration": {"m/s^2": Fraction(1), "cm/s^2": Fraction(1, 100), "mm/s^2": Fraction(1, 1000)},
    "angle": {"deg": Fraction(1)},
    "coefficient": {"": Fraction(1)},
}

_EXAMPLE = {
    "mass": "6.5 kg", "length": "0.12 m", "force": "40 N", "torque": "0.1 N m", "inertia": "0.03 kg m^2",
    "speed": "2 m/s", "acceleration": "1.5 m/s^2", "angle": "30 deg", "coefficient": "0.3",
}  # fmt: skip

_SPELLINGS = {
    "°": "deg", "degree": "deg", "degrees": "deg", "Nm": "N m", "kNm": "kN m", "kgm^2": "kg m^2",
    "m s^-2": "m/s^2", "m s^-1": "m/s", "m/s/s": "m/s^2", "cm s^-1": "cm/s", "cm s^-2": "cm/s^2", "km/hr": "km/h",
}  # fmt: skip

_TYPOGRAPHY = str.maketrans(
    {
        "²": "^2",
        "⁻": "^-",
        "¹": "1",
        "·": " ",
        "⋅": " ",
        "*": " ",
        "×": " ",
        "−": "-",
        "\u00a0": " ",
        "\u202f": " ",
        "º": "°",
    }
)
_NUMBER = re.compile(r"([+-]?)(\d*\.?\d+)(?:[eE]([+-]?\d+))?(?![\d.])", re.ASCII)

DIGITS = 18
EXPONENT = 30


def parse_quantity(kind: str, written: object, *, decimal_comma: bool = False) -> Quantity:
    """Read "6.5 kg" as a quantity of that kind (a key of `UNITS`).

    `text` keeps the figures as written, with a point for the decimal comma. ValueError says what is wrong.
    """
    example = _EXAMPLE[kind]
    if isinstance(written, bool) or not isinstance(written, (str, int)):
        raise ValueError(f'{shown(written)} is not a quantity; write it like "{example}"')
    try:
        source = str(written)
    except ValueError:
        raise ValueError(f"the number has more than {DIGITS} digits") from None
    if len(source) > 200:
        raise ValueError(f'{shown(source)} is too long for a number with a unit; write it like "{example}"')
    plain = source.translate(_TYPOGRAPHY).replace("^-^", "^-").replace("_", "").strip()
    if "," in plain:
        if not decimal_comma:
            raise ValueError(f"{shown(source)} has a comma; write a decimal point (or set decimal_comma = true)")
        if plain.count(",") > 1 or "." in plain:
            raise ValueError(f"{shown(source)} has more than one decimal mark")
        plain = plain.replace(",", ".")
    if re.match(r"[+-]?(nan|inf)", plain, re.IGNORECASE):
        raise ValueError(f'{shown(source)} is not a finite number; write it like "{example}"')
    hit = _NUMBER.match(plain)
    if not hit:
        raise ValueError(f'{shown(source)} does not start with a number; write it like "{example}"')
    sign, digits, exponent = hit.groups()
    if len(digits) - digits.count(".") > DIGITS:
        raise ValueError(f"{shown(source)} has more than {DIGITS} digits")
    if exponent and (len(exponent) > 3 or abs(int(exponent)) > EXPONENT):
        raise ValueError(f"{shown(source)} has an exponent beyond {EXPONENT}")
    digits = "0" + digits if digits.startswith(".") else digits
    text = ("-" if sign == "-" else "") + digits + (f"e{int(exponent)}" if exponent else "")
    unit = _unit(kind, " ".join(plain[hit.end() :].split()), source)
    return Quantity(Fraction(text) * UNITS[kind][unit], text, unit)


def _unit(kind: str, written: str, source: str) -> str:
    units = UNITS[kind]
    unit = _SPELLINGS.get(written, written)
    unit = re.sub(r" ?/ ?", "/", re.sub(r" ?\^ ?", "^", unit))
    unit = _SPELLINGS.get(unit, unit)
    if unit in units:
        return unit
    if kind == "coefficient":
        raise ValueError(f"{shown(source)}: a coefficient has no unit; write a plain number such as {_EXAMPLE[kind]}")
    if not unit:
        raise ValueError(f'{shown(source)} has no unit; write it like "{_EXAMPLE[kind]}"')
    if kind == "angle" and unit.startswith("rad"):
        raise ValueError(f'{shown(source)} is in radians; angles are written in degrees, like "{_EXAMPLE[kind]}"')
    article = "an" if kind[0] in "aeiou" else "a"
    raise ValueError(
        f"{shown(source)}: '{unit[:30]}' is not a unit of {article} {kind}; use {listed(units)}{near(unit, units)}"
    )


def plain(quantity: Quantity) -> str:
    """The quantity as text that `parse_quantity` reads back: "6.5 kg"."""
    return f"{quantity.text} {quantity.unit}".strip()
