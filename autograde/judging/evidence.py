"""When several slips explain a line equally well, what is written decides: the terms as they stand, before merging."""

from __future__ import annotations

from ..algebra import Poly
from ..reading.tree import Group, Line, Node, Product, Sum
from .context import Context
from .evaluate import Unjudgeable, evaluate, names_in
from .lines import Meaning, Spot, form_look, line_names, resolve, spots
from .locate import best_spot, locate_spot
from .pieces import INERTIA, Variant, pieces_of


def against(line: Line, context: Context, thing: str, meaning: Meaning, variant: Variant) -> float:
    """How much what is written speaks against a variant: 0 nothing, 1 and more something."""
    kind = variant.kinds[0]
    names = _resolved(line_names(line), context, meaning)
    scene = context.scene
    masses = {s.name for s in scene.symbols.values() if s.kind == "mass"}
    if kind == "extra-force":
        known = scene.symbols.get(variant.term or "")
        if known is not None and known.kind == "normal" and variant.term not in names and len(names & masses) > 1:
            return 1.5  # several weights written out are weights, not a normal force
        hit = best_spot(line, context, meaning, variant.term, variant.delta)
        return 0.0 if hit is not None and hit[0] >= 3 and hit[1].depth == 0 else 1.5
    if kind == "total-mass":
        known = scene.symbols.get(variant.term or "")
        if known is not None and known.kind == "friction" and not names & masses:
            return 0.5  # in a worked-out friction another coefficient is commoner than another mass
        return (
            0.0
            if _sums_masses(line, context) or not names & {s.name for s in scene.symbols.values() if s.kind == "mass"}
            else 1.0
        )
    if kind == "other-body":
        own = {scene.symbol_of(k, thing) for k in ("mass", "acceleration", "weight", "alpha", "angle", "mu_k")}
        foreign = {
            n
            for n in names
            if n in scene.symbols
            and scene.symbols[n].kind in ("mass", "acceleration", "weight", "angle", "mu_k")
            and n not in own
            and n
            in {s[4:-1] if s.startswith(("sin(", "cos(")) else s for s in variant.delta.symbols}
            | {scene.symbol_of("weight", scene.symbols[m].thing) for m in variant.delta.symbols if m in scene.symbols}
        }
        return -1.0 if foreign else 0.5
    if kind in ("weight-for-mass", "free-fall"):
        return 0.0 if "g" in names or not names - {"a"} else 1.0
    if kind == "radius" and thing in scene.wheels:
        inertia = _inertia_spot(line, context, thing, meaning)
        as_it_should = inertia is not None and _is_worth(inertia, context, meaning, pieces_of(context.setup, thing)[-1].poly)
        return 0.5 if (variant.term == INERTIA) == as_it_should else 0.0
    if kind == "strand-count" and variant.term is not None:  # the rope that bends round is counted wrong, not the one that ends there
        strands = next((p.term.strands for p in pieces_of(context.setup, thing) if p.term is not None and p.symbol == variant.term), 1)
        return 0.5 if strands == 1 else 0.0
    if kind == "mass-for-weight":
        return 1.0 if "g" in names else 0.0
    if kind == "missing-force" and variant.tag == "in-normal":
        return 1.0
    if kind in ("flipped-inertia", "flipped-force", "flipped-friction") and len(pieces_of(context.setup, thing)) == 2:
        inertia = _inertia_spot(line, context, thing, meaning)
        together = inertia is not None and any(
            s.side == inertia.side and s.depth == 0 and s.at != inertia.at for s in spots(line)
        )
        turned = inertia is not None and (inertia.sign > 0 if together else inertia.sign < 0) != _tied_against(inertia, context, thing, meaning)
        return 0.0 if turned == (kind == "flipped-inertia") else 1.0
    return 0.0


def excluded(line: Line, context: Context, thing: str, meaning: Meaning, variant: Variant) -> bool:
    """Whether what is written rules a variant out: another's acceleration is blamed, and the line has the thing's own by name."""
    names = _resolved(line_names(line), context, meaning)
    if variant.kinds == ("sine-cosine",) and variant.term not in names:  # N - W is the balance across the line, not F sin(phi)
        known = context.scene.symbols.get(variant.term or "")
        return known is not None and known.kind == "outside" and context.scene.symbol_of("normal", thing) in names
    if variant.kinds != ("other-body",):
        return False
    own = context.scene.symbol_of("acceleration", thing)
    blamed = {s for s in variant.delta.symbols if s in context.accelerations and s != own}
    return bool(blamed) and own in line_names(line) and not blamed & names


def _tied_against(spot: Spot, context: Context, thing: str, meaning: Meaning) -> bool:
    """Whether a term has another's acceleration in the place of the thing's own, and the two have opposite signs: T = 1/2 M a where a = -alpha R."""
    own = context.scene.symbol_of("acceleration", thing) or context.scene.symbol_of("alpha", thing)
    values = context.setup.values
    written = _resolved(names_in(spot.node), context, meaning) & set(context.accelerations) - {own}
    return any(values.get(own or "", 0) * values.get(a, 0) < 0 for a in written)


def _is_worth(spot: Spot, context: Context, meaning: Meaning, poly: Poly) -> bool:
    """Whether a term has the value of a piece, sign apart."""
    wanted = context.actual.form(poly)
    try:
        form = evaluate(spot.node, form_look(context, context.actual, meaning), context.figures())
    except Unjudgeable:
        return False
    return form.plain and form.num.keys() == wanted.keys() and all(abs(x) in abs(form.num[k]) for k, x in wanted.items())


def _resolved(names: set[str], context: Context, meaning: Meaning) -> set[str]:
    out = set()
    for n in names:
        try:
            out.add(resolve(n, context, meaning)[1])
        except KeyError:
            out.add(n)
    return out


def _sums_masses(line: Line, context: Context) -> bool:
    """Whether a parenthesis adds up masses, or a number does: (m_1 + m_2) g."""
    masses = {s.name for s in context.scene.symbols.values() if s.kind == "mass"}

    def look(node: Node) -> bool:
        if isinstance(node, Group):
            inner = node.inner
            if (
                isinstance(inner, Sum)
                and len(inner.terms) > 1
                and len(names_in(inner) & masses) > 1
                and names_in(inner) <= masses
            ):
                return True
            return look(inner)
        if isinstance(node, Sum):
            return any(look(t) for _, t in node.terms)
        if isinstance(node, Product):
            return any(look(f) for _, f in node.factors)
        return False

    return any(look(s) for s in line.sides)


def _inertia_spot(line: Line, context: Context, thing: str, meaning: Meaning) -> Spot | None:
    """The term with the acceleration."""
    poly = pieces_of(context.setup, thing)[-1].poly
    hit = locate_spot(line, context, meaning, None, poly)
    if hit is not None:
        return hit
    return next(
        (s for s in spots(line) if _resolved(names_in(s.node), context, meaning) & set(context.accelerations)), None
    )
