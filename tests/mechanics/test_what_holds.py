"""Stacks from rest, against every combination of states tried by hand: what can hold holds, and the rest slides.

The outside solution: Newton's second law in NumPy (numpy.linalg.lstsq) for each combination of holding, sliding either way, taut
and slack; a combination counts where every rule of its states is kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plusway.autograde.mechanics import Setup, derive
from plusway.autograde.scene import Scene, load_text

HOLDS, LEFT, RIGHT = 0, -1, 1  # a joint holds, or its friction on the upper body points left or right
CLOSE = 1e-7


class TooClose(Exception):
    """A friction is at its limit but for rounding: floats can't tell on which side of it."""


@dataclass(frozen=True)
class Block:
    """A body of a stack: kilograms, kinetic and static coefficient with what it lies on, and a pull to the right (newtons)."""

    mass: float
    kinetic: float
    static: float
    pull: float = 0


@dataclass(frozen=True)
class Yard:
    """One stack or two on level ground, each from the bottom up. A rope joins the bottoms of two stacks, or the top
    of one to a pail of `pail` kilograms that hangs over the edge."""

    stacks: tuple[tuple[Block, ...], ...]
    pail: float = 0

    @cached_property
    def blocks(self) -> list[Block]:
        return [block for stack in self.stacks for block in stack]

    @cached_property
    def below(self) -> list[int | None]:
        out: list[int | None] = []
        for stack in self.stacks:
            out += [None if not n else len(out) + n - 1 for n in range(len(stack))]
        return out

    @cached_property
    def normal(self) -> list[float]:
        return [10 * sum(b.mass for b in stack[n:]) for stack in self.stacks for n in range(len(stack))]

    @cached_property
    def rope(self) -> dict[int, float] | None:
        """What the rope's tension does to each body when it is 1."""
        if self.pail:
            return {len(self.stacks[0]) - 1: 1.0, len(self.blocks): 1.0}  # the pail's positive direction is up
        return {0: 1.0, len(self.stacks[0]): -1.0} if len(self.stacks) == 2 else None

    def scene(self) -> Scene:
        text = ['title = "t"', 'story = "s"', 'g = "10 m/s^2"', "[ask]", 'values = ["W_1"]']
        for i, block in enumerate(self.blocks):
            text += [f"[bodies.b{i}]", f"index = {i + 1}", f'mass = "{block.mass} kg"', 'moves = "level"',
                     f"friction = {{ kinetic = {block.kinetic}, static = {block.static} }}"]
            if self.below[i] is not None:
                text.append(f'rests_on = "b{self.below[i]}"')
        if self.pail:
            text += [f"[bodies.b{len(self.blocks)}]", f"index = {len(self.blocks) + 1}", f'mass = "{self.pail} kg"', 'moves = "vertical"']
        for i, block in enumerate(self.blocks):
            if block.pull:
                text += ["[[forces]]", f'symbol = "F_{i}"', f'on = "b{i}"', f'direction = "{"right" if block.pull > 0 else "left"}"',
                         f'size = "{abs(block.pull)} N"']
        if self.rope is not None:
            ends = [f'["b{i}", "{"up" if i == len(self.blocks) else "right" if c > 0 else "left"}"]' for i, c in self.rope.items()]
            text += ["[[ropes]]", 'symbol = "T"', f"pulls = [{', '.join(ends)}]"]
        return load_text("\n".join(text), name="yard", file="yard.toml")

    def accelerations(self, states: tuple[int, ...], taut: bool) -> numpy.ndarray | None:
        """What the bodies do in one combination of states; None where it breaks a rule."""
        count, things = len(self.blocks), len(self.blocks) + bool(self.pail)
        size = things + count + 1  # accelerations, frictions, the tension
        rows, right = [], []

        def row(parts: dict[int, float], value: float) -> None:
            line = numpy.zeros(size)
            for at, c in parts.items():
                line[at] += c
            rows.append(line)
            right.append(value)

        rope = self.rope or {}
        for thing in range(things):
            parts = {thing: -(self.blocks[thing].mass if thing < count else self.pail), size - 1: rope.get(thing, 0.0)}
            if thing < count:
                parts[things + thing] = 1.0
            for above in range(count):
                if self.below[above] == thing:
                    parts[things + above] = -1.0
            row(parts, -self.blocks[thing].pull if thing < count else 10 * self.pail)
        slips = []
        for i, state in enumerate(states):
            under = self.below[i]
            slip = {i: 1.0} if under is None else {i: 1.0, under: -1.0}
            slips.append(slip)
            if state == HOLDS:
                row(slip, 0.0)
            else:
                row({things + i: 1.0}, state * self.blocks[i].kinetic * self.normal[i])
        row(dict(rope) if taut else {size - 1: 1.0}, 0.0)
        matrix, values = numpy.array(rows), numpy.array(right)
        found, _, rank, _ = numpy.linalg.lstsq(matrix, values, rcond=None)
        if abs(matrix @ found - values).max() > CLOSE:
            return None
        spare = numpy.linalg.svd(matrix)[2][rank:]  # what the equations leave open (two bottoms that hold, and a rope between)
        assert len(spare) <= 1
        bounds = [(things + i, -b.static * n, b.static * n)
                  for i, (b, n) in enumerate(zip(self.blocks, self.normal, strict=True)) if states[i] == HOLDS]
        if taut and rope:
            bounds.append((size - 1, 0.0, numpy.inf))
        if not _within(found, spare[0] if len(spare) else numpy.zeros(size), bounds):
            return None
        rates = [sum(c * found[at] for at, c in slip.items()) * -state for slip, state in zip(slips, states, strict=True) if state]
        if rope and not taut:
            rates.append(sum(c * found[at] for at, c in rope.items()))  # its ends come closer
        if any(abs(rate) < CLOSE for rate in rates):
            return None  # then it holds, or is taut, as well
        return found[:things] if all(rate > 0 for rate in rates) else None

    def everything(self) -> dict[tuple[tuple[int, ...], bool], numpy.ndarray]:
        """Each combination that keeps its rules, and the accelerations in it."""
        out = {}
        for states in product((HOLDS, LEFT, RIGHT), repeat=len(self.blocks)):
            for taut in (True, False) if self.rope else (True,):
                acc = self.accelerations(states, taut)
                if acc is not None:
                    out[states, taut] = acc
        return out


def _within(found: numpy.ndarray, spare: numpy.ndarray, bounds: list[tuple[int, float, float]]) -> bool:
    """Whether found + x spare keeps all bounds for some x."""
    least, most = -numpy.inf, numpy.inf
    for at, low, high in bounds:
        value, way = found[at], spare[at]
        if abs(way) > CLOSE:
            ends = sorted([(low - value) / way, (high - value) / way])
            least, most = max(least, ends[0]), min(most, ends[1])
        elif not low - CLOSE < value < high + CLOSE:
            return False
        elif low < 0 and abs(abs(value) - high) < CLOSE:
            raise TooClose
    if abs(most - least) < CLOSE:
        raise TooClose
    return least < most


def states_of(yard: Yard, setup: Setup) -> tuple[int, ...]:
    """The states that were found, joint by joint; a single body's letters have no number."""
    out = []
    for i in range(len(yard.blocks)):
        state, word = setup.regime.friction[setup.scene.symbol_of("friction", f"b{i}") or ""]
        out.append(HOLDS if state == "holds" else RIGHT if word == "right" else LEFT)
    return tuple(out)


def accelerations_of(yard: Yard, setup: Setup) -> list[float]:
    """What was found, the right and up positive."""
    return [float(setup.values[setup.scene.symbol_of("acceleration", f"b{i}") or ""]) for i in range(len(yard.blocks) + bool(yard.pail))]


def _block(draw: st.DrawFn) -> Block:
    kinetic = draw(st.integers(5, 70))
    static = min(kinetic + draw(st.sampled_from([0, 3, 7, 12, 20, 35])), 100)
    return Block(draw(st.integers(10, 120)) / 10, kinetic / 100, static / 100, draw(st.sampled_from([0, 0, 1, 1, 1])) * draw(st.integers(-150, 150)))


@st.composite
def yards(draw: st.DrawFn, high: tuple[int, int] = (1, 4)) -> Yard:
    """A stack, a stack with a pail over the edge, or two low stacks with a rope between."""
    kind = draw(st.sampled_from(["stack", "stack", "pail", "pair"]))
    if kind == "pair":
        return Yard(tuple(tuple(_block(draw) for _ in range(draw(st.integers(1, 2)))) for _ in range(2)))
    stack = tuple(_block(draw) for _ in range(draw(st.integers(*high))))
    return Yard((stack,), draw(st.integers(1, 100)) / 10 if kind == "pail" else 0)


@settings(max_examples=150, deadline=None)
@given(yard=yards())
def test_what_is_found_holds_as_much_as_any_combination_that_keeps_its_rules(yard: Yard) -> None:
    """The states found are one of the combinations that keep every rule, none of which has fewer sliding joints."""
    try:
        every = yard.everything()
    except TooClose:
        assume(False)
    setup = derive(yard.scene())
    mine = states_of(yard, setup)
    fitting = [acc for (states, _), acc in every.items() if states == mine]
    assert fitting, (mine, every)
    assert min(numpy.abs(accelerations_of(yard, setup) - acc).max() for acc in fitting) < 1e-6
    assert sum(map(abs, mine)) == min(sum(map(abs, states)) for states, _ in every)


@settings(max_examples=40, deadline=None)
@given(yard=yards((7, 10)))
def test_in_a_high_stack_nothing_slides_that_could_hold_while_the_rest_stays(yard: Yard) -> None:
    """Too many joints for every combination: each that slides is held by itself, and then a rule is broken."""
    setup = derive(yard.scene())
    mine = states_of(yard, setup)
    taut = setup.regime.taut.get("T", True)
    try:
        assert yard.accelerations(mine, taut) is not None
        for i in (i for i, state in enumerate(mine) if state != HOLDS):
            assert yard.accelerations((*mine[:i], HOLDS, *mine[i + 1 :]), taut) is None, (i, mine)
    except TooClose:
        assume(False)


BOX, PLANK = Block(5, 0.6, 0.7, 70), Block(3, 0.1, 0.2)

# sentence, yard, accelerations from the bottom up, whether a second regime is told
BY_HAND = [
    ("pulled by its top, box and plank move together: 70 - 8 = 8a, and between them 31.25 N < 35 N",
     Yard(((PLANK, BOX),)), [7.75, 7.75], True),
    ("a smoother plank: 31.25 N > 30.5 N, so the box slides on it",
     Yard(((PLANK, Block(5, 0.6, 0.61, 70)),)), [22 / 3, 8.0], False),
    ("as much kinetic as static friction: together, and no other way",
     Yard(((PLANK, Block(5, 0.7, 0.7, 70)),)), [7.75, 7.75], False),
    ("either joint alone might give way; the ground, 9 N, is the first to be over its limit: 10.5 - 8 = 2a",
     Yard(((Block(1, 0.4, 0.45), Block(1, 0.5, 1.0, 10.5)),)), [1.25, 1.25], True),
    ("either joint alone might give way; the upper one, 8 N, is the first to be over its limit: 9.5 - 6 = 1a",
     Yard(((Block(1, 0.25, 0.45), Block(1, 0.6, 0.8, 9.5)),)), [0.0, 3.5], True),
    ("once the upper one slides, the plank is within its own limit again: 50 - 20 = 4a",
     Yard(((Block(2, 0.4, 0.5), Block(4, 0.5, 0.6, 50)),)), [0.0, 7.5], False),
]


@pytest.mark.parametrize(("_sentence", "yard", "expected", "two"), BY_HAND, ids=[c[0] for c in BY_HAND])
def test_by_hand(_sentence: str, yard: Yard, expected: list[float], two: bool) -> None:
    """As the sentence says."""
    setup = derive(yard.scene())
    assert accelerations_of(yard, setup) == pytest.approx(expected)
    assert any("two regimes are possible" in note for note in setup.regime.notes) == two, setup.regime.notes
