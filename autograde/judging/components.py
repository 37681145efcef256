"""A weight on a slope, drawn as its two parts: one along the slope, one into it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from ..reading import Complaint, read
from ..reading.tree import Group, Name, Node, Number, Product, Trig
from .context import Context
from .says import slip
from .verdicts import Slip

INTO = frozenset({"into", "in", *(f"into {place}" for place in ("surface", "slope", "plane", "ramp", "incline", "ground"))})
NAMES = {"sin": "sine", "cos": "cosine"}
BELONGS = {"sin": frozenset({"downslope"}), "cos": INTO}
"""On a slope: m g sin(theta) along it, m g cos(theta) into it."""


def _is_slope(context: Context, thing: str, node: Node) -> bool:
    """Whether a node is the angle of the thing's slope, as a letter or a number of degrees."""
    while isinstance(node, Group):
        node = node.inner
    angle = context.scene.symbol_of("angle", thing)
    if isinstance(node, Name):
        return node.name in (angle, "theta")
    known = context.scene.symbols[angle].given if angle is not None else None
    return isinstance(node, Number) and known is not None and node.value == known.value


@dataclass
class Parts:
    """The parts of one thing's weight in its diagram: the direction in which each is drawn, by its sine or cosine."""

    drawn: dict[str, str] = field(default_factory=dict)

    def take(self, context: Context, thing: str, text: str, word: str, is_weight: Callable[[Node], bool]) -> bool:
        """Whether a text is a part of this thing's weight; it is then kept with its direction."""
        body = context.scene.bodies.get(thing)
        if body is None or body.moves != "slope":
            return False
        try:
            line = read(text, context.vocabulary).lines[0]
        except Complaint:
            return False
        side = line.sides[0]
        if len(line.sides) != 1 or not isinstance(side, Product) or any(how == "/" for how, _ in side.factors):
            return False
        trigs = [f.function for _, f in side.factors if isinstance(f, Trig) and _is_slope(context, thing, f.argument)]
        rest = tuple((how, f) for how, f in side.factors if not isinstance(f, Trig))
        whole: Node | None = rest[0][1] if len(rest) == 1 else Product(rest, side.at) if rest else None
        if len(trigs) != 1 or trigs[0] not in BELONGS or whole is None or trigs[0] in self.drawn or not is_weight(whole):
            return False
        self.drawn[trigs[0]] = word
        return True

    def slips(self, symbol: str, whole_too: bool, words: Mapping[str, str]) -> list[Slip]:
        """The slips in parts that stand for the weight. symbol: the weight's; whole_too: it is drawn as a whole as well."""
        drawn = self.drawn
        if whole_too:
            says = f"The weight of the {words['body']} is in your diagram twice: whole, and as its parts."
            return [Slip("extra-force", says, None, symbol, "The parts replace the weight; together they are the weight.", "Take the parts out, or the whole weight.")]
        if len(drawn) < len(BELONGS):
            lacking = "along the slope" if "sin" not in drawn else "into the slope"
            return [slip("missing-force", {**words, "force": f"the part of the weight {lacking}"}, None, symbol)]
        if drawn["sin"] in INTO and drawn["cos"] in BELONGS["sin"]:
            return [slip("sine-cosine", words, None, symbol)]
        wrong = [f for f in BELONGS if drawn[f] not in BELONGS[f]]
        return [
            Slip(
                "flipped-force",
                f"The part of {words['force']} with the {NAMES[f]} does not act {drawn[f] or 'that way'}: it acts {'downslope' if f == 'sin' else 'into the slope'}.",
                None,
                symbol,
                "The weight is split into a part down along the slope and a part into the slope; together they are straight down.",
                "Turn that arrow.",
            )
            for f in wrong
        ]
