"""The browser's own readings, without a JupyterLab round them: how letters and units look in a sentence, and forces that are typed into a diagram."""

from __future__ import annotations

from typing import Any

import pytest

from plusway.widgets import Problem

pytestmark = pytest.mark.browser

LOOKS = [
    ("The weight W_1 acts down, T_12 up.", "The weight W₁ acts down, T₁₂ up."),
    ("μ_k = 0.30, μ_s1 = 0.40, θ_1 = 45°", "μₖ = 0.30, μₛ₁ = 0.40, θ₁ = 45°"),
    ("what belongs to the north (mu_k_1)", "what belongs to the north (μₖ₁)"),
    ("(m/s^2) belongs there, or m s^-2, rad/s^2, kg m^2.", "(m/s²) belongs there, or m s⁻², rad/s², kg m²."),
    ("v^2 = 2 a d and x^2, 10^3 stay", "v^2 = 2 a d and x^2, 10^3 stay"),
    ("no_such_name_here and a_b_c_d stay", "no_such_name_here and a_b_c_d stay"),
]


def test_letters_and_units_look_the_same_in_every_sentence(modules: Any) -> None:
    """A lowered index behind Greek letters too, a raised power behind a unit, and nothing else is touched."""
    found = modules.evaluate('async (texts) => { const { prose } = await import("/mathview.js"); return texts.map(prose); }', [text for text, _ in LOOKS])
    assert found == [looks for _, looks in LOOKS]


def test_no_comma_of_the_data_stands_alone(modules: Any) -> None:
    """A comma belongs to the datum before it, also where each datum has a line of its own."""
    found = modules.evaluate("""async () => { const { dataApart } = await import("/mathview.js");
        const here = document.getElementById("here"); here.replaceChildren(...dataApart("m_1 = 2 kg (cart), μ_k1 = 0.30, the drum is solid").filter(Boolean));
        return [[...here.querySelectorAll(".pw-datum")].map((one) => one.textContent), here.textContent]; }""")
    assert found == [["m₁ = 2 kg (cart),", "μₖ₁ = 0.30,"], "m₁ = 2 kg (cart), μₖ₁ = 0.30, the drum is solid"]


TYPED: list[tuple[str, str, str, Any]] = [
    ("hay-bale-on-ramp", "bale", "m1g sin30 down the slope, W_1 cos θ into the slope", [["W_1", "downslope"], ["W_1", "into"]]),
    ("hay-bale-on-ramp", "bale", "N_1 perpendicular to the slope; normal: out of the slope", [["N_1", "away"], ["N_1", "away"]]),
    ("hay-bale-on-ramp", "bale", "N_1 skywards", "In which direction does N_1 act?"),
    ("hay-bale-on-ramp", "bale", "m_1 a_1 up the slope", "is no force of its own"),
    ("hay-bale-on-ramp", "bale", "net force up the slope", "is no force of its own"),
    ("hay-bale-on-ramp", "bale", "engine up the slope", "is no force of this problem"),
    ("well-bucket", "drum", "T down", "In which direction does T act? Write it behind the force: clockwise, counterclockwise."),
]


@pytest.mark.parametrize(("scene", "thing", "text", "expected"), TYPED)
def test_forces_as_they_are_typed(modules: Any, scene: str, thing: str, text: str, expected: Any) -> None:
    """The arrows of a text, or a sentence that says what is wrong with it."""
    shown = Problem(scene).forces(thing).shown
    found = modules.evaluate("""async ([text, symbols, ways, names]) => { const { arrowsTyped } = await import("/forcewords.js");
        return arrowsTyped(text, { symbols, ways, names, nameOf: (symbol) => symbol, example: "W down" }, { symbol: "", word: "" }); }""",
        [text, shown["symbols"], shown["fields"][0]["options"], shown["typed"][thing]])  # fmt: skip
    if isinstance(expected, str):
        assert expected in found["says"]
        assert found["arrows"] == []
    else:
        assert found == {"arrows": expected, "says": ""}
