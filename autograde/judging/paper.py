"""One student's answers to one scene -> verdicts on every step, with the points of the scheme."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..mechanics.setup import Setup, Tie
from ..scene.model import Scene
from ..scene.words import thing_name
from .answers import Answers, check_answers
from .beliefs import one_letter_says
from .chain import Source, links, rank, rows_of
from .chosen import chosen_directions, pick_context
from .clashes import a_in_ties, as_the_ties_say, clashes, consistent_a
from .diagrams import direction_word, judge_forces
from .equations import judge_equation
from .grounds import acceleration_symbols, ties_motions
from .lines import Meaning
from .marks import Marks
from .milestones import GOALS, going_round, milestones, reaches
from .results import ResultFinding, judge_result
from .scheme import Scheme
from .sense import judge_sense
from .ties import TieFinding, judge_tie
from .verdicts import BLANK, FOLLOWS, RIGHT, SLIP, UNREAD, Step, Verdicts
from .working import Chain, LineFinding

MOST_CHECKS = 40  # ties and sense checks that are judged; no problem of this course needs a quarter of that
MOST_WORKING = 150


def judge(scene: Scene, answers: Mapping[str, Any] | Answers, scheme: Scheme | None = None) -> Verdicts:
    """The verdicts on one student's answers. Raises AnswersError where they have not the contract's shape.

    judge(scene, {}) gives every step and item, blank, with what it is worth.
    """
    given = answers if isinstance(answers, Answers) else check_answers(answers, scene)
    return _Judge(scene, given, scheme or Scheme()).all()


class _Judge:
    """One pass over one student's answers; keeps what earlier steps found for the later ones."""

    def __init__(self, scene: Scene, answers: Answers, scheme: Scheme) -> None:
        self.scene, self.answers, self.scheme = scene, answers, scheme
        self.context = pick_context(scene, answers)
        self.setup = self.context.setup
        self.marks = Marks(scene, scheme)
        self.used_shared_a = False
        self.chain = Chain(self.context, [], [], a_in_ties(self.context, answers.ties[:MOST_CHECKS]))

    def all(self) -> Verdicts:
        steps: list[Step] = []
        steps += self.directions()
        steps += self.forces()
        steps += self.equations()
        steps += self.ties()
        steps += self.working()
        steps += self.results()
        steps += self.sense()
        steps += self.beyond()
        return Verdicts(self.scene.name, tuple(steps))

    def beyond(self) -> list[Step]:
        """Lines past the number that is judged: none is lost without a word."""
        out = []
        for step, lines, most in (
            ("ties", self.answers.ties, MOST_CHECKS),
            ("working", self.answers.working, MOST_WORKING),
            ("sense", self.answers.sense, MOST_CHECKS),
        ):
            for n, text in enumerate(lines[most:], most):
                says = f"Only the first {most} lines of this step are judged; take out those that you don't need."
                out.append(Step(step, n, text, UNREAD, 0, 0, says=says, at=(0, len(text))))
        return out

    # directions ------------------------------------------------------------------------------------------------------

    def directions(self) -> list[Step]:
        out = []
        each = self.scheme.directions / max(len(self.scene.things), 1)
        for thing in self.scene.things:
            text = self.answers.directions.get(thing, "")
            words = self.scene.directions(thing)
            if not text:
                out.append(Step("directions", thing, "", BLANK, 0, each))
            elif direction_word(text) in words:
                out.append(Step("directions", thing, text, RIGHT, each, each, says=self._implied()))
            else:
                says = f"“{text:.40}” is no direction of the {thing_name(thing)}: choose {words[0]} or {words[1]}."
                out.append(Step("directions", thing, text, UNREAD, 0, each, says=says, at=(0, len(text))))
        return out

    def _implied(self) -> str:
        if not set(self.scene.things) <= set(chosen_directions(self.scene, self.answers)):
            return ""
        if self.setup.shared and len(self.setup.shared) > 1:
            return "Any choice is right. With these choices all accelerations have the same sign: one letter a will do."
        if len(self.setup.size_of) > 1:
            return "Any choice is right. With these choices not all accelerations have the same sign: give each its own letter and tie them."
        return "Any choice is right."

    # forces ----------------------------------------------------------------------------------------------------------

    def forces(self) -> list[Step]:
        out = []
        of = self.scheme.forces
        for thing in self.setup.equations:
            arrows = self.answers.forces.get(thing)
            if not arrows:
                out.append(Step("forces", thing, "", BLANK, 0, of))
                continue
            text = ", ".join(f"{f} {d}" for f, d in arrows)
            verdict, slips, says = judge_forces(self.context, thing, arrows)
            points = self.marks.forces(thing, verdict, slips)
            out.append(Step("forces", thing, text, verdict, points, of, slips, says, (0, len(text)) if says else None))
        return out

    # equations -------------------------------------------------------------------------------------------------------

    def equations(self) -> list[Step]:
        things = list(self.setup.equations) + [t for t in self.answers.equations if t not in self.setup.equations]
        found = {
            t: judge_equation(self.context, t, self.answers.equations[t])
            for t in things
            if self.answers.equations.get(t, "").strip()
        }
        found = consistent_a(self.context, self.answers.equations, found)
        found, settled = as_the_ties_say(self.context, self.answers.equations, found, self.chain.a)
        found = clashes(self.context, found, settled)
        out = []
        for thing in things:
            text = self.answers.equations.get(thing, "")
            of = self.scheme.equation_method + self.scheme.equation_accuracy if thing in self.setup.equations else 0.0
            if thing not in found:
                out.append(Step("equations", thing, text if not text.strip() else "", BLANK, 0, of))
                continue
            f = found[thing]
            points, marks = self.marks.equation(thing, f) if of else (0.0, ())
            out.append(
                Step("equations", thing, text, f.verdict, points, of, f.slips, f.says, f.at, marks, (), f.remarks)
            )
            if f.wrong_g is not None and self.chain.g is None:
                self.chain.g = (f.wrong_g, f"equation: {thing}")
            self.chain.slipped[thing] = {s.kind for s in f.slips}
            if f.line is not None and f.verdict in (RIGHT, SLIP):
                meaning = Meaning(thing, f.used_a, tilt=f.tilt)
                rows = rows_of(f.line, self.context, meaning)
                self.chain.equations.append(Source(f"equation: {thing}", f.line, rows, f.verdict == RIGHT, meaning))
        self.used_shared_a = bool(self.setup.shared) and any(f.used_a for f in found.values())
        return out

    # ties ------------------------------------------------------------------------------------------------------------

    def ties(self) -> list[Step]:
        needed = len(_ties_to_find(self.setup))
        found: list[tuple[str, TieFinding | None]] = [
            (t, judge_tie(self.context, t, self.chain.a) if t.strip() else None) for t in self.answers.ties[:MOST_CHECKS]
        ]
        each = self.scheme.ties / needed if needed else 0.0
        covered = self._covered([f for _, f in found])
        wrong = [n for n, (_, f) in enumerate(found) if f is not None and f.verdict != RIGHT]
        worth = dict(enumerate(covered))
        for n in wrong[: max(0, needed - sum(covered))]:
            worth[n] = 1
        out = []
        for n, (text, f) in enumerate(found):
            of = each * worth.get(n, 0)
            if f is None:
                out.append(Step("ties", n, text, BLANK, 0, of))
                continue
            source = one_letter_says(self.chain, f) if f.verdict == SLIP else ()
            verdict, slips = (FOLLOWS, ()) if source else (f.verdict, f.slips)
            points = of if verdict in (RIGHT, FOLLOWS) else 0.0
            out.append(Step("ties", n, text, verdict, points, of, slips, f.says, f.at, follows_from=source))
            if f.line is not None:
                self.chain.ties.append(
                    Source(
                        f"tie {n + 1}", f.line, rows_of(f.line, self.context, f.meaning), f.verdict == RIGHT, f.meaning
                    )
                )
                if f.verdict == SLIP and f.tie:
                    self.chain.ties_wrong = True
        implied = self._implied_ties([f for _, f in found])
        for extra in range(needed - sum(worth.values())):
            n = len(found) + extra
            if extra < implied:
                out.append(Step("ties", n, "", RIGHT, each, each, says="Your one letter a for all says it."))
            else:
                out.append(Step("ties", n, "", BLANK, 0, each))
        return out

    def _covered(self, found: Sequence[TieFinding | None]) -> list[int]:
        """How many ties each right line says that those before it don't: a_1 = a_2 = R alpha says two."""
        rows = list(links(self.context)[:1])  # the letter a, where it may stand for all, is the first body's acceleration
        if self.chain.a is not None:  # the ties themselves say what a is: that a line names it so ties nothing
            sign, name = self.chain.a
            rows.append({("a",): 1.0, (name,): -float(sign)})
        known = rank(rows)
        out = []
        for f in found:
            if f is not None and f.line is not None and f.verdict == RIGHT and f.tie:
                rows += rows_of(f.line, self.context, f.meaning)
            out.append(max(0, rank(rows) - known))
            known = max(known, rank(rows))
        return out

    def _implied_ties(self, found: Sequence[TieFinding | None]) -> int:
        """How many ties the one letter a stands for that no line says, where the student used it and may."""
        if not self.used_shared_a:
            return 0
        every = list(links(self.context))
        rows = [
            r
            for f in found
            if f is not None and f.line is not None and f.verdict == RIGHT and f.tie
            for r in rows_of(f.line, self.context, f.meaning)
        ]
        return rank([*rows, *every]) - rank([*rows, *every[:1]])

    # working ---------------------------------------------------------------------------------------------------------

    def working(self) -> list[Step]:
        goals = milestones(self.context)
        reached: set[str] = set()
        lost: dict[str, int] = {}
        rows: list[tuple[str, LineFinding | None, list[str]]] = []
        for n, text in enumerate(self.answers.working[:MOST_WORKING]):
            f = self.chain.judge(text, f"line {n + 1}") if text.strip() else None
            gained: list[str] = []
            if f is not None and f.verdict in (RIGHT, FOLLOWS):
                open_goals = [g for g in goals if g not in reached and (g not in lost or f.verdict == RIGHT)]
                gained = [g for g in open_goals if reaches(f, g)]
                reached |= set(gained)
            elif f is not None and f.verdict == SLIP:
                goal = next((g for g in goals if g not in reached and g not in lost), None)
                if goal is None:
                    self.marks.unpaid[f"line {n + 1}"] = self.marks.left_by(f.slips)
                else:
                    lost[goal] = n
            if f is not None:
                self.marks.rests_on[f"line {n + 1}"] = f.follows_from
            rows.append((text, f, gained))
        slipped = {g: n for g, n in lost.items() if g not in reached}
        self.marks.another_g([None if f is None else f.wrong_g for _, f, _ in rows], set(slipped.values()))
        out = []
        each = self.scheme.working_line
        for n, (text, f, gained) in enumerate(rows):
            missed = sum(1 for at in slipped.values() if at == n)
            of = each * (len(gained) + missed)
            if f is None:
                out.append(Step("working", n, text, BLANK, 0, of))
                continue
            marks = tuple(("M" if g != "value" else "A", each, GOALS[g]) for g in gained)
            remarks = (
                f.remarks if gained or f.verdict not in (RIGHT, FOLLOWS) else (*f.remarks, *going_round(f, [found for _, found, _ in rows[:n]]))
            )
            out.append(
                Step(
                    "working",
                    n,
                    text,
                    f.verdict,
                    each * (len(gained) + (missed * self.marks.left_by(f.slips) if f.verdict == SLIP else 0)),
                    of,
                    f.slips,
                    f.says,
                    f.at,
                    marks,
                    f.follows_from,
                    remarks,
                )
            )
        for g in goals:
            if g not in reached and g not in slipped:
                out.append(Step("working", len(out), "", BLANK, 0, each, says=f"Still to come: {GOALS[g]}."))
        return out

    # results ---------------------------------------------------------------------------------------------------------

    def results(self) -> list[Step]:
        out = []
        asked = list(self.scene.asked)
        symbols = [*asked, *(s for s in self.answers.results if s not in asked)]
        given = {s: text for s in symbols if (text := self.answers.results.get(s, "")).strip()}
        found = {s: judge_result(self.context, s, given[s], self.chain) for s in sorted(given, key=self._rests_on)}
        for symbol in symbols:
            of = self.scheme.results if symbol in asked else 0.0
            if symbol not in given:
                said = symbol == "a" and self._said_by_each(found)
                verdict, says = (RIGHT, "Your values for each thing say it.") if said else (BLANK, "")
                out.append(Step("results", symbol, "", verdict, of if said else 0, of, says=says))
                continue
            f, text = found[symbol], given[symbol]
            points, marks = self.marks.result(f, of)
            out.append(
                Step(
                    "results",
                    symbol,
                    text,
                    f.verdict,
                    points,
                    of,
                    f.slips,
                    f.says,
                    f.at,
                    marks,
                    f.follows_from,
                    f.remarks,
                )
            )
        return out

    def _said_by_each(self, found: Mapping[str, ResultFinding]) -> bool:
        """Whether the size a that all share is given by the accelerations of things, each with its own sign: a_1 = 1.58, a_2 = -1.58."""
        own = [f.verdict for s, f in found.items() if s in self.setup.size_of]
        return bool(own) and set(own) <= {RIGHT, FOLLOWS}

    def _rests_on(self, symbol: str) -> tuple[int, int]:
        """Results are judged in the order in which one rests on another: what has a law (N, then f) before what it accelerates."""

        def depth(name: str) -> int:
            law = self.setup.laws.get(name)
            return 1 + max(map(depth, law.symbols), default=0) if law is not None else 0

        known = self.scene.symbols.get(symbol)
        if known is not None and known.kind in ("time", "speed"):
            return 2, 0
        return (0, depth(symbol)) if symbol in self.setup.laws else (1, 0)

    # sense -----------------------------------------------------------------------------------------------------------

    def sense(self) -> list[Step]:
        total = self.scheme.sense
        found = [(t, judge_sense(self.context, t) if t.strip() else None) for t in self.answers.sense[:MOST_CHECKS]]
        count = sum(1 for _, f in found if f is not None)
        if not count:
            return [
                *(Step("sense", n, t, BLANK, 0, 0) for n, (t, _) in enumerate(found)),
                Step("sense", len(found), "", BLANK, 0, total),
            ]
        out = []
        for n, (text, f) in enumerate(found):
            if f is None:
                out.append(Step("sense", n, text, BLANK, 0, 0))
                continue
            of = total / count
            out.append(Step("sense", n, text, f.verdict, of if f.verdict == RIGHT else 0.0, of, f.slips, f.says, f.at, remarks=f.remarks))
        return out


def _ties_to_find(setup: Setup) -> list[Tie]:
    """The ties that a student has to write: those between two things that can move."""
    return [
        t
        for t in setup.ties
        if ties_motions(t, set(acceleration_symbols(setup)))
        and len(t.poly.symbols & set(acceleration_symbols(setup))) > 1
    ]
