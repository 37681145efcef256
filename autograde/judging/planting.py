"""Planting one slip into a right solution: the line goes wrong, and all later lines follow from it.

The slips are the judge's own: for an equation the operators of the table of slips, for a tie what undoes its mending, for the
working one false step of the elimination, for a result its unit and figures. Nothing is shown that the judge does not find again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property, partial

from ..algebra import Poly
from ..mechanics.astray import ARITHMETIC, FALSE_STEPS, Astray, misread
from ..mechanics.setup import Equation, Term, Tie
from ..mechanics.wording import rounded
from ..mechanics.worked import Page
from .context import Context, parallel
from .forms import Vector, plus
from .pieces import Piece, Variant, pieces_of
from .written import Sheet, SheetLine, with_laws, write, write_sense

ELSEWHERE: dict[str, tuple[str, ...]] = {
    "equations": (),
    "ties": ("flipped-tie", "strand-count"),
    "working": FALSE_STEPS,
    "results": ("unit", ARITHMETIC),
    "sense": ("false-sense", "unit", "moved-sign"),
}
"""Kinds that are offered for a line of a step even where they could not have happened on that very line."""

MOST_OCCASIONS = 12  # false steps of one kind that are tried


@dataclass(frozen=True)
class Candidate:
    """One slip that could be planted: its kind, the place and the text of the wrong line; `sheet` writes the whole solution."""

    kind: str
    at: int
    text: str
    sheet: Callable[[], Sheet]


class Garden:
    """All that can be planted into the right solution for one choice of positive directions."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.setup = with_laws(context.setup)
        self.right: Sheet = write(self.setup)

    @cached_property
    def candidates(self) -> tuple[Candidate, ...]:
        """Every slip that could be planted, not yet judged."""
        if not self.right:
            return ()
        ways = (self.in_equations, self.clashing, self.in_ties, self.in_working, self.in_results, self.in_sense)
        return tuple(c for way in ways for c in way())

    def _place(self, step: str, item: str | int) -> int | None:
        return next((n for n, x in enumerate(self.right) if (x.step, x.item) == (step, item)), None)

    # equations -------------------------------------------------------------------------------------------------------

    def in_equations(self) -> Iterator[Candidate]:
        """Every single slip in one piece of an equation that no other kind of slip explains as well."""
        for thing in self.setup.equations:
            at = self._place("equations", thing)
            pieces = pieces_of(self.context.setup, thing)
            known = self.context.variants(thing)
            for variant, deltas in known:
                if at is None or len(variant.kinds) != 1 or len(variant.touched) != 1 or variant.tag == "bare":
                    continue
                if any(other.kinds != variant.kinds and self._alike(thing, deltas, more) for other, more in known):
                    continue  # -T = m_1 a and T = -m_1 a: either name is right
                changed = _changed(self.setup.equations[thing], pieces, variant)
                if changed is None:
                    continue
                setup = replace(self.setup, equations={**self.setup.equations, thing: changed})
                text = Page(setup).letters(changed)
                if text != self.right[at].text:
                    yield Candidate(variant.kinds[0], at, text, partial(write, setup))

    def _alike(self, thing: str, one: tuple[Vector, ...], other: tuple[Vector, ...]) -> bool:
        """Whether two changes of a thing's equation make the same equation."""
        truth = self.context.truth[thing]
        return all(parallel(plus(t, a), plus(t, b)) for t, a, b in zip(truth, one, other, strict=True))

    def clashing(self) -> Iterator[Candidate]:
        """One letter a for bodies whose accelerations have opposite signs, and so no tie."""
        setup = self.setup
        bodies = [t for t in setup.equations if t in setup.scene.bodies]
        if setup.shared or len(bodies) < 2 or len(setup.size_of) != len(bodies) or len(bodies) != len(setup.equations):
            return
        clashing = replace(setup, shared=dict.fromkeys(setup.size_of, 1), ties=())
        sheet = write(clashing)
        first = setup.size_of[self._acceleration(bodies[0])]
        other = next((t for t in bodies if setup.size_of[self._acceleration(t)] != first), None)
        if sheet and other is not None:
            at = self._place("equations", other)
            if at is not None:
                yield Candidate("clashing-directions", at, sheet[at].text, partial(_same, sheet))

    def _acceleration(self, thing: str) -> str:
        return self.setup.scene.symbol_of("acceleration", thing) or ""

    # ties ------------------------------------------------------------------------------------------------------------

    def in_ties(self) -> Iterator[Candidate]:
        """A tie with a turned sign, with another number of strands, or without its radius."""
        setup = self.setup
        for n, tie in enumerate(setup.ties):
            if tie.poly.symbols <= setup.shared.keys():
                continue  # the one letter a says it
            for kind, poly in _wrong_ties(tie.poly):
                ties = (*setup.ties[:n], Tie(tie.source, tie.kind, poly), *setup.ties[n + 1 :])
                sheet = write(replace(setup, ties=ties))
                at = self._first_difference(sheet)
                if at is not None and sheet[at].step == "ties":
                    yield Candidate(kind, at, sheet[at].text, partial(_same, sheet))

    def _first_difference(self, sheet: Sheet) -> int | None:
        return next((n for n, (a, b) in enumerate(zip(sheet, self.right, strict=False)) if a != b), None)

    # working, results, sense -----------------------------------------------------------------------------------------

    def in_working(self) -> Iterator[Candidate]:
        """One false step, at each occasion for it."""
        for kind in FALSE_STEPS:
            for occasion in range(MOST_OCCASIONS):
                hand = Astray(kind, occasion)
                sheet = write(self.setup, hand)
                if hand.count <= occasion:
                    break
                at = self._first_difference(sheet)
                if at is not None and sheet[at].step == "working":
                    yield Candidate(kind, at, sheet[at].text, partial(_same, sheet))

    def in_results(self) -> Iterator[Candidate]:
        """A result without its unit, with another's, with too few figures, or as in free fall."""
        for at, line in enumerate(self.right):
            if line.step != "results":
                continue
            for kind, text in self._wrong_results(line):
                yield Candidate(kind, at, text, partial(write, self.setup, results={str(line.item): text}))

    def _wrong_results(self, line: SheetLine) -> Iterator[tuple[str, str]]:
        number, _, unit = line.text.partition(" ")
        symbol = self.setup.scene.symbols[str(line.item)]
        if unit:
            yield "unit", number
            yield "unit", f"{number} {'N' if unit != 'N' else 'm/s^2'}"
        few = rounded(Fraction(number), 1)
        if Fraction(few) != Fraction(number):
            yield "rounding", f"{few} {unit}".strip()
        if symbol.kind in ("acceleration", "shared_acceleration") and self.setup.regime.moves:
            g = self.setup.scene.g
            yield "free-fall", f"{g.text} {unit}"

    def in_sense(self) -> Iterator[Candidate]:
        """A check the wrong way round, below a right solution."""
        checks = write_sense(self.context.setup)
        for n, line in enumerate(checks):
            turned = line.text.translate(str.maketrans("<>", "><"))
            sheet = (*self.right, *checks[:n], replace(line, text=turned), *checks[n + 1 :])
            yield Candidate("false-sense", len(self.right) + n, turned, partial(_same, sheet))

    def right_line(self, at: int) -> SheetLine:
        """What should stand at a place."""
        return (*self.right, *write_sense(self.context.setup))[at]

    def lookalikes(self, planted: Candidate) -> dict[str, list[str]]:
        """{kind: texts} of all that could have gone wrong at the same place: how the line would look then."""
        out: dict[str, list[str]] = {}
        for c in self.candidates:
            if c.at == planted.at:
                out.setdefault(c.kind, []).append(c.text)
        line = self.right_line(planted.at)
        for kind in ELSEWHERE[line.step]:
            out.setdefault(kind, [])
        if line.step == "results":
            number, _, unit = line.text.partition(" ")
            if misread(number):
                out[ARITHMETIC].append(f"{misread(number)} {unit}".strip())
        if planted.kind == "clashing-directions":  # there all lines have the one letter a
            own = self._acceleration(str(line.item))
            out = {k: [text.replace(own, "a") for text in texts] for k, texts in out.items()}
        return out


def _changed(equation: Equation, pieces: tuple[Piece, ...], variant: Variant) -> Equation | None:
    """The equation with one of its pieces as the slip would have it."""
    (n,) = variant.touched
    terms = list(equation.terms)
    if n < 0:
        terms.append(Term(variant.term or "", "", equation.thing, "", 1, variant.delta))
        return replace(equation, terms=tuple(terms))
    new = pieces[n].poly + variant.delta
    if n == len(pieces) - 1:
        return replace(equation, inertia=-new) if new else None
    if new:
        terms[n] = replace(terms[n], sign=1, size=new)
    else:
        del terms[n]
    return replace(equation, terms=tuple(terms)) if terms else None


def _wrong_ties(poly: Poly) -> Iterator[tuple[str, Poly]]:
    """Slips in a tie between two things: [(kind, what it becomes)]."""
    parts = list(poly.terms.items())
    if len(parts) != 2:
        return
    (first, c), (second, d) = parts
    yield "flipped-tie", Poly({first: c, second: -d})
    if abs(c) != abs(d):
        yield "strand-count", Poly({first: d * (1 if c * d > 0 else -1), second: c * (1 if c * d > 0 else -1)})
        yield "strand-count", Poly({first: c / abs(c), second: d / abs(d)})
    elif len(first) == len(second) == 1:
        yield "strand-count", Poly({first: c, second: 2 * d})
    for m, x in parts:
        arms = [s for s, _ in m if s.split("_")[0] in ("R", "r")]
        if arms:
            left = tuple((s, e) for s, e in m if s not in arms)
            yield "radius", Poly({**poly.terms, m: Fraction(0)}) + Poly({left: x})


def _same(sheet: Sheet) -> Sheet:
    return sheet
