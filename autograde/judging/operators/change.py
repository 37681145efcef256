"""What the operators share: a piece of an equation turned into another, as a variant with the kind of its slip."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from ...algebra import Poly
from ...mechanics.setup import Setup
from ..pieces import Piece, Variant

Pieces = tuple[Piece, ...]
Operator = Callable[[Setup, str, Pieces], Iterator[Variant]]
ONE = Poly.const(1)


def symbols_of(setup: Setup, kind: str) -> list[str]:
    """Every letter of one kind, in the scene's order."""
    return [s.name for s in setup.scene.symbols.values() if s.kind == kind]


def letter_of(setup: Setup, kind: str, thing: str) -> str | None:
    """This thing's letter of one kind, where it has one."""
    return setup.scene.symbol_of(kind, thing)


def change(kind: str, index: int, piece: Piece, new: Poly, tag: str = "", **words: str) -> Iterator[Variant]:
    """The variant in which one piece is another; none where it is the same after all."""
    delta = new - piece.poly
    if delta:
        yield Variant((kind,), piece.symbol, delta, frozenset({index}), words, tag)


def together(
    kind: str, term: str | None, pieces: Pieces, changed: dict[int, Poly], tag: str = "", **words: str
) -> Iterator[Variant]:
    """The variant in which several pieces are changed alike; none where it is fewer than two."""
    if len(changed) > 1:
        delta = Poly.sum(new - pieces[n].poly for n, new in changed.items())
        yield Variant((kind,), term, delta, frozenset(changed), words, tag)
