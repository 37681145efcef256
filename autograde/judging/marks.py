"""Points: method and accuracy, follow-through, and every error that costs once only."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from ..scene.model import Scene
from .equations import Finding
from .results import ResultFinding
from .scheme import Scheme
from .verdicts import FOLLOWS, RIGHT, SLIP, Slip

Points = tuple[float, tuple[tuple[str, float, str], ...]]
ONE_IDEA = {("one-tension", "tension")}  # no sign, yet one idea that goes through every equation


class Marks:
    """The points of one paper; remembers which errors have been paid for."""

    def __init__(self, scene: Scene, scheme: Scheme) -> None:
        self.scene, self.scheme = scene, scheme
        self.seen_errors: set[tuple[str, str]] = set()
        self.drawn_errors: set[tuple[str, str]] = set()
        self.drawn: dict[str, dict[tuple[str, str], float]] = {}  # what each error in a thing's diagram has cost
        self.unit_spent = False
        self.whole_spent = False
        self.g_spent: set[Fraction] = set()
        # Lines of working whose slip cost nothing there, all its milestones being reached: what is left of a result that rests on it.
        self.unpaid: dict[str, float] = {}
        self.rests_on: dict[str, tuple[str, ...]] = {}

    def forces(self, thing: str, verdict: str, slips: Sequence[Slip]) -> float:
        """The points of a force diagram: each error costs its part, in the first diagram that has it."""
        of = self.scheme.forces
        if verdict == RIGHT:
            return of
        if verdict != SLIP:
            return 0.0
        left, costs = of, self.drawn.setdefault(thing, {})
        for s in slips:
            error = (s.kind, self._class_of(s))
            if error not in self.drawn_errors or error in costs:
                cost = min(left, self.scheme.forces_slip * of)
                left -= cost
                costs[error] = costs.get(error, 0.0) + cost
        self.drawn_errors |= costs.keys()
        return left

    def equation(self, thing: str, f: Finding) -> Points:
        """The points of an equation, with the marks that they are made of. An error that is in the thing's diagram too costs no more
        than it would without the diagram."""
        points, marks = self._equation(f)
        errors = {(s.kind, self._class_of(s)) for s in f.slips}
        drawn = self.drawn.get(thing, {})
        if f.verdict == SLIP and errors <= drawn.keys():
            back = min(sum(drawn[e] for e in errors), self.scheme.equation_method + self.scheme.equation_accuracy - points)
            if back > 0:
                return points + back, (*marks, ("A", back, "this was paid for in the diagram"))
        return points, marks

    def _equation(self, f: Finding) -> Points:
        method, accuracy = self.scheme.equation_method, self.scheme.equation_accuracy
        if f.verdict == RIGHT:
            return method + accuracy, (
                ("M", method, "every force and the inertia are there"),
                ("A", accuracy, "as it should be"),
            )
        if f.verdict != SLIP:
            return 0.0, (("M", 0.0, "not readable"), ("A", 0.0, "not readable"))
        if f.whole_system:
            if self.whole_spent:
                return 0.0, (("M", 0.0, "a whole-system equation stands for one body only"), ("A", 0.0, ""))
            self.whole_spent = True
            points = min(self.scheme.whole_system, method + accuracy)
            return points, (
                ("M", points, "a true whole-system equation may stand for one body"),
                ("A", 0.0, "not the equation that was asked"),
            )
        if f.wrong_g is not None:
            if self.g_spent:
                return method + accuracy, (
                    ("M", method, "all there"),
                    ("A", accuracy, "a wrong g costs once only"),
                )
            self.g_spent.add(f.wrong_g)
            return method, (("M", method, "all there"), ("A", 0.0, "wrong g"))
        errors = {(s.kind, self._class_of(s)) for s in f.slips}
        repeated = errors <= self.seen_errors and all(s.kind != "unnamed" for s in f.slips) and (f.method or errors <= ONE_IDEA)
        self.seen_errors |= errors
        if repeated:
            return method + accuracy, (
                ("M", method, "all there; signs, sine and cosine condoned"),
                ("A", accuracy, "the same error costs once only"),
            )
        if f.method:
            return method, (
                ("M", method, "every force and the inertia are there; signs, sine and cosine condoned"),
                ("A", 0.0, f.slips[0].kind),
            )
        return 0.0, (("M", 0.0, f.slips[0].kind if f.slips else ""), ("A", 0.0, "lost with its method mark"))

    def _class_of(self, s: Slip) -> str:
        known = self.scene.symbols.get(s.term or "")
        if known is None and s.term in ("friction", "normal"):  # forces that the scene has no letter for
            return s.term
        return known.kind if known else "inertia" if s.term else ""

    def another_g(self, lines: Sequence[Fraction | None], paid: set[int]) -> None:
        """A wrong g that comes in with a line of working costs once: there, or where a result rests on it. paid: the lines that cost."""
        for n, g in enumerate(lines):
            if g is not None and not self.g_spent:
                self.g_spent.add(g)
                if n not in paid:
                    self.unpaid[f"line {n + 1}"] = 0.0

    def left_by(self, slips: Sequence[Slip]) -> float:
        """What part of a mark is left where these slips are made: some of it where they are rounding only."""
        return self.scheme.rounding if slips and all(s.kind == "rounding" for s in slips) else 0.0

    def result(self, f: ResultFinding, of: float) -> Points:
        if f.verdict == RIGHT:
            return of, (("A", of, "value, unit and figures"),)
        if f.verdict == FOLLOWS:
            slip = self._unpaid_behind(f.follows_from)
            if slip:
                left = of * self.unpaid.pop(slip)
                return left, (("A", left, f"the slip in {slip} of the working is paid for here"),)
            if f.absurd:
                return 0.0, (("A ft", 0.0, "it follows, but a value that can't be earns no last mark"),)
            return of, (("A ft", of, "it follows from your own lines"),)
        if f.unit_only:
            if self.unit_spent:
                return of, (("A", of, "a missing unit costs once only"),)
            self.unit_spent = True
            return of * self.scheme.unit, (("A", of * self.scheme.unit, "unit missing or wrong"),)
        if f.wrong_g is not None and f.verdict == SLIP:
            if self.g_spent:
                return of, (("A ft", of, "a wrong g costs once only"),)
            self.g_spent.add(f.wrong_g)
            return 0.0, (("A", 0.0, "wrong g"),)
        left = of * self.left_by(f.slips)
        if left:
            return left, (("A", left, "off by rounding only"),)
        return 0.0, (("A", 0.0, f.slips[0].kind if f.slips else "not readable"),)

    def _unpaid_behind(self, labels: tuple[str, ...]) -> str | None:
        """A line with a slip that has cost nothing yet, among the lines that a result rests on."""
        seen: set[str] = set()
        todo = list(labels)
        while todo:
            label = todo.pop()
            if label in self.unpaid:
                return label
            if label not in seen:
                seen.add(label)
                todo.extend(self.rests_on.get(label, ()))
        return None
