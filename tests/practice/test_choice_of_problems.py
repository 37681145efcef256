"""Which problem comes next, and whether practice finds out what a learner knows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.errors import PluswayError
from plusway.lessons import catalogue
from plusway.lessons.practice.choice import EVERY_DAYS, EVERY_PROBLEMS, Occasion, Standing, choose, due, standings
from plusway.lessons.practice.simulate import main, said, shipped_scenes, simulate, table
from plusway.lessons.practice.skills import SKILLS, TARGETS, extras_of
from plusway.lessons.practice.tracing import RIGHT, WRONG

NOW = datetime(2025, 3, 3, 10, 0, tzinfo=timezone.utc)
SCENES = shipped_scenes()


def standing(**p: float) -> dict[str, Standing]:
    """Every skill at 0.3 and unseen, except those given, which were seen in problem 1."""
    return {n: Standing(n, p[n], 3, 1, NOW) if n in p else Standing(n, 0.3) for n in SKILLS}


ALL_KNOWN = {n: Standing(n, 0.99, 9, 20, NOW) for n in SKILLS}


@pytest.mark.parametrize("skill", TARGETS)
def test_every_skill_has_scenes_that_ship(skill: str) -> None:
    """At least three, so that a skill is not one picture."""
    assert sum(skill in skills for skills in SCENES.values()) >= 3


@pytest.mark.parametrize(
    ("known", "past", "target"),
    [
        ({}, [], "hanging"),
        ({"hanging": 0.7}, [("feed-sack", "hanging")], "level"),
        ({"hanging": 0.97, "level": 0.97, "ties": 0.97, "slope": 0.4}, [("feed-sack", "hanging")], "friction"),
        ({"hanging": 0.97, "level": 0.5, "slope": 0.97, "ties": 0.97, "wheel": 0.97, "movable": 0.97}, [("x", "ties")], "level"),
    ],
)
def test_the_shakiest_skill_with_its_groundwork_comes_first(known: dict[str, float], past: list[tuple[str, str]], target: str) -> None:
    """What it needs must be on its way; of equally shaky ones the first of the course."""
    assert choose(standing(**known), SCENES, past, "s", NOW).target == target


PLAIN = {name for name in SCENES if not extras_of(catalogue.find(name))}


@pytest.mark.parametrize(
    ("name", "extras"),
    [
        ("feed-sack", 0), ("hay-bale-on-ramp", 0), ("cask-over-a-heavy-wheel", 0), ("lamp-in-the-lift", 1), ("two-boxes-pushed", 1),
        ("passenger-on-a-scale", 2), ("boat-pulled-ashore", 1), ("garden-roller", 1), ("stone-shoved-up-a-ramp", 1), ("box-slides-on-a-cart", 1),
        ("two-kegs-class-letters", 1),
    ],
)  # fmt: skip
def test_what_a_scene_asks_for_beside_its_skills(name: str, extras: int) -> None:
    """A given acceleration, a contact, a slanting force, rolling, a speed at the start, a body on a body, letters of another class."""
    assert extras_of(catalogue.find(name)) == extras


@pytest.mark.parametrize("target", TARGETS)
def test_a_new_skill_is_met_without_a_lift_or_a_slanting_force_on_top(target: str) -> None:
    """Whatever the lot says; once the skill is on its way, those scenes come too."""
    extras = {name: extras_of(catalogue.find(name)) for name in SCENES}
    known = {**ALL_KNOWN, target: Standing(target, 0.3)}
    found = {choose(known, SCENES, [], str(seed), NOW, extras).scene for seed in range(60)}
    assert found <= PLAIN
    assert len(found) >= 3
    known[target] = Standing(target, 0.7, 3, 1, NOW)
    later = {choose(known, SCENES, [], str(seed), NOW, extras).scene for seed in range(60)}
    assert bool(later - PLAIN) is any(target in skills for name, skills in SCENES.items() if name not in PLAIN)


def test_the_same_skill_is_not_practised_twice_in_a_row_where_there_is_another() -> None:
    """Kinds of problems are mixed."""
    known = standing(hanging=0.97, level=0.4, slope=0.5)
    assert choose(known, SCENES, [("feed-sack", "level")], "s", NOW).target != "level"


@pytest.mark.parametrize(("gap", "expected"), [(EVERY_PROBLEMS - 1, False), (EVERY_PROBLEMS, True)])
def test_a_known_skill_comes_back_at_even_distances(gap: int, expected: bool) -> None:
    """Always after the same number of problems, however often it was seen before."""
    for seen in (2, 20, 200):
        assert due(Standing("slope", 0.99, seen, 10, NOW), 10 + gap, NOW) is expected


def test_a_known_skill_comes_back_after_days_too() -> None:
    """A learner who comes once a week reviews as well."""
    known = {**ALL_KNOWN, "wheel": replace(ALL_KNOWN["wheel"], last_time=NOW - timedelta(days=EVERY_DAYS))}
    chosen = choose(known, SCENES, [("feed-sack", "ties")] * 20, "s", NOW)
    assert (chosen.target, "come back" in chosen.why) == ("wheel", True)


def test_reviews_of_a_learner_who_knows_all_are_even() -> None:
    """Over a hundred problems every skill comes back within twice the distance."""
    occasions = [Occasion(skill, RIGHT, 1, NOW) for skill in SKILLS for _ in range(6)]
    past = [("feed-sack", "hanging")]
    for number in range(2, 102):
        chosen = choose(standings(occasions), SCENES, past, "even", NOW)
        past.append((chosen.scene, chosen.target))
        occasions += [Occasion(skill, RIGHT, number, NOW) for skill in SCENES[chosen.scene]]
    for skill in TARGETS:
        places = [0, *(i for i, (scene, _) in enumerate(past, 1) if skill in SCENES.get(scene, ())), len(past)]
        assert max(b - a for a, b in pairwise(places)) <= 2 * EVERY_PROBLEMS


@given(
    st.fixed_dictionaries({n: st.floats(0, 1) for n in SKILLS}),
    st.lists(st.tuples(st.sampled_from(sorted(SCENES)), st.sampled_from(TARGETS)), max_size=9),
    st.text(max_size=8),
)
def test_a_choice_is_always_possible_and_repeatable(p: Mapping[str, float], past: list[tuple[str, str]], seed: str) -> None:
    """For any state of knowledge: a shipped scene that takes the target, not one of the last, and the same one every time."""
    known = {n: Standing(n, x, 1, 1, NOW) for n, x in p.items()}
    chosen = choose(known, SCENES, past, seed, NOW)
    assert chosen == choose(known, SCENES, past, seed, NOW)
    assert chosen.target in SCENES[chosen.scene]
    assert not past or chosen.scene != past[-1][0]


def test_without_scenes_nothing_can_be_chosen() -> None:
    """It says so."""
    with pytest.raises(PluswayError, match="no scene"):
        choose(standing(), {}, [], "s", NOW)


def test_a_skill_of_a_later_version_is_passed_over() -> None:
    """A file from another version still counts for the skills that are known here."""
    assert standings([Occasion("juggling", RIGHT, 1, NOW)]) == standings([])
    assert standings([Occasion("slope", WRONG, 1, NOW)])["slope"].seen == 1


@pytest.mark.slow
def test_practice_finds_what_200_simulated_learners_know() -> None:
    """After a few problems most skills that were seen are told rightly; with learning, nearly all, and hardly any false hope."""
    fixed = {f.problems: f for f in simulate(200, SCENES)}
    learning = {f.problems: f for f in simulate(200, SCENES, learning=True)}
    print(table(list(fixed.values())))
    assert fixed[12].right > 0.88
    assert fixed[12].false_hopes < 0.2
    assert learning[24].right > 0.97
    assert learning[24].unseen < 0.02 * 200 * len(SKILLS)
    assert learning[24].false_hopes < 0.03


def test_the_simulation_can_fail() -> None:
    """A learner of whom nothing is seen is not found out: the measure is not always high."""
    found = simulate(40, {"feed-sack": frozenset({"hanging"})}, stops=(1,))
    assert found[0].unseen == 40 * (len(SKILLS) - 1)
    assert found[0].right < 1


def test_the_plot_of_simulated_learners_is_drawn_and_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One command prints the tables, draws the plot, and says all its numbers in words."""
    assert main(["--learners", "3", "--plot", str(tmp_path / "learners.png")]) == 0
    printed = capsys.readouterr().out
    assert (tmp_path / "learners.png").read_bytes().startswith(b"\x89PNG")
    assert printed.count("| problems |") == 2
    found = {learning: simulate(3, SCENES, learning=learning) for learning in (False, True)}
    words = said(found, 3)
    assert words in printed
    for course in found.values():
        for f in course:
            assert f"after {f.problems}: {f.right:.1%} right" in words
