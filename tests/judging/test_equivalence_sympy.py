"""SymPy as outside check: a line in letters is right exactly where SymPy finds it equal to Newton's second law up to a factor.

SymPy's expressions are built from the tree that our reader gives, never from text. The laws, the ties and the true equation come
from mechanics; what is checked is the judge's verdict on equivalence.
"""

from __future__ import annotations

import random
from fractions import Fraction
from functools import cache
from typing import Any

import pytest
from line_writer import all_equations, first_directions, in_letters, pieces, plain, setup_of, single_slips
from marked_lines import Marked, corpus, judged, scene_named

from plusway.autograde.algebra import Poly
from plusway.autograde.judging.context import context_for
from plusway.autograde.judging.equations import judge_equation
from plusway.autograde.mechanics.setup import Setup
from plusway.autograde.reading import Vocabulary, read
from plusway.autograde.reading.tree import Group, Line, Name, Node, Number, Power, Product, Sum, Trig


@cache
def _symbol(name: str) -> Any:
    import sympy

    if name.startswith(("sin(", "cos(")):
        return getattr(sympy, name[:3])(sympy.Symbol(name[4:-1]))
    return sympy.Symbol(name)


def _number(x: Fraction) -> Any:
    import sympy

    return sympy.Rational(x.numerator, x.denominator)


def from_poly(poly: Poly) -> Any:
    import sympy

    return sympy.Add(*(_number(c) * sympy.Mul(*(_symbol(s) ** e for s, e in m)) for m, c in poly.terms.items()))


def from_tree(node: Node, setup: Setup, degrees: bool = False) -> Any:
    """A SymPy expression from a tree; LookupError for a letter that is not one of the scene's own symbols."""
    import sympy

    if isinstance(node, Number):
        return _number(node.value) * (sympy.pi / 180 if degrees else 1)
    if isinstance(node, Name):
        if node.name == "a" and setup.shared:
            return _symbol(next(iter(setup.shared)))
        if node.name not in setup.scene.symbols or node.name == "a":
            raise LookupError(node.name)
        return _symbol(node.name)
    if isinstance(node, Group):
        return from_tree(node.inner, setup, degrees)
    if isinstance(node, Sum):
        return sympy.Add(*(sign * from_tree(term, setup, degrees) for sign, term in node.terms))
    if isinstance(node, Power):
        return from_tree(node.base, setup) ** node.exponent
    if isinstance(node, Trig):
        return getattr(sympy, node.function)(from_tree(node.argument, setup, degrees=True))
    assert isinstance(node, Product)
    out = sympy.Integer(1)
    for how, factor in node.factors:
        value = from_tree(factor, setup, degrees)
        out = out / value if how == "/" else out * value
    return out


@cache
def _frame(scene: str, directions: tuple[tuple[str, str], ...]) -> tuple[Setup, dict[Any, Any], list[Any]]:
    """The setup, what the laws and the ties make of their symbols, and the unknowns that are left."""
    import sympy

    setup = setup_of(scene, directions)
    laws = {_symbol(s): from_poly(plain(setup, Poly.symbol(s))) for s in setup.laws}
    accelerations = [_symbol(s.name) for s in setup.scene.symbols.values() if s.kind in ("acceleration", "alpha")]
    ties = (
        sympy.solve([from_poly(t.poly) for t in setup.ties], accelerations[1:], dict=True)
        if len(accelerations) > 1 and setup.ties
        else []
    )
    by_heart = {
        _symbol(s.name): sympy.pi * _number(s.given.value) / 180
        for s in setup.scene.symbols.values()
        if s.kind == "angle" and s.given is not None and s.given.value in (30, 45, 60)
    }  # there "half the weight" is as right as its sine
    unknowns = [*(_symbol(u) for u in setup.unknowns), *accelerations]
    return setup, {**laws, **(ties[0] if ties else {}), **by_heart}, list(dict.fromkeys(unknowns))


def same_equation(scene: str, thing: str, directions: tuple[tuple[str, str], ...], left: Any, right: Any) -> bool:
    """Whether left = right is the thing's equation of motion, multiplied by something that no unknown is in."""
    import sympy

    setup, put, unknowns = _frame(scene, directions)
    truth = sympy.expand(from_poly(plain(setup, Poly.sum(pieces(setup, thing)))).subs(put).subs(put))
    line = sympy.fraction(sympy.together((left - right).subs(put).subs(put)))[0]
    line = sympy.expand(line)
    try:
        a, b = sympy.Poly(truth, *unknowns).as_dict(), sympy.Poly(line, *unknowns).as_dict()
    except sympy.PolynomialError:
        return False
    if not b:
        return False
    pivot = next(iter(a))
    return all(_vanishes(a.get(k, 0) * b.get(pivot, 0) - b.get(k, 0) * a[pivot]) for k in a.keys() | b.keys())


def _vanishes(expression: Any) -> bool:
    import sympy

    expression = sympy.expand(expression)
    if expression == 0:
        return True
    spot = {s: sympy.Rational(n + 3, 7) for n, s in enumerate(sorted(expression.free_symbols, key=str))}
    if abs(expression.subs(spot).evalf(30)) > sympy.Float("1e-20"):
        return False
    return bool(sympy.simplify(expression) == 0)


COUNTS = (Fraction(0), Fraction(1, 2), Fraction(1), Fraction(2), Fraction(3), Fraction(2, 5))


def _letters_only(node: Node) -> bool:
    """Whether all numbers are counts, halves or degrees beside an angle's letter, so that it means the same for other data."""
    if isinstance(node, Number):
        return node.value in COUNTS and not node.unit
    if isinstance(node, Group):
        return _letters_only(node.inner)
    if isinstance(node, Sum):
        return all(_letters_only(t) for _, t in node.terms)
    if isinstance(node, Product):
        return all(_letters_only(f) for _, f in node.factors)
    if isinstance(node, Power):
        return _letters_only(node.base)
    return isinstance(node, Name) or not isinstance(node.argument, Number | Group) or _has_letter(node.argument)


def _has_letter(node: Node) -> bool:
    if isinstance(node, Group):
        return _has_letter(node.inner)
    if isinstance(node, Sum):
        return any(_has_letter(t) for _, t in node.terms)
    return isinstance(node, Name)


def _read(m: Marked) -> Line | None:
    """A marked line that is one equation in letters, None where it is something else."""
    lines = read(m.text, Vocabulary.of(scene_named(m.scene))).lines
    if len(lines) > 1 or len(lines[0].sides) != 2 or not all(_letters_only(s) for s in lines[0].sides):
        return None
    return lines[0]


@pytest.fixture(scope="module")
def equations_of_corpus() -> list[tuple[Marked, Line]]:
    """The equations of the corpus in letters, with their reading."""
    equations = [m for m in corpus() if m.step == "equations" and m.verdict in ("right", "slip") and not m.given and ";" not in m.text]
    return [(m, line) for m in equations if (line := _read(m)) is not None]


def test_there_are_enough_marked_lines_in_letters_on_both_sides(equations_of_corpus: list[tuple[Marked, Line]]) -> None:
    assert sum(m.verdict == "right" for m, _ in equations_of_corpus) >= 60
    assert sum(m.verdict == "slip" for m, _ in equations_of_corpus) >= 100


def test_sympy_agrees_with_the_verdict_on_every_marked_line_in_letters(equations_of_corpus: list[tuple[Marked, Line]]) -> None:
    tried = 0
    disagree = []
    for m, line in equations_of_corpus:
        directions = tuple(
            (t, m.positive.get(t, scene_named(m.scene).directions(t)[0])) for t in scene_named(m.scene).things
        )
        if any(word not in scene_named(m.scene).directions(t) for t, word in directions):
            continue  # worded otherwise
        setup = setup_of(m.scene, directions)
        if not setup.regime.moves:
            continue  # at rest every acceleration is zero, and SymPy would not see a wrong one
        try:
            left, right = (from_tree(side, setup) for side in line.sides)
        except LookupError:
            continue
        tried += 1
        if same_equation(m.scene, m.item, directions, left, right) != (judged(m).verdict == "right"):  # type: ignore[arg-type]
            disagree.append((m.name, judged(m).verdict))
    assert disagree == []
    assert tried >= 120


@pytest.mark.parametrize("seed", range(2))
def test_sympy_agrees_on_right_and_wrong_lines_of_every_scene(seed: int) -> None:
    """One true line and two slips of things drawn by lot, each written in letters and multiplied by something."""
    disagree = []
    dice = random.Random(seed)
    for scene, thing in dice.sample(all_equations(), 20):
        directions = first_directions(scene)
        setup = setup_of(scene, directions)
        if not setup.regime.moves:
            continue
        context = context_for(scene_named(scene), dict(directions))
        made = single_slips(setup, thing)
        true = plain(setup, Poly.sum(pieces(setup, thing)))
        factor = Poly.symbol("g") * Fraction(dice.choice((1, -1, 2, 3)), dice.choice((1, 2)))
        for poly in (true, *(m.poly for m in dice.sample(made, min(2, len(made))))):
            text = in_letters(poly * factor) + " = 0"
            says_judge = judge_equation(context, thing, text).verdict == "right"
            (line, *_) = read(text, context.vocabulary).lines
            if (
                same_equation(
                    scene, thing, directions, from_tree(line.sides[0], setup), from_tree(line.sides[1], setup)
                )
                != says_judge
            ):
                disagree.append((scene, thing, text, says_judge))
    assert disagree == []
