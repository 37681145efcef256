"""Fits against data whose truth is known, against a closed formula, and what is said when the data can't tell."""

from __future__ import annotations

import math
import random
import re
from fractions import Fraction
from pathlib import Path

import pytest

from plusway.autograde.mechanics import derive
from plusway.autograde.scene import load_text
from plusway.lessons.lab import fell, fitted, measured, plan
from plusway.lessons.lab.bench import Fell, Fitted, Measured
from plusway.lessons.lab.errors import LabError
from plusway.lessons.lab.fit import MODELS, best, fit_machine, fit_motion, theory
from plusway.lessons.lab.plan import plan as planned
from plusway.lessons.lab.runs import Positions, Run, Runs, read_positions, read_runs
from plusway.lessons.lab.words import Page, plus_minus

PAIRS = [(0.24, 0.26), (0.22, 0.28), (0.2, 0.3), (0.1, 0.12), (0.05, 0.08)]


def runs_of(truth: dict[str, float], seed: int = 0, noise: float = 0.005, pairs: list[tuple[float, float]] | None = None) -> Runs:
    """Runs of a machine with these g, J, f, each timed five times with this noise."""
    draw = random.Random(seed)
    out = []
    for m1, m2 in pairs or PAIRS:
        t = math.sqrt(2 * 1.2 / theory(m1, m2, **truth))
        out.append(Run(m1, m2, 1.2, tuple(draw.gauss(t, noise) for _ in range(5)), noise, 1e-6))
    return Runs(tuple(out))


SCENE = """
title = "A real machine"
g = "9.8 m/s^2"
[bodies.small]
index = 1
mass = "0.2 kg"
moves = "vertical"
[bodies.large]
index = 2
mass = "0.3 kg"
moves = "vertical"
[wheels.pulley]
radius = "0.05 m"
inertia = "0.000085 kg m^2"
drag = "0.0011 N m"
[[ropes]]
symbol = "T_1"
pulls = [["small", "up"], ["pulley", "counterclockwise"]]
[[ropes]]
symbol = "T_2"
pulls = [["large", "up"], ["pulley", "clockwise"]]
[ask]
values = ["a"]
"""


def test_the_labs_formula_is_that_of_the_engine() -> None:
    """J = I/R^2 and f = tau_f/R, against the equations that plusway derives for such a scene."""
    setup = derive(load_text(SCENE, name="machine"), {"small": "up", "large": "down", "pulley": "clockwise"})
    expected = theory(Fraction("0.2"), Fraction("0.3"), Fraction("9.8"), Fraction("0.000085") / Fraction("0.0025"), Fraction("0.0011") / Fraction("0.05"))
    assert abs(setup.values["a"]) == expected


@pytest.mark.parametrize(
    ("truth", "model"),
    [
        ({"g": 9.8, "J": 0.0, "f": 0.0}, "light pulley, no drag: g alone"),
        ({"g": 9.8, "J": 0.03, "f": 0.0}, "the pulley's inertia"),
        ({"g": 9.8, "J": 0.0, "f": 0.03}, "the bearing's drag"),
        ({"g": 9.8, "J": 0.04, "f": 0.03}, "inertia and drag"),
    ],
)
def test_the_model_that_made_the_data_is_found(truth: dict[str, float], model: str) -> None:
    """With its quantities within three of their uncertainties."""
    found = best(fit_machine(runs_of(truth)))
    assert found is not None
    assert found.name == model
    for symbol, (value, sigma) in found.values.items():
        assert abs(value - truth[symbol]) < 3 * sigma


def test_g_alone_is_the_weighted_mean_in_closed_form() -> None:
    """a = g drive is a straight line through the origin: g = sum(w a drive) / sum(w drive^2), sigma = 1/sqrt(sum(w drive^2))."""
    runs = runs_of({"g": 9.8, "J": 0.0, "f": 0.0})
    weights = [1 / r.sigma**2 for r in runs.runs]
    below = sum(w * r.drive**2 for w, r in zip(weights, runs.runs, strict=True))
    expected = sum(w * r.a * r.drive for w, r in zip(weights, runs.runs, strict=True)) / below
    value, sigma = fit_machine(runs)[0].values["g"]
    assert value == pytest.approx(expected, rel=1e-6)
    assert sigma == pytest.approx(1 / math.sqrt(below), rel=1e-5)


@pytest.mark.slow
def test_uncertainties_are_honest() -> None:
    """In 200 repetitions about two thirds lie within one uncertainty, and nearly all within two."""
    truth = {"g": 9.8, "J": 0.04, "f": 0.03}
    off = []
    for seed in range(200):
        found = fit_machine(runs_of(truth, seed))[3]
        off += [abs(value - truth[symbol]) / sigma for symbol, (value, sigma) in found.values.items()]
    assert 0.55 < sum(x < 1 for x in off) / len(off) < 0.85
    assert sum(x < 2 for x in off) / len(off) > 0.88


def test_the_motion_is_found_with_its_uncertainty() -> None:
    """Positions made with a = 1.5, v0 = 0.2 and a scatter of 1 mm."""
    draw = random.Random(3)
    t = tuple(0.05 * k for k in range(30))
    x = tuple(0.01 + 0.2 * s + 0.75 * s * s + draw.gauss(0, 0.001) for s in t)
    motion = fit_motion(Positions(t, x))
    assert abs(motion.a[0] - 1.5) < 3 * motion.a[1]
    assert abs(motion.v0[0] - 0.2) < 3 * motion.v0[1]
    assert motion.scatter == pytest.approx(0.001, rel=0.35)
    assert motion.a[1] < 0.02


def test_the_invented_data_give_what_they_were_made_with() -> None:
    """The numbers stand in the files: g = 9.8, J = 0.034, f = 0.022."""
    found = best(fit_machine(read_runs("invented-runs")))
    assert found is not None
    assert found.values["J"][0] == pytest.approx(0.034, abs=3 * found.values["J"][1])
    assert found.values["f"][0] == pytest.approx(0.022, abs=3 * found.values["f"][1])
    motion = fit_motion(read_positions("invented-photogate"))
    assert motion.a[0] == pytest.approx(theory(0.2, 0.25, 9.8, 0.034, 0.022), abs=3 * motion.a[1])


def test_runs_with_one_total_mass_cannot_tell_g_from_inertia() -> None:
    """It is said what to measure; the smaller models are fitted all the same."""
    runs = runs_of({"g": 9.8, "J": 0.04, "f": 0.03}, pairs=[(0.25 - k, 0.25 + k) for k in (0.01, 0.02, 0.03, 0.04, 0.05)])
    by_name = {f.name: f for f in fit_machine(runs)}
    assert "measure with other total masses" in by_name["g, inertia and drag together"].trouble
    assert by_name["inertia and drag"].fits


def test_too_few_runs_are_said() -> None:
    """One pair of masses is none to fit; two pairs leave the larger models open."""
    with pytest.raises(LabError, match="at least two different"):
        fit_machine(runs_of({"g": 9.8, "J": 0, "f": 0}, pairs=PAIRS[:1]))
    troubles = [f.trouble for f in fit_machine(runs_of({"g": 9.8, "J": 0, "f": 0}, pairs=PAIRS[:2]))]
    assert [bool(t) for t in troubles] == [False, False, False, True, True]
    with pytest.raises(LabError, match="at least 5"):
        fit_motion(Positions((0.0, 1.0), (0.0, 1.0)))


def test_a_run_that_is_off_leaves_no_model_fitting() -> None:
    """It is said where to look."""
    good = runs_of({"g": 9.8, "J": 0.0, "f": 0.0})
    off = Runs((*good.runs, Run(0.15, 0.17, 1.2, (3.0, 3.0, 3.0), 0.005, 1e-6)))
    page = fitted(off)
    assert isinstance(page, Fitted)
    assert page.best is None
    assert "None of these models fits" in page.text


@pytest.mark.parametrize(
    ("pairs", "warns"),
    [([(0.24, 0.26)], ""), ([(0.1, 0.3)], "too quick to time by hand; lands fast"), ([(1.9, 2.0)], "more than a kilogram")],
)
def test_the_plan_warns(pairs: list[tuple[float, float]], warns: str) -> None:
    """Of what is too quick, too fast and too heavy."""
    assert planned(pairs, 1.2)[0].warns.startswith(warns)


def test_the_plan_computes_what_the_formulas_say() -> None:
    """a = (m2 - m1) g/(m1 + m2), t = sqrt(2d/a), v = sqrt(2da), worked by hand for 0.2 and 0.3 kg over 1 m with g = 10."""
    row = planned([(0.2, 0.3)], 1.0, g=10)[0]
    assert (row.a, row.t, row.v) == pytest.approx((2.0, 1.0, 2.0))


@pytest.mark.parametrize(
    "page",
    [
        plan([(0.3, 0.2)], 1.2), plan([(0.2, 0.3)], -1), plan([(0.2, 0.3)], math.nan), measured("nowhere.csv"), measured("invented-runs", timing=0),
        fell("nowhere.csv"), fitted(measured("nowhere.csv")), fell("t (s);x (m)\n1;2\n"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_words(page: Page) -> None:
    """No traceback: a page of one line."""
    assert type(page) is Page
    assert len(page.text.splitlines()) == 1


def test_loads_come_with_a_caution() -> None:
    """It defers to the rules of the place and to the person in charge."""
    page = plan([(0.24, 0.26)], 1.2)
    assert "the rules of your laboratory and the person in charge come first" in page.text
    assert "out from under the loads" in page.text


def test_plots_say_in_words_what_they_show() -> None:
    """Every measurement stands in the text, and the text is the picture's alternative."""
    data = measured("invented-runs")
    assert isinstance(data, Measured)
    page, drop = fitted(data), fell("invented-photogate")
    assert isinstance(page, Fitted)
    assert isinstance(drop, Fell)
    assert page.drawing.text.count("light pulley without drag") == len(data.runs)
    assert drop.drawing.text.count("mm from the fit") == len(drop.motion.positions.t)
    for html in (page._repr_html_(), drop._repr_html_()):
        assert re.search(r'<img [^>]*alt="[^"]{100,}"', html)
        assert 'scope="col"' in html


def test_what_comes_from_a_file_is_escaped(tmp_path: Path) -> None:
    """A heading is text, never markup."""
    path = tmp_path / "x.csv"
    path.write_text("m1 (kg);m2 (kg);d (m);t (s);<script>x</script>\n0.24;0.26;1.2;2.7;1\n", encoding="utf-8")
    page = measured(path)
    assert "<script>" in page.text
    assert "<script>" not in page._repr_html_()


@pytest.mark.parametrize(
    ("value", "sigma", "expected"),
    [
        (9.8542, 0.1477, "9.85 ± 0.15"), (0.034871, 0.004615, "0.0349 ± 0.0046"), (123.4, 25.0, "123 ± 25"), (1.0, 0.0996, "1.00 ± 0.10"),
        (-0.5, 0.02, "−0.500 ± 0.020"), (5.0, 0.0, "5"), (5.0, math.nan, "5"), (1234.0, 340.0, "1234 ± 340"),
    ],
)  # fmt: skip
def test_values_are_rounded_to_their_uncertainty(value: float, sigma: float, expected: str) -> None:
    """The uncertainty keeps two figures."""
    assert plus_minus(value, sigma) == expected


def test_models_are_listed_simplest_first() -> None:
    """For the simplest that fits is the one that is named."""
    counts = [len(free) for _, free in MODELS]
    assert counts == sorted(counts)
