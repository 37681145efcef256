"""The closing picture: the motion as the student's own numbers have it, and the forces to scale with those numbers.

It is given once the student has drawn the forces and has a result; what is wrong in the results is said, and played at its word.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from ..autograde.languages import written
from ..autograde.mechanics.setup import Equation, Setup
from ..autograde.mechanics.wording import rounded
from ..autograde.scene.model import OPPOSITE, Scene
from ..autograde.scene.words import DIRECTION_LABELS, thing_name
from .desk import Desk
from .drawing.acting import Acting, acting_on, together
from .drawing.arrange import arranged
from .drawing.course import Phase, acceleration_symbol, course_of
from .drawing.forces import diagram_of, round_number, scales_of
from .drawing.geometry import Box, round_all
from .drawing.lifts import lift_of
from .drawing.motion import signed
from .drawing.words import ROUNDED_RESULT, ROUNDED_SUM, pretty_unit
from .lettered import label_box
from .messages import Closing, Diagram
from .moving import moving_picture
from .own import Own, own_numbers, with_equations
from .picture import picture
from .words import CLOSING, letters

LONGEST = 20.0  # s: a longer motion is shown so far
_ROUNDING, _UNIT = "rounding", "unit"
_SIZE_FITS = ("right", _ROUNDING, _UNIT)
_BAR = 70.0  # the longest scale bar, in drawing units


def closing(desk: Desk) -> Closing:
    """All that the closing picture shows, worked out from the desk."""
    shown = Closing(
        lesson=desk.place.lesson, problem=desk.problem, title=CLOSING["title"], notes=[], picture={}, motion={}, diagrams=[], says=[],
        decimal_comma=desk.scene.decimal_comma, trouble=desk.trouble or desk.fault, state="blank",
    )  # fmt: skip
    waits = _waits_for(desk)
    if waits:
        shown["notes"] = waits
        return shown
    steps = desk.verdicts()
    own = _with_small_slips(own_numbers(desk.scene, desk.answers, steps), steps)
    shown["state"] = "done"
    shown["notes"] = _notes(desk.scene, own)
    _add_motion(shown, own)
    shown["diagrams"] = _diagrams(own)
    if desk.scene.decimal_comma:
        _with_commas(shown)
    return shown


def _with_commas(shown: Closing) -> None:
    """Every number of ours with a decimal comma."""
    for key in ("notes", "says"):
        shown[key] = [written(text, True) for text in shown[key]]
    bars = [shown["motion"].get("bar"), *(d["bar"] for d in shown["diagrams"])]
    for bar in bars:
        if bar is not None:
            bar["label"] = written(bar["label"], True)
    for diagram in shown["diagrams"]:
        diagram["says"] = [written(text, True) for text in diagram["says"]]
        for arrow in diagram["arrows"]:
            arrow["size"] = written(arrow["size"], True)


def _waits_for(desk: Desk) -> list[str]:
    """What has to be there first, in words; [] where the picture may be given."""
    if not desk.settings.at_once:
        return [CLOSING["held"]]
    answers = desk.answers
    undirected = [t for t in desk.scene.things if t not in answers.get("directions", {})]
    undrawn = [t for t in with_equations(desk.scene) if t not in answers.get("forces", {})]  # a lift that is only driven has no diagram
    out = []
    if undirected:
        out.append(CLOSING["directions"].format(things=_list(undirected)))
    if undrawn:
        out.append(CLOSING["forces"].format(things=_list(undrawn)))
    if not answers.get("results"):
        out.append(CLOSING["results"])
    return [CLOSING["waits"], *out] if out else []


def _list(things: Sequence[str]) -> str:
    names = [f"the {thing_name(t)}" for t in things]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


# --- what is to be said of the numbers --------------------------------------------------------------------------------


def _with_small_slips(own: Own, steps: Sequence[Mapping[str, Any]]) -> Own:
    """A result in which nothing is wrong but its rounding, or its unit, is called so among the verdicts."""
    kinds = {str(s["item"]): [slip["kind"] for slip in s["slips"]] for s in steps if s["step"] == "results"}
    small = {symbol: found[0] for symbol, found in kinds.items() if found in ([_ROUNDING], [_UNIT])}
    return replace(own, verdicts={symbol: small.get(symbol, word) for symbol, word in own.verdicts.items()})


def _notes(scene: Scene, own: Own) -> list[str]:
    out = []
    for symbol, text in own.texts.items():
        word = own.verdicts.get(symbol, "")
        if symbol in own.unread:
            out.append(CLOSING["unread"].format(symbol=letters(scene, symbol), text=text))
        elif word == _ROUNDING:
            out.append(ROUNDED_RESULT.format(symbol=letters(scene, symbol), text=text))
        elif word == _UNIT:
            out.append(CLOSING[word].format(symbol=letters(scene, symbol), text=text, unit=pretty_unit(scene.symbols[symbol].unit)))
        elif word in ("slip", "follows"):
            out.append(CLOSING[word].format(symbol=letters(scene, symbol), text=text))
    out += [CLOSING["missing"].format(symbol=letters(scene, s)) for s in own.missing]
    return out


# --- the motion ---------------------------------------------------------------------------------------------------------


def _add_motion(shown: Closing, own: Own) -> None:
    if not own.moves:
        shown["notes"].append(CLOSING["still-unknown"])
        return
    setup = own.setup
    phase = course_of(setup).phases[0]
    stops = any(phase.v[t] and abs(phase.speed(t, phase.end)) < 1e-9 * abs(phase.v[t]) for t in phase.x)
    end = min(phase.end, LONGEST)
    if end < phase.end:
        shown["notes"].append(CLOSING["long"].format(time=signed(phase.end), shown=signed(LONGEST)))
    ways = {b: phase.position(b, end) for b in setup.scene.bodies}
    shown["picture"] = dict(_drawing(_Scene(setup.scene), tuple(setup.positive.items()), tuple(ways.items())))
    moves = any(phase.v[t] or phase.a[t] for t in phase.x)
    scale = shown["picture"]["scale"]
    metres = round_number(_BAR / scale) if scale else 0.0
    shown["motion"] = {
        "end": end if moves else 0.0,
        "things": {t: {"v": phase.v[t], "a": phase.a[t]} for t in setup.scene.things},
        "turns": {w: 1 if setup.positive[w] == "clockwise" else -1 for w in setup.scene.wheels},
        "bar": {"length": metres * scale, "label": f"{metres:g} m"} if metres else None,
    }
    shown["says"] = _course_in_words(setup, phase, end, stops) if moves else [CLOSING["rest"]]


def _course_in_words(setup: Setup, phase: Phase, end: float, stops: bool) -> list[str]:
    out = [CLOSING["rate"].format(time=signed(end)) + (CLOSING["rate-wheels"] if setup.scene.wheels else "")]
    for thing in setup.scene.things:
        wheel = thing in setup.scene.wheels
        a, v = phase.a[thing], phase.speed(thing, end)
        start = phase.v[thing]
        begins = CLOSING["starts"].format(speed=_size(start, "rad/s" if wheel else "m/s"), way=_way(setup, thing, start)) if start else CLOSING["from-rest"]
        out.append(CLOSING["turns" if wheel else "goes"].format(
            thing=thing_name(thing).capitalize(), begins=begins, symbol=letters(setup.scene, acceleration_symbol(setup, thing) or "a"),
            a=signed(a), plus=DIRECTION_LABELS[setup.positive[thing]], time=signed(end),
            distance=_size(phase.position(thing, end), "rad" if wheel else "m"), speed=_size(v, "rad/s" if wheel else "m/s"),
            way=_way(setup, thing, phase.position(thing, end)),
        ))  # fmt: skip
    if stops:
        out.append(CLOSING["stops"].format(time=signed(end)))
    return out


def _size(value: float, unit: str) -> str:
    return f"{signed(abs(value))} {unit}"


def _way(setup: Setup, thing: str, value: float) -> str:
    plus = setup.positive[thing]
    return DIRECTION_LABELS[plus if value >= 0 else OPPOSITE[plus]]


class _Scene:
    """Scenes hold dicts, so they are remembered by their digest."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene

    def __hash__(self) -> int:
        return hash((self.scene.name, self.scene.digest))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Scene) and bool(self.scene.digest) and self.scene.digest == other.scene.digest


@lru_cache(maxsize=32)
def _drawing(scene: _Scene, positive: tuple[tuple[str, str], ...], ways: tuple[tuple[str, float], ...]) -> Mapping[str, Any]:
    return _lettered(moving_picture(scene.scene, dict(positive), dict(ways)), scene.scene, dict(ways))


def _lettered(made: dict[str, Any], scene: Scene, ways: Mapping[str, float]) -> dict[str, Any]:
    """The moving picture with letters as large as the steps' picture has them, and with room for them all the way; a wheel in a lift goes
    where the lift goes, and its name with it."""
    drawn = picture(scene)
    lift = lift_of(scene)
    wheels = dict.fromkeys(lift.inside.wheels, lift.name) if lift else {}
    made = {**made, "size": drawn["size"], "carried": {**made["carried"], **wheels}}
    boxes = [Box(made["left"], made["top"], made["left"] + made["width"], made["top"] + made["height"])]
    first = {thing["name"]: thing for thing in drawn["things"]}
    for thing in made["things"]:
        if thing["name"] in wheels:
            before = first[thing["name"]]
            thing["labelAt"] = [before["labelAt"][0] + thing["x"] - before["x"], before["labelAt"][1] + thing["y"] - before["y"]]
        body = made["carried"].get(thing["name"], thing["name"])
        dx, dy = (step * ways.get(body, 0.0) * made["scale"] for step in made["along"].get(body, (0.0, 0.0)))
        box = label_box(thing["label"], (*thing["labelAt"], thing["labelAnchor"]), size=made["size"]).grown(4.0)
        boxes += [box, Box(box.left + dx, box.top + dy, box.right + dx, box.bottom + dy)]
    frame = round_all(boxes)
    return {**made, "left": frame.left, "top": frame.top, "width": frame.right - frame.left, "height": frame.bottom - frame.top}


# --- the forces ---------------------------------------------------------------------------------------------------------


def _diagrams(own: Own) -> list[Diagram]:
    """One diagram for each thing, all to one scale where that can be seen."""
    setup = own.setup
    all_forces = {t: acting_on(setup, t) for t in setup.scene.things}
    forces = {t: [a for a in some if a.size is not None] for t, some in all_forces.items()}
    scales = scales_of(forces)
    layout = arranged(setup.scene).layout
    out = []
    for thing, acting in forces.items():
        outline, arrows = diagram_of(setup, layout, thing, acting, scales[thing])
        unknown = [letters(setup.scene, a.symbol) for a in all_forces[thing] if a.size is None]
        newtons = round_number(64.0 / scales[thing])
        out.append(Diagram(
            thing=thing, label=thing_name(thing), outline=[list(p) for p in outline], round=thing in setup.scene.wheels,
            arrows=[{"symbol": letters(setup.scene, a.symbol), "kind": a.kind, "size": f"{rounded(a.size)} {a.unit}", "points": [list(p) for p in points]}
                    for a, points in arrows if a.size is not None],
            bar={"length": newtons * scales[thing], "label": f"{newtons:g} N"} if any(not a.torque for a in acting) else None,
            says=_forces_in_words(own, thing, acting, unknown),
        ))  # fmt: skip
    return out


def _forces_in_words(own: Own, thing: str, acting: Sequence[Acting], unknown: Sequence[str]) -> list[str]:
    """The same as the diagram, and whether the forces together give the acceleration that the numbers have."""
    out = ["; ".join(_force(own.setup.scene, a) for a in acting) + "." if acting else CLOSING["no-force"]]
    if unknown:
        out.append(CLOSING["unknown"].format(symbols=", ".join(unknown)))
    equation = own.setup.equations.get(thing)
    mine = together(own.setup, thing)
    known = {**own.setup.given, **own.setup.values}
    if not mine or equation is None or not equation.inertia.symbols <= known.keys():
        return out
    wheel = thing in own.setup.scene.wheels
    if own.right or _rounded_only(own, equation):  # a sum of rounded forces would only show the rounding, so it is told as such
        net = together(own.true, thing)
        inertia = equation.inertia.at({**own.true.given, **own.true.values})
        says = CLOSING["fits-turn" if wheel else "fits"].format(net=net) if inertia else f"{net}."
        return [*out, says if mine == net else f"{says} {ROUNDED_SUM.format(mine=mine[0].lower() + mine[1:])}"]
    needed = float(equation.inertia.at(known))
    says = CLOSING["needs-turn" if wheel else "needs"].format(size=_size(needed, "N m" if wheel else "N"), way=_way(own.setup, thing, needed))
    return [*out, f"{mine}. {says}"]


def _rounded_only(own: Own, equation: Equation) -> bool:
    """Whether all unknowns of an equation are right results, or follow from such, so that only their rounding can part its sides."""
    for symbol in equation.poly.symbols - own.setup.given.keys():
        mine, true = own.setup.values.get(symbol), own.true.values.get(symbol)
        result = symbol if symbol in own.texts else "a" if symbol in own.typed and "a" in own.texts else ""
        if mine is None or true is None or abs(mine - true) > abs(true) / 50 or (result and own.verdicts.get(result) not in _SIZE_FITS):
            return False
    return True


def _force(scene: Scene, acting: Acting) -> str:
    return acting.says().replace(acting.symbol, letters(scene, acting.symbol), 1)
