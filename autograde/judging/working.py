"""The working: does each line hold, does it follow, which slip broke the chain, and how far has it come?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations

from ..reading.complaint import Complaint
from ..reading.tree import Line
from .arithmetic import arithmetic_slip, needed_values, plausible, suspects
from .chain import Row, Source, follows, links, raw_look, rows_of, true_ties
from .context import Context
from .equations import meanings
from .evaluate import ALL_ZEROS, Unjudgeable, names_in
from .forms import CONST, Form, plus, same_up_to_scale
from .lines import (
    Meaning,
    difference,
    equalities,
    holds_somewhere,
    line_names,
    lonely_name,
    lonely_number,
    number_of,
    readings,
    resolve,
    value_look,
)
from .says import slip
from .steps_back import candidate_forms, explain, parts_of_line, row_of, where
from .verdicts import FOLLOWS, RIGHT, SLIP, UNREAD, Slip

ROUNDED = 0.015  # a value this near to the true one, yet off, is off by rounding
MOST_SETS = 150


NO_MEANING = Meaning()


@dataclass(frozen=True)
class LineFinding:
    """verdict on one line of working; unknowns: how many different unknowns it still has; value: whether it gives one alone."""

    verdict: str
    slips: tuple[Slip, ...] = ()
    line: Line | None = None
    meaning: Meaning = NO_MEANING
    says: str = ""
    at: tuple[int, int] | None = None
    unknowns: int = 99
    value: str = ""  # the unknown that the line gives, where it gives one
    combined: bool = False
    follows_from: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    badness: float = 0.0


def ends_of(found: LineFinding) -> Line:
    """What later lines may rest on: of a chain that broke inside (a = 24.5/15.5 = 1.85), its two ends."""
    line = found.line
    assert line is not None
    if found.verdict != SLIP or len(line.sides) <= 2:
        return line
    return replace(line, sides=(line.sides[0], line.sides[-1]), relations=("=",))


@dataclass
class Chain:
    """The lines so far: the student's own equations and ties, then the working, line by line."""

    context: Context
    equations: list[Source]
    ties: list[Source]
    ties_wrong: bool = False

    def __post_init__(self) -> None:
        self.lines: list[Source] = []
        self.broken: list[Source] = []
        self._true_ties = self._true_ties

    @cached_property
    def _true_ties(self) -> tuple[Row, ...]:
        return true_ties(self.context)

    @property
    def base_rows(self) -> list[Row]:
        """Rows that always stand: the shared letter, and ties (the student's own where they wrote wrong ones)."""
        rows = list(links(self.context))
        if self.ties_wrong:
            rows.extend(r for s in self.ties for r in s.rows)
        else:
            rows.extend(self._true_ties)
        return rows

    def judge(self, text: str, label: str) -> LineFinding:
        """The finding for the next line; it joins the chain."""
        found = self.look_at(text)
        if found.line is not None and found.verdict in (RIGHT, FOLLOWS, SLIP):
            rows = rows_of(ends_of(found), self.context, found.meaning)
            source = Source(label, found.line, rows, found.verdict == RIGHT, found.meaning)
            self.lines.append(source)
            if found.verdict != RIGHT:
                self.broken.append(source)
        return found

    def look_at(self, text: str) -> LineFinding:
        """The finding for a line that would come next."""
        try:
            lines = readings(text, self.context)
        except Complaint as complaint:
            return LineFinding(UNREAD, says=complaint.says, at=complaint.at, badness=99)
        best: LineFinding | None = None
        for line in lines:
            for meaning in self._meanings(line):
                try:
                    found = self._one(line, meaning)
                except Unjudgeable as problem:
                    found = LineFinding(UNREAD, line=line, says=problem.says, at=(0, len(text)), badness=60)
                if best is None or found.badness < best.badness:
                    best = found
                if best.verdict == RIGHT:
                    return best
        assert best is not None
        return best

    def _meanings(self, line: Line) -> Iterator[Meaning]:
        yield from meanings(self.context, None, line)
        if "a" in line_names(line) and not self.context.setup.shared:
            for name in self.context.setup.size_of:
                yield Meaning(None, (-1, name))

    def _one(self, line: Line, meaning: Meaning) -> LineFinding:
        if line.condition is not None:  # 24.5 = 15.5a => a = 1.58: two lines in one
            halves = [self._one(h, meaning) for h in (line.condition, replace(line, condition=None))]
            return halves[1] if halves[0].badness <= halves[1].badness else halves[0]
        if not line.relations:
            return LineFinding(
                UNREAD,
                line=line,
                says="A line of working is an equation: something = something.",
                at=(0, len(line.text)),
                badness=50,
            )
        done = self._blank(line, meaning)
        if self._true(line, meaning):
            return replace(
                done,
                verdict=RIGHT,
                follows_from=self._from_true(line, meaning),
                badness=0 if meaning.a is None or meaning.a[0] > 0 else 0.2,
            )
        source = self._follows(line, meaning)
        if source is not None:
            return replace(done, verdict=FOLLOWS, follows_from=source, badness=1)
        if self._true(line, meaning, widen=2.0):
            return replace(
                done,
                verdict=RIGHT,
                badness=1.1,
                remarks=("A figure is off by one in its last place; keep one more figure.",),
            )
        return replace(done, verdict=SLIP, slips=(self._slip(line, meaning),), badness=3 if self._named else 5)

    def _blank(self, line: Line, meaning: Meaning) -> LineFinding:
        unknown = self._unknowns(line, meaning)
        value = ""
        if (
            len(unknown) == 1
            and lonely_name(line.sides[0])
            and not any(self._side_unknowns(s, meaning) for s in line.sides[1:])
        ) or (
            len(unknown) == 1
            and lonely_name(line.sides[-1])
            and not any(self._side_unknowns(s, meaning) for s in line.sides[:-1])
        ):
            value = next(iter(unknown))
        combined = len(unknown) == 1 or not any(self._within(line, meaning, s) for s in self.equations)
        return LineFinding(SLIP, line=line, meaning=meaning, unknowns=len(unknown), value=value, combined=combined)

    def _within(self, line: Line, meaning: Meaning, source: Source) -> bool:
        return bool(source.rows) and follows(line, self.context, meaning, [*self.base_rows, *source.rows])

    def _side_unknowns(self, side: object, meaning: Meaning) -> set[str]:
        out = set()
        open_symbols = set(self.context.setup.unknowns) | set(self.context.accelerations)
        if not self.context.setup.regime.moves:
            open_symbols -= set(self.context.accelerations)
        for name in names_in(side):  # type: ignore[arg-type]
            try:
                _, symbol = resolve(name, self.context, meaning)
            except KeyError:
                symbol = name
            if symbol in open_symbols or name in ("a", "T"):
                out.add("a" if name == "a" or symbol in self.context.setup.shared else symbol)
        return out

    def _unknowns(self, line: Line, meaning: Meaning) -> set[str]:
        return {s for side in line.sides for s in self._side_unknowns(side, meaning)}

    def _true(self, line: Line, meaning: Meaning, widen: float = 1.0) -> bool:
        return holds_somewhere(line, self.context, meaning, widen, loose=ALL_ZEROS if widen > 1 else 0)

    def sets(self) -> Iterator[tuple[tuple[str, ...], list[Row]]]:
        """The sets of own lines that a wrong line may follow from: the whole own system, then each broken line with others."""
        base = self.base_rows
        whole = [r for s in self.equations for r in s.rows]
        if whole:
            yield tuple(s.label for s in self.equations), [*base, *whole]
        others = [*self.equations, *self.lines]
        count = 0
        for broken in reversed(self.broken):
            yield (broken.label,), [*base, *broken.rows]
            rest = [s for s in others if s is not broken and s.rows]
            for size in (1, 2):
                for group in combinations(reversed(rest), size):
                    count += 1
                    if count > MOST_SETS:
                        return
                    yield (
                        (broken.label, *(s.label for s in group)),
                        [*base, *broken.rows, *(r for s in group for r in s.rows)],
                    )
        for size in (1, 2):
            for group in combinations(reversed(self.equations), size):
                if any(not s.true for s in group):
                    yield tuple(s.label for s in group), [*base, *(r for s in group for r in s.rows)]

    def _follows(self, line: Line, meaning: Meaning) -> tuple[str, ...] | None:
        if not self.broken and all(s.true for s in self.equations) and not self.ties_wrong:
            return None
        for labels, rows in self.sets():
            if follows(line, self.context, meaning, rows):
                return labels
        return None

    def _from_true(self, line: Line, meaning: Meaning) -> tuple[str, ...]:
        """The fewest true earlier lines, their figures as they stand, that a line follows from (nearest first); empty where it
        needs none or more than two. A wrong value that does so was rounded too early."""
        base = self.base_rows
        trusted = [s for s in [*self.equations, *self.lines] if s.true and s.rows][-10:]
        for size in (1, 2):
            for group in combinations(reversed(trusted), size):
                if follows(line, self.context, meaning, [*base, *(r for s in group for r in s.rows)]):
                    return tuple(s.label for s in reversed(group))
        return ()

    _named = True

    def _slip(self, line: Line, meaning: Meaning) -> Slip:
        """The slip that broke the chain here."""
        self._named = True
        whole = (0, len(line.text))
        earlier = [s for s in [*self.equations, *self.lines] if s.rows]
        fall = self._free_fall(line, meaning)
        if fall is not None:
            return fall
        rounded = self._rounded(line, meaning)
        if rounded is not None:
            return rounded
        forms = candidate_forms(line, self.context, meaning)
        numeric = self._numeric_part(line, meaning)
        if numeric is not None:
            return numeric
        turned = self._tie_turned(line, meaning, earlier)
        step = explain(forms, earlier, self.context)
        if turned is not None and (step is None or not step.exact):
            return turned
        if step is not None:
            at = where(step, line, self.context, meaning) or self._find(line, step.term)
            term = line.text[at[0] : at[1]].strip() if at else step.term
            return slip(step.kind, {"force": f"'{term}' (from {step.source})"}, at or whole, term)
        number = lonely_number(line.sides[-1])
        if number is not None and self._from_true(line, meaning):
            return slip("rounding", {"wrote": number.text}, number.at)
        arithmetic = self._arithmetic(line, meaning, earlier)
        if arithmetic is not None:
            return arithmetic
        self._named = False
        return slip("does-not-follow", {}, whole)

    def _tie_turned(self, line: Line, meaning: Meaning, earlier: Sequence[Source]) -> Slip | None:
        """A tie put in with the other sign: the line follows from earlier ones if one tie is turned round."""
        if self.context.setup.shared or self.ties_wrong:
            return None
        ties = self._true_ties
        for n, tie in enumerate(ties):
            if len([k for k in tie if k]) != 2 or tie.get(CONST):
                continue
            first = next(k for k in tie if k)
            turned = [*ties[:n], {**tie, first: -tie[first]}, *ties[n + 1 :]]
            for size in (1, 2):
                for group in combinations(list(reversed(earlier))[:6], size):
                    rows = [r for s in group for r in s.rows]
                    if not any(k in r for r in rows for k in tie if k):
                        continue
                    if follows(line, self.context, meaning, [*turned, *rows], slack=1e-6):
                        names = " and ".join(k[0] for k in tie if k)
                        return slip("flipped-tie", {}, (0, len(line.text)), names, f"(It is the one between {names}.)")
        return None

    @staticmethod
    def _find(line: Line, term: str) -> tuple[int, int] | None:
        bare = term.lstrip("+-−– ").strip()
        start = line.text.find(bare)
        return (start, start + len(bare)) if bare and start >= 0 else None

    def _free_fall(self, line: Line, meaning: Meaning) -> Slip | None:
        """a = g, as a letter or a number, for something that is held back."""
        name = lonely_name(line.sides[0])
        if name is None or not line.relations or line.relations[0] not in ("=", "≈"):
            return None
        try:
            _, symbol = resolve(name.name, self.context, meaning)
            kind = self.context.scene.symbols[symbol].kind
            if kind != "acceleration":
                return None
            value = number_of(
                line.sides[-1], value_look(self.context, self.context.actual, meaning, {}), self.context.figures()
            )
        except (KeyError, Unjudgeable):
            return None
        if self._side_unknowns(line.sides[-1], meaning):
            return None
        g = self.context.actual.numbers["g"]
        if value.lo - 1e-9 <= g <= value.hi + 1e-9 or value.lo - 1e-9 <= -g <= value.hi + 1e-9:
            return slip("free-fall", {}, (0, len(line.text)), name.name)
        return None

    def _rounded(self, line: Line, meaning: Meaning) -> Slip | None:
        name, number = lonely_name(line.sides[0]), lonely_number(line.sides[-1])
        if name is None or number is None:
            return None
        try:
            look = value_look(self.context, self.context.actual, meaning)
            true = number_of(line.sides[0], look, self.context.figures()).mid
            given = number_of(line.sides[-1], look, self.context.figures(0.0)).mid
        except (KeyError, Unjudgeable):
            return None
        if true and abs(given - true) <= ROUNDED * abs(true):
            return slip("rounding", {"wrote": number.text}, number.at, name.name)
        return None

    def _numeric_part(self, line: Line, meaning: Meaning) -> Slip | None:
        """a = 24.5/15.5 = 1.85: two neighbouring sides are plain numbers, and not equal."""
        if len(line.sides) < 2:
            return None
        look = value_look(self.context, self.context.actual, meaning, {})
        for left, right, relation in zip(line.sides, line.sides[1:], line.relations, strict=False):
            number = lonely_number(right)
            if (
                relation not in ("=", "≈")
                or number is None
                or number.value == 0
                or self._side_unknowns(left, meaning)
                or lonely_number(left)
            ):
                continue
            try:
                a, b = number_of(left, look, self.context.figures()), number_of(right, look, self.context.figures())
            except (KeyError, Unjudgeable):
                continue
            if not a.meets(b, 1e-9 * a.size) and abs(a.mid) > 0:
                off = abs(a.mid - b.mid) / abs(a.mid)
                if off <= ROUNDED:
                    return slip("rounding", {"wrote": number.text}, number.at)
                return arithmetic_slip(number)
        return None

    def _arithmetic(self, line: Line, meaning: Meaning, earlier: Sequence[Source]) -> Slip | None:
        """One number of the line would have to be another for it to follow from one line, or from two put together."""
        pairs = equalities(line)
        if len(pairs) != 1 or not suspects(line, self.context):
            return None

        def form(instead: object) -> Form:
            return difference(pairs[0], raw_look(self.context, meaning), self.context.figures(0.0, instead))  # type: ignore[arg-type]

        keys = {k for k, c in form({}).items() if k and not c.is_zero()}
        # a bare value out of two equations is several steps at once: no single number explains it
        jump = lonely_name(line.sides[0]) is not None and lonely_number(line.sides[-1]) is not None
        for target in self._targets(list(earlier), keys, jump):
            known = {abs(x) for x in target.values()}
            numbers = sorted(
                suspects(line, self.context),
                key=lambda n: any(abs(float(n.value) - x) <= float(n.half) + 1e-9 for x in known),
            )
            for number in numbers:
                for value in needed_values(line, number, form, target):
                    figures = self.context.figures(1.0, {number.at: value})
                    if plausible(number, value) and same_up_to_scale(
                        difference(pairs[0], raw_look(self.context, meaning), figures), target
                    ):
                        return arithmetic_slip(number)
        return None

    def _targets(self, earlier: list[Source], keys: set[tuple[str, ...]], jump: bool) -> Iterator[Row]:
        rows = [(s, row_of(parts_of_line(s, self.context))) for s in earlier]
        for _, row in reversed(rows):
            if {k for k in row if k and abs(row[k]) > 1e-12} == keys:
                yield row
        if jump:
            return
        for (_, a), (_, b) in combinations(list(reversed(rows))[:8], 2):
            for name in {k for k in a if k and a[k]} & {k for k in b if k and b[k]}:
                row = plus(b, a, -b[name] / a[name])
                row.pop(name, None)
                if {k for k in row if k and abs(row[k]) > 1e-9} == keys:
                    yield {k: x for k, x in row.items() if abs(x) > 1e-9}
