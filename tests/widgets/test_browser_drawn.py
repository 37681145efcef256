"""The pictures' own modules in a real browser, one by one: what is drawn, without a JupyterLab round it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from plusway.autograde.method import STEPS
from plusway.lessons import catalogue
from plusway.lessons.explore import explore
from plusway.widgets import Problem, WorkedExample
from plusway.widgets.lettered import tilts

pytestmark = pytest.mark.browser


@pytest.fixture
def diagram(modules: Any) -> Callable[..., dict[str, Any]]:
    """diagram("sledge-on-a-slanting-rope", "sledge", ("F", "right")) draws these arrows and tells how each rises, in degrees, and the words."""

    def draw(name: str, thing: str, *arrows: tuple[str, str]) -> dict[str, Any]:
        scene = catalogue.find(name)
        options = [[word, word] for word in ("upslope", "downslope", "away", "into", "up", "down", "left", "right")]
        if scene.bodies[thing].moves != "slope":
            options = options[4:]
        return dict(modules.evaluate("""async ([label, options, tilts, arrows]) => {
            const { forcePicture } = await import("/forcepicture.js");
            const picture = forcePicture(label, options, () => undefined, tilts);
            document.getElementById("here").replaceChildren(picture.svg);
            picture.draw(arrows.map(([symbol, word]) => ({ symbol, word, name: symbol, way: word })));
            const rises = [...picture.svg.querySelectorAll(".pw-force")].map((line) => {
              const [from, to] = [line.getPointAtLength(0), line.getPointAtLength(line.getTotalLength())];
              return Math.round(Math.atan2(from.y - to.y, to.x - from.x) * 180 / Math.PI);
            });
            const text = [...picture.svg.querySelectorAll("text")].map((one) => one.getBoundingClientRect());
            const apart = text.every((a, i) => text.slice(0, i).every((b) => a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top));
            return { rises, apart, says: picture.svg.querySelector("desc").textContent, angles: [...picture.svg.querySelectorAll(".pw-letter")].map((one) => one.textContent) };
          }""", [thing, options, tilts(scene, thing), [list(arrow) for arrow in arrows]]))  # fmt: skip

    return draw


@pytest.mark.parametrize(
    ("name", "arrows", "rises", "says"),
    [
        ("sledge-on-a-slanting-rope", [("F", "right"), ("N", "up"), ("W", "down")], [35, 90, -90], "F right (tilted 35° away from the surface), N up, W down"),
        ("polisher-pushed", [("F", "right"), ("f", "left")], [-30, 180], "F right (tilted 30° into the surface), f left"),
        ("polisher-pushed", [("F", "left")], [-150], "F left (tilted 30° into the surface)"),
        ("sledge-on-a-slanting-rope", [("F", "up")], [90], "F up"),
        ("two-sledges-in-tow", [("T", "left"), ("F", "right"), ("N_2", "up")], [180, 15, 90], "T left, F right (tilted 15° away from the surface), N_2 up"),
    ],
)
def test_a_force_that_is_given_with_an_angle_slants(
    diagram: Callable[..., dict[str, Any]], name: str, arrows: list[tuple[str, str]], rises: list[int], says: str
) -> None:
    """Where the student draws it along the surface it is drawn at its angle, with the angle's letter, and said to be; no two letters meet."""
    thing = catalogue.find(name).forces[0].on
    drawn = diagram(name, thing, *arrows)
    assert drawn["rises"] == rises
    assert drawn["says"] == says
    assert drawn["angles"] == (["φ"] if "tilted" in says else [])
    assert drawn["apart"]


def test_a_level_force_beside_it_stays_level(diagram: Callable[..., dict[str, Any]]) -> None:
    """Only what is given with an angle slants; another force that acts to the right has its own place."""
    assert diagram("sledge-on-a-slanting-rope", "sledge", ("F", "right"), ("f", "right"))["rises"] == [35, 0]


def shown(kind: str, name: str) -> Any:
    """What a widget shows, as the browser gets it."""
    if kind == "workedexample":
        return WorkedExample(name).shown
    if kind == "explorer":
        return explore(name).shown
    problem = Problem(name, id=f"drawn-{name}", settings={"worked": list(STEPS)})
    return (problem.closing() if kind == "closing" else problem.find_slip(seed=2) if kind == "slipfinder" else problem.directions()).shown


@pytest.mark.parametrize("look", ["light", *(pytest.param(look, marks=pytest.mark.thorough) for look in ("dark", "forced"))])
@pytest.mark.parametrize(
    ("kind", "name"),
    [("directions", "two-snowy-slopes"), ("directions", "passenger-on-a-scale"), ("closing", "three-bags-compound"), ("workedexample", "cask-over-a-heavy-wheel"),
     ("explorer", "stepped-wheel"), ("slipfinder", "mill-hoist")],
)  # fmt: skip
def test_all_of_it_fits_a_page_320_wide(modules: Any, notebook: Callable[..., Any], new_kernel: Callable[[], None], kind: str, name: str, look: str) -> None:
    """Nothing reaches beyond the page, and of a picture no name lies on another, or is smaller than 9.5 pixels; with forced colours too."""
    modules.emulate_media(color_scheme="dark" if look == "dark" else "light", forced_colors="active" if look == "forced" else "none", reduced_motion="reduce")
    modules.set_viewport_size({"width": 320, "height": 700})
    found = modules.evaluate("""async ([kind, shown]) => {
        const { default: widget } = await import(`/${kind}.js`);
        const el = document.createElement("div");
        document.body.replaceChildren(el);
        widget.render({ el, model: { get: () => shown, on() {}, off() {}, send() {} } });
        await new Promise((done) => requestAnimationFrame(done));
        const texts = [...el.querySelectorAll(".pw-scene text")];
        const boxes = texts.map((one) => one.getBoundingClientRect());
        const met = boxes.flatMap((a, i) => boxes.slice(0, i).flatMap((b, j) => (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 2 ? [`${texts[i].textContent} on ${texts[j].textContent}`] : [])));
        const small = texts.filter((one) => parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a < 9.5).map((one) => one.textContent);
        return { wide: document.documentElement.scrollWidth, met, small };
      }""", [kind, shown(kind, name)])  # fmt: skip
    assert found == {"wide": 320, "met": [], "small": []}


@pytest.mark.usefixtures("notebook", "new_kernel")
@pytest.mark.parametrize("column", [300, 560, 900])
def test_the_forces_on_all_things_have_one_scale_on_the_screen_too(modules: Any, column: int) -> None:
    """A diagram that is too wide for its column is made smaller, and those beside it with it: one newton stays one length."""
    problem = Problem("wagons-and-counterweight", settings={"worked": ["directions", "forces"]})
    results = problem.results()
    for symbol, text in {s: "20 N" if s.startswith("T") else "0.5 m/s^2" for s in problem.scene.asked}.items():
        results.reply_to({"kind": "commit", "id": 1, "item": symbol, "value": text, "hints": 0})
    diagrams = problem.closing().shown["diagrams"]
    assert len(diagrams) == 3
    scales = modules.evaluate("""async ([diagrams, column]) => { const { forceDiagrams } = await import("/forcediagram.js");
        const here = document.getElementById("here"); here.className = "pw-diagrams"; here.style.width = `${column}px`;
        here.replaceChildren(...forceDiagrams(diagrams));
        return [...here.querySelectorAll("svg")].map((svg) => svg.getBoundingClientRect().width / svg.viewBox.baseVal.width); }""", [diagrams, column])  # fmt: skip
    assert scales == pytest.approx([scales[0]] * 3, rel=1e-3)
