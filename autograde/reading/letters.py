"""Names and numbers taken apart for printing."""

from __future__ import annotations

from .greek import GREEK
from .tree import Name
from .vocabulary import parts_of

_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_BARE = str.maketrans(dict.fromkeys("\\{}, "))


def as_meant(node: Name) -> tuple[str, str, tuple[str, ...]]:
    """A symbol as it is printed, taken apart as below: by its name in the scene, so that m1 is m with a 1 below it, but with the letter
    that the student's class writes where that is another one: R_1 for a normal force, F_f for a friction."""
    named, typed = parts_of(node.name), parts_of(_plain(node.text))
    other = len(typed[0]) == len(named[0]) == 1 and typed[0].isalpha() and typed[0].casefold() != named[0].casefold()
    cased = typed[0] != named[0] and typed[0].casefold() == named[0].casefold() and typed[1:] not in ((), named[1:])
    return letter_and_subscript("_".join(typed) if other or cased else node.name)


def _plain(text: str) -> str:
    """A letter as typed without what only sets it: F_{g,1}, m₁."""
    return text.translate(_SUBSCRIPTS).translate(_BARE)


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
