"""Fresh numbers: sensible, in the same regime, never twice the same, and the same again from the same seed."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plusway.autograde.mechanics import MechanicsError, derive
from plusway.autograde.mechanics.seeding import Stream
from plusway.autograde.mechanics.sensible import choices, groups
from plusway.autograde.mechanics.story import retold, strays, told, unclear
from plusway.autograde.mechanics.variants import variants, vary
from plusway.autograde.scene import Scene, load_text
from plusway.autograde.scene.quantities import parse_quantity
from plusway.lessons import catalogue

SHIPPED = catalogue.names()


def data(scene: Scene) -> dict[str, str]:
    """Every datum but g, as written."""
    return {n: f"{s.given.text} {s.given.unit}".strip() for n, s in scene.symbols.items() if s.given and n != "g"}


# Numbers that must never change: marking finds a student's variant again from its seed.
FIXED: list[tuple[str, int, list[dict[str, str]]]] = [
    (
        "feed-sack",
        1,
        [{"m_1": "7.6 kg", "m_2": "11 kg"}, {"m_1": "7.3 kg", "m_2": "9 kg"}, {"m_1": "4.3 kg", "m_2": "13 kg"}],
    ),
    (
        "hay-bale-on-ramp",
        7,
        [
            {"m_1": "13 kg", "m_2": "19 kg", "mu_k": "0.45", "mu_s": "0.70", "theta": "25 deg"},
            {"m_1": "25 kg", "m_2": "30 kg", "mu_k": "0.25", "mu_s": "0.50", "theta": "20 deg"},
        ],
    ),
    (
        "stepped-wheel",
        2024,
        [
            {"m_1": "4.9 kg", "m_2": "17 kg", "R": "0.27 m", "I": "0.52 kg m^2", "r": "0.13 m"},
            {"m_1": "3.3 kg", "m_2": "20 kg", "R": "0.29 m", "I": "0.66 kg m^2", "r": "0.15 m"},
        ],
    ),
]


@pytest.mark.parametrize(("name", "seed", "expected"), FIXED, ids=[f"{f[0]}-{f[1]}" for f in FIXED])
def test_a_seed_always_gives_the_same_numbers(name: str, seed: int, expected: list[dict[str, str]]) -> None:
    """On any machine and in any version of Python."""
    assert [data(v) for v in vary(catalogue.find(name), len(expected), seed)] == expected


def test_more_variants_begin_with_the_same_ones() -> None:
    """Asking for more changes none of the first."""
    scene = catalogue.find("feed-sack")
    assert vary(scene, 12, 5)[:4] == vary(scene, 4, 5)


@pytest.mark.parametrize("name", SHIPPED)
def test_thirty_students_get_thirty_different_problems(name: str) -> None:
    """Of every scene that ships: a class's worth, none alike and none like the scene itself."""
    scene = catalogue.find(name)
    made = vary(scene, 30, 11)
    kinds = [tuple(data(v).items()) for v in [scene, *made]]
    assert len(set(kinds)) == 31
    assert len({v.digest for v in made}) == 30


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(SHIPPED), st.integers(0, 2**31))
def test_a_variant_keeps_the_regime(name: str, seed: int) -> None:
    """What goes which way, slides, holds, is taut and touches."""
    scene = catalogue.find(name)
    one, other = derive(scene), derive(vary(scene, 1, seed)[0])
    assert other.regime.moves == one.regime.moves
    assert other.regime.direction == one.regime.direction
    assert other.regime.friction == one.regime.friction
    assert other.regime.taut == one.regime.taut
    assert other.regime.touching == one.regime.touching


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(SHIPPED), st.integers(0, 2**31))
def test_a_variant_is_sensible(name: str, seed: int) -> None:
    """Accelerations that can be told from nothing and from free fall, tensions above zero, static friction no less."""
    scene = catalogue.find(name)
    original = derive(scene)
    made = vary(scene, 1, seed)[0]
    setup = derive(made)
    for symbol in made.symbols.values():
        value = setup.values.get(symbol.name)
        if symbol.kind in ("tension", "contact", "normal"):
            assert value is not None
            assert value > 0
        if symbol.kind == "acceleration" and symbol.given is None and value:
            own = abs(original.values[symbol.name])
            assert abs(value) >= min(Fraction(3, 10), own * Fraction(8, 10))
            assert abs(value) <= max(Fraction(85, 100) * made.g.value, own)
    for body in made.bodies.values():
        if body.friction and body.friction.kinetic and body.friction.static:
            assert body.friction.static.value >= body.friction.kinetic.value


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(SHIPPED), st.integers(0, 2**31))
def test_a_variant_has_the_authors_figures(name: str, seed: int) -> None:
    """As many decimals and the same unit; no friction coefficient finer than two figures; no number far away."""
    scene = catalogue.find(name)
    made = vary(scene, 1, seed)[0]
    for n, symbol in scene.symbols.items():
        old, new = symbol.given, made.symbols[n].given
        if old is None or new is None:
            continue
        assert new.unit == old.unit
        if symbol.kind in ("mu_k", "mu_s"):
            assert len(new.text) <= 4
        else:
            assert len(new.text.partition(".")[2]) == len(old.text.partition(".")[2])
        assert abs(old.value) / 2 <= abs(new.value) <= abs(old.value) * 2


@pytest.mark.parametrize("name", ["three-planters-pushed", "toboggans-uphill", "garden-roller"])
def test_equal_data_stay_equal(name: str) -> None:
    """One snow under both toboggans; a roller's rim weighs what the roller weighs."""
    scene = catalogue.find(name)
    for made in vary(scene, 5, 2):
        for names in groups(scene):
            assert len({data(made)[n] for n in names}) == 1


def test_the_letters_stay() -> None:
    """A variant has the scene's own symbols, name, and what is asked."""
    scene = catalogue.find("two-roof-crates")
    for made in vary(scene, 10, 3):
        assert (list(made.symbols), made.name, made.asked) == (list(scene.symbols), scene.name, scene.asked)


def test_any_regime_gives_more_than_one() -> None:
    """Asked for all regimes, some variants of a resting chest slide or tend the other way."""
    scene = catalogue.find("chest-that-stays")
    kinds = {(s.moves, s.friction["f_1"]) for s in (derive(v).regime for v in vary(scene, 40, 1, regime="any"))}
    assert len(kinds) > 1


def test_too_many_are_refused_with_the_number_found() -> None:
    """The message says how many there are and what would do."""
    with pytest.raises(
        MechanicsError, match=r"cable-reel-lifted: found \d+ different sensible variants in the same regime"
    ):
        vary(catalogue.find("cable-reel-lifted"), 5000, 1)


@pytest.mark.parametrize(
    ("count", "regime", "says"), [(-1, "same", "-1 variants"), (1, "other", "not one of same, any")]
)
def test_what_cannot_be_asked_is_refused(count: int, regime: str, says: str) -> None:
    """In one line."""
    with pytest.raises(MechanicsError, match=says):
        vary(catalogue.find("feed-sack"), count, 1, regime=regime)


def test_none_asked_none_made() -> None:
    """A count of zero."""
    assert vary(catalogue.find("feed-sack"), 0, 1) == []


def test_a_scene_that_nothing_can_vary_yields_nothing() -> None:
    """One body in free fall with a mass of few figures has but its mass."""
    scene = load_text('title = "x"\n[bodies.b]\nmass = "1e1 kg"\nmoves = "vertical"\n[ask]\nvalues = ["a"]\n')
    assert list(variants(scene, 1)) == []
    with pytest.raises(MechanicsError, match="found 0 different"):
        vary(scene, 1, 1)


# (kind, as written, some numbers that may come, some that may not)
CHOICES: list[tuple[str, str, list[str], list[str]]] = [
    ("mass", "6.5 kg", ["4.0 kg", "6.5 kg", "9.9 kg"], ["3.8 kg", "10.1 kg", "6.55 kg"]),
    ("mass", "9 kg", ["6 kg", "9 kg", "12 kg", "14 kg"], ["5 kg", "15 kg", "9.5 kg"]),
    ("mass", "480 kg", ["300 kg", "475 kg", "760 kg"], ["481 kg", "1000 kg"]),
    ("mass", "1.20 kg", ["0.75 kg", "1.25 kg", "1.90 kg"][1:], ["1.21 kg", "0.7 kg"]),
    ("angle", "30 deg", ["20 deg", "25 deg", "45 deg"], ["15 deg", "31 deg", "50 deg"]),
    ("angle", "33 deg", ["20 deg", "34 deg"], ["60 deg"]),
    ("force_angle", "-30 deg", ["-20 deg", "-45 deg"], ["30 deg", "-15 deg"]),
    ("mu_k", "0.2", ["0.15", "0.2", "0.25", "0.3"], ["0.1", "0.22", "0.35"]),
    ("mu_k", "0.30", ["0.20", "0.25", "0.45"], ["0.15", "0.31", "0.3"]),
    ("mu_s", "0.02", ["0.02", "0.03"], ["0.00", "0.05"]),
    ("length", "0.12 m", ["0.08 m", "0.19 m"][1:], ["0.20 m"]),
]


@pytest.mark.parametrize(("kind", "written", "may", "may_not"), CHOICES, ids=[f"{c[0]}-{c[1]}" for c in CHOICES])
def test_numbers_that_look_like_the_authors(kind: str, written: str, may: list[str], may_not: list[str]) -> None:
    """As large, as many figures, in steps that a person would choose."""
    unit = {"mu_k": "coefficient", "mu_s": "coefficient", "force_angle": "angle"}.get(kind, kind)
    found = choices(kind, parse_quantity(unit, written))
    assert [m for m in may if m not in found] == []
    assert [m for m in may_not if m in found] == []
    assert written in found


SLEDGE = """title = "Sledge and ballast"
story = "STORY"

[bodies.sledge]
index = 1
mass = "5 kg"
moves = "slope"
angle = "25 deg"
friction = { kinetic = 0.20, static = 0.30 }

[bodies.ballast]
index = 2
mass = "7 kg"
moves = "vertical"

[[ropes]]
symbol = "T"
pulls = [["sledge", "upslope"], ["ballast", "up"]]

[ask]
values = ["a"]
[ask.motion]
distance = "1.2 m"
"""
NEW = {"m_1": "7 kg", "m_2": "9 kg", "theta": "30 deg", "mu_k": "0.25", "mu_s": "0.40", "d": "1.6 m"}


def sledge(story: str) -> Scene:
    return load_text(SLEDGE.replace("STORY", story), name="sledge")


# (story, the same with the data in NEW)
FOLLOWED: list[tuple[str, str]] = [
    ("A 5 kg sledge and 7 kilograms of ballast.", "A 7 kg sledge and 9 kilograms of ballast."),
    ("A 5-kg sledge, a 7-kilogram ballast.", "A 7-kg sledge, a 9-kilogram ballast."),
    ("The coefficients are 0.30 (static) and 0.20 (kinetic).", "The coefficients are 0.40 (static) and 0.25 (kinetic)."),
    ("The coefficients are 0.3 and .2.", "The coefficients are 0.40 and 0.25."),
    ("A slope of 25 degrees, or 25°.", "A slope of 30 degrees, or 30°."),
    ("Masses of 5 and 7 kg.", "Masses of 7 and 9 kg."),
    ("Of 5, 7, and 5 kg.", "Of 7, 9, and 7 kg."),
    ("Five kilograms and seven kilos.", "7 kilograms and 9 kilos."),
    ("A twenty-five degree slope.", "A 30 degree slope."),
    ("It slides 1.20 m in m_1 = 5kg.", "It slides 1.6 m in m_1 = 7kg."),
    ("Two bodies, one rope, free fall at 9.8 m/s².", "Two bodies, one rope, free fall at 9.8 m/s²."),
    ("Numbers: 0.30, 0.20, 5 kg and 7 kg.", "Numbers: 0.40, 0.25, 7 kg and 9 kg."),
    ("Nothing here.", "Nothing here."),
]


@pytest.mark.parametrize(("story", "expected"), FOLLOWED, ids=[f[0] for f in FOLLOWED])
def test_numbers_in_a_story_follow_the_data(story: str, expected: str) -> None:
    """Where it is sure which datum they are: with its unit, as sign or word, or a coefficient without one."""
    scene = sledge(story)
    assert (unclear(scene), strays(scene)) == ((), ())
    assert retold(scene, NEW).story == expected


# (story, what can't follow)
UNCLEAR: list[tuple[str, tuple[str, ...]]] = [
    ("Masses 5 and 7.", ("5", "7")),
    ("A sledge of 5000 g.", ("5000 g",)),
    ("The 5 of them, and 0.20 kinetic.", ("5",)),
    ("On 25 and 7 kg.", ("25",)),
    ("Friction of 20 %, or 30 percent.", ("20 %", "30 percent")),
    ("Five pounds; 7 pounds.", ("7",)),
]


@pytest.mark.parametrize(("story", "says"), UNCLEAR, ids=[u[0] for u in UNCLEAR])
def test_a_number_that_may_be_a_datum_but_cannot_follow_is_refused(story: str, says: tuple[str, ...]) -> None:
    """Nobody gets fresh numbers beside the old ones, and every such number is listed."""
    scene = sledge(story)
    assert unclear(scene) == says
    with pytest.raises(MechanicsError, match=f"story: {', '.join(says)}: may be data"):
        vary(scene, 1, 1)


def test_two_data_that_look_alike_are_refused() -> None:
    """0.3 may be either coefficient."""
    scene = load_text(SLEDGE.replace("STORY", "Friction is 0.3.").replace("kinetic = 0.20", "kinetic = 0.30"), name="sledge")
    assert unclear(scene) == ("0.3",)


def test_a_number_that_is_no_datum_stays_and_is_told() -> None:
    """The total mass, another body's, a time."""
    scene = sledge("In all 12 kg, at 3 pm, for 5 s, pulled by 5.5 N.")
    assert strays(scene) == ("12 kg", "3", "5 s", "5.5 N")
    assert told(scene) == ()
    assert retold(scene, NEW).story == scene.story


def test_a_decimal_comma_in_the_story_stays_one() -> None:
    """Where the class writes 0,30."""
    text = SLEDGE.replace("STORY", "Die Zahlen sind 0,30 und 0,20.").replace("[bodies.sledge]", "decimal_comma = true\n[bodies.sledge]")
    assert retold(load_text(text.replace("1.2 m", "1,2 m"), name="x"), NEW).story == "Die Zahlen sind 0,40 und 0,25."


@pytest.mark.parametrize(("mass", "says"), [("8 kg", "An 8 kg"), ("11 kg", "An 11 kg"), ("18.5 kg", "An 18.5 kg"), ("9 kg", "A 9 kg"), ("110 kg", "A 110 kg")])
def test_the_article_follows_its_number(mass: str, says: str) -> None:
    """An 8 kg sledge, a 9 kg sledge."""
    assert retold(sledge("A 5 kg sledge."), {"m_1": mass}).story == f"{says} sledge."


def test_a_title_follows_too() -> None:
    """Students read it above the story."""
    scene = load_text(SLEDGE.replace('title = "', 'title = "5 kg '), name="sledge")
    assert retold(scene, NEW).title == "7 kg Sledge and ballast"


@pytest.mark.parametrize("seed", range(3))
def test_every_number_in_a_variants_story_is_one_of_its_data(seed: int) -> None:
    """So that the student reads the same numbers in the story and in the data."""
    one = vary(sledge("A 5 kg sledge on a slope of 25 degrees; 0.30 (static), 0.20 (kinetic); 7 kilograms hang; 1.2 m."), 1, seed)[0]
    given = {n: s.given.text for n, s in one.symbols.items() if s.given}
    assert one.story == (f"A {given['m_1']} kg sledge on a slope of {given['theta']} degrees; {given['mu_s']} (static), "
                         f"{given['mu_k']} (kinetic); {given['m_2']} kilograms hang; {given['d']} m.")


def test_a_scene_knows_which_of_its_data_the_story_tells() -> None:
    """So that a teacher can be told before a class reads another's numbers; what is no datum is none of its business."""
    text = catalogue.text("feed-sack").replace("A feed sack", "At 3 pm, a 6.50 kg feed sack", 1)
    assert told(load_text(text, name="x")) == ("6.50 kg",)
    assert told(catalogue.find("feed-sack")) == ()
    assert told(sledge("0.30 and 0.20; five kilograms, 7 kg, 25°")) == ("0.30", "0.20", "five kilograms", "7 kg", "25°")


def test_the_stream_is_even_and_its_own() -> None:
    """Every number comes about as often; another seed gives another stream."""
    stream = Stream("one")
    counts = [0] * 7
    for _ in range(7000):
        counts[stream.below(7)] += 1
    assert all(850 < c < 1150 for c in counts)
    assert [Stream("a").below(10**9) for _ in range(2)] != [Stream("b").below(10**9) for _ in range(2)]


@pytest.mark.parametrize("size", [0, 1, 2, 17, 300])
def test_a_shuffle_names_each_number_once(size: int) -> None:
    """None is lost and none comes twice."""
    assert sorted(Stream("x").shuffled(size)) == list(range(size))
