"""The operators: every way in which one slip changes a thing's equation. One function a kind, named in the table of slips."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import combinations

from ..algebra import Poly
from ..mechanics.setup import Setup
from .pieces import INERTIA, Piece, Variant, pieces_of, put_laws, say_thing

Pieces = tuple[Piece, ...]
Operator = Callable[[Setup, str, Pieces], Iterator[Variant]]
ONE = Poly.const(1)
RATIO = "they set the ratio of the accelerations, and in your line it is not that one"


def _symbols(setup: Setup, kind: str) -> list[str]:
    return [s.name for s in setup.scene.symbols.values() if s.kind == kind]


def _own(setup: Setup, kind: str, thing: str) -> str | None:
    return setup.scene.symbol_of(kind, thing)


def _swap(poly: Poly, pairs: dict[str, Poly]) -> Poly:
    return poly.substitute(pairs)


def _change(kind: str, index: int, piece: Piece, new: Poly, tag: str = "", **words: str) -> Variant | None:
    delta = new - piece.poly
    if not delta:
        return None
    return Variant((kind,), piece.symbol, delta, frozenset({index}), words, tag)


def _some(*variants: Variant | None) -> Iterator[Variant]:
    yield from (v for v in variants if v is not None)


def flipped_force(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One force with the other sign; friction has a kind of its own. Also a tilted force's part within the normal force."""
    for n, p in enumerate(pieces):
        if p.term is None:
            continue
        kind = "flipped-friction" if p.kind in ("friction", "rolling", "drag") else "flipped-force"
        yield from _some(_change(kind, n, p, -p.poly, "flip"))
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
                    yield from _some(
                        _change("flipped-force", n, p, wrong, "flip-in-normal", inside="N", force=force.symbol)
                    )


def flipped_inertia(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """m a (or I alpha) with the other sign."""
    n = len(pieces) - 1
    yield from _some(_change("flipped-inertia", n, pieces[n], -pieces[n].poly))


def missing_force(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One force left out."""
    for n, p in enumerate(pieces):
        if p.term is not None:
            yield from _some(_change("missing-force", n, p, Poly()))
            if p.kind == "friction":
                for force in setup.scene.forces:
                    if force.symbol in p.poly.symbols:
                        yield from _some(
                            _change(
                                "missing-force",
                                n,
                                p,
                                p.poly.substitute({force.symbol: Poly()}),
                                "in-normal",
                                force=force.symbol,
                            )
                        )


def extra_force(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One force added that does not act on this thing along its line."""
    here = {p.symbol for p in pieces}
    scene = setup.scene
    radius = _own(setup, "radius", thing)
    arm = Poly.symbol(radius) if radius else ONE
    candidates: list[tuple[str, Poly]] = []
    for kind in ("weight", "tension", "contact", "outside", "rolling", "friction", "normal"):
        for name in _symbols(setup, kind):
            if name in here:
                continue
            if kind == "friction" and setup.regime.friction.get(name, ("", None))[0] == "none":
                continue
            candidates.append((name, put_laws(setup, Poly.symbol(name)) * arm))
    if thing in scene.bodies:
        weight = _own(setup, "weight", thing)
        if weight and weight in here and scene.bodies[thing].moves == "slope":
            normal = _own(setup, "normal", thing)
            if normal and normal not in [c[0] for c in candidates]:
                candidates.append((normal, put_laws(setup, Poly.symbol(normal))))
    for name in [s for s in _symbols(setup, "mu_k") if scene.symbols[s].thing not in (thing,)]:
        own_normal = _own(setup, "normal", thing)
        if own_normal and not any(p.kind == "friction" for p in pieces):
            candidates.append((name, put_laws(setup, Poly.symbol(name) * Poly.symbol(own_normal))))
        own_weight = _own(setup, "weight", thing)
        if own_weight and not own_normal:
            candidates.append((name, put_laws(setup, Poly.symbol(name) * Poly.symbol(own_weight))))
    for name, poly in candidates:
        for sign in (1, -1):
            if poly:
                yield Variant(("extra-force",), name, poly * sign, frozenset({-1}), {}, "extra")


def mass_for_weight(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """m in place of m g, in the weight or within the friction."""
    for n, p in enumerate(pieces):
        if p.kind in ("weight", "friction") and "g" in p.poly.symbols:
            yield from _some(_change("mass-for-weight", n, p, _swap(p.poly, {"g": ONE})))


def weight_for_mass(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """m g in place of m, with the acceleration."""
    n = len(pieces) - 1
    if thing in setup.scene.bodies:
        yield from _some(_change("weight-for-mass", n, pieces[n], pieces[n].poly * Poly.symbol("g")))


def other_body(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """Another body's mass (in the weight, the inertia, the friction, or all), or another thing's acceleration."""
    mass, acceleration = _own(setup, "mass", thing), _own(setup, "acceleration", thing)
    last = len(pieces) - 1
    if mass:
        for other in _symbols(setup, "mass"):
            if other == mass:
                continue
            name = f"the {say_thing(setup.scene.symbols[other].thing or '')} ({other})"
            changed = {
                n: _swap(p.poly, {mass: Poly.symbol(other)}) for n, p in enumerate(pieces) if mass in p.poly.symbols
            }
            for n, new in changed.items():
                yield from _some(_change("other-body", n, pieces[n], new, other=name))
            if len(changed) > 1:
                delta = Poly.sum(new - pieces[n].poly for n, new in changed.items())
                yield Variant(("other-body",), mass, delta, frozenset(changed), {"other": name})
    own = acceleration or _own(setup, "alpha", thing)
    if own:
        for other in _symbols(setup, "acceleration"):
            if other != own and own in pieces[last].poly.symbols and acceleration:
                name = f"the {say_thing(setup.scene.symbols[other].thing or '')} ({other})"
                yield from _some(
                    _change(
                        "other-body",
                        last,
                        pieces[last],
                        _swap(pieces[last].poly, {own: Poly.symbol(other)}),
                        other=name,
                    )
                )
    for other_thing in setup.equations:
        if other_thing != thing and (other_thing in setup.scene.bodies) == (thing in setup.scene.bodies):
            theirs = pieces_of(setup, other_thing)
            delta = Poly.sum(p.poly for p in theirs) - Poly.sum(p.poly for p in pieces)
            yield Variant(
                ("other-body",),
                None,
                delta,
                frozenset(range(-1, len(pieces))),
                {"other": f"the {say_thing(other_thing)}: it is the equation of that body"},
                "whole",
            )


def total_mass(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """The mass of several bodies in the inertia, the weight, or both."""
    mass = _own(setup, "mass", thing)
    others = [s for s in _symbols(setup, "mass") if s != mass]
    if not mass or not others or thing not in setup.scene.bodies:
        return
    for size in range(1, min(len(others), 3) + 1):
        for group in combinations(others, size):
            total = Poly.sum(Poly.symbol(s) for s in (mass, *group))
            changed = {n: _swap(p.poly, {mass: total}) for n, p in enumerate(pieces) if mass in p.poly.symbols}
            for n, new in changed.items():
                yield from _some(_change("total-mass", n, pieces[n], new))
            if len(changed) > 1:
                delta = Poly.sum(new - pieces[n].poly for n, new in changed.items())
                yield Variant(("total-mass",), mass, delta, frozenset(changed))


def _trig_swapped(poly: Poly) -> Poly:
    swap = {}
    for s in poly.symbols:
        if s.startswith("sin("):
            swap[s] = Poly.symbol(f"cos({s[4:]}")
        elif s.startswith("cos("):
            swap[s] = Poly.symbol(f"sin({s[4:]}")
    return poly.substitute(swap)


def sine_cosine(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """Sine and cosine exchanged in one piece, or consistently in all."""
    changed = {n: _trig_swapped(p.poly) for n, p in enumerate(pieces)}
    changed = {n: new for n, new in changed.items() if new != pieces[n].poly}
    for n, new in changed.items():
        yield from _some(_change("sine-cosine", n, pieces[n], new, "trig"))
    if len(changed) > 1:
        delta = Poly.sum(new - pieces[n].poly for n, new in changed.items())
        first = pieces[min(changed)]
        yield Variant(("sine-cosine",), first.symbol, delta, frozenset(changed), {}, "trig")


def whole_weight(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """The whole weight along the slope, or N = m g within the friction where the balance says otherwise."""
    weight = _own(setup, "weight", thing)
    for n, p in enumerate(pieces):
        if p.kind == "weight":
            flat = {s: ONE for s in p.poly.symbols if s.startswith(("sin(", "cos("))}
            if flat:
                yield from _some(_change("whole-weight", n, p, p.poly.substitute(flat), "whole"))
        elif p.kind == "friction" and weight:
            law = setup.laws.get(p.symbol)
            if law is None or p.term is None:
                continue
            coefficients = [s for s in law.symbols if s.startswith("mu")]
            if coefficients:
                plain = put_laws(setup, Poly.symbol(coefficients[0]) * Poly.symbol(weight)) * p.term.sign
                yield from _some(_change("whole-weight", n, p, plain, "normal"))
            flat = {s: ONE for s in p.poly.symbols if s.startswith("cos(")}
            if flat:
                yield from _some(_change("whole-weight", n, p, p.poly.substitute(flat), "normal"))


def static_kinetic(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """mu_s for sliding; the limit mu_s N (or mu_k N) where friction merely holds."""
    for n, p in enumerate(pieces):
        if p.kind not in ("friction", "rolling") or p.term is None:
            continue
        state = setup.regime.friction.get(p.symbol, ("slides", None))[0]
        kinetic = [s for s in p.poly.symbols if s.startswith("mu_k")]
        for s in kinetic:
            static = "mu_s" + s[4:]
            if static in setup.scene.symbols:
                yield from _some(
                    _change(
                        "static-kinetic",
                        n,
                        p,
                        _swap(p.poly, {s: Poly.symbol(static)}),
                        other="it slides, so mu_k counts",
                    )
                )
        if state == "holds":
            normal = _own(setup, "normal", thing) or _own(setup, "normal", setup.scene.symbols[p.symbol].thing or "")
            for s in [*_symbols(setup, "mu_s"), *_symbols(setup, "mu_k")]:
                if normal:
                    limit = put_laws(setup, Poly.symbol(s) * Poly.symbol(normal))
                    factor = p.term.size.substitute({p.symbol: limit})
                    for sign in (1, -1):
                        yield from _some(
                            _change(
                                "static-kinetic",
                                n,
                                p,
                                factor * sign,
                                other="it holds, so friction is less than its limit",
                            )
                        )


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
                        yield from _some(_change("one-tension", n, p, _swap(p.poly, {p.symbol: Poly.symbol(other)})))
        bare = {s: Poly.symbol("T") for s in sides}
        if "T" not in setup.scene.symbols:
            changed = {n: p.poly.substitute(bare) for n, p in enumerate(pieces) if p.symbol in bare}
            if changed:
                delta = Poly.sum(new - pieces[n].poly for n, new in changed.items())
                yield Variant(("one-tension",), pieces[min(changed)].symbol, delta, frozenset(changed), {}, "bare")


def radius(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """A radius left out of one torque or of all, or put in where forces balance; the acceleration in place of alpha."""
    radii = [*_symbols(setup, "radius"), *_symbols(setup, "strand_radius")]
    last = len(pieces) - 1
    if thing in setup.scene.wheels:
        changed = {}
        for n, p in enumerate(pieces):
            if p.term is None:
                continue
            hit = {s: ONE for s in p.poly.symbols if s in radii}
            if hit:
                yield from _some(_change("radius", n, p, p.poly * Poly.symbol(next(iter(hit)))))
                changed[n] = p.poly.substitute(hit)
                yield from _some(_change("radius", n, p, changed[n]))
                for other in radii:
                    if other not in hit:
                        yield from _some(
                            _change("radius", n, p, p.poly.substitute({s: Poly.symbol(other) for s in hit}))
                        )
            elif p.kind == "drag" and radii:
                own = _own(setup, "radius", thing)
                if own:
                    yield from _some(_change("radius", n, p, p.poly * Poly.symbol(own)))
        if len(changed) > 1:
            twice = Poly.sum(
                pieces[n].poly * Poly.symbol(s) for n in changed for s in pieces[n].poly.symbols if s in radii
            )
            for delta in (
                Poly.sum(new - pieces[n].poly for n, new in changed.items()),
                twice - Poly.sum(pieces[n].poly for n in changed),
            ):
                yield Variant(("radius",), pieces[min(changed)].symbol, delta, frozenset(changed))
        alpha = _own(setup, "alpha", thing)
        if alpha:
            for a in _symbols(setup, "acceleration"):
                yield from _some(
                    _change("radius", last, pieces[last], _swap(pieces[last].poly, {alpha: Poly.symbol(a)}))
                )
            own = _own(setup, "radius", thing)
            if own:
                yield from _some(_change("radius", last, pieces[last], pieces[last].poly * Poly.symbol(own)))
    else:
        for n, p in enumerate(pieces):
            if p.term is not None and p.kind in ("tension", "rolling"):
                for s in radii:
                    yield from _some(_change("radius", n, p, p.poly * Poly.symbol(s)))


def strand_count(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """One strand more or fewer of a rope, in a scene with a movable pulley."""
    movable = any(len({s.thing for s in r.pulls}) < len(r.pulls) for r in setup.scene.ropes) or any(
        b.mass.value == 0 for b in setup.scene.bodies.values()
    )
    if not movable:
        return
    for n, p in enumerate(pieces):
        if p.kind == "tension" and p.term is not None:
            count = p.term.strands
            for other in (Fraction(1, 2), Fraction(1), Fraction(2), Fraction(3), Fraction(4)):
                if other != count:
                    yield from _some(
                        _change("strand-count", n, p, Poly({m: c * other / count for m, c in p.poly.terms.items()}))
                    )


def turned_ratio(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """The ratio of two accelerations turned round where the tie is put into m a: 7 a_1 for m_2 a_2 = 28 a_1."""
    own = _own(setup, "acceleration", thing)
    last = len(pieces) - 1
    if own is None or own not in pieces[last].poly.symbols:
        return
    accelerations = _symbols(setup, "acceleration")
    for tie in setup.ties:
        parts, _ = tie.poly.linear_in(accelerations)
        if len(parts) == 2 and own in parts and all(not c.symbols for c in parts.values()):
            mine = abs(parts[own].at({}))
            other = abs(next(c for n, c in parts.items() if n != own).at({}))
            if mine != other:
                factor = (mine / other) ** 2
                new = Poly({m: c * factor for m, c in pieces[last].poly.terms.items()})
                yield from _some(_change("strand-count", last, pieces[last], new, "ratio", counted=RATIO))


def free_fall(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """a = g put into the inertia of a body that is held back."""
    n = len(pieces) - 1
    own = _own(setup, "acceleration", thing)
    if own and own in pieces[n].poly.symbols and setup.regime.moves:
        for sign in (1, -1):
            yield from _some(_change("free-fall", n, pieces[n], _swap(pieces[n].poly, {own: Poly.symbol("g") * sign})))


OPERATORS: tuple[Operator, ...] = (
    flipped_force,
    flipped_inertia,
    missing_force,
    extra_force,
    mass_for_weight,
    weight_for_mass,
    other_body,
    total_mass,
    sine_cosine,
    whole_weight,
    static_kinetic,
    one_tension,
    radius,
    strand_count,
    turned_ratio,
    free_fall,
)


def singles(setup: Setup, thing: str) -> list[Variant]:
    """Every single slip in this thing's equation."""
    pieces = pieces_of(setup, thing)
    return [v for operator in OPERATORS for v in operator(setup, thing, pieces)]


def doubles_on_one(setup: Setup, thing: str, found: list[Variant]) -> Iterator[Variant]:
    """Two slips in the same piece: one that changes it and a turned sign."""
    pieces = pieces_of(setup, thing)
    for v in found:
        if len(v.touched) == 1 and v.kinds[0] not in (
            "flipped-force",
            "flipped-friction",
            "flipped-inertia",
            "missing-force",
            "extra-force",
        ):
            (n,) = v.touched
            changed = pieces[n].poly + v.delta
            flip = (
                "flipped-inertia"
                if pieces[n].symbol == INERTIA
                else "flipped-friction"
                if pieces[n].kind in ("friction", "rolling", "drag")
                else "flipped-force"
            )
            yield Variant((*v.kinds, flip), v.term, -changed - pieces[n].poly, v.touched, v.words)
