"""What a student's wrong lines rest on: sets of their own lines, on the scene's ties, on their own, or on what their letters say.

Whoever takes one letter a for things that go different ways, or one T for two tensions, or friction at its limit where it holds, has
other ties than the scene; what they draw from them follows all the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

from .chain import Row, Source, rank, rows_of, true_ties
from .diagrams import two_sided
from .lines import line_names

if TYPE_CHECKING:
    from .ties import TieFinding
    from .working import Chain

MOST_SETS = 150


def own_sets(chain: Chain) -> Iterator[tuple[tuple[str, ...], list[Row]]]:
    """The sets of own lines that a wrong line may follow from, with what stands beside them: the whole own system, then each broken
    line with others."""
    for ties in _every_ground(chain):
        yield from _sets(chain, ties)


def _every_ground(chain: Chain) -> Iterator[Sequence[Row]]:
    yield chain.tie_rows
    if all(s.true for s in chain.equations) and not chain.ties_wrong:
        return
    context = chain.context
    if not chain.ties_wrong and not context.setup.regime.moves:
        yield true_ties(context, at_rest=False)
    letters = _one_letter(chain)
    if letters:
        yield [*letters, *((r for s in chain.ties for r in s.rows) if chain.ties_wrong else ())]
    tensions = _one_tension(chain)
    if tensions:
        yield [*chain.tie_rows, *tensions]


def _one_letter(chain: Chain) -> list[Row]:
    """That the one letter a is the acceleration of each thing in whose equation it stands, where the scene does not say so."""
    context = chain.context
    if context.setup.shared:
        return []
    users = [s.meaning.thing for s in chain.equations if "a" in line_names(s.line)]
    own = [context.scene.symbol_of("acceleration", thing) for thing in users]
    rows: list[Row] = [{("a",): 1.0, (name,): -1.0} for name in own if name is not None]
    if not rows and chain.ties_wrong:  # a_1 = a_2, it says, and then there is one a
        tied = [k[0] for s in chain.ties for r in s.rows for k in r if k]
        rows = [{("a",): 1.0, (name,): -1.0} for name in tied[:1] if name != "a"]
    return rows


def one_letter_says(chain: Chain, tie: TieFinding) -> tuple[str, ...]:
    """The equation in which one letter a stands for accelerations of opposite signs, where a wrong tie says no more than that: a_1 = a_2."""
    clash = next((f"equation: {thing}" for thing, kinds in chain.slipped.items() if "clashing-directions" in kinds), None)
    if clash is None or tie.line is None:
        return ()
    letters = _one_letter(chain)
    rows = rows_of(tie.line, chain.context, tie.meaning)
    return (clash,) if rows and letters and rank([*letters, *rows]) == rank(letters) else ()


def _one_tension(chain: Chain) -> list[Row]:
    """That the tensions at the two sides of a heavy wheel are one, where an equation has one for the other."""
    if not any("one-tension" in kinds for kinds in chain.slipped.values()):
        return []
    sides = [sorted(s) for s in two_sided(chain.context.setup)]
    every = [[*s, "T"] if "T" not in chain.context.scene.symbols else s for s in sides]
    return [{(first,): 1.0, (other,): -1.0} for first, *others in every for other in others]


def _sets(chain: Chain, ties: Sequence[Row]) -> Iterator[tuple[tuple[str, ...], list[Row]]]:
    whole = [r for s in chain.equations for r in s.rows]
    base = chain.base(ties)
    if whole:
        yield tuple(s.label for s in chain.equations), [*base, *whole]
    others = [*chain.equations, *chain.lines]
    count = 0
    for broken in reversed(chain.broken):
        if broken.rows:
            yield (broken.label,), [*chain.base(ties, broken), *broken.rows]
    for broken in reversed([s for s in chain.broken if s.rows]):
        rest = [s for s in others if s is not broken and s.rows]
        for size in (1, 2):
            for group in combinations(reversed(rest), size):
                count += 1
                if count > MOST_SETS:
                    return
                yield (broken.label, *(s.label for s in group)), [*chain.base(ties, broken, *group), *broken.rows, *_rows(group)]
        if broken.defines and len(chain.equations) > 2:
            yield (broken.label, *(s.label for s in chain.equations)), [*chain.base(ties, broken), *broken.rows, *whole]
    for size in (1, 2):
        for group in combinations(reversed(chain.equations), size):
            if any(not s.true for s in group):
                yield tuple(s.label for s in group), [*base, *_rows(group)]


def _rows(sources: Sequence[Source]) -> Iterator[Row]:
    return (r for s in sources for r in s.rows)
