"""The working: does each line hold, does it follow, which slip broke the chain, and how far has it come?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from ..reading.complaint import Complaint
from ..reading.tree import Line
from .arithmetic import suspects
from .beliefs import own_sets
from .broken import broken_by
from .chain import Row, Source, follows, given_accelerations, laws_of, links, rows_of, true_ties
from .context import Context
from .equations import meanings, wrong_g
from .evaluate import ALL_ZEROS, Unjudgeable, names_in, numbers_in
from .forms import CONST
from .grounds import Ground
from .laws import balance_said, law_slip, tensions_slip
from .line_checks import coarse, other_g, says_nothing
from .lines import (
    Meaning,
    holds_at,
    holds_somewhere,
    line_names,
    lonely_name,
    lonely_number,
    number_of,
    readings,
    resolve,
    value_look,
)
from .misread import misread
from .says import slip
from .steps_back import candidate_forms
from .units import unlike_terms
from .verdicts import FOLLOWS, RIGHT, SLIP, UNREAD, Slip

NEARLY = 1e-3  # of the largest term
LAST_FIGURE = 0.02  # of the largest term, at most, is what a figure that is off by one in its last place may be off
NOTHING = 99  # more unknowns than any line has
EMPTY = "This says nothing: both sides are the same."
DROPPED_OUT = "The unknown drops out of it, and what is left is not true: somewhere before, a sign is wrong."
KEEP_ONE_MORE = "A figure is off by one in its last place; keep one more figure."


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
    unknowns: int = NOTHING
    value: str = ""  # the unknown that the line gives, where it gives one
    combined: bool = False
    follows_from: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    badness: float = 0.0
    wrong_g: Fraction | None = None


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
    a: tuple[int, str] | None = None  # what the ties say that the letter a is
    ties_wrong: bool = False

    def __post_init__(self) -> None:
        self.lines: list[Source] = []
        self.broken: list[Source] = []
        self.slipped: dict[str, set[str]] = {}  # the kinds of slip in the equation of each thing
        self.own: frozenset[str] = frozenset()  # letters with a law (N, f) that a wrong line gave a value
        self.g: tuple[Fraction, str] | None = None  # another g that the student took, and where it came in
        self.gravities: dict[Fraction, Ground] = {}
        self.true_ties = true_ties(self.context)

    @property
    def base_rows(self) -> list[Row]:
        """Rows that always stand: the shared letter, and ties (the student's own where they wrote wrong ones)."""
        return self.base(self.tie_rows)

    @property
    def tie_rows(self) -> list[Row]:
        return [r for s in self.ties for r in s.rows] if self.ties_wrong else list(self.true_ties)

    @property
    def one_letter(self) -> dict[str, int]:
        """The accelerations that are one letter a, with their signs, a first; {} where they are not, or the student's ties say otherwise."""
        shared = self.context.setup.shared
        return {"a": 1, **shared} if shared and not self.ties_wrong else {}

    def base(self, ties: Sequence[Row], *sources: Source) -> list[Row]:
        """The rows that always stand beside these ties, but for the laws of letters to which one of these sources gives another value."""
        rows = [*links(self.context), *ties]
        if self.own:
            instead = {name for s in sources if not s.true for name in s.defines}
            rows.extend(row for name, row in laws_of(self.context, self.own).items() if name not in instead)
        return rows

    def judge(self, text: str, label: str) -> LineFinding:
        """The finding for the next line; it joins the chain."""
        found = self.look_at(text)
        if found.line is not None and found.verdict in (RIGHT, FOLLOWS, SLIP):
            self.add(label, ends_of(found), found.meaning, found.verdict == RIGHT)
            if found.wrong_g is not None:
                self.g = (found.wrong_g, label)
        return found

    def add(self, label: str, line: Line, meaning: Meaning, true: bool) -> None:
        """A line that later ones may rest on. A wrong value for a letter that has a law puts the student's own in the place of
        the law, in all lines."""
        if not true:
            self._open(self._defined(line, meaning))
        meaning = replace(meaning, own=self.own)
        source = Source(label, line, rows_of(line, self.context, meaning), true, meaning, self._defined(line, meaning))
        self.lines.append(source)
        if not true:
            self.broken.append(source)

    def add_value(self, label: str, symbol: str, value: float, line: Line) -> None:
        """A wrong result, which later results may rest on."""
        law = frozenset({symbol}) & self.context.setup.laws.keys()
        self._open(law)
        row = {(symbol,): 1.0, CONST: -value}
        self.broken.append(Source(label, line, (row,), False, Meaning(own=self.own), law))

    def _open(self, letters: frozenset[str]) -> None:
        if letters - self.own:
            self.own |= letters
            self.equations[:] = map(self._again, self.equations)
            self.lines, self.broken = [self._again(s) for s in self.lines], [self._again(s) for s in self.broken]

    def _again(self, source: Source) -> Source:
        if not source.line.relations:  # a result: its row is as it was
            return source
        meaning = replace(source.meaning, own=self.own)
        return replace(source, rows=rows_of(source.line, self.context, meaning), meaning=meaning)

    def _defined(self, line: Line, meaning: Meaning) -> frozenset[str]:
        """The letters with a law that a line gives a value: N in N = m g."""
        out = set()
        for name in filter(None, map(lonely_name, line.sides)):
            try:
                out.add(resolve(name.name, self.context, meaning)[1])
            except KeyError:
                continue
        return frozenset(out & self.context.setup.laws.keys())

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
        """What the letters of a line may mean; beside a time or a speed, a may be a size, and v signed as a is."""
        names = line_names(line)
        setup, covered = self.context.setup, self.context.setup.covered
        plain = list(meanings(self.context, None, line, self.a))
        if "a" in names and not setup.shared and self.a is None:
            plain += [Meaning(None, (-1, name)) for name in setup.size_of]
        if covered is not None and {covered.time, covered.speed} & names and setup.values[covered.acceleration] * covered.gains < 0:
            sizes = [Meaning(None, (-1, covered.acceleration))] if "a" in names and setup.shared else []
            signed = [replace(m, v=-1) for m in plain] if covered.speed in names else []
            plain += [*sizes, *signed]
        return (replace(m, own=self.own) for m in plain)

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
            if says_nothing(self.context, line, meaning):
                return replace(done, verdict=RIGHT, remarks=(EMPTY,), unknowns=NOTHING, value="", combined=False)
            rough = coarse(self.context, line, meaning)
            if rough is not None and (source := self._follows(line, meaning)) is not None:  # 0.4 is what 1600 = 4000a says
                return replace(done, verdict=FOLLOWS, follows_from=source, badness=1)
            if rough is not None:
                return replace(done, verdict=SLIP, slips=(rough,), badness=1.2)
            return replace(
                done,
                verdict=RIGHT,
                follows_from=self.from_true(line, meaning) or (),
                badness=0 if meaning.a is None or meaning.a[0] > 0 else 0.2,
            )
        source = self._follows(line, meaning)
        if source is not None:
            return replace(done, verdict=FOLLOWS, follows_from=source, badness=1)
        if self.g and other_g(self.context, line, meaning, self.gravities) == self.g[0]:
            return self._with_g(done, self.g[0])
        law = law_slip(self.context, line, meaning)
        if law is None and self._true(line, meaning, widen=2.0) and self._near(line, meaning, LAST_FIGURE):  # N = 24000 for 24417 may be rounded; where it is m g, it is not
            return replace(
                done,
                verdict=RIGHT,
                badness=1.1,
                remarks=(KEEP_ONE_MORE,),
            )
        g = other_g(self.context, line, meaning, self.gravities)
        if g is not None:
            return self._with_g(done, g)
        if self._near(line, meaning) and (source := self.from_true(line, meaning)) is not None:
            return replace(done, verdict=RIGHT, follows_from=source, badness=1.2, remarks=(KEEP_ONE_MORE,))
        law = law or tensions_slip(self.context, line)
        if law is not None and law.kind in self.slipped.get(self.context.scene.symbols[law.term or ""].thing or "", ()):
            thing = self.context.scene.symbols[law.term or ""].thing
            return replace(done, verdict=FOLLOWS, follows_from=(f"equation: {thing}",), badness=1.3)
        known = law or misread(line, self.context, lambda other: self._true(other, meaning)) or broken_by(self, line, meaning)
        slips = (known or slip("does-not-follow", {}, (0, len(line.text)), None, self._said(line, meaning)),)
        return replace(done, verdict=SLIP, slips=slips, badness=3 if known else 5)

    def _with_g(self, done: LineFinding, g: Fraction) -> LineFinding:
        """The finding for a line that holds with another g: a slip where that g comes in, and carried on after it."""
        if self.g and self.g[0] == g:
            return replace(done, verdict=FOLLOWS, follows_from=(self.g[1],), badness=1.05)
        return replace(done, verdict=SLIP, slips=(wrong_g(self.context, g),), wrong_g=g, badness=1.15)

    def balance(self, line: Line, meaning: Meaning) -> str:
        """What is to be said of T = m_2 g."""
        name = lonely_name(line.sides[0])
        if name is None or self.side_unknowns(line.sides[-1], meaning):
            return ""
        try:
            value = number_of(line.sides[-1], value_look(self.context, self.context.actual, meaning), self.context.figures())
            return balance_said(self.context, resolve(name.name, self.context, meaning)[1], value)
        except (KeyError, Unjudgeable):
            return ""

    def _said(self, line: Line, meaning: Meaning) -> str:
        """What can be said of a line that nothing explains: that it compares unlike things, takes a tension for a weight, has only its
        sign wrong."""
        forms = candidate_forms(line, self.context, meaning)
        if forms and not any(k and not c.is_zero() for form in forms for k, c in form.items()) and self._unknowns(line, meaning):
            return DROPPED_OUT
        unlike = unlike_terms(line, self.context, meaning)
        if clash := unlike[0] if unlike else self.balance(line, meaning):
            return clash
        name = lonely_name(line.sides[0])
        if name is None or len(line.sides) < 2 or self.side_unknowns(line.sides[-1], meaning):
            return ""
        try:
            look, figures = value_look(self.context, self.context.actual, meaning), self.context.figures()
            true, given = (number_of(side, look, figures) for side in (line.sides[0], line.sides[-1]))
        except (KeyError, Unjudgeable):
            return ""
        return f"The size of {name.name} fits, but not its sign." if true.mid and (-given).meets(true, 1e-9 * true.size) else ""

    def _blank(self, line: Line, meaning: Meaning) -> LineFinding:
        unknown = self._unknowns(line, meaning)
        value = ""
        if (
            len(unknown) == 1
            and lonely_name(line.sides[0])
            and not any(self.side_unknowns(s, meaning) for s in line.sides[1:])
        ) or (
            len(unknown) == 1
            and lonely_name(line.sides[-1])
            and not any(self.side_unknowns(s, meaning) for s in line.sides[:-1])
        ):
            value = next(iter(unknown))
        combined = len(unknown) == 1 or not any(self._within(line, meaning, s) for s in self.equations)
        return LineFinding(SLIP, line=line, meaning=meaning, unknowns=len(unknown), value=value, combined=combined)

    def _within(self, line: Line, meaning: Meaning, source: Source) -> bool:
        return bool(source.rows) and follows(line, self.context, meaning, [*self.base_rows, *source.rows])

    def side_unknowns(self, side: object, meaning: Meaning) -> set[str]:
        out = set()
        open_symbols = set(self.context.setup.unknowns) | set(self.context.accelerations)
        open_symbols -= given_accelerations(self.context)
        if not self.context.setup.regime.moves and all(s.true for s in self.equations):
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
        return {s for side in line.sides for s in self.side_unknowns(side, meaning)}

    def _true(self, line: Line, meaning: Meaning, widen: float = 1.0) -> bool:
        if "T" in line_names(line) and "T" not in self.context.scene.symbols:
            return False  # the one letter of somebody who took one tension for several
        return holds_somewhere(line, self.context, meaning, widen, loose=ALL_ZEROS if widen > 1 else 0)

    def _follows(self, line: Line, meaning: Meaning) -> tuple[str, ...] | None:
        if not self.broken and all(s.true for s in self.equations) and not self.ties_wrong:
            return None
        for labels, rows in own_sets(self):
            if follows(line, self.context, meaning, rows):
                return labels
        return None

    def _near(self, line: Line, meaning: Meaning, within: float = NEARLY) -> bool:
        """Whether the line is true but for what figures rounded in the lines before may do."""
        if within == NEARLY and not suspects(line, self.context):
            return False
        try:
            figures = self.context.figures(1.0 if within == NEARLY else 0.0)
            return holds_at(line, value_look(self.context, self.context.actual, meaning), figures, within)
        except KeyError:
            return False

    def from_true(self, line: Line, meaning: Meaning) -> tuple[str, ...] | None:
        """The fewest true earlier lines, their figures as they stand, that a line follows from (likest and nearest first); () where it
        needs none, None where it needs more than two. A wrong value that does so was rounded too early."""
        base = self.base_rows
        if follows(line, self.context, meaning, base, slack=1e-9):
            return ()
        trusted = [s for s in [*self.equations, *self.lines] if s.true and s.rows][-10:]
        still = self._unknowns(line, meaning)  # what a line still has open does not come from its value: last, then
        trusted.sort(key=lambda s: not (len(own := self._unknowns(s.line, s.meaning)) == 1 and own <= still))
        has = self._parts(line)
        trusted.sort(key=lambda s: len(has & self._parts(s.line)))
        best: tuple[Source, ...] | None = None
        for size in (1, 2):
            for group in combinations(reversed(trusted), size):
                # A value may fit by itself and yet come from elsewhere: T = 88.2 - 9*1.58 from the line with 88.2 and 9.
                if best is not None and (size == 1 or self._likeness(has, group) <= self._likeness(has, best)):
                    continue
                if follows(line, self.context, meaning, [*base, *(r for s in group for r in s.rows)]):
                    best = group
            if best is not None and (lonely_number(line.sides[-1]) is not None or self._likeness(has, best)[0] == len(has)):
                break
        if best is None:
            return None
        order = {s.label: n for n, s in enumerate([*self.equations, *self.lines])}
        return tuple(sorted((s.label for s in best), key=order.__getitem__))

    def _likeness(self, parts: set[object], sources: tuple[Source, ...]) -> tuple[int, int]:
        """How many of a line's parts stand in these lines, and (less is liker) what else does."""
        theirs = {p for s in sources for p in self._parts(s.line)}
        return len(parts & theirs), -len(theirs - parts)

    def _parts(self, line: Line) -> set[object]:
        """The letters and numbers of a line, the numbers that stand behind its letters too."""
        names = line_names(line)
        behind = {resolve(n, self.context, NO_MEANING)[1] for n in names if n in self.context.scene.symbols and n != "a"}
        given = self.context.actual.given
        return {*names, *(given[s] for s in behind if s in given), *(n.value for side in line.sides for n, _ in numbers_in(side))}
