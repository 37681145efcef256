"""What mechanics says of a scene for one choice of positive directions: frozen records that judging and lessons read.

Signs: every polynomial here is written along the *chosen* positive direction of its thing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ..algebra import Poly
from ..scene.model import Scene
from .covered import Covered


@dataclass(frozen=True)
class Term:
    """One force (or, on a wheel, one torque) in a thing's equation.

    symbol: the force's symbol ("W_1", "T", "f_1", "P", "F", "tau_f"). kind: weight, tension, contact, friction,
    rolling, outside, drag. direction: the direction word in which the *whole force* acts on this thing ("down" for
    the weight of a body on a slope too); `sign` is that of its component along the chosen positive direction.
    size: its (positive) component or torque as a polynomial, with the force's own symbol where it is an unknown
    or has laws (T, f_1, N_1) and m_1*g for a weight: "m_1*g*sin(theta)", "R*T_1", "F*cos(beta)".
    strands: how many strands of the same rope this term gathers (2 at a movable pulley: size is 2*T).
    """

    symbol: str
    kind: str
    thing: str
    direction: str
    sign: int
    size: Poly
    strands: int = 1
    other: str | None = None  # the body at the other end: of a friction between stacked bodies, of a contact

    @property
    def poly(self) -> Poly:
        return self.size * self.sign


@dataclass(frozen=True)
class Equation:
    """Newton's second law for one thing: sum of `terms` = `inertia`, inertia such as m_1*a_1 or I*alpha."""

    thing: str
    terms: tuple[Term, ...]
    inertia: Poly

    @property
    def poly(self) -> Poly:
        """Everything on the left: sum of terms minus inertia."""
        return Poly.sum(t.poly for t in self.terms) - self.inertia


@dataclass(frozen=True)
class Balance:
    """The balance across a body's line, which gives its normal force: N_1 = rest."""

    body: str
    symbol: str  # "N_1"
    value: Poly  # m_1*g*cos(theta) - F*sin(beta) + N_2 ...
    terms: tuple[tuple[str, str, int, Poly], ...]  # (symbol, direction word, sign away from the surface, size)


@dataclass(frozen=True)
class Tie:
    """One relation between displacements (so also between speeds and accelerations): poly = 0."""

    source: str  # the rope's or contact's symbol, or the rolling's
    kind: str  # rope, contact, rolling; rest: static friction (or a bearing's) allows no relative motion
    poly: Poly  # a_1 - a_2, 2*a_1 + a_2, a_1 - R*alpha


@dataclass(frozen=True)
class Regime:
    """What really happens. All words are facts of the scene, free of any choice of positive directions.

    direction: {thing: direction word in which it accelerates, or moves where it moves steadily; None where it stays
    at rest}.
    friction: {friction symbol: (state, direction word of the force on its body or None)}, state one of
    "holds" (static), "slides" (kinetic), "none" (no friction or no contact).
    taut: {rope symbol: bool}. touching: {contact symbol or normal symbol: bool}.
    notes: sentences for a reader (a rope goes slack, reverses after ..., two regimes are possible ...).
    """

    moves: bool
    direction: Mapping[str, str | None]
    friction: Mapping[str, tuple[str, str | None]]
    taut: Mapping[str, bool]
    touching: Mapping[str, bool]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Setup:
    """Everything true of a scene for one choice of positive directions.

    equations: one per thing whose acceleration is unknown (or whose forces are all known or asked).
    balances: one per body on a surface.
    laws: {symbol: its value as a polynomial}, to be substituted: W_1 = m_1*g, f_1 = mu_k*N_1 (only while sliding;
    static friction and rolling friction stay unknown), N_1 = ..., I = 1/2*M*R^2 where the inertia comes from a shape.
    ties: independent ones that hold in this regime. unknowns: symbols that equations and ties determine, after `laws`.
    shared: {acceleration symbol: +1} for every body acceleration that the one letter `a` may stand for, empty where
    it may not (the directions clash, or sizes differ). size_of: {acceleration symbol: factor} such that a_i = factor
    * (the size a) where all sizes are equal, whatever the signs; empty where sizes differ.
    given: {symbol: exact SI value} for every datum, and trig atoms "sin(theta)". values: {symbol: exact value} for
    every symbol that has one, unknowns and W, N, f, alpha, a, t, v too, signed along the chosen positive directions.
    """

    scene: Scene
    positive: Mapping[str, str]
    regime: Regime
    equations: Mapping[str, Equation]
    balances: Mapping[str, Balance]
    laws: Mapping[str, Poly]
    ties: tuple[Tie, ...]
    unknowns: tuple[str, ...]
    shared: Mapping[str, int]
    size_of: Mapping[str, int]
    given: Mapping[str, Fraction]
    values: Mapping[str, Fraction]
    undetermined: tuple[str, ...] = ()
    covered: Covered | None = None  # where a distance is given, and reached
