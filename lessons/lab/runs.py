"""What is measured on the bench, with its uncertainty: runs of a two-mass machine, and positions from a photogate.

The uncertainty of a mean is the spread of the repeats over the root of their number, and never less than what the timer can do; those of
independent quantities are added in squares (JCGM 100, Guide to the expression of uncertainty in measurement, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib import resources
from itertools import pairwise
from pathlib import Path
from statistics import mean, stdev

from .decoding import decode
from .errors import LabError
from .table import Wanted, read_table

TIMING = 0.02
"""Uncertainty of one time in s where nothing is said: a light gate; by hand it is rather 0.2 s (common practice, no source)."""
RULER = 0.002
"""Uncertainty of a distance in m where nothing is said."""

RUNS = {
    "m1": Wanted("mass", ("m1", "mass1", "smallmass", "lightermass", "lighter")),
    "m2": Wanted("mass", ("m2", "mass2", "largemass", "heaviermass", "heavier")),
    "d": Wanted("length", ("d", "distance", "h", "height", "drop", "fall")),
    "t": Wanted("time", ("t", "time"), several=True),
}
GATE = {"t": Wanted("time", ("t", "time")), "x": Wanted("length", ("x", "position", "distance", "d", "s", "y"))}


@dataclass(frozen=True)
class Run:
    """The heavier mass m2 falls the distance d from rest, the lighter m1 rises; each of `times` is one repeat. SI units.

    a, sigma: the acceleration 2 d / t^2 from the mean time, and its standard uncertainty, both in m/s^2.
    """

    m1: float
    m2: float
    d: float
    times: tuple[float, ...]
    timing: float = TIMING
    ruler: float = RULER

    @property
    def t(self) -> float:
        """The mean of the repeats, in s."""
        return mean(self.times)

    @property
    def t_sigma(self) -> float:
        """Its standard uncertainty, in s: that of the spread, or of the timing where that is larger."""
        spread = stdev(self.times) if len(self.times) > 1 else 0.0
        return max(spread, self.timing) / math.sqrt(len(self.times))

    @property
    def a(self) -> float:
        """The acceleration from the mean time, in m/s^2."""
        return 2 * self.d / self.t**2

    @property
    def sigma(self) -> float:
        """Its standard uncertainty, in m/s^2, from time and distance."""
        return self.a * math.hypot(2 * self.t_sigma / self.t, self.ruler / self.d)

    @property
    def drive(self) -> float:
        """(m2 - m1) / (m1 + m2): what the ideal machine multiplies g by."""
        return (self.m2 - self.m1) / (self.m1 + self.m2)


@dataclass(frozen=True)
class Runs:
    """All runs of a table, one for each pair of masses and distance (lines that repeat one are joined), and remarks on the reading."""

    runs: tuple[Run, ...]
    remarks: tuple[str, ...] = ()
    name: str = "the table"

    def __len__(self) -> int:
        return len(self.runs)


@dataclass(frozen=True)
class Positions:
    """Position x in m at each time t in s, rising times."""

    t: tuple[float, ...]
    x: tuple[float, ...]
    remarks: tuple[str, ...] = ()
    name: str = "the table"


def sample(name: str) -> str:
    """The text of invented data that ship: "invented-runs" or "invented-photogate". LabError for any other name."""
    folder = resources.files(__package__) / "data"
    known = sorted(entry.name.removesuffix(".csv") for entry in folder.iterdir() if entry.name.endswith(".csv"))
    if name.removesuffix(".csv") not in known:
        raise LabError(f"{name:.60}: no such file, and no invented data of that name; there are {', '.join(known)}")
    return (folder / f"{name.removesuffix('.csv')}.csv").read_text(encoding="utf-8")


def read_runs(source: str | Path, timing: float = TIMING, ruler: float = RULER) -> Runs:
    """Runs from a CSV file, from the table's own text, or from the invented data that ship ("invented-runs").

    Columns m1, m2, d and t (t1, t2, … for repeats) with units in the headings. timing, ruler: the uncertainty of one time in s and of a
    distance in m. LabError, which shows the first bad line.
    """
    for label, value in (("timing", timing), ("ruler", ruler)):
        if not (math.isfinite(value) and value > 0):
            raise LabError(f"{label}: found {value}; an uncertainty above 0 would do")
    text, name, remark = _text(source)
    table = read_table(text, RUNS, name)
    joined: dict[tuple[float, float, float], list[float]] = {}
    for number, row in enumerate(table.rows, 1):
        m1, m2, d = (row[key][0] for key in ("m1", "m2", "d"))
        where = f"{name}, measurement {number}"
        if min(m1, m2, d, *row["t"]) <= 0:
            raise LabError(f"{where}: masses, distance and times must be above 0; found m1 = {m1:g} kg, m2 = {m2:g} kg, d = {d:g} m, t = {_listed(row['t'])} s")
        if m1 >= m2:
            raise LabError(f"{where}: m2 is the heavier mass, the one that falls; found m1 = {m1:g} kg and m2 = {m2:g} kg")
        joined.setdefault((m1, m2, d), []).extend(row["t"])
    runs = tuple(Run(m1, m2, d, tuple(times), timing, ruler) for (m1, m2, d), times in joined.items())
    return Runs(runs, (*([remark] if remark else []), *table.remarks, *_odd(runs)), name)


def read_positions(source: str | Path) -> Positions:
    """Positions over time from a CSV file (columns t and x), from text, or from the invented data ("invented-photogate"). LabError."""
    text, name, remark = _text(source)
    table = read_table(text, GATE, name)
    pairs = sorted((row["t"][0], row["x"][0]) for row in table.rows)
    for (t, _), (later, _) in pairwise(pairs):
        if t == later:
            raise LabError(f"{name}: there are two positions for the time {t:g} s; one would do")
    return Positions(tuple(p[0] for p in pairs), tuple(p[1] for p in pairs), (*([remark] if remark else []), *table.remarks), name)


def _text(source: str | Path) -> tuple[str, str, str]:
    """(text, what to call it, a remark)."""
    if isinstance(source, str) and "\n" in source:
        return source, "the table", ""
    try:
        path = Path(source).expanduser()
        there = path.exists()
    except (OSError, ValueError, RuntimeError):  # a name that no system takes
        raise LabError(f"{str(source)!r:.60}: this is no file name; give the name of a CSV file, or the table itself") from None
    if not there and path.parent == Path():
        return sample(str(source)), str(source), "these data are invented: no machine was measured"
    try:
        if path.stat().st_size > 50_000_000:
            raise LabError(f"{path.name}: {path.stat().st_size // 1_000_000} MB is more than a table of measurements")
        raw = path.read_bytes()
    except OSError as error:
        raise LabError(f"{path}: it can't be read ({error.strerror or error})") from None
    text, remark = decode(raw, path.name)
    return text, path.name, remark


def _odd(runs: Sequence[Run]) -> Iterable[str]:
    """Repeats that differ by far more than the timer's uncertainty: said, and nothing left out."""
    for run in runs:
        if len(run.times) > 2 and max(run.times) - min(run.times) > 8 * run.timing:
            yield f"m1 = {run.m1:g} kg, m2 = {run.m2:g} kg: the times lie far apart ({_listed(run.times)} s); was one of them miscounted?"


def _listed(values: Sequence[float]) -> str:
    return ", ".join(f"{v:g}" for v in values)
