"""The size of a term: a mass or letter of something else, the whole for a part, sine for cosine, a radius too few or too many."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations

from ...algebra import Poly
from ...mechanics.setup import Setup
from ...scene.words import thing_name
from ..pieces import Variant, pieces_of, put_laws
from .change import ONE, Pieces, change, letter_of, symbols_of, together


def mass_for_weight(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """m in place of m g, in the weight or within the friction."""
    for n, p in enumerate(pieces):
        if p.kind in ("weight", "friction") and "g" in p.poly.symbols:
            yield from change("mass-for-weight", n, p, p.poly.substitute({"g": ONE}))


def weight_for_mass(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """m g in place of m, with the acceleration."""
    n = len(pieces) - 1
    if thing in setup.scene.bodies:
        yield from change("weight-for-mass", n, pieces[n], pieces[n].poly * Poly.symbol("g"))


def other_body(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """Another body's mass (in the weight, the inertia, the friction, or all), angle or coefficient, or another thing's acceleration."""
    mass, acceleration = letter_of(setup, "mass", thing), letter_of(setup, "acceleration", thing)
    last = len(pieces) - 1
    if mass:
        for other in symbols_of(setup, "mass"):
            if other == mass:
                continue
            name = f"the {thing_name(setup.scene.symbols[other].thing or '')} ({other})"
            changed = {
                n: p.poly.substitute({mass: Poly.symbol(other)}) for n, p in enumerate(pieces) if mass in p.poly.symbols
            }
            for n, new in changed.items():
                yield from change("other-body", n, pieces[n], new, other=name)
            yield from together("other-body", mass, pieces, changed, other=name)
    for kind in ("angle", "mu_k"):
        mine = letter_of(setup, kind, thing)
        for other in symbols_of(setup, kind) if mine else ():
            name = f"the {thing_name(setup.scene.symbols[other].thing or '')} ({other})"
            swap = {f"{f}{mine}{end}": Poly.symbol(f"{f}{other}{end}") for f, end in (("sin(", ")"), ("cos(", ")"), ("", ""))}
            changed = {n: p.poly.substitute(swap) for n, p in enumerate(pieces) if other != mine and p.poly.symbols & swap.keys()}
            for n, new in changed.items():
                yield from change("other-body", n, pieces[n], new, other=name)
            yield from together("other-body", mine, pieces, changed, other=name)
    own = acceleration or letter_of(setup, "alpha", thing)
    if own:
        for other in symbols_of(setup, "acceleration"):
            if other != own and own in pieces[last].poly.symbols and acceleration:
                name = f"the {thing_name(setup.scene.symbols[other].thing or '')} ({other})"
                yield from change(
                    "other-body",
                    last,
                    pieces[last],
                    pieces[last].poly.substitute({own: Poly.symbol(other)}),
                    other=name,
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
                {"other": f"the {thing_name(other_thing)}: it is the equation of that body"},
                "whole",
            )


def total_mass(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """The mass of several bodies in the inertia, the weight, or both."""
    mass = letter_of(setup, "mass", thing)
    others = [s for s in symbols_of(setup, "mass") if s != mass]
    if not mass or not others or thing not in setup.scene.bodies:
        return
    for size in range(1, min(len(others), 3) + 1):
        for group in combinations(others, size):
            total = Poly.sum(Poly.symbol(s) for s in (mass, *group))
            changed = {n: p.poly.substitute({mass: total}) for n, p in enumerate(pieces) if mass in p.poly.symbols}
            for n, new in changed.items():
                yield from change("total-mass", n, pieces[n], new)
            yield from together("total-mass", mass, pieces, changed)


def trig_swapped(poly: Poly, turned: Collection[str] = ()) -> Poly:
    """Every sine a cosine, and the other way round; those of the turned angles with the other sign."""
    swap = {}
    for s in poly.symbols:
        if s.startswith(("sin(", "cos(")):
            other = Poly.symbol(f"{'cos' if s.startswith('sin') else 'sin'}({s[4:]}")
            swap[s] = other * (-1 if s[4:-1] in turned else 1)
    return poly.substitute(swap)


def trig_swaps(setup: Setup, poly: Poly) -> list[Poly]:
    """What exchanging sine and cosine makes of a polynomial. The angle of a force that presses into the surface is negative, and people
    take it as its size: then its sine and cosine come with the other sign."""
    pressing = [s for s in poly.symbols if s.startswith(("sin(", "cos(")) and setup.given.get(f"sin({s[4:]}", 0) < 0]
    every = [trig_swapped(poly), *([trig_swapped(poly, {s[4:-1] for s in pressing})] if pressing else [])]
    return [new for new in every if new != poly]


def sine_cosine(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """Sine and cosine exchanged in one piece, or consistently in all."""
    every = {n: swapped for n, p in enumerate(pieces) if (swapped := trig_swaps(setup, p.poly))}
    for n, swapped in every.items():
        for new in swapped:
            yield from change("sine-cosine", n, pieces[n], new, "trig")
    for which in (0, -1):
        changed = {n: swapped[which] for n, swapped in every.items()}
        yield from together("sine-cosine", pieces[min(changed)].symbol if changed else None, pieces, changed, "trig")
        if all(len(swapped) == 1 for swapped in every.values()):
            return


def whole_weight(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """The whole weight along the slope, or N = m g within the friction where the balance says otherwise."""
    weight = letter_of(setup, "weight", thing)
    for n, p in enumerate(pieces):
        if p.kind == "weight":
            flat = {s: ONE for s in p.poly.symbols if s.startswith(("sin(", "cos("))}
            if flat:
                yield from change("whole-weight", n, p, p.poly.substitute(flat), "whole")
        elif p.kind == "friction" and weight:
            law = setup.laws.get(p.symbol)
            if law is None or p.term is None:
                continue
            coefficients = [s for s in law.symbols if s.startswith("mu")]
            if coefficients:
                plain = put_laws(setup, Poly.symbol(coefficients[0]) * Poly.symbol(weight)) * p.term.sign
                yield from change("whole-weight", n, p, plain, IN_FRICTION)
            flat = {s: ONE for s in p.poly.symbols if s.startswith("cos(")}
            if flat:
                yield from change("whole-weight", n, p, p.poly.substitute(flat), IN_FRICTION)


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
                yield from change(
                    "static-kinetic",
                    n,
                    p,
                    p.poly.substitute({s: Poly.symbol(static)}),
                    other="it slides, so mu_k counts",
                )
        if state == "holds":
            rubs = setup.scene.symbols[p.symbol].thing or ""  # of two stacked bodies the upper one's: its N, on the lower one too
            normal = letter_of(setup, "normal", rubs) or letter_of(setup, "normal", thing)
            for s in [*symbols_of(setup, "mu_s"), *symbols_of(setup, "mu_k")]:
                if normal:
                    limit = put_laws(setup, Poly.symbol(s) * Poly.symbol(normal))
                    factor = p.term.size.substitute({p.symbol: limit})
                    for sign in (1, -1):
                        yield from change(
                            "static-kinetic",
                            n,
                            p,
                            factor * sign,
                            other="it holds, so friction is less than its limit",
                        )


IN_FRICTION = "in friction"  # the tag of a variant whose normal force, within the friction, is another: all terms are there
OF_THE_RIGHT_KIND = "of the right kind"  # the tag of a variant whose terms are all there, each a torque or each a force
LEFT_OUT = "a force stands where a torque belongs: its radius is missing"
TWICE = "a radius stands twice in one torque, or divides where it has to multiply"
ANOTHER = "a torque has the radius of another strand"
A_TORQUE_ALREADY = "a radius stands beside a torque, which has one already"
NO_TORQUE = "a radius stands where none belongs, for this body's equation is one of forces"


def radius(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """A radius left out of one torque or of all, or put in where forces balance; the acceleration in place of alpha."""
    radii = [*symbols_of(setup, "radius"), *symbols_of(setup, "strand_radius")]
    yield from _torques(setup, thing, pieces, radii) if thing in setup.scene.wheels else _forces(setup, thing, pieces, radii)


def _torques(setup: Setup, thing: str, pieces: Pieces, radii: list[str]) -> Iterator[Variant]:
    last = len(pieces) - 1
    changed = {}
    own = letter_of(setup, "radius", thing)
    for n, p in enumerate(pieces):
        if p.term is None:
            continue
        hit = {s: ONE for s in p.poly.symbols if s in radii}
        if hit:
            yield from change("radius", n, p, p.poly * Poly.symbol(next(iter(hit))), arm=TWICE)
            changed[n] = p.poly.substitute(hit)
            yield from change("radius", n, p, changed[n], arm=LEFT_OUT)
            for other in radii:
                if other not in hit:
                    yield from change("radius", n, p, p.poly.substitute({s: Poly.symbol(other) for s in hit}), OF_THE_RIGHT_KIND, arm=ANOTHER)
        elif p.kind == "drag" and own:
            yield from change("radius", n, p, p.poly * Poly.symbol(own), arm=A_TORQUE_ALREADY)
    if len(changed) > 1:
        twice = Poly.sum(pieces[n].poly * Poly.symbol(s) for n in changed for s in pieces[n].poly.symbols if s in radii)
        for delta, arm in (
            (Poly.sum(new - pieces[n].poly for n, new in changed.items()), LEFT_OUT),
            (twice - Poly.sum(pieces[n].poly for n in changed), TWICE),
        ):
            yield Variant(("radius",), pieces[min(changed)].symbol, delta, frozenset(changed), {"arm": arm})
    alpha = letter_of(setup, "alpha", thing)
    if alpha:
        for a in symbols_of(setup, "acceleration"):
            yield from change("radius", last, pieces[last], pieces[last].poly.substitute({alpha: Poly.symbol(a)}), arm=f"{a} stands for {alpha}, which is {a} over the radius")
        if own:
            for fewer in (1, 2):
                yield from change("radius", last, pieces[last], _without(pieces[last].poly, own, fewer), arm="the inertia I has the radius squared, and in your line it has not")
            yield from change("radius", last, pieces[last], pieces[last].poly * Poly.symbol(own), arm=f"the inertia times {alpha} is a torque as it is; a radius too many stands with it")


def _without(poly: Poly, symbol: str, times: int) -> Poly:
    """The polynomial with this many factors of a symbol fewer in each term that has as many."""
    out = {}
    for monomial, c in poly.terms.items():
        powers = dict(monomial)
        left = powers.get(symbol, 0) - times
        if left < 0:
            return poly
        powers[symbol] = left
        out[tuple(sorted((s, n) for s, n in powers.items() if n))] = c
    return Poly(out)


def _forces(setup: Setup, thing: str, pieces: Pieces, radii: list[str]) -> Iterator[Variant]:
    last = len(pieces) - 1
    own = letter_of(setup, "acceleration", thing)
    for alpha in symbols_of(setup, "alpha") if own else ():  # m alpha for m a
        yield from change("radius", last, pieces[last], pieces[last].poly.substitute({str(own): Poly.symbol(alpha)}), arm=f"{alpha} stands for {own}, which is {alpha} times the radius")
    for n, p in enumerate(pieces):
        if p.kind in ("tension", "rolling", "weight") or n == last:
            for s in radii:
                yield from change("radius", n, p, p.poly * Poly.symbol(s), arm=NO_TORQUE)


def free_fall(setup: Setup, thing: str, pieces: Pieces) -> Iterator[Variant]:
    """a = g put into the inertia of a body that is held back."""
    n = len(pieces) - 1
    own = letter_of(setup, "acceleration", thing)
    if own and own in pieces[n].poly.symbols and setup.regime.moves:
        for sign in (1, -1):
            yield from change("free-fall", n, pieces[n], pieces[n].poly.substitute({own: Poly.symbol("g") * sign}))
