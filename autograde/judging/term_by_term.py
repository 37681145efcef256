"""A line with more slips than one, taken term by term: each is a force as it should be, one that a slip has changed, or one too many."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from ..algebra import Poly
from ..reading.tree import Group, Line, Node, Place, Sum
from .context import Context
from .evaluate import Unjudgeable, evaluate, names_in
from .forms import Form
from .grounds import Ground
from .lines import Meaning, Places, equalities, form_look, resolve
from .pieces import Piece, Variant, pieces_of, put_laws
from .slips import SLIPS

MOST_TERMS = 8
MOST_SLIPS = 4  # a list that is longer says no more than "build it again"
WHOLE = "whole"  # the tag of an outside force at an angle that is taken whole
TURNED = ("flipped-force", "flipped-friction", "flipped-inertia", "missing-force")
ADDED = -1


@dataclass(frozen=True)
class Term:
    """One additive term as written: its node, the sign with which it stands on the left, its place."""

    node: Node
    sign: int
    at: Place


@dataclass(frozen=True)
class Taken:
    """What a term is taken for: which piece of the true equation (ADDED: none), by which slip (None: as it should be), and whether it
    has the sign of that piece where the line is read from left to right."""

    term: Term
    piece: int
    variant: Variant | None
    agrees: bool


@dataclass(frozen=True)
class Account:
    """A whole line accounted for. turned: the pieces whose sign is not that of the inertia's side; missing: those that no term stands for."""

    taken: tuple[Taken, ...]
    turned: tuple[Taken, ...]
    missing: tuple[int, ...]

    @property
    def slips(self) -> int:
        return sum(len(t.variant.kinds) for t in self.taken if t.variant) + len(self.turned) + len(self.missing)


@dataclass
class Accounting:
    """One line against the pieces of one thing's true equation and all that single slips make of them."""

    context: Context
    thing: str
    line: Line
    meaning: Meaning
    places: Places

    def best(self) -> Account | None:
        """The account with the fewest slips; None where some term is nothing that is known here, or there are too many."""
        if len(self.line.sides) != 2 or len(equalities(self.line)) != 1:
            return None
        terms = [t for side, node in enumerate(self.line.sides) for t in _terms(node, 1 if side == 0 else -1, node.at)]
        if not 1 < len(terms) <= MOST_TERMS:
            return None
        choices = []
        for term in terms:
            found = list(self._choices(term))
            if not found:
                return None
            choices.append(found)
        accounts = [self._account(taken) for taken in _each_once(choices, MOST_SLIPS)]
        least = min(accounts, key=lambda a: (a.slips, sum(_rank(t) for t in a.taken)), default=None)
        return least if least is not None and 0 < least.slips <= MOST_SLIPS else None

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        return pieces_of(self.context.setup, self.thing)

    @cached_property
    def _known(self) -> list[tuple[int, Variant | None, Poly]]:
        """Every value that a term may have: the pieces as they are, with one slip, and what does not belong."""
        out: list[tuple[int, Variant | None, Poly]] = [(n, None, p.poly) for n, p in enumerate(self.pieces)]
        for variant, _ in self.context.variants(self.thing):
            if variant.kinds[0] in TURNED or len(variant.touched) != 1:
                continue
            (n,) = variant.touched
            out.append((n, variant, variant.delta if n == ADDED else self.pieces[n].poly + variant.delta))
        for n, p in enumerate(self.pieces):
            if (whole := p.whole) is not None:
                out.append((n, Variant(("unnamed",), p.symbol, whole - p.poly, frozenset({n}), {}, WHOLE), whole))
        return out

    def _choices(self, term: Term) -> Iterator[Taken]:
        forms = self._forms(term)
        if forms is None:
            return
        written = self._letters(term.node)
        for n, variant, poly in self._known:
            new = poly.symbols - (self.pieces[n].poly.symbols if n != ADDED else set())
            if written and variant is not None and not new <= written:  # 2 m_1 a_1 is not m_1 a_2, though it comes to the same
                continue
            sign = self._sign(forms, poly)
            if sign:
                yield Taken(term, n, variant, sign == term.sign)

    def _forms(self, term: Term) -> list[tuple[Ground, Form]] | None:
        out = []
        for _, ground in self.places:
            try:
                ratio = evaluate(term.node, form_look(self.context, ground, self.meaning), self.context.figures())
            except (Unjudgeable, KeyError):
                return None
            if not ratio.plain:
                return None
            out.append((ground, ratio.num))
        return out

    def _letters(self, node: Node) -> set[str]:
        """The letters of a term and those that their laws bring in: of W_1, m_1 and g too."""
        out: set[str] = set()
        for name in names_in(node):
            try:
                symbol = resolve(name, self.context, self.meaning)[1]
            except KeyError:
                continue
            out |= {symbol, f"sin({symbol})", f"cos({symbol})"} | put_laws(self.context.setup, Poly.symbol(symbol)).symbols
        return out

    def _sign(self, forms: list[tuple[Ground, Form]], poly: Poly) -> int:
        """+1 or -1 where a term has this value on every ground, that sign put before it; 0 where it has not."""
        for sign in (1, -1):
            if poly and all(_is(form, ground.form(poly), sign) for ground, form in forms):
                return sign
        return 0

    def _account(self, taken: tuple[Taken, ...]) -> Account:
        """Which signs are turned: against the inertia's term, where there is one that is as it should be or nearly so; else the fewer."""
        last = len(self.pieces) - 1
        inertia = next((t for t in taken if t.piece == last), None)
        forces = [t for t in taken if t.piece not in (last, ADDED)]
        if inertia is not None:
            turned = [t for t in forces if t.agrees != inertia.agrees]
            if len(forces) > 1 and len(turned) == len(forces):
                turned = [inertia]
        else:
            turned = [t for t in forces if t.agrees]
            turned = turned if 2 * len(turned) <= len(forces) else [t for t in forces if not t.agrees]
        missing = {n for n, p in enumerate(self.pieces) if p.poly} - {t.piece for t in taken}
        return Account(taken, tuple(turned), tuple(sorted(missing)))


def _terms(node: Node, sign: int, at: Place) -> Iterator[Term]:
    """The additive terms of a side, those of a plain parenthesis too."""
    if isinstance(node, Group) and isinstance(node.inner, Sum):
        yield from _terms(node.inner, sign, at)
    elif isinstance(node, Sum):
        for (s, inner), place in zip(node.terms, node.spots, strict=True):
            yield from _terms(inner, sign * s, place)
    else:
        yield Term(node, sign, at)


def _is(form: Form, wanted: dict[tuple[str, ...], float], sign: int) -> bool:
    big = max((abs(x) for x in wanted.values()), default=0.0)
    if not big or any(k not in wanted and not c.is_zero() for k, c in form.items()):
        return False
    least = 1e-9 * big
    for k, x in wanted.items():
        c = form.get(k)
        if abs(x) > least and (c is None or not c.lo - least <= sign * x <= c.hi + least):
            return False
    return True


def _rank(taken: Taken) -> int:
    return sum(SLIPS[k].rank if k in SLIPS else 9 for k in taken.variant.kinds) if taken.variant else 0


def _each_once(choices: list[list[Taken]], most: int) -> Iterator[tuple[Taken, ...]]:
    """Every way to take the terms in which no piece is taken twice, with not too many slips in them."""

    def go(n: int, used: frozenset[int], slips: int, so_far: tuple[Taken, ...]) -> Iterator[tuple[Taken, ...]]:
        if n == len(choices):
            yield so_far
            return
        for t in choices[n]:
            more = slips + (len(t.variant.kinds) if t.variant else 0)
            if more <= most and (t.piece == ADDED or t.piece not in used):
                yield from go(n + 1, used | {t.piece} if t.piece != ADDED else used, more, (*so_far, t))

    yield from go(0, frozenset(), 0, ())
