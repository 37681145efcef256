"""Solving linear equations by substitution, one line at a time, as a person would write it.

An equation keeps its two sides; parentheses stay until they are distributed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from .linear import ONE, Row
from .wording import joined, leading, linear, number, rounded, summed

_ZERO = Fraction(0)


@dataclass(frozen=True)
class Sided:
    """left = right in numbers; tie: it relates accelerations only."""

    left: Row
    right: Row
    tie: bool = False

    @property
    def unknowns(self) -> list[str]:
        """The unknowns that do not drop out, in the order in which they stand."""
        return [k for k in dict.fromkeys((*self.left, *self.right)) if k != ONE and self.net(k)]

    def net(self, name: str) -> Fraction:
        """The coefficient of an unknown, all brought to the left."""
        return self.left.get(name, _ZERO) - self.right.get(name, _ZERO)

    def text(self) -> str:
        """The line as a student would write it."""
        return f"{summed(linear(self.left))} = {summed(linear(self.right))}"


@dataclass(frozen=True)
class Round:
    """One turn of the elimination: what is done, and its lines."""

    says: str
    lines: tuple[str, ...]


class Hand:
    """How the single steps are done: rightly. A subclass may go wrong in one of them, and all later lines follow from that."""

    def carried(self, e: Sided, name: str) -> Sided:
        """The equation whose terms are then moved so that the name stands alone."""
        return e

    def spread(self, side: Row, name: str, rule: Row) -> list[tuple[str, Fraction]]:
        """The terms of a side once the parenthesis that stands for the name is opened."""
        out = []
        for k, c in _ordered(side):
            out += [(k, c)] if k != name else [(kk, c * cc) for kk, cc in rule.items()]
        return out

    def merged(self, terms: list[tuple[str, Fraction]]) -> Row:
        """The like terms of a side taken together."""
        row: Row = {}
        for k, c in terms:
            row[k] = row.get(k, _ZERO) + c
        return {k: c for k, c in row.items() if c}

    def worked_out(self, exact: Fraction, shown: str) -> tuple[Fraction, str]:
        """A value and how it is written."""
        return exact, shown


RIGHT_HAND = Hand()


def eliminate(
    equations: Sequence[Sided], lead: str, motions: frozenset[str], hand: Hand = RIGHT_HAND
) -> tuple[list[Round], dict[str, Fraction]]:
    """The rounds from the equations to every value (isolate, substitute, solve, put back), and the values.

    lead: the acceleration to keep for last. motions: names of accelerations. Unknowns that the equations leave open have no value.
    """
    rounds: list[Round] = []
    values: dict[str, Fraction] = {}
    open_ = {i: e for i, e in enumerate(equations) if e.unknowns}
    best = {i: _best(e, lead, motions, i) for i, e in open_.items()}
    isolated: list[tuple[str, Row]] = []
    while open_:
        _, i, name = min(best.values())
        written = open_.pop(i)
        rule, lines = _isolate(hand.carried(written, name), name, written.text(), hand)
        del best[i]
        if set(rule) <= {ONE}:
            values[name] = rule.get(ONE, _ZERO)
            says = f"Only {name} is left, so its value follows."
        else:
            isolated.append((name, rule))
            says = f"Write {name} by itself and put it in where it stands."
        for j in [j for j, e in open_.items() if name in e.left or name in e.right]:
            new, more = _put_in(open_[j], name, rule, hand)
            lines += more
            if new.unknowns:
                open_[j], best[j] = new, _best(new, lead, motions, j)
            else:
                del open_[j], best[j]
        rounds.append(Round(says, tuple(lines)))
    back = []
    for name, rule in reversed(isolated):
        if all(k == ONE or k in values for k in rule):
            values[name], line = _put_back(name, rule, values, hand)
            back.append(line)
    if back:
        rounds.append(Round("Put the values back.", tuple(back)))
    return rounds, values


def _best(e: Sided, lead: str, motions: frozenset[str], place: int) -> tuple[tuple[object, ...], int, str]:
    """The unknown that is most easily isolated in an equation, with its score and the equation's place."""
    return min((_score(e, u, lead, motions, place), place, u) for u in e.unknowns)


def _score(e: Sided, name: str, lead: str, motions: frozenset[str], place: int) -> tuple[object, ...]:
    count = len(e.unknowns)
    forces = sum(k not in motions for k in e.unknowns)
    return (
        count > 1,
        not e.tie,
        name == lead,
        forces if forces else 9,
        name in motions and not e.tie,
        abs(e.net(name)) != 1,
        count,
        place,
    )


def _isolate(e: Sided, name: str, written: str, hand: Hand) -> tuple[Row, list[str]]:
    """name = rule, with the lines from the equation, as it is written, to it."""
    c = e.net(name)
    rest: Row = {}
    for side, sign in ((e.right, 1), (e.left, -1)):
        for k, v in side.items():
            if k != name:
                rest[k] = rest.get(k, _ZERO) + sign * v
    if c < 0:
        c, rest = -c, {k: -v for k, v in rest.items()}
    rest = {k: v for k, v in rest.items() if v}
    rule = {k: v / c for k, v in rest.items()}
    if set(rest) <= {ONE}:
        top = rest.get(ONE, _ZERO)
        if c == 1 or not top:
            line = f"{name} = {number(top / c)}"
            return rule, [line] if line != written else []
        figures = next((n for n in range(4, 9) if _quotient(top, c, n)), 9)
        gathered = f"{number(top, figures)} = {joined(number(c, figures), name)}"
        lines = [gathered] if gathered != written else []
        value, shown = hand.worked_out(top / c, rounded(top / c))
        return {ONE: value}, [*lines, f"{name} = {number(top, figures)}/{number(c, figures)} = {shown}"]
    pieces = linear(rest)
    if c == 1:
        line = f"{name} = {summed(pieces)}"
        return rule, [line] if line != written else []
    top_text = summed(pieces)
    if len(pieces) > 1:
        top_text = f"({top_text})"
    return rule, [f"{name} = {top_text}/{number(c)} = {summed(linear(rule))}"]


def _quotient(top: Fraction, bottom: Fraction, figures: int) -> bool:
    """Whether the quotient of the numbers as they are shown rounds to the right result."""
    return rounded(Fraction(number(top, figures)) / Fraction(number(bottom, figures))) == rounded(top / bottom)


def _put_in(e: Sided, name: str, rule: Row, hand: Hand) -> tuple[Sided, list[str]]:
    """The equation with the rule in place of the name, and its lines: parentheses, distributed, gathered."""
    constant = set(rule) <= {ONE}
    inner_pieces = linear(rule)
    inner = summed(inner_pieces)
    simple = len(inner_pieces) == 1 and inner_pieces[0][0] > 0

    def bracketed(side: Row) -> str:
        out = []
        for k, c in _ordered(side):
            sign, size = (1 if c > 0 else -1), number(abs(c))
            if k != name:
                out.append((sign, size if k == ONE else joined(size, k)))
            elif abs(c) == 1 and simple:
                out.append((sign, inner))
            else:
                out.append((sign, (size if size != "1" else "") + f"({inner})"))
        return summed(leading(out))

    def shown(terms: list[tuple[str, Fraction]]) -> str:
        return summed(
            leading(
                [(1 if c > 0 else -1, number(abs(c)) if k == ONE else joined(number(abs(c)), k)) for k, c in terms if c]
            )
        )

    lines = []
    if not (constant and not rule.get(ONE)):
        lines.append(f"{bracketed(e.left)} = {bracketed(e.right)}")
    left, right = hand.spread(e.left, name, rule), hand.spread(e.right, name, rule)
    lines.append(f"{shown(left)} = {shown(right)}")
    new = Sided(hand.merged(left), hand.merged(right), e.tie)
    lines.append(new.text())
    return new, [x for i, x in enumerate(lines) if x not in lines[:i]]


def _ordered(side: Row) -> list[tuple[str, Fraction]]:
    return [(k, c) for k, c in side.items() if k != ONE and c] + [(ONE, c) for k, c in side.items() if k == ONE and c]


def _put_back(name: str, rule: Row, values: Mapping[str, Fraction], hand: Hand) -> tuple[Fraction, str]:
    """The rule with values in place of names; with more figures where four would spoil the result."""
    exact = sum((c * (1 if k == ONE else values[k]) for k, c in rule.items()), _ZERO)
    result = rounded(exact)
    for figures in range(4, 10):
        pieces, total, plain = [], _ZERO, True
        for k, c in _ordered(rule):
            sign, size = (1 if c > 0 else -1), number(abs(c), figures)
            if k == ONE:
                pieces.append((sign, size))
                total += sign * Fraction(size)
                continue
            value = number(values[k], figures)
            total += sign * Fraction(size) * Fraction(value)
            plain = plain and size == "1"
            pieces.append(
                (
                    sign,
                    f"({value})"
                    if size == "1" and value.startswith("-")
                    else value
                    if size == "1"
                    else f"{size}({value})",
                )
            )
        if rounded(total) == result:
            break
    text = summed(leading(pieces))
    if plain and len(pieces) == 1 and text == result:
        return exact, f"{name} = {text}"
    worth, shown = hand.worked_out(exact, result)
    return worth, f"{name} = {text} = {shown}"
