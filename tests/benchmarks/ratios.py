"""What a benchmark hands over: ratios to something known, never bare times, since times belong to one machine.

A module in this folder offers `measure() -> list[Ratio]`; `page.py` runs it and writes the table. Nothing here passes or fails.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter
from typing import Any

UNITS = (("s", 1.0), ("ms", 1e-3), ("µs", 1e-6))


@dataclass(frozen=True)
class Ratio:
    """One row: `ours` and `theirs` in the same unit, where less is better."""

    what: str
    """What is measured, in a few words."""
    ours: float
    """plusway's figure."""
    theirs: float
    """The figure of what it is set against, measured beside it."""
    against: str
    """What that is: SymPy's parse_expr, nbgrader as it is, a bare widget, bare JSON …"""
    unit: str
    """Unit of `ours` and `theirs`: µs, ms, s, MB …"""
    aim: float | None = None
    """ours / theirs is to be at most this; None: shown, with no aim."""
    note: str = ""
    """What a reader of the table has to know, such as how many repetitions."""

    @property
    def ratio(self) -> float:
        """ours / theirs; infinite where theirs is nothing."""
        return self.ours / self.theirs if self.theirs else float("inf")

    @property
    def met(self) -> bool | None:
        """Whether the aim is reached; None where there is none."""
        return None if self.aim is None else self.ratio <= self.aim


def times(what: str, ours: float, theirs: float, against: str, aim: float | None = None, note: str = "") -> Ratio:
    """A row from two times in seconds, in the unit that reads best for both."""
    unit, size = next(((u, s) for u, s in UNITS if (ours * theirs) ** 0.5 >= s), UNITS[-1])
    return Ratio(what, ours / size, theirs / size, against, unit, aim, note)


def side_by_side(ours: Callable[[], Any], theirs: Callable[[], Any], seconds: float = 1.0,
                 before_each: Callable[[], object] | None = None) -> tuple[float, float]:
    """The median time of one call of each, in seconds, for about `seconds` in all.

    The two take turns, so that a machine busy with other things slows both alike; quick calls are timed in batches of a
    millisecond or more. `before_each` runs untimed before each batch (to empty a cache; a batch is then one call).
    """
    calls = (ours, theirs)
    batches = [1 if before_each else batch(call) for call in calls]
    taken: tuple[list[float], list[float]] = ([], [])
    end = perf_counter() + seconds
    while perf_counter() < end or len(taken[1]) < 5:
        for call, count, into in zip(calls, batches, taken, strict=True):
            if before_each:
                before_each()
            start = perf_counter()
            for _ in range(count):
                call()
            into.append((perf_counter() - start) / count)
    return median(taken[0]), median(taken[1])


def batch(call: Callable[[], Any]) -> int:
    """How many calls take about a millisecond; the first call, which may fill a cache, is left out."""
    call()
    start = perf_counter()
    call()
    return max(1, int(1e-3 / max(perf_counter() - start, 1e-7)))
