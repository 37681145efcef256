"""What really happens in a scene: the regime is solved for, never assumed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from plusway.autograde.mechanics import MechanicsError, Setup, derive
from plusway.autograde.scene import load_text

HEAD = 'title = "t"\nstory = "s"\n'


def build(asked: str = "a_1", motion: str = "", **tables: str) -> str:
    """A scene from one line per table: `bodies`, `wheels`, `ropes`, `contacts`, `rolling`, `forces`, each already in TOML."""
    ask = f'ask = {{ values = ["{asked}"]' + (f', motion = {{ distance = "{motion}" }}' if motion else "") + " }\n"
    return HEAD + ask + "\n".join(f"{k} = {v}" for k, v in tables.items())


def body(name: str, index: int, kg: float | str, moves: str, more: str = "") -> str:
    return f'{name} = {{ index = {index}, mass = "{kg} kg", moves = "{moves}"{", " + more if more else ""} }}'


def bodies(*each: str) -> str:
    return "{ " + ", ".join(each) + " }"


def strands(key: str, symbol: str, *ends: tuple[str, str]) -> str:
    return f'{{ symbol = "{symbol}", {key} = [' + ", ".join(f'["{t}", "{d}"]' for t, d in ends) + "] }"


def rope(symbol: str, *ends: tuple[str, str]) -> str:
    return strands("pulls", symbol, *ends)


def contact(symbol: str, *ends: tuple[str, str]) -> str:
    return strands("pushes", symbol, *ends)


def force(on: str, direction: str, newton: float, more: str = "") -> str:
    return f'{{ symbol = "F", on = "{on}", direction = "{direction}", size = "{newton} N"{", " + more if more else ""} }}'


def rough(kinetic: float | None, static: float | None) -> str:
    parts = [f"{k} = {v}" for k, v in (("kinetic", kinetic), ("static", static)) if v is not None]
    return "friction = { " + ", ".join(parts) + " }"


SLOPE = 'angle = "30 deg"'


def slope_pair(load: float, more: str = "", friction: str = rough(0.2, 0.3)) -> str:
    return build(bodies=bodies(body("crate", 1, 10, "slope", f"{SLOPE}, {friction}" + (f", {more}" if more else "")),
                               body("pail", 2, load, "vertical")),
                 ropes="[" + rope("T", ("crate", "upslope"), ("pail", "up")) + "]")


def stack(newton: float, static: float = 0.4) -> str:
    return build(bodies=bodies(body("tin", 1, 2, "level", f'rests_on = "board", {rough(0.3, static)}'),
                               body("board", 2, 4, "level", rough(0.1, 0.2))),
                 forces="[" + force("board", "right", newton) + "]")


def row(newton: float, end: str = "front", link: str = "rope", friction: str = "") -> str:
    joint = (("ropes", rope("T", ("rear", "right"), ("front", "left"))) if link == "rope" else
             ("contacts", contact("P", ("rear", "left"), ("front", "right"))))
    return build(bodies=bodies(body("rear", 1, 3, "level", friction), body("front", 2, 2, "level", friction)),
                 forces="[" + force(end, "right", newton) + "]", **{joint[0]: f"[{joint[1]}]"})


def roller(degrees: float, static: float) -> str:
    return build(bodies=bodies(body("keg", 1, 2, "slope", f'angle = "{degrees} deg", {rough(None, static)}')),
                 wheels='{ rim = { index = 1, radius = "0.1 m", mass = "2 kg", shape = "disk" } }',
                 rolling='[{ body = "keg", wheel = "rim", symbol = "f" }]')


def bearing(load: float) -> str:
    return build(bodies=bodies(body("left", 1, 2, "vertical"), body("right", 2, load, "vertical")),
                 wheels='{ drum = { radius = "0.06 m", inertia = "0.004 kg m^2", drag = "0.5 N m" } }',
                 ropes="[" + rope("T_1", ("left", "up"), ("drum", "counterclockwise")) + ", "
                       + rope("T_2", ("right", "up"), ("drum", "clockwise")) + "]")


def sled(newton: float, degrees: float) -> str:
    return build(bodies=bodies(body("sled", 1, 2, "level", rough(0.3, 0.3))),
                 forces="[" + force("sled", "right", newton, f'angle = "{degrees} deg"') + "]")


def thrown(direction: str, static: float, kinetic: float = 0.2) -> str:
    return build(bodies=bodies(body("stone", 1, 2, "slope", f'{SLOPE}, starts = ["{direction}", "3 m/s"], '
                                                           f"{rough(kinetic, static)}")))


def truck(size: float) -> str:
    return build(asked="a_2", bodies=bodies(
        body("truck", 1, 900, "level", f'acceleration = ["right", "{size} m/s^2"]'),
        body("box", 2, 20, "level", f'rests_on = "truck", {rough(0.2, 0.25)}')))


# sentence, scene, what the regime says of it
REGIMES: list[tuple[str, str, dict[str, Any]]] = [
    ("static friction holds, pointing up the slope, below its limit", slope_pair(4),
     {"moves": False, "friction": {"f_1": ("holds", "upslope")}, "f_1": 9.8}),
    ("static friction holds, pointing down the slope", slope_pair(6),
     {"moves": False, "friction": {"f_1": ("holds", "downslope")}, "f_1": 9.8}),
    ("a heavy load pulls the crate up, so friction points down", slope_pair(9),
     {"direction": {"crate": "upslope", "pail": "down"}, "friction": {"f_1": ("slides", "downslope")}}),
    ("a light load lets the crate slide down, so friction points up", slope_pair(1),
     {"direction": {"crate": "downslope", "pail": "up"}, "friction": {"f_1": ("slides", "upslope")}}),
    ("balanced exactly, there is no friction at all", slope_pair(5), {"moves": False, "friction": {"f_1": ("holds", None)}}),
    ("started upwards it slides on, braked by friction", slope_pair(5.5, 'starts = ["upslope", "1 m/s"]'),
     {"direction": {"crate": "downslope", "pail": "up"}, "friction": {"f_1": ("slides", "downslope")}, "note": "holds it"}),
    ("a carried tin sticks: friction points along its motion", stack(20),
     {"direction": {"tin": "right", "board": "right"}, "friction": {"f_1": ("holds", "right"), "f_2": ("slides", "left")}}),
    ("pulled hard, the board slides away under the tin", stack(60),
     {"direction": {"tin": "right", "board": "right"}, "friction": {"f_1": ("slides", "right"), "f_2": ("slides", "left")}}),
    ("pulled softly, the whole stack stays", stack(10), {"moves": False, "friction": {"f_1": ("holds", None), "f_2": ("holds", "left")}}),
    ("a pulled row keeps its rope taut", row(10), {"taut": {"T": True}, "T": 6.0}),
    ("a row pulled at its far end in the wrong way has a slack rope", row(10, "rear"),
     {"taut": {"T": False}, "T": 0.0, "direction": {"rear": "right", "front": None}, "note": "slack"}),
    ("pushed from behind, bodies stay in touch", row(10, "rear", "contact"), {"touching": {"P": True, "N_1": True, "N_2": True}, "P": 4.0}),
    ("pulled in front, bodies in contact part", row(10, "front", "contact"),
     {"touching": {"P": False, "N_1": True, "N_2": True}, "P": 0.0, "note": "parts"}),
    ("a gentle slope lets the keg roll, with less than the limit of friction", roller(20, 0.5),
     {"friction": {"f": ("holds", "upslope")}, "direction": {"keg": "downslope", "rim": "counterclockwise"}}),
    ("a steep slope makes the keg slip", roller(70, 0.2), {"friction": {"f": ("slides", "upslope")}, "note": "slips"}),
    ("bearing drag holds a small difference", bearing(2.1), {"moves": False, "tau_h": 0.0588, "note": "bearing"}),
    ("bearing drag gives way to a larger one", bearing(4), {"direction": {"left": "up", "right": "down", "drum": "clockwise"}}),
    ("a steep strong pull lifts the sled off", sled(60, 45), {"touching": {"N_1": False}, "N_1": 0.0, "note": "lifted off"}),
    ("a tilted pull makes it lighter", sled(10, 30), {"touching": {"N_1": True}, "N_1": 14.6}),
    ("a push into the surface makes it heavier", sled(10, -30), {"moves": True, "N_1": 24.6}),
    ("thrown up, it stops and stays where static friction is enough", thrown("upslope", 0.7),
     {"friction": {"f_1": ("slides", "downslope")}, "note": "static friction holds it"}),
    ("thrown up, it stops and comes back where it is not", thrown("upslope", 0.3),
     {"friction": {"f_1": ("slides", "downslope")}, "note": "then it moves downslope with 3.20 m/s^2"}),
    ("sliding down, rough enough, it is braked", thrown("downslope", 0.9, 0.8),
     {"friction": {"f_1": ("slides", "upslope")}, "direction": {"stone": "upslope"}, "note": "static friction holds it"}),
    ("a box rides on a truck that speeds up gently", truck(2), {"friction": {"f_2": ("holds", "right")}, "f_2": 40.0}),
    ("a box slides on a truck that speeds up hard", truck(3), {"friction": {"f_2": ("slides", "right")}, "a_2": 1.96}),
    ("both started upwards, the rope is slack from the start",
     slope_pair(5, 'starts = ["upslope", "1 m/s"]').replace('mass = "5 kg"', 'starts = ["up", "1 m/s"], mass = "5 kg"'),
     {"taut": {"T": False}, "T": 0.0, "a_2": -9.8, "note": "slack"}),
    ("kinetic friction below static: two regimes are possible, the held one is taken", slope_pair(7),
     {"moves": False, "note": "two regimes are possible"}),
]


@pytest.mark.parametrize(("_sentence", "text", "expected"), REGIMES, ids=[r[0] for r in REGIMES])
def test_the_regime_is_solved_for(_sentence: str, text: str, expected: dict[str, Any], solved: Callable[..., Setup]) -> None:
    """Words and values of the regime are as the sentence says."""
    setup = solved(text)
    for key, value in expected.items():
        if key == "note":
            assert any(value in note for note in setup.regime.notes), setup.regime.notes
        elif hasattr(setup.regime, key):
            assert getattr(setup.regime, key) == value
        else:
            assert float(setup.values[key]) == pytest.approx(value)


REFUSED = [
    ("an asked tension that two ropes share is not settled",
     build("T_1", bodies=bodies(body("lamp", 1, 2, "vertical")),
           ropes="[" + rope("T_1", ("lamp", "up")) + ", " + rope("T_2", ("lamp", "up")) + "]"), ["T_1", "several values"]),
    ("an asked friction at rest that the rope could take over is not settled",
     row(2, friction=rough(0.3, 0.4)).replace('"a_1"', '"f_1"'), ["f_1", "several values"]),
    ("the one letter a has no value where sizes differ",
     build("a", bodies=bodies(body("load", 1, 4, "vertical"), body("sack", 2, 1, "vertical")),
           ropes="[" + rope("T", ("load", "up"), ("load", "up"), ("sack", "up")) + "]"), ["differ in size", "a_1"]),
    ("a lamp that is reeled in, nobody says how fast, moves anyhow",
     build("a_1", bodies=bodies(body("lamp", 1, 2, "vertical")),
           ropes="[" + rope("T", ("lamp", "up")).replace(" }", ", hauled = true }") + "]"), ["lamp", "given acceleration"]),
    ("no time is asked where nothing moves",
     slope_pair(5).replace('values = ["a_1"]', 'values = ["t"], motion = { distance = "1 m" }'), ["t", "nothing moves"]),
    ("no time is asked for a distance that is never reached",
     thrown("upslope", 0.7).replace('values = ["a_1"]', 'values = ["t"], motion = { distance = "9 m" }'), ["never"]),
    ("starting speeds that would tear the rope",
     slope_pair(5, 'starts = ["downslope", "1 m/s"]').replace('mass = "5 kg"', 'starts = ["down", "1 m/s"], mass = "5 kg"'),
     ["starting speeds", "T", "stretch"]),
    ("a rope that would have to push to give the lift its acceleration",
     build("T", bodies=bodies(body("lift", 1, 500, "vertical", 'acceleration = ["down", "11 m/s^2"]')),
           ropes="[" + rope("T", ("lift", "up")) + "]"), ["T", "push", "lift"]),
    ("a start that leaves other speeds open",
     build(bodies=bodies(body("one", 1, 4, "vertical", 'starts = ["up", "1 m/s"]'), body("two", 2, 3, "vertical"),
                         body("three", 3, 1, "vertical")),
           ropes="[" + rope("T", ("one", "up"), ("one", "up"), ("two", "up"), ("three", "up")) + "]"), ["starts"]),
]


@pytest.mark.parametrize(("_sentence", "text", "words"), REFUSED, ids=[r[0] for r in REFUSED])
def test_what_is_not_settled_is_refused_in_one_plain_line(
        _sentence: str, text: str, words: list[str], solved: Callable[..., Setup]) -> None:
    """The message is one line and names what is at fault."""
    with pytest.raises(MechanicsError) as refused:
        solved(text)
    message = str(refused.value)
    assert "\n" not in message
    assert [w for w in words if w not in message] == []


@pytest.mark.parametrize(("positive", "words"), [
    ({"create": "upslope"}, "did you mean 'crate'?"),
    ({"crate": "up"}, "upslope or downslope"),
    ({"pail": "dwon"}, "did you mean 'down'?"),
])
def test_unknown_things_and_directions_are_refused_with_a_suggestion(positive: dict[str, str], words: str) -> None:
    """A near miss is named."""
    with pytest.raises(MechanicsError, match=words.replace("?", r"\?")):
        derive(load_text(slope_pair(5), name="test", file="test.toml"), positive)


def test_a_rope_that_a_given_acceleration_overrules_is_hauled(solved: Callable[..., Setup]) -> None:
    """A lift's own equation gives the tension of its one-strand rope; without the rope it is left out."""
    lift = build("T", bodies=bodies(body("lift", 1, 500, "vertical", 'acceleration = ["up", "1 m/s^2"]')),
                 ropes="[" + rope("T", ("lift", "up")) + "]")
    setup = solved(lift)
    assert (list(setup.equations), setup.ties, float(setup.values["T"])) == (["lift"], (), 5400.0)


def test_a_driven_body_without_a_rope_of_its_own_has_no_equation(solved: Callable[..., Setup]) -> None:
    """The drive of a lift that tows a counterweight is unknown, so only the counterweight has an equation."""
    pair = build("T", bodies=bodies(body("lift", 1, 500, "vertical", 'acceleration = ["up", "1 m/s^2"]'),
                                    body("weight", 2, 400, "vertical")),
                 ropes="[" + rope("T", ("lift", "up"), ("weight", "up")) + "]")
    setup = solved(pair, weight="down")
    assert (list(setup.equations), float(setup.values["T"]), float(setup.values["a_2"])) == (["weight"], 3520.0, 1.0)
