"""Directions and force diagrams: what was chosen, and which arrows are missing, extra or turned round."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from ..mechanics.setup import Setup
from ..reading import Complaint, read
from ..reading.tree import Name, Node, Number, Product
from ..scene.model import OPPOSITE, Scene
from ..scene.notation import class_letter
from ..scene.words import thing_name, way
from .components import INTO, Parts
from .context import Context
from .lines import Meaning, resolve
from .pieces import say_force
from .says import ARROWS, IN_A_DIAGRAM, force_words, slip
from .verdicts import RIGHT, SLIP, UNREAD, Slip

SAME_WORD = {
    "cw": "clockwise",
    "ccw": "counterclockwise",
    "anticlockwise": "counterclockwise",
    "anti-clockwise": "counterclockwise",
    "counter-clockwise": "counterclockwise",
    "upwards": "up",
    "upward": "up",
    "downwards": "down",
    "downward": "down",
    "rightwards": "right",
    "leftwards": "left",
    "to the right": "right",
    "to the left": "left",
    "up slope": "upslope",
    "up the slope": "upslope",
    "up-slope": "upslope",
    "uphill": "upslope",
    "down slope": "downslope",
    "down the slope": "downslope",
    "down-slope": "downslope",
    "downhill": "downslope",
    "↑": "up",
    "↓": "down",
    "→": "right",
    "←": "left",
    "↻": "clockwise",
    "↺": "counterclockwise",
}
AWAY = frozenset(
    {
        "away",
        *(f"{way} {place}" for way in ("away from", "out of", "off", "perpendicular to", "normal to", "at right angles to") for place in ("surface", "slope", "plane", "ramp", "incline", "ground", "floor", "track", "table")),
        "perpendicular",
        "normal",
        "out",
        "outward",
        "outwards",
        "off",
        "across",
        "up",
    }
)


WEIGHT_WORDS = frozenset({"weight", "gravity", "force of gravity", "w", "fg", "f_g", "mg", "m g"})
KIND_WORDS = {
    "tension": "tension",
    "friction": "friction",
    "normal": "normal",
    "normal force": "normal",
    "drag": "drag",
}


@dataclass(frozen=True)
class Arrow:
    """One force that acts on a thing: its symbol, the words that name its direction, how many strands, whether it may be left out."""

    symbol: str
    words: frozenset[str]
    count: int
    kind: str


def direction_word(text: str) -> str:
    """A direction as the scene file words it."""
    word = re.sub(r"\s+", " ", text.strip().lower())
    word = re.sub(r"\b(the|a|its) ", "", word) if word not in SAME_WORD else word
    return SAME_WORD.get(word, word)


def true_arrows(setup: Setup, thing: str) -> list[Arrow]:
    """Every force on a thing, across its line too."""
    out: list[Arrow] = []
    body = setup.scene.bodies.get(thing)
    away = AWAY - {"up"} if body is not None and body.moves == "slope" else AWAY  # straight up is not straight out of a slope
    for t in setup.equations[thing].terms if thing in setup.equations else ():
        plus = setup.positive[thing]
        along = plus if t.sign > 0 else OPPOSITE[plus]
        acts = {t.direction, along} if t.kind != "weight" else {t.direction, "down"}
        out.append(Arrow(t.symbol, frozenset(acts), t.strands, t.kind))
    balance = setup.balances.get(thing)
    if balance is not None and body is not None:
        if setup.regime.touching.get(balance.symbol, True):
            out.append(Arrow(balance.symbol, away, 1, "normal"))
        for symbol, word, sign, _ in balance.terms:
            if not any(a.symbol == symbol for a in out):
                kind = setup.scene.symbols[symbol].kind if symbol in setup.scene.symbols else "weight"
                words = away if sign > 0 else INTO | {"down", word}
                out.append(Arrow(symbol, frozenset({word}) | words, 1, kind))
    if body is not None and not any(a.kind == "weight" for a in out) and body.mass.value:
        weight = setup.scene.symbol_of("weight", thing)
        if weight:
            out.append(Arrow(weight, frozenset({"down"}), 1, "weight"))
    return out


def force_symbol(context: Context, thing: str, text: str) -> tuple[str, int] | None:
    """The force that a student names in a diagram, and how many times: W_1, m_1 g, mg, weight, 2T; None where it is no force here."""
    word = text.strip().lower()
    scene = context.scene
    own = scene.symbol_of("weight", thing)
    if word in WEIGHT_WORDS:
        return (own, 1) if own else None
    if word in KIND_WORDS:
        kind = KIND_WORDS[word]
        every = [
            s.name for s in scene.symbols.values() if s.kind == kind and (s.thing in (None, thing) or kind == "tension")
        ]
        return (every[0], 1) if len(every) == 1 else None
    try:
        line = read(text, context.vocabulary).lines[0]
    except Complaint:
        return None
    if len(line.sides) != 1:
        return None
    count, node = _counted(line.sides[0])
    symbol = _named(context, thing, node)
    return (symbol, count) if symbol is not None else None


def _counted(node: Node) -> tuple[int, Node]:
    """A small whole number in front of a force, and the force."""
    if isinstance(node, Product) and len(node.factors) == 2:
        (_, first), (how, second) = node.factors
        if isinstance(first, Number) and how != "/" and first.text.isdigit() and 1 <= first.value <= 9:
            return int(first.value), second
    return 1, node


def _named(context: Context, thing: str, node: Node) -> str | None:
    meaning = Meaning(thing)
    if isinstance(node, Name):
        try:
            return resolve(node.name, context, meaning)[1]
        except KeyError:
            return node.name
    if isinstance(node, Product) and all(isinstance(f, Name) and how != "/" for how, f in node.factors):
        names = []
        for _, f in node.factors:
            name = f.name if isinstance(f, Name) else ""
            try:
                names.append("a" if name == "a" else resolve(name, context, meaning)[1])
            except KeyError:
                return None
        kinds = {context.scene.symbols[n].kind: n for n in names if n in context.scene.symbols}
        if set(kinds) == {"mass", "gravity"}:
            return context.scene.symbol_of("weight", context.scene.symbols[kinds["mass"]].thing)
        if "mass" in kinds and ("acceleration" in kinds or "a" in names):
            return "m a"
        normal = kinds.get("normal")
        if normal and ("mu_k" in kinds or "mu_s" in kinds):
            return context.scene.symbol_of("friction", context.scene.symbols[normal].thing)
    return None


def judge_forces(context: Context, thing: str, arrows: Iterable[tuple[str, str]]) -> tuple[str, tuple[Slip, ...], str]:
    """(verdict, slips, says) of a force diagram."""
    setup = context.setup
    truth = true_arrows(setup, thing)
    by_symbol = {a.symbol: a for a in truth}
    slips: list[Slip] = []
    seen: Counter[str] = Counter()
    odd: list[tuple[str, int, str]] = []  # the arrows that are not as they should be
    parts = Parts()
    weight = next((a.symbol for a in truth if a.kind == "weight"), "")
    for text, direction in arrows:
        named = force_symbol(context, thing, text)
        if named is None and parts.take(context, thing, text, direction_word(direction), _is_weight(context, thing)):
            continue
        if named is None and (absent := _absent(context, thing, text)):
            kind, what = absent
            slips.append(slip("extra-force", {**_words(setup, thing, weight), "force": what, "named": "that arrow"}, None, kind))
            continue
        if named is None:
            return (
                UNREAD,
                (),
                f"“{text:.60}” names no force of this problem. The forces here are {', '.join(_forces(context.scene))}.",
            )
        symbol, times = named
        arrow, word = by_symbol.get(symbol), direction_word(direction)
        if arrow is not None and word in arrow.words and seen[symbol] < arrow.count:
            seen[symbol] += times
        else:
            odd.append((symbol, times, word))
    if parts.drawn:
        slips += parts.slips(weight, seen[weight] > 0, _words(setup, thing, weight))
        seen[weight] = 1
    odd = _of_the_other_side(context, thing, truth, seen, odd, slips)
    for symbol, times, word in odd:
        seen[symbol] += times
        arrow = by_symbol.get(symbol)
        words = _words(setup, thing, symbol)
        if symbol == "m a":
            words["named"] = "m a"
            words["force"] = "the product m a (it is what the forces add up to, not a force)"
            slips.append(slip("extra-force", words, None, "m a"))
        elif arrow is None:
            slips.append(_not_here(context, symbol, words))
        elif word not in arrow.words:
            slips.append(_turned(setup, thing, symbol, arrow, words, word))
    for arrow in truth:
        if seen[arrow.symbol] == 0:
            slips.append(slip("missing-force", _words(setup, thing, arrow.symbol), None, arrow.symbol))
        elif arrow.count > 1 and seen[arrow.symbol] != arrow.count:
            slips.append(slip("strand-count", force_words(setup, thing, arrow.symbol), None, arrow.symbol))
        elif arrow.count == 1 and seen[arrow.symbol] > 1:
            kind = "strand-count" if arrow.kind == "tension" else "extra-force"
            slips.append(
                slip(
                    kind,
                    {
                        **_words(setup, thing, arrow.symbol),
                        "force": f"{say_force(setup, arrow.symbol)}, there once already,",
                        "named": "the second arrow",
                        "along": " a second time",
                    },
                    None,
                    arrow.symbol,
                )
            )
    return (SLIP, tuple(slips), "") if slips else (RIGHT, (), "")


def _of_the_other_side(
    context: Context, thing: str, truth: list[Arrow], seen: Counter[str], odd: list[tuple[str, int, str]], slips: list[Slip]
) -> list[tuple[str, int, str]]:
    """Arrows of the tension of a heavy wheel's other side, or of one letter for both, drawn where this side's belongs: one slip
    for all of them, and the forces are there. Returns the rest."""
    rest, misnamed = [], ""
    for symbol, times, word in odd:
        sides = [s for s in two_sided(context.setup) if symbol in s or (symbol == "T" and "T" not in context.scene.symbols)]
        own = next((a for a in truth if not seen[a.symbol] and word in a.words and any(a.symbol in s for s in sides)), None)
        if own is None:
            rest.append((symbol, times, word))
            continue
        seen[own.symbol] += times
        misnamed = misnamed or own.symbol
    if misnamed:
        slips.append(slip("one-tension", _words(context.setup, thing, misnamed), None, misnamed))
    return rest


def two_sided(setup: Setup) -> list[frozenset[str]]:
    """For each wheel with inertia the tensions that pull on it, where there is more than one."""
    wheels = [e for thing, e in setup.equations.items() if thing in setup.scene.wheels]
    every = [frozenset(t.symbol for t in e.terms if t.kind == "tension") for e in wheels]
    return [s for s in every if len(s) > 1]


def _absent(context: Context, thing: str, text: str) -> tuple[str, str] | None:
    """What a text names that this scene has no letter for, since it does not act here: friction where all is smooth, a normal force
    where nothing is touched: its kind, and the words for it; None where it is no such."""
    body = context.scene.bodies.get(thing)
    index = rf"(?:_?\{{?{body.index}\}}?)?" if body is not None and body.index else ""
    for kind, letters, says in (
        ("friction", "friction|friction force|f|F_f", "Friction (nothing rubs on it in this problem)"),
        ("normal", "normal|normal force|N|R|F_N", "A normal force (no surface carries it)"),
    ):
        if context.scene.symbol_of(kind, thing) is None and re.fullmatch(rf"(?:{letters}){index}", text.strip()):
            return kind, says
    return None


def _is_weight(context: Context, thing: str) -> Callable[[Node], bool]:
    """Whether a node names the thing's own weight: W_1, m_1 g."""
    own = context.scene.symbol_of("weight", thing)
    return lambda node: own is not None and _named(context, thing, node) == own


def _words(setup: Setup, thing: str, symbol: str) -> dict[str, str]:
    """The words of a message about one force in a diagram."""
    words = force_words(setup, thing, symbol)
    turns = {"needs": "A diagram of a wheel shows all that turns it: the pull of each rope, and the drag of its bearing."} if thing in setup.scene.wheels else {}
    return {**words, **IN_A_DIAGRAM, **turns, "gather": IN_A_DIAGRAM["gather"].format(body=words["body"])}


def _forces(scene: Scene) -> list[str]:
    return [
        class_letter(scene, s.name)
        for s in scene.symbols.values()
        if s.kind in ("weight", "tension", "normal", "friction", "contact", "outside", "rolling", "drag")
    ]


def _not_here(context: Context, symbol: str, words: dict[str, str]) -> Slip:
    known = context.scene.symbols.get(symbol)
    if known is not None and known.kind == "weight":
        words["other"] = f"the {thing_name(known.thing or '')}"
        return slip(
            "extra-force",
            {**words, "force": f"{say_force(context.setup, symbol)} (it acts on the {thing_name(known.thing or '')})"},
            None,
            symbol,
        )
    return slip("extra-force", words, None, symbol)


def _turned(setup: Setup, thing: str, symbol: str, arrow: Arrow, words: dict[str, str], word: str) -> Slip:
    acts = sorted(arrow.words - {"away"})[0] if arrow.kind != "normal" else "away from the surface"
    along = [w for w in arrow.words if w in OPPOSITE and w in (setup.positive[thing], OPPOSITE[setup.positive[thing]])]
    words["acts"] = along[0] if along and arrow.kind != "weight" else "down" if arrow.kind == "weight" else acts
    kind = "flipped-friction" if arrow.kind in ("friction", "rolling") else "flipped-force"
    entry = slip(kind, {**words, "enters": words.get("enters", "its own sign")}, None, symbol)
    says = f"{_cap(say_force(setup, symbol))} does not act {way(word) or 'that way'} on the {thing_name(thing)}: it acts {way(words['acts'])}."
    return Slip(entry.kind, says, None, symbol, ARROWS.get(arrow.kind, entry.why), f"Turn the arrow of {say_force(setup, symbol)} round.")


def _cap(text: str) -> str:
    return text[:1].upper() + text[1:]
