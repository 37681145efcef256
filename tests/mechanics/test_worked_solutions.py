"""The worked solution: every line is readable as a student's line and true, and the order is the method's own."""

from __future__ import annotations

import json
import operator
from collections.abc import Mapping
from fractions import Fraction

import pytest

from plusway.autograde.mechanics import derive
from plusway.autograde.mechanics.exact import cosine, sine
from plusway.autograde.mechanics.worked import Worked, solution_json, solution_markdown, solution_text, work
from plusway.autograde.reading import Group, Line, Name, Node, Number, Power, Product, Sum, Trig, Vocabulary, read
from plusway.autograde.scene import Scene, load_text
from plusway.lessons import catalogue

Box = tuple[Fraction, Fraction]
ORDER = ["directions", "forces", "surfaces", "equations", "ties", "numbers", "working", "results", "sense", "limits", "motion",
         "energy", "notes"]
EXACT = Fraction(1, 10**30)


def choices(scene: Scene) -> list[dict[str, str]]:
    """The usual directions, all turned, and one thing turned at a time."""
    turned = {t: scene.directions(t)[1] for t in scene.things}
    return [{}, turned, *({t: w} for t, w in turned.items())]


def box(node: Node, values: Mapping[str, Fraction]) -> Box:
    """All that a node may be worth, where a number stands for everything that rounds to its figures (a bare 2 is 2)."""
    if isinstance(node, Number):
        half = node.half if "." in node.text or len(node.text) > 2 else Fraction(0)
        return node.value - half, node.value + half
    if isinstance(node, Name):
        return values[node.name], values[node.name]
    if isinstance(node, Group):
        return box(node.inner, values)
    if isinstance(node, Sum):
        low = high = Fraction(0)
        for sign, term in node.terms:
            a, b = box(term, values)
            low, high = (low + a, high + b) if sign > 0 else (low - b, high - a)
        return low, high
    if isinstance(node, Product):
        so_far: Box = (Fraction(1), Fraction(1))
        for how, factor in node.factors:
            other = box(factor, values)
            if how == "/":
                other = (1 / other[1], 1 / other[0])
            corners = [x * y for x in so_far for y in other]
            so_far = (min(corners), max(corners))
        return so_far
    if isinstance(node, Power):
        corners = [x**node.exponent for x in box(node.base, values)]
        return min(corners), max(corners)
    assert isinstance(node, Trig)
    assert node.function in ("sin", "cos")
    low, high = box(node.argument, values)
    corners = [(sine if node.function == "sin" else cosine)(x) for x in (low, high)]
    return min(corners), max(corners)


def holds(line: Line, values: Mapping[str, Fraction]) -> bool:
    """Whether each relation of the line can be true within the figures as written."""
    boxes = [box(side, values) for side in line.sides]
    compare = {"<": operator.lt, ">": operator.gt}
    for (a, b), relation, (c, d) in zip(boxes, line.relations, boxes[1:], strict=False):
        if relation == "=":
            if a > d + EXACT or c > b + EXACT:
                return False
        elif not compare[relation](a, c):
            return False
    return True


def math_lines(worked: Worked) -> list[tuple[str, str]]:
    return [(s.step, x.with_unit) for s in worked.steps for x in s.lines if x.kind == "math"]


@pytest.mark.parametrize("name", catalogue.names())
def test_every_line_of_every_worked_solution_is_readable_and_true(name: str) -> None:
    """Whatever the positive directions, the reader reads each line, and its numbers agree with the exact solution."""
    scene = catalogue.find(name)
    vocabulary = Vocabulary.of(scene)
    for positive in choices(scene):
        worked = work(scene, positive)
        values = {**worked.setup.given, **worked.setup.values}
        for _, text in math_lines(worked):
            lines = read(text, vocabulary).lines
            assert any(x.condition is not None or holds(x, values) for x in lines), (positive, text)


HANGING = """title = "Two"
[bodies.bucket]
index = 1
mass = "4 kg"
moves = "vertical"
ONE
[bodies.stone]
index = 2
mass = "7 kg"
moves = "vertical"
TWO
[[ropes]]
symbol = "T"
pulls = [["bucket", "up"], ["stone", "WAY"]]
[ask]
values = ["a_1"]
"""

# (what happens, line of the bucket, line of the stone, how the rope pulls the stone, whether the rope is told of first)
HANGS: list[tuple[str, str, str, str, bool]] = [
    ("the usual", "", "", "up", False),
    ("a pull listed the wrong way round", "", "", "down", True),
    ("a stone that is hurled down while the bucket goes up", 'starts = ["up", "2 m/s"]', 'starts = ["down", "2 m/s"]', "up", False),
    ("a stone that goes up while the bucket goes down", 'starts = ["down", "2 m/s"]', 'starts = ["up", "2 m/s"]', "up", False),
    ("a stone whose upward start the rope hands on", "", 'starts = ["up", "2 m/s"]', "up", False),
    ("both thrown up", 'starts = ["up", "2 m/s"]', 'starts = ["up", "2 m/s"]', "up", True),
]


@pytest.mark.parametrize(("one", "two", "way", "told"), [h[1:] for h in HANGS], ids=[h[0] for h in HANGS])
def test_sense_is_true_and_an_idle_rope_is_told_of_first(one: str, two: str, way: str, told: bool) -> None:
    """Whatever the regime, each check is true of the solution; a rope that pulls nothing is no news at the end only."""
    scene = load_text(HANGING.replace("ONE", one).replace("TWO", two).replace("WAY", way), name="two")
    for positive in choices(scene):
        worked = work(scene, positive)
        values = {**worked.setup.given, **worked.setup.values}
        lines = [read(text, Vocabulary.of(scene)).lines for step, text in math_lines(worked) if step == "sense"]
        assert [line for line in lines if not any(holds(x, values) for x in line)] == []
        assert (values["T"] == 0) is told
        assert ("T = 0. If it is meant to pull, look at the scene's pulls" in worked.steps[0].says) is told


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("toboggans-uphill", "if m_1 and m_2 were both 31 kg: a = 0"),
        ("sledge-and-stone", "if m_1 were equal to m_2, whatever it is: a = 4.90 m/s^2 (sledge right)"),
        ("feed-sack", "m_1 = m_2 => a = 0"),
    ],
)
def test_equal_masses_are_said_to_be_of_which_size(name: str, says: str) -> None:
    """Where the acceleration depends on it: a given pull, a wheel's inertia."""
    limits = [s for s in work(catalogue.find(name)).steps if s.step == "limits"]
    assert limits[0].lines[0].text == says


@pytest.mark.parametrize("name", catalogue.names())
def test_the_steps_keep_the_method_s_order_and_every_unknown_gets_a_line(name: str) -> None:
    """Directions come first, results after the working; each unknown stands alone on the left of some line."""
    scene = catalogue.find(name)
    worked = work(scene)
    places = [ORDER.index(s.step) for s in worked.steps]
    assert places == sorted(places)
    shown = {text.split(" = ")[0] for step, text in math_lines(worked) if step in ("working", "results", "ties")}
    assert {s for s in worked.setup.unknowns if worked.setup.shared.get(s) is None} <= shown


def test_the_feed_sack_is_solved_as_a_person_would() -> None:
    """The parentheses stay until they are distributed."""
    worked = work(catalogue.find("feed-sack"), {"counterweight": "down"})
    lines = [text for step, text in math_lines(worked) if step in ("equations", "numbers", "working", "results")]
    assert lines == [
        "T - m_1 g = m_1 a", "m_2 g - T = m_2 a",
        "T - 63.7 = 6.5a", "88.2 - T = 9a",
        "T = 6.5a + 63.7", "88.2 - (6.5a + 63.7) = 9a", "88.2 - 6.5a - 63.7 = 9a", "24.5 - 6.5a = 9a",
        "24.5 = 15.5a", "a = 24.5/15.5 = 1.58", "T = 6.5(1.581) + 63.7 = 74.0",
        "a = 1.58 m/s^2", "T = 74.0 N",
    ]  # fmt: skip


def test_clashing_directions_give_each_body_its_own_acceleration() -> None:
    """Both up: a_1 = -a_2, and one of them comes out negative."""
    worked = work(catalogue.find("feed-sack"))
    texts = [text for _, text in math_lines(worked)]
    assert "a_1 = -a_2" in texts
    assert "a_2 = -1.58 m/s^2" in texts


@pytest.mark.parametrize("name", [n for n in catalogue.names() if catalogue.find(n).distance is not None])
def test_energy_is_a_second_way_to_the_same_speed(name: str) -> None:
    """A motion question from rest has time, speed and the energy balance, with the same speed."""
    worked = work(catalogue.find(name))
    speeds = {s.step: s.lines[-1].text.split(" = ")[-1] for s in worked.steps if s.step == "energy"}
    motion = next(s for s in worked.steps if s.step == "motion")
    assert set(speeds.values()) == {motion.lines[-1].text.split(" = ")[-1]}


@pytest.mark.parametrize("name", catalogue.names())
def test_the_json_can_be_written_and_says_what_the_setup_says(name: str) -> None:
    """Plain JSON with values, units, equations, ties, regime and steps."""
    scene = catalogue.find(name)
    found = json.loads(json.dumps(solution_json(scene, {}), allow_nan=False))
    setup = derive(scene)
    assert {"scene", "title", "positive", "values", "equations", "ties", "moves", "taut", "ropes", "directions", "friction",
            "notes", "steps"} <= set(found)
    assert found["moves"] == setup.regime.moves
    assert found["taut"] == all(found["ropes"].values())
    assert {s: v["value"] for s, v in found["values"].items()} == {s: float(v) for s, v in setup.values.items()}
    assert all(isinstance(v["unit"], str) for v in found["values"].values())
    assert set(scene.asked) <= set(found["values"])


@pytest.mark.parametrize("name", catalogue.names())
def test_text_and_markdown_say_the_same_lines(name: str) -> None:
    """Each line of the record is in the text; in Markdown every dollar sign has its partner."""
    scene = catalogue.find(name)
    text, marked = solution_text(scene), solution_markdown(scene)
    assert [t for _, t in math_lines(work(scene)) if t not in text] == []
    assert all(line.replace(r"\$", "").count("$") % 2 == 0 for line in marked.splitlines())
    assert marked.count("## ") >= 5
