"""A simulated class: students with numbers of their own who make known slips, and the points that they have earned.

The points are worked out here, by the rules that a marker would write on the first page of the key (RULES); the judge is not
asked. Slips in an equation are made with the operators that the table of slips names, all others by hand. The students, their
numbers and their work are invented.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from plusway.autograde.algebra import Poly
from plusway.autograde.judging import operators
from plusway.autograde.judging.pieces import pieces_of
from plusway.autograde.judging.slips import SLIPS
from plusway.autograde.marking.assignment import seed_for
from plusway.autograde.marking.numbers import with_numbers
from plusway.autograde.mechanics import derive
from plusway.autograde.scene import Scene
from plusway.lessons import catalogue

RULES = """
Forces: 1 for each thing's diagram, half of it lost for an arrow that is missing.
Equations: 2 for each thing. Method: every force and the inertia are there; signs, sine for cosine and the
other coefficient of friction are condoned, another normal force within the friction too. Accuracy:
as it should be. No accuracy without method. A line that can't be read earns nothing.
Ties: 1. Working: 1 for an equation with one unknown alone, 1 for a value; lines drawn correctly from the student's own wrong
lines earn all; a slip in a line loses that line's point and no other.
Results: 1 each, also where they follow from the student's own lines; a missing unit costs half of one, once.
Sense: 1 for a true check that says something about the scene.
"""

SACK, BALE = "feed-sack", "hay-bale-on-ramp"
ASSIGNMENT = "week-3"
CONDONED = ("flipped-force", "flipped-inertia", "flipped-friction", "sine-cosine", "static-kinetic")
IN_EQUATIONS = (*CONDONED, "missing-force", "extra-force", "mass-for-weight", "weight-for-mass", "other-body", "total-mass",
                "whole-weight")
G = Fraction(98, 10)

Cell = tuple[str, str, str | None]
"""Problem, step, thing: what one grade cell of the notebook is about."""


@dataclass
class Student:
    """`slips`: what this student did on purpose, in words; `points`: {cell: what that earns}."""

    name: str
    seed: str
    answers: dict[str, dict[str, Any]] = field(default_factory=dict)
    points: dict[Cell, float] = field(default_factory=dict)
    slips: list[str] = field(default_factory=list)

    @property
    def total(self) -> float:
        return sum(self.points.values())

    def earns(self, problem: str, step: str, points: float, thing: str | None = None) -> None:
        self.points[problem, step, thing] = float(points)


def simulated(count: int, assignment: str = ASSIGNMENT, seed: int = 1) -> list[Student]:
    """`count` students, each with the seed that the lesson would have drawn; the same class for the same seed."""
    out = []
    for place in range(count):
        name = f"s{place:05}"
        student = Student(name, seed_for(assignment, name))
        dice = random.Random(f"{seed} {name}")
        _sack(student, dice, SACK_WORK[place % len(SACK_WORK)])
        _bale(student, dice, place)
        out.append(student)
    return out


def decimal(x: Fraction, figures: int | None = None) -> str:
    """A number in full (it must end), or to so many figures, never in powers of ten."""
    if figures is None:
        text = f"{float(x):.10f}".rstrip("0").rstrip(".")
        assert Fraction(text) == x
        return text
    text = f"{float(x):#.{figures}g}".removesuffix(".")
    return text if "e" not in text else f"{float(text):f}".rstrip("0").rstrip(".")


def letters(poly: Poly) -> str:
    """A polynomial as a student types it, data as letters."""
    out = ""
    for monomial, c in poly.terms.items():
        word = " ".join(s if e == 1 else f"{s}^{e}" for s, e in sorted(monomial, key=lambda part: "(" in part[0]))
        size = abs(c)
        number = "" if size == 1 and word else str(size)
        out += (" - " if c < 0 else " + ") + " ".join(filter(None, (number, word)))
    return out.removeprefix(" + ").strip() or "0"


# --- the slips in an equation, by the table ----------------------------------------------------------------------------


def slipped(scene: Scene, positive: dict[str, str], kind: str) -> Iterator[tuple[str, str]]:
    """(thing, line) for every way in which that one slip can be made in an equation of the scene."""
    setup = derive(scene, positive)
    module, _, name = SLIPS[kind].operator.partition(".")
    assert module == "operators"
    for thing, equation in setup.equations.items():
        pieces = pieces_of(setup, thing)
        for variant in getattr(operators, name)(setup, thing, pieces):
            if variant.kinds == (kind,):
                forces = Poly.sum(p.poly for p in pieces[:-1])
                left, right = forces + variant.delta, equation.inertia
                if len(pieces) - 1 in variant.touched:
                    left, right = forces, equation.inertia - variant.delta
                if (left - right).at({**setup.given, **setup.values}) == 0:
                    continue  # the other body's acceleration, where both are the same: true after all
                yield thing, f"{letters(left)} = {letters(right)}"


# --- two hanging bodies: a whole paper ------------------------------------------------------------------------------------

SACK_WORK = ("right", "right", "an equation", "right", "missing weight carried through", "arithmetic", "an equation", "tie",
             "no units", "an equation", "false check", "half", "empty", "an equation", "unreadable", "an arrow")


def _sack(student: Student, dice: random.Random, what: str) -> None:
    scene = with_numbers(catalogue.text(SACK), SACK, student.seed)
    m1, m2 = (Fraction(scene.bodies[b].mass.text) for b in ("sack", "counterweight"))
    ways = {b: dice.choice(("up", "down")) for b in ("sack", "counterweight")}
    answers: dict[str, Any] = {"directions": ways, "forces": {
        "sack": [["T", "up"], ["W_1", "down"]], "counterweight": [["T", "up"], ["W_2", "down"]]}}
    student.answers[SACK] = answers if what != "empty" else {}
    student.slips.append(f"{SACK}: {what}")
    for step, thing in [("directions", None), *(("forces", b) for b in ways), *(("equations", b) for b in ways),
                        ("ties", None), ("working", None), ("results", None), ("sense", None)]:
        student.earns(SACK, step, 0, thing)
    if what == "empty":
        return
    for body in ways:
        student.earns(SACK, "forces", 1, body)
        student.earns(SACK, "equations", 2, body)
    signs = {body: 1 if way == "up" else -1 for body, way in ways.items()}
    s1, s2 = signs["sack"], signs["counterweight"]
    answers["equations"] = {body: f"{'' if s > 0 else '-'}T {'-' if s > 0 else '+'} m_{n} g = m_{n} a_{n}"
                            for n, (body, s) in enumerate(signs.items(), 1)}
    if what == "an arrow":
        body = dice.choice(list(ways))
        del answers["forces"][body][dice.randrange(2)]
        student.earns(SACK, "forces", 0.5, body)
    if what == "an equation":
        kind = dice.choice([k for k in IN_EQUATIONS if any(slipped(scene, ways, k))])
        body, line = dice.choice(list(slipped(scene, ways, kind)))
        answers["equations"][body] = line
        student.slips.append(f"{SACK}: {kind}: {body}: {line}")
        student.earns(SACK, "equations", 1 if kind in CONDONED else 0, body)
    if what == "unreadable":
        answers["equations"]["sack"] = "T ++ = (("
        student.earns(SACK, "equations", 0, "sack")
    if what in ("an equation", "unreadable", "half"):
        return  # the student stopped here

    w1 = -m1 * G * s1  # the sack's weight, as it stands on the left
    if what == "missing weight carried through":
        answers["equations"]["sack"] = f"{'' if s1 > 0 else '-'}T = m_1 a_1"
        student.earns(SACK, "equations", 0, "sack")
        w1 = Fraction(0)
    turn = 1 if s1 != s2 else -1
    answers["ties"] = [f"a_1 = {'' if turn > 0 else '-'}a_2"]
    student.earns(SACK, "ties", 1)
    tension = _line_in_a(m1 * s1, -w1 * s1)
    left = f"({tension}) - {decimal(m2 * G)}" if s2 > 0 else f"{decimal(m2 * G)} - ({tension})"
    total = m1 * s1 * s2 - m2 * turn  # the terms with a_1 of the counterweight's line, gathered on the left
    rest = m2 * G * s2 + w1 * s1 * s2
    student.earns(SACK, "working", 2)
    if what == "arithmetic":
        rest = rest * Fraction(9, 10)
        student.earns(SACK, "working", 1)
    a1 = rest / total
    answers["working"] = [f"T = {tension}", f"{left} = {_line_in_a(m2 * turn, Fraction(0))}",
                          f"{_line_in_a(total, Fraction(0))} = {decimal(rest)}", f"a_1 = {decimal(a1, 4)}"]
    tension_value = m1 * s1 * a1 - w1 * s1
    answers["results"] = {"a": f"{decimal(abs(a1), 3)} m/s^2", "T": f"{decimal(tension_value, 3)} N"}
    student.earns(SACK, "results", 2)
    if what == "no units":
        answers["results"] = {symbol: text.split(" ")[0] for symbol, text in answers["results"].items()}
        student.earns(SACK, "results", 1.5)
    if what == "tie":
        answers["ties"] = [f"a_1 = {'-' if turn > 0 else ''}a_2"]
        student.earns(SACK, "ties", 0)
        del answers["working"]
        student.earns(SACK, "working", 0)
    answers["sense"] = ["T > W_2" if what == "false check" else "T < W_2"]
    student.earns(SACK, "sense", 0 if what == "false check" else 1)


def _line_in_a(factor: Fraction, rest: Fraction) -> str:
    """ "6.5a_1 + 63.7" """
    first = f"{'-' if factor < 0 else ''}{decimal(abs(factor))}a_1"
    return first + (f" {'-' if rest < 0 else '+'} {decimal(abs(rest))}" if rest else "")


# --- a slope with friction: diagrams and equations ------------------------------------------------------------------------


def _bale(student: Student, dice: random.Random, place: int) -> None:
    scene = with_numbers(catalogue.text(BALE), BALE, student.seed)
    ways = {"bale": dice.choice(("upslope", "downslope")), "trough": dice.choice(("up", "down"))}
    b, t = (1 if ways["bale"] == "upslope" else -1), (1 if ways["trough"] == "up" else -1)
    slope = {1: "T - m_1 g sin(theta) - mu_k m_1 g cos(theta)", -1: "-T + m_1 g sin(theta) + mu_k m_1 g cos(theta)"}
    lines = {"bale": f"{slope[b]} = m_1 a_1", "trough": f"{'' if t > 0 else '-'}T {'-' if t > 0 else '+'} m_2 g = m_2 a_2"}
    answers: dict[str, Any] = {"directions": ways, "equations": lines, "forces": {
        "bale": [["T", "upslope"], ["W_1", "down"], ["f_1", "downslope"], ["N_1", "away"]],
        "trough": [["T", "up"], ["W_2", "down"]]}}
    student.answers[BALE] = answers
    for thing in ways:
        student.earns(BALE, "forces", 1, thing)
        student.earns(BALE, "equations", 2, thing)
    for step in ("directions", "ties", "working", "results", "sense"):
        student.earns(BALE, step, 0)
    if place % 4:
        kinds = [k for k in IN_EQUATIONS if any(slipped(scene, ways, k))]
        kind = kinds[place % len(kinds)]
        thing, line = dice.choice(list(slipped(scene, ways, kind)))
        lines[thing] = line
        student.slips.append(f"{BALE}: {kind}: {thing}: {line}")
        in_friction = kind == "whole-weight" and "sin(" in line  # N = m g: the weight's own part along the slope is there
        student.earns(BALE, "equations", 1 if kind in CONDONED or in_friction else 0, thing)
    else:
        student.slips.append(f"{BALE}: right as far as it goes")
