"""Every way to get a scene file wrong ends in one line that names the key, what was found and what would do."""



from __future__ import annotations

import pytest

from plusway.autograde.scene import SceneError, load_text

SLOPE = 'moves = "slope"\nangle = "30 deg"'
LEVEL = 'moves = "level"'
STONE = '[bodies.stone]\nindex = 2\nmass = "5.5 kg"\nmoves = "vertical"\n'
ASK = "[ask]\n"

# (what is wrong, text replaced, its replacement, key path, fragment of the message)
BENT: list[tuple[str, str, str, str, str]] = [
    ("a line of motion that there is none of", LEVEL, 'moves = "flat"', "bodies.sledge.moves", "'flat' is not one of vertical, level, slope"),
    ("a misspelt line of motion", LEVEL, 'moves = "levle"', "bodies.sledge.moves", "did you mean 'level'?"),
    ("a line of motion that is a number", LEVEL, "moves = 3", "bodies.sledge.moves", "3 is not one of vertical, level, slope"),
    ("no line of motion", LEVEL, "", "bodies.sledge.moves", "missing"),
    ("a slope without an angle", LEVEL, 'moves = "slope"', "bodies.sledge.angle", "missing"),
    ("a level body with an angle", LEVEL, LEVEL + '\nangle = "3 deg"', "bodies.sledge.angle", "only for moves = \"slope\""),
    ("a slope steeper than upright", LEVEL, 'moves = "slope"\nangle = "95 deg"', "bodies.sledge.angle", "0 to 90"),
    ("a slope below level", LEVEL, 'moves = "slope"\nangle = "-5 deg"', "bodies.sledge.angle", "0 to 90"),
    ("an angle in radians", LEVEL, 'moves = "slope"\nangle = "0.5 rad"', "bodies.sledge.angle", "in degrees"),
    ("an angle without a unit", LEVEL, 'moves = "slope"\nangle = "30"', "bodies.sledge.angle", "has no unit"),
    ("an angle in a length's unit", LEVEL, 'moves = "slope"\nangle = "30 m"', "bodies.sledge.angle", "is not a unit of an angle"),
    ("a mass without a unit", '"14 kg"', '"14"', "bodies.sledge.mass", "has no unit; write it like \"6.5 kg\""),
    ("a mass as a bare number", '"14 kg"', "14", "bodies.sledge.mass", "has no unit"),
    ("a mass as a bare decimal", '"14 kg"', "14.5", "bodies.sledge.mass", "has no unit"),
    ("a mass in another quantity's unit", '"14 kg"', '"14 N"', "bodies.sledge.mass", "'N' is not a unit of a mass; use kg, g"),
    ("a misspelt unit", '"14 kg"', '"14 kgs"', "bodies.sledge.mass", "did you mean 'kg'?"),
    ("a negative mass", '"14 kg"', '"-14 kg"', "bodies.sledge.mass", "can't be negative"),
    ("a mass of zero on a body with one rope", '"14 kg"', '"0 kg"', "bodies.sledge.mass", "zero only for a massless movable pulley"),
    ("a mass that is not a number", '"14 kg"', '"nan kg"', "bodies.sledge.mass", "not a finite number"),
    ("a mass that is infinite", '"14 kg"', '"inf kg"', "bodies.sledge.mass", "not a finite number"),
    ("a mass of TOML's own nan", '"14 kg"', "nan", "bodies.sledge.mass", "not a finite number"),
    ("a mass of too many digits", '"14 kg"', '"1234567890123456789 kg"', "bodies.sledge.mass", "more than 18 digits"),
    ("a mass with a huge exponent", '"14 kg"', '"1e400 kg"', "bodies.sledge.mass", "exponent beyond 30"),
    ("a mass with a tiny exponent", '"14 kg"', '"1e-31 kg"', "bodies.sledge.mass", "exponent beyond 30"),
    ("a mass that is a word", '"14 kg"', '"heavy"', "bodies.sledge.mass", "does not start with a number"),
    ("a mass that is a list", '"14 kg"', '["14 kg"]', "bodies.sledge.mass", "a list is not a quantity"),
    ("a mass that is a truth value", '"14 kg"', "true", "bodies.sledge.mass", "true is not a quantity"),
    ("a mass with a decimal comma", '"14 kg"', '"14,5 kg"', "bodies.sledge.mass", "decimal_comma = true"),
    ("a mass with two points", '"14 kg"', '"1.4.5 kg"', "bodies.sledge.mass", "does not start with a number"),
    ("a mass missing", 'mass = "14 kg"\n', "", "bodies.sledge.mass", 'missing. Mass, like "6.5 kg"'),
    ("a misspelt key", 'mass = "14 kg"', 'mas = "14 kg"', "bodies.sledge.mas", "did you mean 'mass'?"),
    ("a key that there is none of", 'index = 1', 'index = 1\ncolour = "red"', "bodies.sledge.colour", "there is no such key; use one of index, mass"),
    ("a key of the file that there is none of", 'g = "9.8 m/s^2"', 'gravity = "9.8 m/s^2"', "gravity", "there is no such key"),
    ("an index that is text", "index = 1", 'index = "1"', "bodies.sledge.index", "'1' is not an index; write a whole number"),
    ("an index below one", "index = 1", "index = 0", "bodies.sledge.index", "from 1 to 999"),
    ("an index that is huge", "index = 1", "index = 100000000000000000000000", "bodies.sledge.index", "is not an index"),
    ("the same index twice", "index = 2", "index = 1", "bodies.stone.index", "sledge has the index 1 already"),
    ("several bodies and one without index", "index = 2\n", "", "bodies.stone.index", "with several bodies each needs one"),
    ("friction on a body that moves vertically", STONE, STONE + "friction = { kinetic = 0.1 }\n", "bodies.stone.friction", "moves vertically"),
    ("negative friction", "kinetic = 0.2", "kinetic = -0.2", "bodies.sledge.friction.kinetic", "can't be negative"),
    ("static friction less than kinetic", "static = 0.3", "static = 0.1", "bodies.sledge.friction.static", "0.1 is less than kinetic 0.2"),
    ("a coefficient with a unit", "kinetic = 0.2", 'kinetic = "0.2 N"', "bodies.sledge.friction.kinetic", "has no unit"),
    ("a coefficient that is not a number", "kinetic = 0.2", "kinetic = nan", "bodies.sledge.friction.kinetic", "not a finite number"),
    ("friction as a number", "friction = { kinetic = 0.2, static = 0.3 }", "friction = 0.2", "bodies.sledge.friction", "is not a table; write friction = { kinetic = 0.2 }"),
    ("a misspelt coefficient", "kinetic = 0.2", "kinetik = 0.2", "bodies.sledge.friction.kinetik", "did you mean 'kinetic'?"),
    ("a given acceleration along no direction of the body", "index = 2", 'index = 2\nacceleration = ["left", "1 m/s^2"]', "bodies.stone.acceleration", "use up or down"),
    ("a given acceleration that is negative", "index = 2", 'index = 2\nacceleration = ["up", "-1 m/s^2"]', "bodies.stone.acceleration", 'write "down" with the size'),
    ("a given acceleration without direction", "index = 2", 'index = 2\nacceleration = "1 m/s^2"', "bodies.stone.acceleration", '["up", "1.5 m/s^2"]'),
    ("a given acceleration in a speed's unit", "index = 2", 'index = 2\nacceleration = ["up", "1 m/s"]', "bodies.stone.acceleration", "did you mean 'm/s^2'?"),
    ("a starting speed along no direction of the body", "index = 2", 'index = 2\nstarts = ["right", "1 m/s"]', "bodies.stone.starts", "use up or down"),
    ("a starting speed in metres", "index = 2", 'index = 2\nstarts = ["up", "1 m"]', "bodies.stone.starts", "is not a unit of a speed"),
    ("a body on a body that there is none of", "index = 1", 'index = 1\nrests_on = "sledg"', "bodies.sledge.rests_on", "no body is named 'sledg'"),
    ("a level body on a hanging one", "index = 1", 'index = 1\nrests_on = "stone"', "bodies.sledge.rests_on", "must move along the same line"),
    ("a hanging body on another", "index = 2", 'index = 2\nrests_on = "sledge"', "bodies.stone.rests_on", "moves vertically"),
    ("a body that rests on itself", "index = 1", 'index = 1\nrests_on = "sledge"', "bodies.sledge.rests_on", "one of them must rest on the ground"),
    ("a wheel without a radius", 'radius = "0.12 m"\n', "", "wheels.drum.radius", "missing"),
    ("a wheel with a negative radius", '"0.12 m"', '"-0.12 m"', "wheels.drum.radius", "must be more than zero"),
    ("a wheel with a radius of zero", '"0.12 m"', '"0 m"', "wheels.drum.radius", "must be more than zero"),
    ("a wheel with neither inertia nor mass", 'inertia = "0.03 kg m^2"\n', "", "wheels.drum", "needs inertia"),
    ("a wheel with both inertia and mass", 'inertia = "0.03 kg m^2"', 'inertia = "0.03 kg m^2"\nmass = "4 kg"\nshape = "disk"', "wheels.drum", "both"),
    ("a wheel with a mass and no shape", 'inertia = "0.03 kg m^2"', 'mass = "4 kg"', "wheels.drum", "shape is missing"),
    ("a wheel with a shape and no mass", 'inertia = "0.03 kg m^2"', 'shape = "disk"', "wheels.drum", "mass is missing"),
    ("a shape that there is none of", 'inertia = "0.03 kg m^2"', 'mass = "4 kg"\nshape = "disc"', "wheels.drum.shape", "did you mean 'disk'?"),
    ("a wheel's mass of zero", 'inertia = "0.03 kg m^2"', 'mass = "0 kg"\nshape = "disk"', "wheels.drum.mass", "more than zero"),
    ("an inertia of zero", '"0.03 kg m^2"', '"0 kg m^2"', "wheels.drum.inertia", "more than zero"),
    ("an inertia in a mass's unit", '"0.03 kg m^2"', '"0.03 kg m"', "wheels.drum.inertia", "did you mean 'kg m^2'?"),
    ("a drag below zero", 'radius = "0.12 m"', 'radius = "0.12 m"\ndrag = "-1 N m"', "wheels.drum.drag", "can't be negative"),
    ("a drag in newtons", 'radius = "0.12 m"', 'radius = "0.12 m"\ndrag = "1 N"', "wheels.drum.drag", "is not a unit of a torque"),
    ("a wheel that moves", 'radius = "0.12 m"', 'radius = "0.12 m"\nmoves = "level"', "wheels.drum.moves", "there is no such key"),
    ("a wheel with a body's name", "[wheels.drum]", "[wheels.stone]", "wheels.stone", "a body named stone too"),
    ("a strand on a thing that there is none of", '["stone", "up"]', '["stoen", "up"]', "ropes[1].pulls[0]", "nothing is named 'stoen'; there is sledge, stone, drum; did you mean 'stone'?"),
    ("a strand along no direction of the thing", '["stone", "up"]', '["stone", "right"]', "ropes[1].pulls[0]", "'right' is no direction of stone, which moves vertically; use up or down"),
    ("a strand on a wheel along a body's direction", '"counterclockwise"', '"up"', "ropes[0].pulls[1]", "is a wheel; use clockwise or counterclockwise"),
    ("a direction word that there is none of", '["stone", "up"]', '["stone", "upwards"]', "ropes[1].pulls[0]", "did you mean 'up'?"),
    ("a strand without a direction", '["stone", "up"]', '["stone"]', "ropes[1].pulls[0]", "is not a strand"),
    ("a strand that is a word", '["stone", "up"]', '"stone"', "ropes[1].pulls[0]", "is not a strand"),
    ("a strand's radius on a body", '["stone", "up"]', '["stone", "up", "0.1 m"]', "ropes[1].pulls[0]", "a radius only goes with a wheel"),
    ("a strand's radius of zero", '"drum", "clockwise"', '"drum", "clockwise", "0 m"', "ropes[1].pulls[1]", "more than zero"),
    ("a strand's radius without a unit", '"drum", "clockwise"', '"drum", "clockwise", 0.05', "ropes[1].pulls[1]", "has no unit"),
    ("a rope with no pulls", '[["stone", "up"], ["drum", "clockwise"]]', "[]", "ropes[1].pulls", "empty"),
    ("a rope without pulls", 'pulls = [["stone", "up"], ["drum", "clockwise"]]', "", "ropes[1].pulls", "missing"),
    ("a rope without a symbol", 'symbol = "T_2"\n', "", "ropes[1].symbol", "missing"),
    ("two ropes of one symbol", '"T_2"', '"T_1"', "ropes[1].symbol", "two ropes are both called T_1; give each its own symbol"),
    ("one rope on both sides of a wheel", '["sledge", "right"], ', '["sledge", "right"], ["drum", "clockwise"], ', "ropes[0].pulls[2]", "a wheel with inertia has a rope on each side"),
    ("a word for a direction that other books have", '"counterclockwise"', '"anticlockwise"', "ropes[0].pulls[1]", "did you mean 'counterclockwise'?"),
    ("a word for the level that other books have", LEVEL, 'moves = "horizontal"', "bodies.sledge.moves", "did you mean 'level'?"),
    ("a body in double brackets", "[bodies.stone]", "[[bodies.stone]]", "bodies.stone", "write [bodies.stone] with single brackets"),
    ("a body without its first word", "[bodies.stone]", "[stone]", "stone", "a body is written [bodies.stone]"),
    ("nothing asked at all", ASK, "[forgotten]\n", "forgotten", "there is no such key"),
    ("two symbols that differ only in how the index is written", '"T_2"', '"T1"', "ropes[1].symbol", "both called T_1"),
    ("a rope with a mass's letter", '"T_2"', '"m_1"', "ropes[1].symbol", "'m_1' for a tension and 'm_1' for the mass of sledge can't be told apart"),
    ("a rope called g", '"T_2"', '"g"', "ropes[1].symbol", "acceleration of free fall"),
    ("a force called a", 'symbol = "F"', 'symbol = "a"', "forces[0].symbol", "can't be told apart"),
    ("a force called e", 'symbol = "F"', 'symbol = "e"', "forces[0].symbol", "the number e"),
    ("a force called pi", 'symbol = "F"', 'symbol = "π"', "forces[0].symbol", "the number pi"),
    ("a force with the wheel's letter", 'symbol = "F"', 'symbol = "R"', "forces[0].symbol", "the radius of drum"),
    ("a force called N beside a normal force N_1", 'symbol = "F"', 'symbol = "N"', "forces[0].symbol", "without the index"),
    ("a symbol of several letters", 'symbol = "F"', 'symbol = "Fan"', "forces[0].symbol", "is not a symbol"),
    ("a symbol that is empty", 'symbol = "F"', 'symbol = ""', "forces[0].symbol", "is not a symbol"),
    ("a symbol with an operator in it", 'symbol = "F"', 'symbol = "F+1"', "forces[0].symbol", "is not a symbol"),
    ("a force on nothing", 'on = "sledge"', 'on = "slege"', "forces[0].on", "did you mean 'sledge'?"),
    ("a force along no direction of the thing", 'direction = "right"', 'direction = "up"', "forces[0].direction", "use right or left"),
    ("a negative force", '"4 N"', '"-4 N"', "forces[0].size", "turn the direction round"),
    ("a force without a unit", '"4 N"', '"4"', "forces[0].size", "has no unit"),
    ("a torque on a body", '"4 N"', '"4 N m"', "forces[0].size", "is a torque, and sledge is a body"),
    ("a force tilted too far", '"4 N"', '"4 N"\nangle = "120 deg"', "forces[0].angle", "-90 to 90"),
    ("a tilted force on a hanging body", 'on = "sledge"\ndirection = "right"', 'on = "stone"\ndirection = "up"\nangle = "10 deg"', "forces[0].angle", "no surface"),
    ("a tilted force on a wheel", 'on = "sledge"\ndirection = "right"', 'on = "drum"\ndirection = "clockwise"\nangle = "10 deg"', "forces[0].angle", "is a wheel"),
    ("a rolling body that there is none of", ASK, '[[rolling]]\nbody = "sledg"\nwheel = "drum"\nsymbol = "f"\n' + ASK, "rolling[0].body", "did you mean 'sledge'?"),
    ("a rolling wheel that there is none of", ASK, '[[rolling]]\nbody = "sledge"\nwheel = "sledge"\nsymbol = "f"\n' + ASK, "rolling[0].wheel", "no wheel is named 'sledge'"),
    ("a rolling body without a surface", ASK, '[[rolling]]\nbody = "stone"\nwheel = "drum"\nsymbol = "f"\n' + ASK, "rolling[0].body", "no surface to roll on"),
    ("a contact that pushes nothing", ASK, '[[contacts]]\nsymbol = "P"\npushes = []\n' + ASK, "contacts[0].pushes", "empty"),
    ("an asked symbol that there is none of", '"T_1"]', '"T_3"]', "ask.values[1]", "'T_3' is no symbol of this scene; use some of a_1"),
    ("an asked symbol that is given", '"T_1"]', '"m_1"]', "ask.values[1]", "is given (14 kg)"),
    ("an asked symbol twice", '"T_1"]', '"a"]', "ask.values[1]", "asked twice"),
    ("a time asked without a distance", '"T_1"]', '"t"]', "ask.values[1]", "needs [ask.motion] with a distance"),
    ("a motion without a distance", ASK, "[ask.motion]\n" + ASK, "ask.motion.distance", "missing"),
    ("a distance of zero", ASK, '[ask.motion]\ndistance = "0 m"\n' + ASK, "ask.motion.distance", "more than zero"),
    ("nothing asked", '["a", "T_1"]', "[]", "ask.values", "nothing is asked"),
    ("values that are a word", '["a", "T_1"]', '"a"', "ask.values", "'a' is not a list"),
    ("no [ask] at all", '[ask]\nvalues = ["a", "T_1"]\n', "", "ask", "missing"),
    ("a g of zero", '"9.8 m/s^2"', '"0 m/s^2"', "g", "must be more than zero"),
    ("a negative g", '"9.8 m/s^2"', '"-9.8 m/s^2"', "g", "must be more than zero"),
    ("a g without a unit", '"9.8 m/s^2"', "9.8", "g", "has no unit"),
    ("no title", 'title = "Sledge and stone"', "", "title", "missing"),
    ("a title that is a number", '"Sledge and stone"', "5", "title", "5 is not text"),
    ("a story of endless length", 'g = "9.8 m/s^2"', f'story = "{"so " * 2000}"', "story", "at most 4000"),
    ("a name that is not one", "[bodies.stone]", '[bodies."1 stone"]', "bodies.1 stone", "is not a name"),
    ("a notation for something that has none", 'g = "9.8 m/s^2"', 'notation = { weigth = "F_g" }', "notation.weigth", "did you mean 'weight'?"),
    ("a notation that is another symbol's letter", 'g = "9.8 m/s^2"', 'notation = { normal = "a" }', "notation.normal", "would also be"),
    ("a notation that takes one letter for two", 'g = "9.8 m/s^2"', 'notation = { weight = "F_x", normal = "F_x" }', "notation.normal", "stands for weight already"),
    ("a notation that takes the normal forces' letter", 'g = "9.8 m/s^2"', 'notation = { weight = "N" }', "notation.weight", "would also be the normal force of sledge"),
    ("a notation that is no symbol", 'g = "9.8 m/s^2"', 'notation = { weight = "weight" }', "notation.weight", "is not a symbol"),
    ("a decimal_comma that is a word", 'g = "9.8 m/s^2"', 'decimal_comma = "yes"', "decimal_comma", "'yes' is not true or false"),
    ("contacts as a word", 'title = "Sledge and stone"', 'title = "x"\ncontacts = "P"', "contacts", "is not a list"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "where", "says"), [c[1:] for c in BENT], ids=[c[0] for c in BENT])
def test_one_wrong_place_is_named(good: str, old: str, new: str, where: str, says: str) -> None:
    """The message names the key path and says what would do."""
    assert old in good
    with pytest.raises(SceneError) as caught:
        load_text(good.replace(old, new, 1), name="bent", file="bent.toml")
    error = caught.value
    assert where == error.where
    assert says in error.says
    assert f"{where}: {error.says}" in str(error)
    assert str(error).startswith("bent.toml")
    assert "\n" not in str(error)


def test_the_unbent_text_is_good(good: str) -> None:
    """The text that the table bends loads, so that each case is wrong in one place only."""
    assert load_text(good, name="bent").name == "bent"


def test_the_line_of_the_key_is_named(good: str) -> None:
    """A message says in which line the key stands."""
    with pytest.raises(SceneError) as caught:
        load_text(good.replace('moves = "level"', 'moves = "flat"'), file="sledge.toml")
    assert caught.value.line == 7
    assert str(caught.value).startswith("sledge.toml, line 7: bodies.sledge.moves: 'flat' is not one of")


def test_the_line_of_a_strand_in_the_second_rope_is_named(good: str) -> None:
    """Lists of tables are counted, so that the second rope's key is found, not the first's."""
    with pytest.raises(SceneError) as caught:
        load_text(good.replace('["stone", "up"]', '["stoen", "up"]'))
    lines = good.split("\n")
    assert '["stone", "up"]' in lines[(caught.value.line or 0) - 1]


# (what is wrong, text, fragment of the message, line)
NOT_TOML: list[tuple[str, str, str, int | None]] = [
    ("a broken line", 'title = "x"\nmoves = = 3\n', "is not TOML: ", 2),
    ("a string that does not end", 'title = "x\n', "is not TOML: ", 1),
    ("a key twice", 'title = "x"\ntitle = "y"\n', "is not TOML: ", 2),
    ("a table twice", "[ask]\n[ask]\n", "is not TOML: ", 2),
    ("a list that does not end", "x = [1, 2", "at the end of the file", None),
    ("an integer of ten thousand digits", "x = " + "1" * 10_000, "far too many digits", None),
]


@pytest.mark.parametrize(("text", "says", "line"), [c[1:] for c in NOT_TOML], ids=[c[0] for c in NOT_TOML])
def test_what_is_not_toml_names_the_line(text: str, says: str, line: int | None) -> None:
    """A syntax error is told with its line, where the parser knows it."""
    with pytest.raises(SceneError) as caught:
        load_text(text, file="broken.toml")
    assert says in caught.value.says
    assert line == caught.value.line
    assert "\n" not in str(caught.value)


# (slip of the pen, the line, what would do)
PENS: list[tuple[str, str, str]] = [
    ("no quotation marks round a quantity", "mass = 5 kg", 'stand in quotation marks, like mass = "5 kg"'),
    ("no quotation marks round a word", "moves = slope", "stand in quotation marks"),
    ("curly quotation marks", "mass = “5 kg”", "use straight quotation marks"),
    ("a quotation mark that is not closed", 'mass = "5 kg', "is not closed on this line"),
    ("a colon", 'mass: "5 kg"', "write KEY = VALUE"),
    ("no equals sign", 'mass "5 kg"', "write KEY = VALUE"),
    ("a decimal comma in a bare number", "friction = { kinetic = 0,20 }", "write a decimal point"),
    ("a comment of another language", 'moves = "slope" // ramp', "a comment begins with #"),
    ("a mark at the end", 'moves = "slope";', "leave the mark at the end of the line out"),
    ("quotation marks within", 'story = "A "big" one"', "write single ones"),
    ("an apostrophe", "story = 'A teacher's'", "double quotation marks"),
    ("a key twice", 'x = "1"\nx = "2"', "this key stands twice"),
    ("a body twice", "[bodies.sack]\n[bodies.sack]", "[bodies.sack] stands twice; give each its own name"),
    ("ropes in single brackets", "[ropes]\n[ropes]", "write [[ropes]] with double brackets for each rope"),
    ("half a bracket", "ask]", "the name of a table stands in brackets, like [ask]"),
    ("a name with a space", "[bodies.heavy sack]", "a name in brackets has no spaces"),
    ("a list that is not closed", 'pulls = [["sack", "up"] ["stone", "up"]]', "a bracket ] or a comma"),
    ("a backslash", 'title = "\\Sledge"', "two backslashes"),
]


@pytest.mark.parametrize(("line", "cure"), [p[1:] for p in PENS], ids=[p[0] for p in PENS])
def test_a_slip_of_the_pen_is_told_with_its_cure(line: str, cure: str) -> None:
    """The parser's own words are for those who know TOML; what to write stands after them."""
    with pytest.raises(SceneError) as caught:
        load_text(line + "\n", file="x.toml")
    assert str(caught.value).startswith("x.toml, line ")
    assert cure in str(caught.value)


@pytest.mark.parametrize("text", ["", "# nothing\n"])
def test_an_empty_file_misses_its_title(text: str) -> None:
    """An empty file is told what a scene begins with."""
    with pytest.raises(SceneError, match="title: missing"):
        load_text(text)


def test_a_scene_without_things_is_refused() -> None:
    """Something must be able to move."""
    with pytest.raises(SceneError, match="bodies: there is nothing that can move"):
        load_text('title = "x"\n[ask]\nvalues = ["a"]\n')
