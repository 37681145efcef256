"""Sentences: the table of slips filled in with this student's force, body and chosen direction."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..mechanics.setup import Setup
from ..scene.model import OPPOSITE
from .pieces import INERTIA, say_force, say_thing
from .slips import SLIPS, UNNAMED
from .verdicts import Slip


class _Words(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return "it"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def slip(
    kind: str, words: Mapping[str, str], at: tuple[int, int] | None = None, term: str | None = None, extra: str = ""
) -> Slip:
    """A slip of this kind, said in this student's terms: where and why first, then the principle, then what to do."""
    entry = SLIPS[kind]
    fields = _Words(words)
    for key in ("force", "wrote"):
        if key in words:
            fields[_capital(key)] = _capital(words[key])
    says = _capital(entry.says.format_map(fields).strip())
    return Slip(
        kind, f"{says} {extra}".strip(), at, term, entry.why.format_map(fields), _capital(entry.how.format_map(fields))
    )


def either(first: Slip, rival: str) -> Slip:
    """A slip told together with another kind that explains the line as well."""
    return replace(first, says=f"Either this: {first.says} Or you {SLIPS[rival].means}.")


def unnamed(says: str, at: tuple[int, int] | None = None) -> Slip:
    """A line that is wrong in a way that no single explanation fits."""
    return Slip(
        UNNAMED,
        says,
        at,
        None,
        "No single slip explains this line, so none is guessed at.",
        "Build it again from your diagram: one term for each arrow, then the sign of each, then mass times acceleration.",
    )


IN_A_LINE = {
    "lacks": "your line has no term",
    "along": " along its line",
    "needs": "Newton's second law needs the sum of all the forces on the body along its line.",
    "gather": "Go round your diagram of the {body} and write one term for each arrow along its line.",
}
IN_A_DIAGRAM = {
    "lacks": "your diagram has no arrow",
    "along": "",
    "needs": "A force diagram shows every force on the body, across its line of motion too: those across it give the normal force.",
    "gather": "Ask what touches the {body}, what pulls it and what attracts it, and draw one arrow for each.",
}


def force_words(setup: Setup, thing: str, symbol: str | None) -> dict[str, str]:
    """The words of a message about one force on one thing."""
    plus = setup.positive.get(thing, "")
    words = {"body": say_thing(thing), "plus": plus, "chose": f"You chose {plus} as plus for the {say_thing(thing)}. "}
    inertia = next((str_inertia(setup, t) for t in (thing,) if t in setup.equations), "m a")
    words["inertia"] = inertia
    words["force"] = f"the term {inertia}" if symbol == INERTIA else say_force(setup, symbol) if symbol else "one term"
    words.update(IN_A_LINE)
    words["gather"] = words["gather"].format(body=words["body"])
    known = setup.scene.symbols.get(symbol or "")
    rubs = known is not None and known.kind == "friction"
    words["weighs"] = f"{words['force']} {'is a coefficient times a force, N' if rubs else 'is a force, mass times g'}"
    words["counted"] = f"{words['force']} enters once for each of them"
    if symbol and thing in setup.equations:
        for t in setup.equations[thing].terms:
            if t.symbol == symbol:
                along = plus if t.sign > 0 else OPPOSITE[plus]
                words["acts"] = t.direction if t.direction in (plus, OPPOSITE[plus]) else along
                words["way"] = "turning" if t.kind == "drag" else "sliding"
                words["enters"] = "a plus" if t.sign > 0 else "a minus"
    return words


def across_words(setup: Setup, thing: str, symbol: str) -> dict[str, str]:
    """The words of a message about one force in the balance across a body's line, which gives its normal force."""
    balance = setup.balances[thing]
    sign, size = next((sign, size) for name, _, sign, size in balance.terms if name == symbol)
    tilted = any("(" in s for s in size.symbols)
    return {
        "force": say_force(setup, symbol) + (" has a part across the surface, which" if tilted else ""),
        "chose": f"{balance.symbol} balances what acts across the surface. ",
        "acts": "away from the surface" if sign > 0 else "into the surface",
        "enters": f"{'a minus' if sign > 0 else 'a plus'} in {balance.symbol}",
        "lacks": f"your {balance.symbol} has no term",
        "gather": f"Go round your diagram of the {say_thing(thing)} and write the part of each arrow across the surface.",
    }


def str_inertia(setup: Setup, thing: str) -> str:
    """m_1 a_1 or I alpha, as the equation has it."""
    poly = setup.equations[thing].inertia
    for monomial in poly.terms:
        names = [s for s, _ in monomial]
        names.sort(key=lambda s: s.startswith(("a", "alpha")))
        return " ".join(names)
    return "m a"
