"""Names and numbers taken apart for printing."""

from __future__ import annotations

from .greek import GREEK
from .vocabulary import parts_of


def letter_and_subscript(name: str) -> tuple[str, str, tuple[str, ...]]:
    """("mu", "μ", ("k", "1")) of "mu_k1": the spoken letter, the printed letter, the subscripts."""
    head, *subs = parts_of(name)
    return head, GREEK.get(head, head), tuple(subs)


def split_number(text: str) -> tuple[str, str | None]:
    """The figures and the power of ten of a number as typed: "1.2e3", "1.2 x 10^3" -> ("1.2", "3")."""
    low = text.lower().replace("\\times", "x").replace("\\cdot", "x")
    for mark in ("x", "×", "*", "·", "⋅"):
        if mark in low:
            figures, _, power = low.partition(mark)
            power = power.strip().removeprefix("10").strip().lstrip("^*")
            power = power.translate(str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻−", "0123456789--")).strip("{}() ")
            return figures.strip(), power
    if "e" in low:
        figures, _, power = low.partition("e")
        return figures, str(int(power))
    return text, None
