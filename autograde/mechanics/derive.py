"""From a scene and positive directions to a Setup: equations, ties, laws, regime and exact values."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction

from ..algebra import Poly
from ..scene.error import Path
from ..scene.model import OPPOSITE, Scene
from .covered import Covered
from .errors import MechanicsError
from .faults import cancelling, likely, located
from .hauling import mark_hauled
from .linear import ONE, solve
from .motion import afterwards, starting_speeds, word_of
from .outcome import MINUS, OFF, ON, STICK, Outcome
from .positive import positive_directions
from .regime import Search
from .setup import Equation, Regime, Setup, Term, Tie
from .system import HOLDING_TORQUE, Link, System, build

_ZERO = Fraction(0)


def derive(scene: Scene, positive: Mapping[str, str] | None = None, assumed: Collection[str] = ()) -> Setup:
    """Everything true of a scene for one choice of positive directions (default: each thing's first direction word).

    assumed: the symbols of frictions, among those that hold, that somebody has assumed to act the other way; their values come out negative.
    MechanicsError: an unknown thing or direction word; a scene that is contradictory or not constrained enough; an
    asked value that nothing settles.
    """
    chosen = positive_directions(scene, positive)
    try:
        system, speed, search, outcome = _solved(scene)
    except MechanicsError as why:
        raise _explained(scene, why) from None
    tendency = search.pushed(search.start()) if outcome.loose else {}
    setup = _Writer(system, chosen, speed, outcome, search.rival(outcome), tendency, frozenset(assumed)).setup()
    _check_asked(setup, system, outcome)
    return setup


def _explained(scene: Scene, why: MechanicsError) -> MechanicsError:
    """The complaint with its file, and before it what in the file is the likely reason."""
    system = build(scene)
    mark_hauled(system)
    reason = likely(system)
    path, says = reason if reason else ((), str(why))
    return located(scene, path, f"{says} ({why})" if reason and "contradict" not in says else says)


def _solved(scene: Scene) -> tuple[System, dict[str, Fraction], Search, Outcome]:
    """The system with what really happens in it.

    A rope that a given acceleration overrules is taken as hauled; where nothing fits that, it is an ordinary one (slack).
    """
    first: MechanicsError | None = None
    for told in (False, True):
        system = build(scene)
        mark_hauled(system, told)
        try:
            speed = starting_speeds(system)
            search = Search(system, speed)
            return system, speed, search, search.run()
        except MechanicsError as why:
            first = first or why
            if not system.prescribed:
                break
    assert first is not None
    raise first


def solve_at(setup: Setup, given: Mapping[str, Fraction]) -> dict[str, Fraction]:
    """The unknowns and all that the laws give, in the same regime and with the same signs, for other data.

    given: every datum and trig atom of `setup.given`. MechanicsError where these data leave no unique solution.
    """
    known = dict(given)
    waiting = dict(setup.laws)
    while waiting:
        ready = [s for s, p in waiting.items() if p.symbols <= known.keys()]
        if not ready:
            raise MechanicsError(
                f"no value for {', '.join(sorted(set().union(*(p.symbols for p in waiting.values())) - known.keys()))}"
            )
        for symbol in ready:
            known[symbol] = waiting.pop(symbol).at(known)
    rows = []
    for poly in (*(e.poly for e in setup.equations.values()), *(t.poly for t in setup.ties)):
        row: dict[str, Fraction] = {}
        for monomial, c in poly.terms.items():
            key = ONE
            for symbol, power in monomial:
                if symbol in known:
                    c = c * known[symbol] ** power
                else:
                    key = symbol
            row[key] = row.get(key, _ZERO) + c
        rows.append(row)
    solution = solve(rows)
    out = {}
    for name in setup.unknowns:
        value = solution.value(name)
        if value is not None:
            out[name] = value
        elif name not in setup.undetermined:
            raise MechanicsError(f"with these data nothing settles {name}")
    if solution.broken:
        raise MechanicsError("with these data the equations contradict each other")
    out.update({s: known[s] for s in setup.laws})
    if setup.shared:
        first = next(iter(setup.shared))
        out.setdefault(
            setup.scene.symbol_of("shared_acceleration", None) or "a", out[first] if first in out else known[first]
        )
    if setup.covered is not None:
        out.update(setup.covered.values({**known, **out}))
    return out


class _Writer:
    """Writes a solved system along the chosen positive directions."""

    def __init__(
        self,
        system: System,
        positive: dict[str, str],
        speed: Mapping[str, Fraction],
        outcome: Outcome,
        rival: Outcome | None,
        tendency: Mapping[str, str],
        assumed: frozenset[str] = frozenset(),
    ) -> None:
        self.system, self.positive, self.speed, self.outcome, self.rival = system, positive, speed, outcome, rival
        self.tendency = tendency  # which way friction would act if all slid
        self.turned = frozenset(k.symbol for k in system.links if k.symbol in assumed and k.dry and outcome.choice[k.symbol] == STICK)
        self.flip = {t: system.sign(t, w) for t, w in positive.items()}
        self.laws = dict(system.laws)
        self.force_symbols: list[str] = []
        self.covered: Covered | None = None

    def setup(self) -> Setup:
        system, outcome = self.system, self.outcome
        equations = self._equations()
        ties = self._ties()
        given = dict(system.given)
        accelerations = {system.acc[t]: outcome.acc[t] * self.flip[t] for t in system.acc}
        driven = [system.acc[t] for t in system.prescribed]
        given.update({s: accelerations[s] for s in driven})
        used = {s for e in equations.values() for s in e.poly.symbols}
        unknowns = tuple(
            s for s in (*accelerations, *self.force_symbols) if s not in driven and (s in used or s in accelerations)
        )
        undetermined = tuple(self._unknown_of(k) for k in system.links if k.symbol in outcome.loose)
        values = dict(accelerations)
        for link in system.links:
            if link.symbol not in outcome.loose and self._unknown_of(link) not in given:
                values[self._unknown_of(link)] = abs(outcome.force[link.symbol]) * (-1 if link.symbol in self.turned else 1)
        for symbol in self.laws:
            values.setdefault(symbol, self._law_value(symbol, given))
        shared, size_of, size = self._sizes()
        letters = system.letters
        if size is not None:
            values.setdefault(letters.name("shared_acceleration", None), size)
        notes = [*system.notes, *self._notes()]
        notes += self._motion(values, shared)
        regime = self._regime(tuple(notes))
        return Setup(
            system.scene,
            self.positive,
            regime,
            equations,
            dict(system.balances),
            self.laws,
            ties,
            unknowns,
            shared,
            size_of,
            given,
            values,
            undetermined,
            self.covered,
        )

    def _law_value(self, symbol: str, given: Mapping[str, Fraction]) -> Fraction:
        poly = self.laws[symbol]
        return poly.at({s: given[s] if s in given else self._law_value(s, given) for s in poly.symbols})

    def _unknown_of(self, link: Link) -> str:
        return HOLDING_TORQUE if link.kind == "drag" and self.outcome.choice[link.symbol] == STICK else link.symbol

    def _terms_of(self, link: Link) -> list[Term]:
        state, value = self.outcome.choice[link.symbol], self.outcome.force.get(link.symbol, _ZERO)
        if state == OFF:
            self.laws[link.symbol] = Poly()
            return []
        if link.dry and link.kind != "rolling" and not value:
            if link.kind == "friction" and link.symbol not in self.outcome.loose:
                self.laws[link.symbol] = Poly()
                return []
            if link.kind == "drag" and link.symbol not in self.outcome.loose:
                return []
        if link.dry and state != STICK and link.law is not None:
            self.laws[link.symbol] = link.law if link.slide else Poly()
        elif self._unknown_of(link) not in self.system.given:
            self.force_symbols.append(self._unknown_of(link))
        terms = []
        forward = value > 0 or (not value and self.tendency.get(link.symbol) != MINUS)
        forward = forward != (link.symbol in self.turned)
        for part in link.parts:
            word = part.direction if forward else OPPOSITE[part.direction]
            sign = 1 if word == self.positive[part.thing] else -1
            size = part.size.substitute({link.symbol: Poly.symbol(self._unknown_of(link))})
            kind = {"rope": "tension"}.get(link.kind, link.kind)
            terms.append(Term(link.symbol, kind, part.thing, word, sign, size, part.strands, part.other))
        return terms

    def _equations(self) -> dict[str, Equation]:
        system = self.system
        of: dict[str, list[Term]] = {t: [] for t in system.acc}
        for thing, terms in system.terms.items():
            of[thing] += [Term(t.symbol, t.kind, thing, t.direction, t.sign * self.flip[thing], t.size) for t in terms]
        order = {"rope": 0, "contact": 1}
        for link in sorted(system.links, key=lambda k: order.get(k.kind, 2)):
            for term in self._terms_of(link):
                of[term.thing].append(term)
        rank = {"tension": 0, "outside": 1, "contact": 2, "weight": 3}
        return {
            t: Equation(t, tuple(sorted(of[t], key=lambda x: rank.get(x.kind, 4))), system.inertia_poly[t])
            for t in system.scene.things
            if t in system.live
        }

    def _binding(self, link: Link) -> bool:
        return not link.hauled and self.outcome.choice[link.symbol] in (ON, STICK)

    def _ties(self) -> tuple[Tie, ...]:
        system = self.system
        order = {"rope": 0, "contact": 1, "rolling": 2}
        binding = sorted((k for k in system.links if self._binding(k)), key=lambda k: order.get(k.kind, 3))
        known = [{t: Fraction(1), ONE: -a} for t, a in system.prescribed.items()]
        spare = solve([*known, *(k.row for k in binding)], in_order=True).spare
        out = []
        for i, link in enumerate(binding, len(known)):
            if i in spare:
                continue
            things = sorted(link.poly_row, key=system.scene.things.index)
            lead = next(t for t in things if link.row[t])
            turn = self.flip[lead] if link.row[lead] > 0 else -self.flip[lead]  # the first thing's term without a minus
            poly = Poly.sum(link.poly_row[t] * Poly.symbol(system.acc[t]) * (self.flip[t] * turn) for t in things)
            out.append(Tie(link.symbol, link.kind if link.kind in order else "rest", poly))
        return tuple(out)

    def _sizes(self) -> tuple[dict[str, int], dict[str, int], Fraction | None]:
        """shared, size_of and the value of the letter a."""
        system, acc = self.system, self.outcome.acc
        bodies = [b for b in system.scene.bodies if b not in system.prescribed]
        if not bodies:
            return {}, {}, None
        rows = [k.row for k in system.links if self._binding(k) and (len(k.row) > 1 or not k.dry)]
        solution = solve(rows)
        forms = [solution.of.get(b, {b: Fraction(1)}) for b in bodies]
        first = forms[0]
        same = {
            b: 1 if f == first else -1
            for b, f in zip(bodies, forms, strict=True)
            if f == first or f == {k: -c for k, c in first.items()}
        }
        if len(same) < len(bodies):
            return {}, {}, None
        way = 1 if acc[bodies[0]] * self.flip[bodies[0]] >= 0 else -1
        signs = {b: same[b] * self.flip[b] * self.flip[bodies[0]] for b in bodies}
        size_of = {system.acc[b]: signs[b] * way for b in bodies}
        clash = len(set(signs.values())) > 1
        value = abs(acc[bodies[0]]) if clash else acc[bodies[0]] * self.flip[bodies[0]]
        return {} if clash else {system.acc[b]: 1 for b in bodies}, size_of, value

    def _motion(self, values: dict[str, Fraction], shared: Mapping[str, int]) -> list[str]:
        """Put t and v into the values where a distance is given; the notes say what cannot be."""
        system, distance = self.system, self.system.scene.distance
        after = afterwards(system, self.speed, self.outcome)
        if distance is None:
            return after
        lead = next((b for b in system.scene.bodies if self.outcome.acc[b] or self.speed[b]), None)
        if lead is None:
            return [*after, "nothing moves, so there is no time and no speed."]
        sizes = {abs(self.outcome.acc[b]) for b in system.scene.bodies if b not in system.prescribed}
        start, a = self.speed[lead], self.outcome.acc[lead]
        d, t, v = (system.letters.name(kind, None) for kind in ("distance", "time", "speed"))
        system.given.setdefault(d, distance.value)
        covered = Covered(system.acc[lead], abs(start), -1 if start * a < 0 else 1, d, t, v)
        reached = covered.values({d: distance.value, system.acc[lead]: a})
        if not reached:
            return [*after, f"{lead} never covers the distance: it stops before."]
        self.covered = covered
        values.update(reached)
        return after if len(sizes) < 2 else [*after, f"the distance, t and v are those of {lead}."]

    def _regime(self, notes: tuple[str, ...]) -> Regime:
        system, outcome = self.system, self.outcome
        direction = {
            t: word_of(system, t, outcome.acc[t]) or word_of(system, t, self.speed[t]) for t in system.scene.things
        }
        friction: dict[str, tuple[str, str | None]] = {}
        for link in system.links:
            if not link.dry or link.kind == "drag":
                continue
            value = outcome.force.get(link.symbol, _ZERO)
            state = "none" if link.hold == 0 else "holds" if outcome.choice[link.symbol] == STICK else "slides"
            loose = link.symbol in outcome.loose
            friction[link.symbol] = (state, None if loose else word_of(system, link.parts[0].thing, value))
        taut = {k.symbol: outcome.choice[k.symbol] == ON for k in system.links if k.kind == "rope"}
        touching = {k.symbol: outcome.choice[k.symbol] == ON for k in system.links if k.kind == "contact"}
        touching.update({b.symbol: name not in system.lifted for name, b in system.balances.items()})
        return Regime(any(w for w in direction.values()), direction, friction, taut, touching, notes)

    def _notes(self) -> list[str]:
        system, outcome = self.system, self.outcome
        notes = []
        for name in system.lifted:
            notes.append(f"{name} is lifted off its surface: N = 0 there, and it leaves its line.")
        for link in system.links:
            state = outcome.choice[link.symbol]
            if state == OFF:
                what = "goes slack, so it pulls nothing" if link.kind == "rope" else "parts, so it pushes nothing"
                notes.append(f"{'rope' if link.kind == 'rope' else 'contact'} {link.symbol} {what}.")
            elif link.kind == "rolling" and state != STICK and link.hold != 0:
                notes.append(f"{link.parts[0].thing} slips: rolling would need more friction than there can be.")
            elif link.kind == "drag" and state == STICK:
                notes.append(f"the bearing of {link.parts[0].thing} holds it at rest.")
            if link.symbol in outcome.loose:
                notes.append(f"{link.symbol} is not settled by the scene: several values fit.")
        for body in system.scene.bodies.values():
            rough = body.friction
            if rough is None or body.name not in system.normal:
                continue
            for link in system.links:
                if link.parts[0].thing != body.name or not link.dry or not link.hold:
                    continue
                holds = outcome.choice[link.symbol] == STICK
                if rough.static is None and holds and link.kind == "friction":
                    notes.append(f"{body.name} has no static coefficient: the kinetic one is taken as its limit.")
                if rough.kinetic is None and not holds:
                    notes.append(f"{body.name} has no kinetic coefficient: the static one is taken for sliding too.")
        if self.rival is not None:
            gone = [k for k in system.links if k.dry and self.rival.choice[k.symbol] != outcome.choice[k.symbol] == STICK]
            slid = [k.parts[0].thing for k in gone]
            still = not any(outcome.acc.values()) and not any(self.speed.values())
            lead = next((t for t in slid if self.rival.acc[t]), slid[0])
            word = word_of(system, lead, self.rival.acc[lead])
            notes.append(
                f"two regimes are possible: static friction holds {'it at rest' if still else ' and '.join(slid)}, but "
                f"once {lead} slides it goes on sliding" + (f" {word}." if word else ".")
            )
        return notes


def _check_asked(setup: Setup, system: System, outcome: Outcome) -> None:
    scene = setup.scene
    for n, symbol in enumerate(scene.asked):
        if symbol in setup.values or symbol in setup.given:
            continue
        where: Path = ("ask", "values", n)
        kinds = {s.name: s.kind for s in scene.symbols.values()}
        kind = kinds.get(symbol, "")
        if symbol in setup.undetermined:
            for path, says in cancelling(scene):
                raise located(scene, path, f"{says} (so {symbol}, which is asked, has no one value)")
            why = "several values fit, since there are more ropes, contacts or holding frictions than equations"
        elif kind in ("time", "speed"):
            why = next(
                (n for n in setup.regime.notes if "distance" in n or "nothing moves" in n),
                "[ask.motion] gives no distance",
            )
        elif kind == "shared_acceleration" or symbol == "a":
            reason = likely(system, outcome.choice)
            if reason is not None:
                raise located(scene, reason[0], f"{reason[1]} (so {symbol}, which is asked, has no one value)")
            why = "the accelerations differ in size, so ask for those of single bodies, such as a_1"
            if scene.bodies.keys() <= system.prescribed.keys():
                why = "the accelerations are given; ask for a tension, such as T"
        else:
            why = "no equation of this scene contains it"
        raise located(scene, where, f"{symbol} is asked, but has no unique value: {why}".rstrip("."))
