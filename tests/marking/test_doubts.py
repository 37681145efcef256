"""What a teacher has probably not meant in a scene is a note on standard error, never a refusal and never in JSON."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from plusway.autograde.scene import load_text
from plusway.lessons import catalogue
from plusway.lessons.doubts import doubts, untold

SACK = '[bodies.sack]\nindex = 1\nmass = "{}"\nmoves = "vertical"\n'
STONE = '[bodies.stone]\nindex = 2\nmass = "18 kg"\nmoves = "vertical"\n'
ROPE = '[[ropes]]\nsymbol = "T"\npulls = [["sack", "{}"], ["stone", "{}"]]\n'
ASK = '[ask]\nvalues = ["a_1"]\n'
TWO = SACK.format("6 kg") + STONE + ROPE.format("up", "up")
CRATE = '[bodies.crate]\nindex = 1\nmass = "5 kg"\n{}'
LIFT = '[bodies.lift]\nindex = 3\nmass = "400 kg"\nmoves = "vertical"\nacceleration = ["up", "1 m/s^2"]\n'
BOXES = ('[bodies.box]\nindex = 1\nmass = "5 kg"\nmoves = "level"\n[bodies.tub]\nindex = 2\nmass = "6 kg"\nmoves = "level"\n'
         '[[forces]]\nsymbol = "F"\non = "tub"\ndirection = "right"\nsize = "20 N"\n[[ropes]]\nsymbol = "T"\npulls = [["box", "right"], ["tub", "{}"]]\n')

CASES = {
    "nothing is odd": (TWO, []),
    "a gram for a kilogram": (SACK.format("4 g") + STONE + ROPE.format("up", "up"),
                              ["the sack has 4 g beside 18 kg of the stone, so it hardly matters: is the unit meant?"]),
    "twelve grams beside a few kilograms": (SACK.format("12 g") + STONE.replace("18", "5") + ROPE.format("up", "up"),
                                            ["the sack has 12 g beside 5 kg of the stone, so it hardly matters: is the unit meant?"]),
    "a massless movable pulley is no small mass": (SACK.format("6 kg") + STONE + '[bodies.block]\nindex = 3\nmass = "0 kg"\nmoves = "vertical"\n'
                                                   '[[ropes]]\nsymbol = "T_1"\npulls = [["sack", "up"], ["block", "up"], ["block", "up"]]\n'
                                                   '[[ropes]]\nsymbol = "T_2"\npulls = [["block", "down"], ["stone", "up"]]\n', []),
    "a coefficient of more than rubber's": (CRATE.format('moves = "slope"\nangle = "30 deg"\nfriction = { kinetic = 1.5, static = 1.6 }\nstarts = ["upslope", "2 m/s"]\n'), [
        "the coefficient of kinetic friction of the crate is 1.5; rubber on dry concrete has about 1",
        "the coefficient of static friction of the crate is 1.6; rubber on dry concrete has about 1"]),
    "a slope that is none": (CRATE.format('moves = "slope"\nangle = "0.5 deg"\n'),
                             ['the slope of the crate has 0.5 deg; a level or vertical line is moves = "level" or "vertical"']),
    "kilometres an hour as metres a second": (CRATE.format('moves = "slope"\nangle = "30 deg"\nstarts = ["upslope", "72 m/s"]\n'),
                                              ["the crate starts with 72 m/s: is the unit meant?"]),
    "centimetres as metres": (TWO + ASK + '[ask.motion]\ndistance = "150 m"\n',
                              ["the distance is 150 m, longer than a rope of such a machine: is the unit meant?"]),
    "g with the point forgotten": ('g = "98 m/s^2"\n' + TWO, ["g is 98 m/s^2; the Moon has 1.6 m/s^2, Jupiter 25 m/s^2"]),
    "a lift that nothing hangs from": (TWO + LIFT, [
        "the lift is driven, and nothing hangs from it, stands in it or is tied to it: it changes nothing for the others"]),
    "a body that is tied to nothing": (TWO + '[bodies.vat]\nindex = 3\nmass = "8 kg"\nmoves = "level"\n',
                                       ["the vat is tied to nothing: no rope, contact or surface joins it to the others"]),
    "a rope below what hangs on it": (SACK.format("6 kg") + STONE + ROPE.format("down", "up"),
                                      ["the rope T pulls the sack down, and nothing holds it up: is the rope above it?"]),
    "a rope that pulls everything down": (SACK.format("6 kg") + STONE + ROPE.format("down", "down"),
                                          ["the rope T pulls everything down: a rope over a pulley pulls what hangs on it up"]),
    "two bodies in a row": (BOXES.format("left"), []),
    "two bodies pulled the same way": (BOXES.format("right"), [
        "the rope T pulls both bodies to the right; a rope between two bodies pulls them towards each other"]),
    "a wheel of millimetres": (SACK.format("6 kg") + STONE + '[wheels.drum]\nradius = "0.12 mm"\ninertia = "0.03 kg m^2"\n'
                               '[[ropes]]\nsymbol = "T_1"\npulls = [["sack", "up"], ["drum", "clockwise"]]\n'
                               '[[ropes]]\nsymbol = "T_2"\npulls = [["stone", "up"], ["drum", "counterclockwise"]]\n',
                               ["the radius of the drum is 0.12 mm: is the unit meant?"]),
}


def scene_text(body: str) -> str:
    head = 'title = "T"\nstory = "S."\n'
    return head + body + ("" if "[ask]" in body else ASK)


@pytest.mark.parametrize("case", CASES)
def test_what_is_probably_not_meant_is_said_in_one_sentence(case: str) -> None:
    """For each sort of doubt a scene that has it, and its neighbours that have not."""
    text, said = CASES[case]
    assert list(doubts(load_text(scene_text(text), name="mine", file="mine.toml"))) == said


STORIES = {
    "what the scene has": ("A sack of 6 kg and a stone of eighteen kilograms.", None),
    "a mass that was changed in one place": ("A sack of 7 kg and a stone of 18 kg.", "7 kg"),
    "another unit": ("A sack of 6 g hangs beside a stone of 18 N.", "6 g, 18 N"),
    "a count, a year, a time": ("In 1920 the 2 of them hung there for 3 s, or for half a minute.", None),
}


@pytest.mark.parametrize(("story", "stray"), STORIES.values(), ids=STORIES)
def test_a_quantity_that_only_the_story_has_is_said(story: str, stray: str | None) -> None:
    """Figures of data that nobody has are most likely those of an older version of the file."""
    said = [f"the story says {stray}, which is no datum of the scene: was one of the two changed, or another unit meant?"] if stray else []
    assert list(untold(load_text(scene_text(TWO).replace("S.", story), name="mine", file="mine.toml"))) == said


@pytest.mark.parametrize("name", catalogue.names())
def test_no_scene_that_ships_is_doubted(name: str) -> None:
    """Else a teacher would learn to overlook notes."""
    scene = catalogue.find(name)
    assert [*doubts(scene), *untold(scene)] == []


@pytest.mark.parametrize("command", [["solve", "mine.toml"], ["assign", "--scene", "mine.toml", "--name", "ps1", "--dry-run"]], ids=lambda c: str(c[0]))
def test_a_note_goes_to_standard_error_only(command: list[str], tmp_path: Path, plusway: Callable[..., subprocess.CompletedProcess[str]]) -> None:
    """The work is done all the same, and JSON stays JSON."""
    (tmp_path / "mine.toml").write_text(scene_text(TWO + LIFT), encoding="utf-8")
    for more in ([], ["--json"]):
        done = plusway(*command, *more, cwd=tmp_path)
        assert done.returncode == 0
        assert done.stderr.startswith("note: ")
        assert "mine.toml: the lift is driven, and nothing hangs from it" in done.stderr
        assert done.stderr.count("\n") == 1
        assert "is driven" not in done.stdout
    assert json.loads(done.stdout)
