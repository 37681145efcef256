"""The same scene with other data: what changes, what stays, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest

from plusway.autograde.scene import SceneError, load_text, with_data
from plusway.lessons import catalogue


def test_a_mass_is_changed_wherever_it_stands(good: str) -> None:
    """Body and symbol both get the new mass, and the digest is another."""
    scene = load_text(good, name="sledge")
    other = with_data(scene, {"m_1": "7.25 kg", "mu_k": "0.1", "R": "15 cm", "F": "6 N", "g": "10 m/s^2"})
    assert ("7.25", Fraction(29, 4)) == (other.bodies["sledge"].mass.text, other.bodies["sledge"].mass.value)
    assert other.bodies["sledge"].mass == other.symbols["m_1"].given
    assert other.bodies["sledge"].friction.kinetic.text == "0.1"  # type: ignore[union-attr]
    assert Fraction(15, 100) == other.wheels["drum"].radius.value
    assert Fraction(6) == other.forces[0].size.value
    assert Fraction(10) == other.g.value
    assert scene.digest != other.digest
    assert scene.bodies["sledge"].mass.text == "14"


def test_nothing_changed_is_the_same_scene(good: str) -> None:
    """The digest too."""
    scene = load_text(good)
    assert scene == with_data(scene, {})


def test_a_shared_angle_is_changed_for_all() -> None:
    """theta belongs to both toboggans."""
    other = with_data(catalogue.find("toboggans-uphill"), {"theta": "22 deg"})
    assert {"22"} == {b.angle.text for b in other.bodies.values() if b.angle}


def test_a_strand_keeps_its_letter() -> None:
    """r of a stepped wheel."""
    other = with_data(catalogue.find("stepped-wheel"), {"r": "0.12 m"})
    assert (other.symbols["r"].given.text, other.ropes[1].pulls[1].radius_symbol) == ("0.12", "r")  # type: ignore[union-attr]
    assert Fraction(12, 100) == other.ropes[1].pulls[1].radius.value  # type: ignore[union-attr]


def test_letters_stay_when_two_angles_become_equal() -> None:
    """theta_1 and theta_2 do not melt into one theta."""
    other = with_data(catalogue.find("two-roof-crates"), {"theta_1": "25 deg"})
    assert {"theta_1", "theta_2"} <= set(other.symbols)


def test_a_starting_speed_goes_by_the_name_of_its_body() -> None:
    """It has no letter of its own."""
    other = with_data(catalogue.find("stone-shoved-up-a-ramp"), {"starts stone": "2.0 m/s"})
    assert other.bodies["stone"].starts[1].text == "2.0"  # type: ignore[index]


# (what is wrong, data, fragment of the message)
REFUSED: list[tuple[str, dict[str, str], str]] = [
    ("a negative mass", {"m_1": "-2 kg"}, "bodies.sledge.mass: a mass can't be negative"),
    ("no unit", {"m_1": "2"}, "m_1: '2' has no unit"),
    ("another quantity's unit", {"F": "2 kg"}, "F: '2 kg': 'kg' is not a unit of a force"),
    ("what is no datum", {"T_1": "2 N"}, "T_1: is no datum of this scene"),
    ("what is no symbol", {"m_7": "2 kg"}, "did you mean 'm_2'?"),
    ("static friction below kinetic", {"mu_k": "0.5"}, "0.3 is less than kinetic 0.5"),
    ("a speed that nobody starts with", {"starts sledge": "2 m/s"}, "no body named 'sledge' is already moving"),
    ("a g of zero", {"g": "0 m/s^2"}, "g: 0 m/s^2 must be more than zero"),
]


@pytest.mark.parametrize(("data", "says"), [c[1:] for c in REFUSED], ids=[c[0] for c in REFUSED])
def test_other_data_are_checked_like_a_file(good: str, data: dict[str, str], says: str) -> None:
    """The message names the scene and the datum."""
    with pytest.raises(SceneError) as caught:
        with_data(load_text(good, name="sledge"), data)
    assert says in str(caught.value)
    assert str(caught.value).startswith("sledge: ")


@pytest.mark.parametrize("name", catalogue.names())
def test_every_datum_of_every_scene_can_be_changed(name: str) -> None:
    """Half as much again of any datum gives another scene, or a clear refusal."""
    scene = catalogue.find(name)
    for symbol in scene.symbols.values():
        if symbol.given is None:
            continue
        number = f"{float(symbol.given.value if not symbol.given.unit else Fraction(symbol.given.text)) * 1.5:.4g}"
        try:
            other = with_data(scene, {symbol.name: f"{number} {symbol.given.unit}"})
        except SceneError:
            other = None
        if other is None:
            assert symbol.kind in ("mu_k", "mu_s", "angle", "force_angle")
            continue
        changed = other.symbols[symbol.name].given
        assert changed is not None
        assert symbol.given.value * Fraction(3, 2) == pytest.approx(changed.value, rel=1e-3)
        assert symbol.given.value == 0 or other.digest != scene.digest
