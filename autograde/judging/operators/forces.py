"""Forces: turned, left out or put in, one rope taken for another, strands miscounted; the inertia turned."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ...algebra import Poly
from ...mechanics.setup import Setup
from ..pieces import Variant, pieces_of, put_laws
from ..says import across_words
from .change import ONE, Pieces, change, letter_of, symbols_of

RATIO = "they set the ratio of the accelerations, and in your line it is not that one"


def flipped_force(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One force with the other sign; friction has a kind of its own. Also a tilted force's part within the normal force."""
    for n, p in enumerate(pieces):
        if p.term is None:
            continue
        kind = "flipped-friction" if p.kind in ("friction", "rolling", "drag") else "flipped-force"
        yield from change(kind, n, p, -p.poly, "flip")
        if p.kind == "friction":
            for force in setup.scene.forces:
                angle = [
                    s
                    for s in p.poly.symbols
                    if s.startswith("sin(")
                    and setup.scene.symbols.get(s[4:-1], None)
                    and setup.scene.symbols[s[4:-1]].kind == "force_angle"
                ]
                if force.symbol in p.poly.symbols and angle:
                    wrong = p.poly.substitute({force.symbol: -Poly.symbol(force.symbol)})
                    yield from change("flipped-force", n, p, wrong, "flip-in-normal", **across_words(setup, thing, force.symbol))


def flipped_inertia(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """m a (or I alpha) with the other sign."""
    n = len(pieces) - 1
    yield from change("flipped-inertia", n, pieces[n], -pieces[n].poly)


def missing_force(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One force left out."""
    for n, p in enumerate(pieces):
        if p.term is not None:
            yield from change("missing-force", n, p, Poly())
            if p.kind == "friction":
                for force in setup.scene.forces:
                    if force.symbol in p.poly.symbols:
                        yield from change(
                            "missing-force",
                            n,
                            p,
                            p.poly.substitute({force.symbol: Poly()}),
                            "in-normal",
                            **across_words(setup, thing, force.symbol),
                        )


def extra_force(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One force added that does not act on this thing along its line."""
    here = {p.symbol for p in pieces}
    scene = setup.scene
    radius = letter_of(setup, "radius", thing)
    arm = Poly.symbol(radius) if radius else ONE
    candidates: list[tuple[str, Poly]] = []
    for kind in ("weight", "tension", "contact", "outside", "rolling", "friction", "normal"):
        for name in symbols_of(setup, kind):
            if name in here:
                continue
            if kind == "friction" and setup.regime.friction.get(name, ("", None))[0] == "none":
                continue
            candidates.append((name, put_laws(setup, Poly.symbol(name)) * arm))
    if thing in scene.bodies:
        weight = letter_of(setup, "weight", thing)
        if weight and weight in here and scene.bodies[thing].moves == "slope":
            normal = letter_of(setup, "normal", thing)
            if normal and normal not in [c[0] for c in candidates]:
                candidates.append((normal, put_laws(setup, Poly.symbol(normal))))
    for name in [s for s in symbols_of(setup, "mu_k") if scene.symbols[s].thing not in (thing,)]:
        own_normal = letter_of(setup, "normal", thing)
        if own_normal and not any(p.kind == "friction" for p in pieces):
            candidates.append((name, put_laws(setup, Poly.symbol(name) * Poly.symbol(own_normal))))
        own_weight = letter_of(setup, "weight", thing)
        if own_weight and not own_normal:
            candidates.append((name, put_laws(setup, Poly.symbol(name) * Poly.symbol(own_weight))))
    for name, poly in candidates:
        for sign in (1, -1):
            if poly:
                yield Variant(("extra-force",), name, poly * sign, frozenset({-1}), {}, "extra")


def one_tension(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """The tension of the other side of a wheel with inertia, or one letter for both."""
    for wheel in setup.scene.wheels:
        if wheel not in setup.equations:
            continue
        sides = [p.symbol for p in pieces_of(setup, wheel) if p.kind == "tension"]
        if len(set(sides)) < 2:
            continue
        if wheel == thing and len(sides) == 2:  # T_1 = T_2, as over a light pulley
            equal = Poly.symbol(sides[0]) - Poly.symbol(sides[1])
            delta = equal - Poly.sum(p.poly for p in pieces)
            yield Variant(("one-tension",), sides[0], delta, frozenset(range(len(pieces))), {}, "equal")
        for n, p in enumerate(pieces):
            if p.kind == "tension" and p.symbol in sides:
                for other in dict.fromkeys(sides):
                    if other != p.symbol:
                        yield from change("one-tension", n, p, p.poly.substitute({p.symbol: Poly.symbol(other)}))
        bare = {s: Poly.symbol("T") for s in sides}
        if "T" not in setup.scene.symbols:
            changed = {n: p.poly.substitute(bare) for n, p in enumerate(pieces) if p.symbol in bare}
            if changed:
                delta = Poly.sum(new - pieces[n].poly for n, new in changed.items())
                yield Variant(("one-tension",), pieces[min(changed)].symbol, delta, frozenset(changed), {}, "bare")


def strand_count(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One strand more or fewer of a rope at a movable pulley; elsewhere a rope that ends at a body and is counted twice."""
    movable = any(len({s.thing for s in r.pulls}) < len(r.pulls) for r in setup.scene.ropes) or any(
        b.mass.value == 0 for b in setup.scene.bodies.values()
    )
    tried = (Fraction(1, 2), Fraction(1), Fraction(2), Fraction(3), Fraction(4)) if movable else (Fraction(2),)
    for n, p in enumerate(pieces):
        if p.kind == "tension" and p.term is not None:
            count = p.term.strands
            for other in tried:
                if other != count:
                    yield from change(
                        "strand-count", n, p, Poly({m: c * other / count for m, c in p.poly.terms.items()})
                    )


def turned_ratio(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """The ratio of two accelerations turned round where the tie is put into m a: 7 a_1 for m_2 a_2 = 28 a_1."""
    own = letter_of(setup, "acceleration", thing)
    last = len(pieces) - 1
    if own is None or own not in pieces[last].poly.symbols:
        return
    accelerations = symbols_of(setup, "acceleration")
    for tie in setup.ties:
        parts, _ = tie.poly.linear_in(accelerations)
        if len(parts) == 2 and own in parts and all(not c.symbols for c in parts.values()):
            mine = abs(parts[own].at({}))
            other = abs(next(c for n, c in parts.items() if n != own).at({}))
            if mine != other:
                factor = (mine / other) ** 2
                new = Poly({m: c * factor for m, c in pieces[last].poly.terms.items()})
                yield from change("strand-count", last, pieces[last], new, "ratio", counted=RATIO)
