"""The working with one false step: a hand that goes wrong once, at a place that it is told, and right everywhere else.

What comes after is worked out from the false line, as whoever wrote it would go on.
"""

from __future__ import annotations

from fractions import Fraction

from .elimination import Hand, Sided
from .linear import ONE, Row
from .wording import number

MOVED_SIGN, LOST_TERM, UNDISTRIBUTED, ARITHMETIC = "moved-sign", "lost-term", "undistributed", "arithmetic"
FALSE_STEPS = (MOVED_SIGN, UNDISTRIBUTED, LOST_TERM, ARITHMETIC)


class Astray(Hand):
    """Commits a slip of this kind at its `at`-th occasion, counted from 0. `count` is how many occasions there were."""

    def __init__(self, kind: str, at: int) -> None:
        self.kind, self.at, self.count = kind, at, 0

    def _now(self, kind: str) -> bool:
        if kind != self.kind:
            return False
        self.count += 1
        return self.count - 1 == self.at

    def carried(self, e: Sided, name: str) -> Sided:
        """A term that has to change sides keeps its sign, or is left behind."""
        for side, other in ((e.left, e.right), (e.right, e.left)):
            for k, c in side.items():
                # On the side where the name stays, every other term crosses; where it stands on both sides, the name does itself.
                crosses = k in other if k == name else name in side
                if not c or not crosses or (k == name and abs(other[k]) < abs(c)):
                    continue
                if self._now(MOVED_SIGN):
                    return _with(e, side, k, -c)
                if self._now(LOST_TERM) and len(side) + len(other) > 2:
                    return _with(e, side, k, Fraction(0))
        return e

    def spread(self, side: Row, name: str, rule: Row) -> list[tuple[str, Fraction]]:
        """A parenthesis is opened for its first term only, or a term of it is lost."""
        terms = super().spread(side, name, rule)
        c = side.get(name)
        if not c or len(rule) < 2:
            return terms
        start = [k for k in side if k != ONE and side[k]].index(name)
        inside = [k for k in rule if k != ONE] + [ONE] * (ONE in rule)
        first = next((k for k in inside if rule[k] > 0), inside[0])  # it stands in front
        # The terms stand in the rule's own order.
        for place, k in enumerate(rule, start):
            if k == first:
                continue
            if c != 1 and self._now(UNDISTRIBUTED):
                rest = -c * rule[k] if abs(c) == 1 else rule[k] * (1 if c > 0 else -1)
                terms[place] = (k, rest)
                return [*terms[:start], *terms[start + len(rule) :], *terms[start : start + len(rule)]]
            if self._now(LOST_TERM):
                del terms[place]
                return terms
        return terms

    def merged(self, terms: list[tuple[str, Fraction]]) -> Row:
        """Two numbers are added up wrong."""
        row = super().merged(terms)
        for k, c in row.items():
            wrong = misread(number(abs(c))) if sum(name == k for name, _ in terms) > 1 else ""
            if wrong and self._now(ARITHMETIC):
                return {**row, k: Fraction(wrong) * (1 if c > 0 else -1)}
        return row

    def worked_out(self, exact: Fraction, shown: str) -> tuple[Fraction, str]:
        """A quotient or a sum comes out wrong."""
        wrong = misread(shown.lstrip("-"))
        if wrong and self._now(ARITHMETIC):
            sign = "-" if shown.startswith("-") else ""
            return Fraction(sign + wrong), sign + wrong
        return exact, shown


def misread(figures: str) -> str:
    """The figures with two neighbours changed round, the last pair that differs: "1.58" -> "1.85"; "" where there is none."""
    places = [i for i, c in enumerate(figures) if c.isdigit()]
    while places and figures[places[0]] == "0":
        del places[0]
    for a, b in zip(reversed(places[:-1]), reversed(places[1:]), strict=True):
        if figures[a] != figures[b] and not (a == places[0] and figures[b] == "0"):
            return figures[:a] + figures[b] + figures[a + 1 : b] + figures[a] + figures[b + 1 :]
    return ""


def _with(e: Sided, side: Row, name: str, value: Fraction) -> Sided:
    """The equation with another coefficient on one of its sides."""
    changed = {k: (value if k == name else c) for k, c in side.items()}
    changed = {k: c for k, c in changed.items() if c}
    return Sided(changed, e.right, e.tie) if side is e.left else Sided(e.left, changed, e.tie)
