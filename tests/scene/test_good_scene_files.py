"""What a scene file means once it is read: records, symbols, spellings."""



from __future__ import annotations

from fractions import Fraction

import pytest

from plusway.autograde.scene import load_text
from plusway.autograde.scene.letters import canonical
from plusway.autograde.scene.quantities import parse_quantity
from plusway.lessons import catalogue


def one(body: str = "", more: str = "", ask: str = 'values = ["a"]', top: str = "") -> str:
    """A scene of one body."""
    return f'title = "x"\n{top}\n[bodies.box]\nmass = "2 kg"\n{body or "moves = " + chr(34) + "level" + chr(34)}\n{more}\n[ask]\n{ask}\n'


# (kind, as written, exact SI value, figures kept, unit kept)
QUANTITIES: list[tuple[str, object, Fraction, str, str]] = [
    ("mass", "6.50 kg", Fraction(13, 2), "6.50", "kg"),
    ("mass", "250 g", Fraction(1, 4), "250", "g"),
    ("mass", ".5 kg", Fraction(1, 2), "0.5", "kg"),
    ("mass", "+3 kg", Fraction(3), "3", "kg"),
    ("mass", "1.5e3 kg", Fraction(1500), "1.5e3", "kg"),
    ("mass", "6.5kg", Fraction(13, 2), "6.5", "kg"),
    ("length", "12 cm", Fraction(12, 100), "12", "cm"),
    ("length", "3 mm", Fraction(3, 1000), "3", "mm"),
    ("force", "1.90 kN", Fraction(1900), "1.90", "kN"),
    ("acceleration", "9.81 m/s²", Fraction(981, 100), "9.81", "m/s^2"),
    ("acceleration", "9.8 m s^-2", Fraction(98, 10), "9.8", "m/s^2"),
    ("acceleration", "9.8 m s⁻²", Fraction(98, 10), "9.8", "m/s^2"),
    ("acceleration", "980 cm/s^2", Fraction(98, 10), "980", "cm/s^2"),
    ("acceleration", "9.8 m / s^2", Fraction(98, 10), "9.8", "m/s^2"),
    ("angle", "30°", Fraction(30), "30", "deg"),
    ("angle", "22.5 degrees", Fraction(45, 2), "22.5", "deg"),
    ("angle", "−30 deg", Fraction(-30), "-30", "deg"),
    ("speed", "36 km/h", Fraction(10), "36", "km/h"),
    ("inertia", "0.03 kg·m²", Fraction(3, 100), "0.03", "kg m^2"),
    ("inertia", "500 g cm^2", Fraction(1, 20000), "500", "g cm^2"),
    ("torque", "0.1 Nm", Fraction(1, 10), "0.1", "N m"),
    ("torque", "0.1 N·m", Fraction(1, 10), "0.1", "N m"),
    ("torque", "0.1 N*m", Fraction(1, 10), "0.1", "N m"),
    ("torque", "15 N cm", Fraction(15, 100), "15", "N cm"),
    ("coefficient", "0.20", Fraction(1, 5), "0.20", ""),
    ("coefficient", 1, Fraction(1), "1", ""),
]


@pytest.mark.parametrize(("kind", "written", "value", "text", "unit"), QUANTITIES, ids=[str(q[1]) for q in QUANTITIES])
def test_a_quantity_is_exact_and_keeps_its_figures(kind: str, written: object, value: Fraction, text: str, unit: str) -> None:
    """The value is exact in SI; the figures and the unit stay as written."""
    quantity = parse_quantity(kind, written)
    assert (value, text, unit) == (quantity.value, quantity.text, quantity.unit)


# (as written, canonical name or None)
SYMBOLS: list[tuple[str, str | None]] = [
    ("T", "T"), ("T_1", "T_1"), ("T1", "T_1"), ("T₁", "T_1"), ("T_{12}", "T_12"), ("F_up", "F_up"), ("β", "beta"),
    ("\\beta", "beta"), ("μ_k", "mu_k"), ("mu_k_2", "mu_k_2"), ("tau_f", "tau_f"), ("α₂", "alpha_2"), ("Tom", None),
    ("T_", None), ("_1", None), ("1", None), ("T 1", None), ("sin", None), ("T'", None), ("T_123456789", None),
]  # fmt: skip


@pytest.mark.parametrize(("written", "name"), SYMBOLS)
def test_a_symbol_has_one_canonical_name(written: str, name: str | None) -> None:
    """However the index and Greek letters are typed."""
    assert name == canonical(written)


# (what the scene has, its text, the symbols that it must have, those that it must not)
TABLES: list[tuple[str, str, str, str]] = [
    ("one level body without index", one(), "m a W N g", "a_1 m_1 f mu_k t"),
    ("one body with an index", one('index = 1\nmoves = "level"'), "m_1 a_1 W_1 N_1 a", "m N"),
    ("one hanging body", one('moves = "vertical"'), "m a W", "N f"),
    ("friction", one('moves = "level"\nfriction = { kinetic = 0.2, static = 0.3 }'), "f mu_k mu_s", "mu_k_1"),
    ("kinetic friction only", one('moves = "level"\nfriction = { kinetic = 0.2 }'), "f mu_k", "mu_s"),
    ("an empty friction", one('moves = "level"\nfriction = {}'), "N", "f mu_k mu_s"),
    ("friction of zero", one('moves = "level"\nfriction = { kinetic = 0 }'), "N mu_k", "f"),
    ("a slope", one('moves = "slope"\nangle = "30 deg"'), "theta N", "theta_1"),
    ("a motion", one(more="", ask='values = ["a", "v"]\n[ask.motion]\ndistance = "1.2 m"'), "t v d", ""),
    ("a tilted force", one(more='[[forces]]\nsymbol = "F"\non = "box"\ndirection = "left"\nsize = "3 N"\nangle = "9 deg"'), "F phi", "phi_1"),
    ("a roller", one('moves = "level"\nfriction = { static = 0.3 }',
                     '[wheels.rim]\nradius = "1 m"\nmass = "2 kg"\nshape = "hoop"\n[[rolling]]\nbody = "box"\nwheel = "rim"\nsymbol = "f"'),
     "f mu_s R I M alpha", "f_1"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "has", "lacks"), [c[1:] for c in TABLES], ids=[c[0] for c in TABLES])
def test_the_table_of_symbols(text: str, has: str, lacks: str) -> None:
    """Each thing brings its letters, indexed only where there are several."""
    symbols = load_text(text).symbols
    assert [s for s in has.split() if s not in symbols] == []
    assert [s for s in lacks.split() if s in symbols] == []


def test_the_scene_of_the_contract(good: str) -> None:
    """Two bodies, a wheel, two ropes: every symbol with its kind, unit and datum."""
    symbols = load_text(good).symbols
    assert (symbols["m_1"].kind, symbols["m_1"].thing, symbols["m_1"].unit) == ("mass", "sledge", "kg")
    assert symbols["m_1"].given is not None
    assert symbols["m_1"].given.text == "14"
    assert {"tension", "alpha", "radius", "inertia", "mu_k", "outside", "friction", "normal", "gravity"} <= {
        s.kind for s in symbols.values()
    }
    assert symbols["T_1"].given is None


def test_two_slopes_of_one_angle_share_theta() -> None:
    """One angle, one letter; found for each of the bodies."""
    text = 'title = "x"\n' + "".join(
        f'[bodies.{n}]\nindex = {i}\nmass = "1 kg"\nmoves = "slope"\nangle = "30 deg"\n' for i, n in ((1, "a"), (2, "b"))
    ) + '[ask]\nvalues = ["a"]\n'  # fmt: skip
    scene = load_text(text)
    assert "theta" == scene.symbol_of("angle", "a") == scene.symbol_of("angle", "b")
    other = load_text(text.replace("30 deg", "40 deg", 1))
    assert (other.symbol_of("angle", "a"), other.symbol_of("angle", "b")) == ("theta_1", "theta_2")


def test_strands_at_one_radius_of_one_wheel_share_its_letter(good: str) -> None:
    """r where there is one, r_1 and r_2 where there are several."""
    text = good.replace('["drum", "clockwise"]', '["drum", "clockwise", "5 cm"]')
    scene = load_text(text)
    assert scene.ropes[1].pulls[1].radius_symbol == "r"
    assert scene.symbols["r"].kind == "strand_radius"
    two = load_text(text.replace('["drum", "counterclockwise"]', '["drum", "counterclockwise", "0.07 m"]'))
    assert (two.ropes[0].pulls[1].radius_symbol, two.ropes[1].pulls[1].radius_symbol) == ("r_1", "r_2")


def test_a_decimal_comma_is_read_where_the_scene_says_so() -> None:
    """The figures are kept with a point."""
    scene = load_text(one(top="decimal_comma = true").replace('"2 kg"', '"2,50 kg"'))
    assert scene.bodies["box"].mass.text == "2.50"


def test_figures_of_a_bare_decimal_are_kept() -> None:
    """0.20 stays 0.20."""
    scene = load_text(one('moves = "level"\nfriction = { kinetic = 0.20 }'))
    assert scene.symbols["mu_k"].given.text == "0.20"  # type: ignore[union-attr]


def test_g_is_9_8_where_it_is_left_out() -> None:
    """As the contract says."""
    assert (load_text(one()).g.text, load_text(one()).g.unit) == ("9.8", "m/s^2")


def test_motion_asks_for_time_and_speed_unless_one_is_named() -> None:
    """[ask.motion] alone asks for both; values may ask for one of them."""
    assert load_text(one(ask='[ask.motion]\ndistance = "1 m"')).asked == ("t", "v")
    assert load_text(one(ask='values = ["a", "v"]\n[ask.motion]\ndistance = "1 m"')).asked == ("a", "v")


@pytest.mark.parametrize(("asked", "name"), [("α", "alpha"), ("T₂", "T_2"), ("T1", "T_1"), ("N1", "N_1")])
def test_asked_symbols_may_be_written_as_letters(good: str, asked: str, name: str) -> None:
    """Greek and subscripts in any spelling."""
    assert ("a", name) == load_text(good.replace('"T_1"]', f'"{asked}"]')).asked


def test_a_torque_on_a_wheel_and_a_force_at_its_rim(good: str) -> None:
    """The unit tells which."""
    on_wheel = good.replace('on = "sledge"\ndirection = "right"', 'on = "drum"\ndirection = "clockwise"')
    assert not load_text(on_wheel).forces[0].is_torque
    torque = load_text(on_wheel.replace('"4 N"', '"4 N m"'))
    assert torque.forces[0].is_torque
    assert torque.symbols["F"].unit == "N m"


def test_the_digest_is_of_the_content_alone(good: str) -> None:
    """Name, title, story, topic and layout do not matter; every figure does."""
    first = load_text(good, name="one")
    same = load_text(good.replace('title = "Sledge and stone"', 'story = "A story."\ntitle = "y"\ntopic = "z"') + "\n# note\n", name="two")
    assert first.digest == same.digest
    assert len(first.digest) == 64
    assert first.digest != load_text(good.replace('"14 kg"', '"14.0 kg"')).digest
    assert first.digest != load_text(good.replace('"right"]', '"left"]')).digest


def test_a_rolling_f_beside_another_bodys_f_2(good: str) -> None:
    """The usual letters of a roller and of a rough body may stand side by side."""
    text = good.replace("index = 1", "index = 3").replace("[ask]", '[bodies.roller]\nindex = 4\nmass = "1 kg"\nmoves = "level"\n'
                        '[[rolling]]\nbody = "roller"\nwheel = "drum"\nsymbol = "f"\n[ask]')  # fmt: skip
    assert {"f", "f_3"} <= set(load_text(text).symbols)


def test_a_massless_pulley_without_index_gets_the_next_free_one() -> None:
    """Its letters are a_3 and no other; a body with a mass still needs an index of its own."""
    text = catalogue.text("anchor-on-a-light-block").replace("index = 3\n", "")
    assert load_text(text).bodies["block"].index == 3
    assert load_text(text).digest == catalogue.find("anchor-on-a-light-block").digest
