"""The drawings of every scene that ships: complete, clear of overlaps, true to scale, the same in words, the same bytes."""

from __future__ import annotations

import math
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from itertools import combinations
from typing import Any

import pytest

from plusway.autograde.mechanics import derive
from plusway.autograde.scene.model import Scene
from plusway.autograde.scene.words import thing_name
from plusway.lessons import catalogue
from plusway.widgets.drawing import Drawing, agreeing, draw_dependence, draw_forces, draw_motion, draw_scene
from plusway.widgets.drawing.acting import acting_on
from plusway.widgets.drawing.forces import LONGEST, scales_of

NAMES = catalogue.names()
SVG = "{http://www.w3.org/2000/svg}"
KINDS: dict[str, Callable[[Scene], Drawing]] = {
    "scene": draw_scene,
    "scene with plus": lambda scene: draw_scene(scene, agreeing(scene)),
    "forces": lambda scene: draw_forces(derive(scene)),
    "motion": lambda scene: draw_motion(derive(scene)),
}
SKETCHES = [kind for kind in KINDS if kind != "motion"]


def label_boxes(drawing: Drawing) -> list[tuple[str, Any]]:
    """(text, box in pixels) of every text in the figure, measured by matplotlib itself."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    renderer = FigureCanvasAgg(drawing.figure).get_renderer()
    drawing.figure.draw(renderer)
    texts = [t for axes in drawing.figure.axes for t in axes.texts]
    return [(t.get_text(), t.get_window_extent(renderer)) for t in texts]


@pytest.mark.slow
@pytest.mark.thorough  # all scenes together
@pytest.mark.parametrize("kind", SKETCHES)
@pytest.mark.parametrize("name", NAMES)
def test_labels_do_not_overlap_and_lie_within_the_picture(name: str, kind: str) -> None:
    """No two labels share more than a hair's breadth, and none is cut off."""
    drawing = KINDS[kind](catalogue.find(name))
    boxes = label_boxes(drawing)
    assert boxes
    for (text, a), (other, b) in combinations(boxes, 2):
        wide = min(a.x1, b.x1) - max(a.x0, b.x0)
        high = min(a.y1, b.y1) - max(a.y0, b.y0)
        assert not (wide > 0.5 and high > 0.5), (text, other)
    width, height = drawing.figure.bbox.width, drawing.figure.bbox.height
    assert [t for t, box in boxes if box.x0 < 0 or box.y0 < 0 or box.x1 > width or box.y1 > height] == []


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", ["feed-sack", "hay-bale-on-ramp", "well-bucket", "painter-on-a-platform", "stone-shoved-up-a-ramp"])
def test_the_svg_is_xml_that_names_and_describes_itself(name: str, kind: str) -> None:
    """role="img", a title, and the text as its description; nothing in it depends on the day."""
    drawing = KINDS[kind](catalogue.find(name))
    root = ET.fromstring(drawing.svg)
    assert (root.tag, root.get("role")) == (f"{SVG}svg", "img")
    assert root.findtext(f"{SVG}title") == drawing.title == root.get("aria-label")
    assert root.findtext(f"{SVG}desc") == drawing.text
    assert "date" not in drawing.svg.lower()


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_input_gives_the_same_bytes(kind: str) -> None:
    """Drawn twice, SVG and PNG are the same."""
    scene = catalogue.find("cask-over-a-heavy-wheel")
    first, second = KINDS[kind](scene), KINDS[kind](scene)
    assert first.svg == second.svg
    assert first.png == second.png
    assert first.png.startswith(b"\x89PNG")


def test_a_users_settings_change_nothing_and_are_left_alone() -> None:
    """Another font size, colour cycle or salt of the user's makes no difference, and is there afterwards."""
    import matplotlib

    scene = catalogue.find("feed-sack")
    plain = draw_scene(scene).svg
    with matplotlib.rc_context({"font.size": 22.0, "svg.hashsalt": "mine", "lines.linewidth": 9.0, "axes.facecolor": "red"}):
        before = dict(matplotlib.rcParams)
        assert draw_scene(scene).svg == plain
        assert dict(matplotlib.rcParams) == before


def test_nothing_of_matplotlib_is_loaded_before_a_drawing_is_made() -> None:
    """Importing the drawings costs nothing, and making one never loads pyplot."""
    code = ("import sys, plusway.widgets.drawing as d; a = 'matplotlib' in sys.modules;"
            "from plusway.lessons import catalogue as c; d.draw_scene(c.find('feed-sack')).png; print(a, 'matplotlib.pyplot' in sys.modules)")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]


@pytest.mark.parametrize("name", NAMES)
def test_the_text_of_a_scene_names_all_that_is_drawn(name: str) -> None:
    """Things, ropes, contacts, given forces, and the positive directions where they are shown."""
    scene = catalogue.find(name)
    text = draw_scene(scene, agreeing(scene)).text
    assert [t for t in scene.things if thing_name(t) not in text] == []
    assert [r.symbol for r in (*scene.ropes, *scene.contacts, *scene.forces, *scene.rolling) if r.symbol not in text] == []
    assert "positive direction" in text


@pytest.mark.parametrize("name", NAMES)
def test_the_text_of_a_force_diagram_names_every_force_with_size_and_direction(name: str) -> None:
    """Each force of each equation and each balance, unless it is zero."""
    setup = derive(catalogue.find(name))
    for thing in setup.scene.things:
        text = draw_forces(setup, thing).text
        wanted = {t.symbol for t in setup.equations[thing].terms} if thing in setup.equations else set()
        wanted |= {t[0] for t in setup.balances[thing].terms} if thing in setup.balances else set()
        wanted = {s for s in wanted if setup.values.get(s, 1) != 0}
        assert [s for s in wanted if f"{s} = " not in text and f"{s} of a size" not in text] == []
        assert text.startswith(f"On the {thing_name(thing)} (positive direction ")


@pytest.mark.parametrize("name", NAMES)
def test_the_forces_drawn_add_up_to_mass_times_acceleration(name: str) -> None:
    """For each body: the forces of its diagram, added as vectors, are m a along its line and 0 across it."""
    from plusway.widgets.drawing.scenes import direction_vector

    setup = derive(catalogue.find(name))
    scene = setup.scene
    for body in scene.bodies:
        acting = acting_on(setup, body)
        if body not in setup.equations or any(a.size is None for a in acting):
            continue
        turn = -float(scene.bodies[body].angle.value) if scene.bodies[body].angle else 0.0
        x = y = 0.0
        for a in acting:
            dx, dy = direction_vector(a.direction, turn, False, a.tilt)
            x, y = x + dx * float(a.size or 0) * a.strands, y + dy * float(a.size or 0) * a.strands
        symbol = scene.symbol_of("acceleration", body)
        a_along = float(setup.values.get(symbol, setup.given.get(symbol, 0))) if symbol else 0.0
        px, py = direction_vector(setup.positive[body], turn, False)
        mass, size = float(scene.bodies[body].mass.value), max(float(a.size or 0) for a in acting)
        along = x * px + y * py
        assert along == pytest.approx(mass * a_along, abs=1e-9 * size), body
        if scene.bodies[body].moves != "vertical":
            assert math.hypot(x - along * px, y - along * py) == pytest.approx(0, abs=1e-9 * size), body


@pytest.mark.parametrize("name", NAMES)
def test_arrows_are_to_scale(name: str) -> None:
    """The largest force has the longest arrow; a scale of its own has only what could not be seen at the common one."""
    setup = derive(catalogue.find(name))
    forces = {t: acting_on(setup, t) for t in setup.scene.things}
    scales = scales_of(forces)
    largest = {t: max((float(a.size or 0) for a in acting if not a.torque), default=0.0) for t, acting in forces.items()}
    most = max(largest.values())
    for thing, size in largest.items():
        if size:
            assert size * scales[thing] == pytest.approx(LONGEST * (1 if size < most / 8 else size / most))


@pytest.mark.parametrize("text", ['<b>&"x"</b>', "$\\frac{1}{", "\\sqrt", "a_b^c", "tab\x0bcontrol", "Ω 漢 \ufffe"])
def test_names_and_titles_are_text_whatever_is_in_them(text: str) -> None:
    """A title with markup, mathematics or control characters is shown as it is, and the SVG stays XML."""
    from dataclasses import replace

    drawing = draw_scene(replace(catalogue.find("feed-sack"), title=text, story=text))
    root = ET.fromstring(drawing.svg)
    assert root.find(f"{SVG}b") is None
    assert drawing.png


def test_an_unknown_thing_has_no_force_diagram() -> None:
    """Only things of the scene can be asked for."""
    with pytest.raises(KeyError):
        draw_forces(derive(catalogue.find("feed-sack")), "hat")


def test_curves_differ_in_more_than_colour() -> None:
    """Each curve of one pair of axes has a line style of its own."""
    for drawing in (draw_motion(derive(catalogue.find("three-bags-compound"))), draw_dependence(catalogue.find("three-bags-compound"), "m_1")):
        for axes in drawing.figure.axes:
            lines = [line for line in axes.get_lines() if line.get_linewidth() == 1.9]
            assert len({str(line._dash_pattern) for line in lines}) == len(lines)  # type: ignore[attr-defined]
