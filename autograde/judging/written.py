"""A whole solution as a sheet of lines, as a student hands it in: equations, ties, working, results, sense checks.

Every law is put in (m g for a weight, mu_k N for sliding friction), so that each equation stands for itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from ..mechanics.checks import sense_step
from ..mechanics.elimination import RIGHT_HAND, Hand
from ..mechanics.setup import Equation, Setup, Tie
from ..mechanics.wording import rounded
from ..mechanics.worked import Page, unit_of
from ..scene.model import Scene
from .pieces import put_laws


@dataclass(frozen=True)
class SheetLine:
    """One line. item: the thing of an equation, the symbol of a result, the place in the list of ties, working or sense."""

    step: str
    item: str | int
    text: str


Sheet = tuple[SheetLine, ...]


def with_laws(setup: Setup) -> Setup:
    """The same setup with every law put into the equations."""
    equations = {
        t: Equation(
            t,
            tuple(replace(x, size=put_laws(setup, x.size)) for x in e.terms),
            put_laws(setup, e.inertia),
        )
        for t, e in setup.equations.items()
    }
    return replace(setup, equations=equations)


def write(setup: Setup, hand: Hand = RIGHT_HAND, results: Mapping[str, str] | None = None) -> Sheet:
    """The sheet of a setup whose equations have their laws put in; () where the lines lead to no value that is asked.

    results: {symbol: text} to write in the place of what comes out.
    """
    page = Page(setup)
    steps, values = page.solving(hand)
    lines = [SheetLine("equations", t, page.letters(e)) for t, e in setup.equations.items()]
    lines += [SheetLine("ties", n, text) for n, text in enumerate(_ties(page))]
    working = [x.text for x in page.numbers().lines] + [x.text for s in steps for x in s.lines]
    lines += [SheetLine("working", n, text) for n, text in enumerate(working)]
    found = [(s, results[s] if results and s in results else _result(setup, values, s)) for s in setup.scene.asked]
    lines += [SheetLine("results", s, text) for s, text in found if text]
    return tuple(lines) if any(text for _, text in found) else ()


def write_sense(setup: Setup) -> Sheet:
    """The sense checks of a right solution."""
    step = sense_step(setup)
    lines = [x.text for x in step.lines if x.kind == "math" and ("<" in x.text or ">" in x.text)] if step else []
    return tuple(SheetLine("sense", n, text) for n, text in enumerate(lines))


def answers(scene: Scene, positive: Mapping[str, str], sheet: Sheet) -> dict[str, Any]:
    """The sheet in the contract's shape of answers."""
    out: dict[str, Any] = {"scene": scene.name, "directions": dict(positive)}
    for line in sheet:
        if line.step in ("equations", "results"):
            out.setdefault(line.step, {})[line.item] = line.text
        else:
            out.setdefault(line.step, []).append(line.text)
    return out


def _ties(page: Page) -> list[str]:
    """The ties that the letters of the equations do not say already."""
    out = []
    for tie in page.setup.ties:
        poly = tie.poly.map(lambda s: page.shown.get(s, s))
        if poly:
            out.append(page.tie(Tie(tie.source, tie.kind, poly)) if len(poly.symbols) > 1 else f"{next(iter(poly.symbols))} = 0")
    return list(dict.fromkeys(out))


def _result(setup: Setup, values: Mapping[str, Fraction], symbol: str) -> str:
    """A result with its unit, "" where the lines do not lead to it."""
    known = dict(setup.given)
    known.update({s: values[x] for s in setup.shared for x in ["a"] if x in values})
    known.update(values)
    if symbol not in known and symbol in setup.laws:
        law = put_laws(setup, setup.laws[symbol])
        if law.symbols <= known.keys():
            known[symbol] = law.at(known)
    if symbol not in known and setup.scene.symbols[symbol].kind == "shared_acceleration":
        sizes = {abs(known[s]) for s in setup.size_of if s in known}
        if len(sizes) == 1:
            known[symbol] = sizes.pop()
    if symbol not in known:
        return ""
    unit = unit_of(setup.scene, symbol)
    return rounded(known[symbol]) + (f" {unit}" if unit and unit != "1" else "")
