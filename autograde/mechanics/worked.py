"""The worked solution of a scene in the method's own order, as a record of steps, and its JSON.

Every mathematical line is written so that the reader of students' lines can read it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from ..algebra import Poly
from ..scene.model import Scene
from ..scene.words import thing_name, way
from .checks import acceleration_of, energy_steps, limit_step, motion_step, sense_step
from .derive import derive
from .elimination import RIGHT_HAND, Hand, Sided, eliminate
from .linear import ONE, Row
from .render import as_markdown, as_text
from .setup import Equation, Setup, Tie
from .steps import WorkedLine, WorkedStep, math, words
from .wording import leading, linear, number, poly_pieces, poly_text, rounded, summed

__all__ = ["Worked", "WorkedLine", "WorkedStep", "solution_json", "solution_markdown", "solution_text", "work"]


@dataclass(frozen=True)
class Worked:
    """A solved scene and the steps to its solution."""

    setup: Setup
    steps: tuple[WorkedStep, ...]


def work(scene: Scene, positive: Mapping[str, str] | None = None) -> Worked:
    """Solve a scene for these positive directions and write down how; MechanicsError as in `derive`."""
    setup = derive(scene, positive)
    page = Page(setup)
    steps = [
        page.directions(),
        page.forces(),
        page.surfaces(),
        page.equations(),
        page.ties(),
        page.numbers(),
        *page.working(),
        page.results(),
        sense_step(setup),
        limit_step(setup),
        motion_step(setup),
        *energy_steps(setup),
        page.notes(),
    ]
    return Worked(setup, tuple(s for s in steps if s is not None))


def solution_text(scene: Scene, positive: Mapping[str, str] | None = None) -> str:
    """The worked solution as plain text."""
    return as_text(scene, work(scene, positive).steps)


def solution_markdown(scene: Scene, positive: Mapping[str, str] | None = None) -> str:
    """The worked solution as Markdown with LaTeX in dollar signs."""
    return as_markdown(scene, work(scene, positive).steps)


def solution_json(scene: Scene, positive: Mapping[str, str] | None = None) -> dict[str, Any]:
    """The solution as JSON: values are signed along the positive directions; taut is true where no rope is slack."""
    worked = work(scene, positive)
    setup, regime = worked.setup, worked.setup.regime
    page = Page(setup)
    return {
        "scene": scene.name,
        "title": scene.title,
        "positive": dict(setup.positive),
        "moves": regime.moves,
        "taut": all(regime.taut.values()),
        "ropes": dict(regime.taut),
        "touching": dict(regime.touching),
        "directions": dict(regime.direction),
        "friction": {s: {"state": state, "direction": word} for s, (state, word) in regime.friction.items()},
        "values": {s: {"value": float(v), "unit": unit_of(scene, s)} for s, v in setup.values.items()},
        "undetermined": list(setup.undetermined),
        "equations": {t: page.letters(e) for t, e in setup.equations.items()},
        "ties": [page.tie(t) for t in setup.ties],
        "notes": list(regime.notes),
        "steps": [s.to_json() for s in worked.steps],
    }


_UNITS = {"a": "m/s^2", "alpha": "rad/s^2", "t": "s", "v": "m/s", "I": "kg m^2", "tau": "N m"}


def unit_of(scene: Scene, symbol: str) -> str:
    """The coherent SI unit of a symbol, as the scene writes it."""
    known = scene.symbols.get(symbol)
    return known.unit if known is not None else _UNITS.get(symbol.split("_")[0], "N")


class Page:
    """Writes the steps of one setup."""

    def __init__(self, setup: Setup) -> None:
        self.setup = setup
        self.scene = setup.scene
        self.a = next((s.name for s in self.scene.symbols.values() if s.kind == "shared_acceleration"), "a")
        self.shown = dict.fromkeys(setup.shared, self.a)  # how an acceleration is written

    def _renamed(self, poly: Poly) -> Poly:
        return poly.map(lambda s: self.shown.get(s, s))

    def directions(self) -> WorkedStep:
        lines = [words(f"{t}: {w} is positive") for t, w in self.setup.positive.items()]
        says = "Choose a positive direction for each thing."
        if self.setup.shared and len(self.setup.shared) > 1:
            says += f" These agree with the ropes and contacts, so all bodies share one acceleration {self.a}."
        elif len(self.setup.size_of) > 1:
            says += " They do not all agree with the ropes and contacts, so each body keeps an acceleration of its own."
        if idle := self._idle():
            says = f"{idle} {says}"
        return WorkedStep("directions", "Directions", says, tuple(lines))

    def _idle(self) -> str:
        """What to know before all else: ropes that pull nothing, which is seldom what the author of a scene meant."""
        regime, values = self.setup.regime, self.setup.values
        for tie in self.setup.ties:
            if tie.kind == "rope" and len(tie.poly.symbols & set(self.setup.unknowns)) == 1 == len(self._on(tie.source)):
                (thing,) = self._on(tie.source)
                return (f"The rope {tie.source} pulls nothing but {thing}, so its other end counts as tied to something fixed. If it "
                        "is meant to tie two things, list both in the scene's pulls.")
        idle = [name for name, taut in regime.taut.items() if not taut or values.get(name) == 0]
        if not idle:
            return ""
        slack = [name for name in idle if not regime.taut[name]]
        what = f"goes slack at once: {' = '.join(slack)} = 0" if slack else f"pulls nothing: {' = '.join(idle)} = 0"
        many = len(slack or idle) > 1
        who = f"{'Each of the ropes' if many else 'The rope'} {', '.join(slack or idle)}"
        return (f"{who} {what}. If {'they are' if many else 'it is'} meant to pull, look at the scene's pulls: each names the "
                "way in which the rope pulls that thing.")

    def _on(self, rope: str) -> set[str]:
        return {s.thing for r in self.scene.ropes if r.symbol == rope for s in r.pulls}

    def forces(self) -> WorkedStep:
        lines = []
        for thing in self.scene.things:
            equation = self.setup.equations.get(thing)
            seen: list[str] = []
            for term in equation.terms if equation else ():
                seen.append(
                    f"{term.symbol} {term.direction}" + (f" ({term.strands} times)" if term.strands > 1 else "")
                )
            balance = self.setup.balances.get(thing)
            for symbol, word, _, _ in balance.terms if balance else ():
                if not any(s.startswith(symbol + " ") for s in seen) and self.setup.values.get(symbol) != 0:
                    seen.append(f"{symbol} {_away(word)}")
            if equation:
                lines.append(words(f"on {thing}: {', '.join(seen) or 'none along its line'}"))
            else:
                lines.append(words(f"on {thing}: not needed, since its acceleration is given"))
        return WorkedStep("forces", "Forces", "Draw every force that acts on each thing.", tuple(lines))

    def surfaces(self) -> WorkedStep | None:
        setup, lines = self.setup, []
        needed = {s for p in (*setup.laws.values(), *(e.poly for e in setup.equations.values())) for s in p.symbols}
        holds = any(state == "holds" for state, _ in setup.regime.friction.values())
        for body, balance in setup.balances.items():
            if balance.symbol in needed or balance.symbol in self.scene.asked or holds:
                lines.append(math(f"{balance.symbol} = {self._worth(balance.value, balance.symbol)}", "N"))
                if not setup.regime.touching.get(balance.symbol, True):
                    lines.append(words(f"{body} is lifted off"))
        for symbol, (state, word) in setup.regime.friction.items():
            law = setup.laws.get(symbol)
            if state == "slides" and law:
                lines.append(math(f"{symbol} = {self._worth(law, symbol)}", "N"))
                lines.append(words(f"{symbol} is kinetic friction: it points {word}, against the sliding"))
            elif state == "holds":
                lines += self._holding(symbol, word)
        if not lines:
            return None
        return WorkedStep(
            "surfaces",
            "Normal forces and friction",
            "Across its line a body is in balance; that gives N, and N gives friction.",
            tuple(lines),
        )

    def _worth(self, poly: Poly, symbol: str) -> str:
        """A law in letters, in numbers where that shows more, and its value."""
        known = {**self.setup.given, **self.setup.values}
        result = rounded(self.setup.values[symbol])
        if len(poly.terms) > 1:
            pieces = [(1 if c > 0 else -1, Poly({m: abs(c)}).at(known)) for m, c in poly.terms.items()]
            numbers = summed(leading([(s if v >= 0 else -s, number(abs(v))) for s, v in pieces if v]))
            return f"{poly_text(poly)} = {numbers} = {result}"
        factors = [s for m in poly.terms for s, _ in m]
        if len(factors) == 2 and all(s in known for s in factors):
            mu, n = sorted(factors, key=lambda s: not s.startswith("mu"))
            return f"{poly_text(poly)} = {number(known[mu])}({number(known[n])}) = {result}"
        return f"{poly_text(poly)} = {result}"

    def _holding(self, symbol: str, word: str | None) -> list[WorkedLine]:
        """What static friction is, and that it is within its limit."""
        setup, lines = self.setup, []
        if symbol not in setup.values:
            return [words(f"{symbol} is static friction; the scene does not settle how large it is")]
        lines.append(
            words(
                f"{symbol} is static friction: it takes the value that the equations give, here "
                f"{rounded(setup.values[symbol])} N" + (f" {word}" if word else "")
            )
        )
        known = self.scene.symbols.get(symbol)
        body = known.thing if known is not None else None
        mu = self.scene.symbol_of("mu_s", body) or self.scene.symbol_of("mu_k", body)
        n = self.scene.symbol_of("normal", body)
        if mu and n and (known is None or known.kind != "rolling" or mu.startswith("mu_s")):
            most = setup.given[mu] * setup.values[n]
            relation = "<" if setup.values[symbol] < most else "="
            lines.append(math(f"{symbol} {relation} {mu} {n}"))
            lines.append(words(f"it can be at most {mu} {n} = {rounded(most)} N"))
        return lines

    def letters(self, e: Equation) -> str:
        """An equation in letters: "T - m_1 g = m_1 a"."""
        pieces = [p for term in e.terms for p in poly_pieces(self._renamed(term.poly))]
        return f"{summed(leading(pieces))} = {poly_text(self._renamed(e.inertia))}"

    def equations(self) -> WorkedStep:
        lines = tuple(math(self.letters(e), thing=t) for t, e in self.setup.equations.items())
        return WorkedStep(
            "equations",
            "One equation for each thing",
            "Along the positive direction: the sum of the forces is mass times acceleration"
            + (
                " (for a wheel: the sum of the torques is inertia times angular acceleration)."
                if any(t in self.scene.wheels for t in self.setup.equations)
                else "."
            ),
            lines,
        )

    def tie(self, tie: Tie) -> str:
        """A tie as an equation between accelerations: "a_1 = -a_2", "2a_1 + a_2 = 0"."""
        pieces = poly_pieces(tie.poly)
        if len(pieces) == 2:
            (s1, first), (s2, second) = pieces
            return f"{'-' if s1 < 0 else ''}{first} = {'-' if s2 > 0 else ''}{second}"
        return f"{summed(leading(pieces))} = 0"

    def ties(self) -> WorkedStep | None:
        setup, lines = self.setup, []
        if len(setup.shared) > 1:
            lines.append(math(" = ".join([*setup.shared, self.a])))
        for tie in setup.ties:
            renamed = self._renamed(tie.poly)
            if renamed and (len(setup.shared) < 2 or renamed == tie.poly or len(renamed.symbols) > 1):
                lines.append(math(self.tie(Tie(tie.source, tie.kind, renamed))))
            elif renamed and tie.kind == "rest":
                lines.append(math(f"{self.a} = 0"))
        lines = list(dict.fromkeys(lines))
        if not lines:
            return None
        kinds = {t.kind for t in setup.ties}
        why = [
            w
            for k, w in (
                ("rope", "ropes neither stretch nor slip on a wheel" if self.scene.wheels else "ropes do not stretch"),
                ("contact", "pushed bodies stay in touch"),
                ("rolling", "the wheel rolls without slipping"),
                ("rest", "static friction holds"),
            )
            if k in kinds
        ]
        return WorkedStep(
            "ties", "Ties between the motions", f"Because {', and '.join(why)}:" if why else "", tuple(lines)
        )

    def _known(self) -> dict[str, Fraction]:
        known = dict(self.setup.given)
        for symbol in self.setup.laws:
            known[symbol] = self.setup.values.get(symbol, known.get(symbol, Fraction(0)))
        return known

    def _numbers(self, poly: Poly) -> Row:
        """A polynomial as a linear form in the unknowns, with numbers for all else."""
        known = self._known()
        row: Row = {}
        for monomial, c in poly.terms.items():
            key = ONE
            for symbol, power in monomial:
                if symbol in known:
                    c = c * known[symbol] ** power
                else:
                    key = self.shown.get(symbol, symbol)
            row[key] = row.get(key, Fraction(0)) + c
        return {k: c for k, c in row.items() if c}

    def _sided(self) -> dict[str, Sided]:
        out = {}
        for thing, e in self.setup.equations.items():
            out[thing] = Sided(self._numbers(Poly.sum(t.poly for t in e.terms)), self._numbers(e.inertia))
        return out

    def numbers(self) -> WorkedStep:
        lines = []
        for thing, e in self.setup.equations.items():
            pieces: list[tuple[int, str]] = []
            for term in e.terms:
                pieces += linear(self._numbers(term.poly))
            lines.append(math(f"{summed(leading(pieces))} = {summed(linear(self._numbers(e.inertia)))}", thing=thing))
        return WorkedStep("numbers", "With numbers", "Put in what is given.", tuple(lines))

    def _tie_rows(self) -> list[Sided]:
        out = []
        for tie in self.setup.ties:
            row = self._numbers(tie.poly)
            if any(k != ONE for k in row):
                left = {k: c for k, c in row.items() if c > 0}
                right = {k: -c for k, c in row.items() if c < 0}
                sided = Sided(left or right, right if left else {}, True)
                if sided not in out:  # with one letter a two ropes may say the same of a wheel
                    out.append(sided)
        return out

    def working(self) -> list[WorkedStep]:
        return self.solving()[0]

    def solving(self, hand: Hand = RIGHT_HAND) -> tuple[list[WorkedStep], dict[str, Fraction]]:
        """The working as this hand does it, and the values that it comes to (an acceleration under the letter that is written)."""
        setup = self.setup
        motions = frozenset(self.shown.get(s, s) for t in self.scene.things for s in [self._acc(t)] if s)
        lead = next((self.shown.get(s, s) for s in setup.unknowns if self.shown.get(s, s) in motions), "")
        rounds, values = eliminate([*self._tie_rows(), *self._sided().values()], lead, motions, hand)
        steps = [
            WorkedStep("working", "Working" if i == 0 else "", r.says, tuple(math(x) for x in r.lines))
            for i, r in enumerate(rounds)
            if r.lines
        ]
        return steps, values

    def _acc(self, thing: str) -> str | None:
        kind = "alpha" if thing in self.scene.wheels else "acceleration"
        return self.scene.symbol_of(kind, thing) or next(
            (
                s
                for e in (self.setup.equations.get(thing),)
                if e
                for s in e.inertia.symbols
                if s.split("_")[0] in ("a", "alpha")
            ),
            None,
        )

    def results(self) -> WorkedStep:
        setup, lines = self.setup, []
        wanted = [
            s
            for s in (*self.scene.asked, *(self.shown.get(u, u) for u in setup.unknowns), *setup.regime.friction)
            if s in setup.values
        ]
        for symbol in dict.fromkeys(wanted):
            unit = unit_of(self.scene, symbol)
            lines.append(math(f"{symbol} = {rounded(setup.values[symbol])}", unit))
        for thing, word in setup.regime.direction.items():
            lines.append(
                words(
                    f"{thing_name(thing)} "
                    + (
                        f"accelerates {way(word)}"
                        if word and acceleration_of(setup, thing)
                        else f"moves steadily {way(word)}"
                        if word
                        else "stays at rest"
                    )
                )
            )
        return WorkedStep("results", "Results", "Rounded to three figures, at the end only.", tuple(lines))

    def notes(self) -> WorkedStep | None:
        notes = self.setup.regime.notes
        return WorkedStep("notes", "Notes", "", tuple(words(n) for n in notes)) if notes else None


def _away(word: str) -> str:
    return {"away": "away from the slope", "into": "into the slope"}.get(word, word)
