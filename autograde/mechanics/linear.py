"""Sparse linear equations over the rationals, and the feasibility of what they leave free.

A row is {name: coefficient} with the constant under `ONE`; it stands for "the sum is zero".
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

ONE = ""
Row = dict[str, Fraction]
Bounds = Mapping[str, tuple[Fraction | None, Fraction | None]]

_ZERO = Fraction(0)


@dataclass(frozen=True)
class Solution:
    """`of[name]` is the row (constant under `ONE`, then free names) that the name equals; free names stand for
    themselves.

    broken: indices of rows that contradict the others (one is enough to make the system inconsistent).
    spare: indices of rows that say nothing new.
    """

    of: Mapping[str, Row]
    free: tuple[str, ...]
    broken: tuple[int, ...]
    spare: tuple[int, ...]

    def value(self, name: str) -> Fraction | None:
        """The value of a name that is settled, else None."""
        row = self.of.get(name)
        if row is None or any(k != ONE for k in row):
            return None
        return row.get(ONE, _ZERO)


def solve(rows: Sequence[Mapping[str, Fraction]], in_order: bool = False) -> Solution:
    """Eliminate with the shortest row first (a band stays a band); `in_order` takes the rows as they come, so that of
    two rows that say the same the later one is `spare`.
    """
    work: list[Row] = [{k: c for k, c in r.items() if c} for r in rows]
    holders: dict[str, set[int]] = {}
    for i, row in enumerate(work):
        for k in row:
            if k != ONE:
                holders.setdefault(k, set()).add(i)
    names = list(holders)
    rank = {k: i for i, k in enumerate(names)}
    queue = [(0 if in_order else len(r), i) for i, r in enumerate(work)]
    heapq.heapify(queue)
    done = [False] * len(work)
    pivots: list[tuple[str, Row]] = []
    broken: list[int] = []
    spare: list[int] = []
    while queue:
        length, i = heapq.heappop(queue)
        if done[i] or (not in_order and length != len(work[i])):
            continue
        done[i] = True
        row = work[i]
        inside = [k for k in row if k != ONE]
        if not inside:
            (broken if row else spare).append(i)
            continue
        pick = min(inside, key=lambda k: (len(holders[k]), abs(row[k]) != 1, rank[k]))
        pivot = row[pick]
        for k in inside:
            holders[k].discard(i)
        rule = {k: -c / pivot for k, c in row.items() if k != pick}
        for j in tuple(holders[pick]):
            other = work[j]
            factor = other.pop(pick)
            for k, c in rule.items():
                new = other.get(k, _ZERO) + factor * c
                if new:
                    other[k] = new
                    if k != ONE:
                        holders[k].add(j)
                elif k in other:
                    del other[k]
                    if k != ONE:
                        holders[k].discard(j)
            if not in_order:
                heapq.heappush(queue, (len(other), j))
        del holders[pick]
        pivots.append((pick, rule))
    of: dict[str, Row] = {}
    settled = {k for k, _ in pivots}
    free = tuple(k for k in names if k not in settled)
    for k in free:
        of[k] = {k: Fraction(1)}
    for pick, rule in reversed(pivots):
        total: Row = {}
        for k, c in rule.items():
            for kk, cc in ({ONE: Fraction(1)} if k == ONE else of[k]).items():
                new = total.get(kk, _ZERO) + c * cc
                if new:
                    total[kk] = new
                else:
                    total.pop(kk, None)
        of[pick] = total
    return Solution(of, free, tuple(broken), tuple(spare))


def feasible(solution: Solution, bounds: Bounds) -> dict[str, Fraction] | None:
    """Values for the bounded names that keep every bound, or None where there are none.

    The general simplex of Dutertre and de Moura (2006), with Bland's rule, so that it always ends.
    """
    table: dict[str, Row] = {}
    for name in bounds:
        row = solution.of.get(name)
        if row is None:
            continue
        if name not in solution.free:
            table[name] = dict(row)
    loose = list(solution.free)
    value: dict[str, Fraction] = {ONE: Fraction(1)}
    for k in loose:
        low, high = bounds.get(k, (None, None))
        value[k] = low if low is not None and low > 0 else high if high is not None and high < 0 else _ZERO
    order = {k: i for i, k in enumerate([*loose, *table])}
    for name, row in table.items():
        value[name] = sum((c * value[k] for k, c in row.items()), _ZERO)

    def off(name: str) -> int:
        low, high = bounds.get(name, (None, None))
        return 1 if low is not None and value[name] < low else -1 if high is not None and value[name] > high else 0

    def room(name: str, way: int) -> bool:
        low, high = bounds.get(name, (None, None))
        edge = high if way > 0 else low
        return edge is None or (value[name] < edge if way > 0 else value[name] > edge)

    while True:
        wrong = min((k for k in table if off(k)), key=order.__getitem__, default=None)
        if wrong is None:
            return {k: v for k, v in value.items() if k != ONE}
        way = off(wrong)
        low, high = bounds[wrong]
        goal = low if way > 0 else high
        assert goal is not None
        row = table[wrong]
        helper = min(
            (k for k, c in row.items() if k != ONE and room(k, way if c > 0 else -way)),
            key=order.__getitem__,
            default=None,
        )
        if helper is None:
            return None
        step = (goal - value[wrong]) / row[helper]
        value[wrong] = goal
        value[helper] += step
        for name, r in table.items():
            if name != wrong and helper in r:
                value[name] += step * r[helper]
        _swap(table, wrong, helper)


def _swap(table: dict[str, Row], leaves: str, enters: str) -> None:
    row = table.pop(leaves)
    pivot = row[enters]
    rule = {k: -c / pivot for k, c in row.items() if k != enters}
    rule[leaves] = 1 / pivot
    for name, other in table.items():
        factor = other.get(enters)
        if factor is None:
            continue
        merged = {k: c for k, c in other.items() if k != enters}
        for k, c in rule.items():
            merged[k] = merged.get(k, _ZERO) + factor * c
        table[name] = {k: c for k, c in merged.items() if c}
    table[enters] = rule
