"""No file, however large, deep or broken, gets anything out of the loader but a scene or one line of complaint."""



from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.scene import Scene, SceneError, load, load_text

ASK = '[ask]\nvalues = ["a"]\n'


def row(count: int) -> str:
    """A row of towed bodies, drawn by an outside force."""
    bodies = "".join(f'[bodies.b{i}]\nindex = {i}\nmass = "{i} kg"\nmoves = "level"\n' for i in range(1, count + 1))
    ropes = "".join(
        f'[[ropes]]\nsymbol = "T_{i}"\npulls = [["b{i}", "right"], ["b{i + 1}", "left"]]\n' for i in range(1, count)
    )
    force = f'[[forces]]\nsymbol = "F"\non = "b{count}"\ndirection = "right"\nsize = "9 N"\n'
    return 'title = "x"\n' + bodies + ropes + force + ASK


# (what it is, text, fragment of the message)
HOSTILE: list[tuple[str, str, str]] = [
    ("lists nested a thousandfold", "x = " + "[" * 5000 + "]" * 5000, "nested too deeply"),
    ("tables nested a thousandfold", "x = " + "{a=" * 5000 + "1" + "}" * 5000, "nested too deeply"),
    ("a key of ten thousand parts", "a" + ".a" * 10_000 + " = 1", "too many dotted parts"),
    ("a table of a hundred parts", "[a" + ".a" * 100 + "]", "too many dotted parts"),
    ("ten thousand bodies", "".join(f"[bodies.b{i}]\n" for i in range(10_000)), "at most 250"),
    ("ten thousand wheels", "".join(f"[wheels.b{i}]\n" for i in range(10_000)), "at most 250"),
    ("ten thousand ropes", "[[ropes]]\n" * 10_000, "at most 500"),
    ("251 bodies in a row", row(251), "251 things; at most 250"),
    ("2000 strands", row(2) + '[[ropes]]\nsymbol = "S"\npulls = [' + '["b1", "right"],' * 2000 + "]\n", "2002 strands in all"),
    ("300 KB of comment", "#" * 300_000, "larger than 256 KB"),
    ("a name with a line break", '[bodies."a\\nb"]\nmass = "1 kg"\nmoves = "level"\n', "is not a name"),
    ("a name with a terminal's control characters", '[bodies."a\\u001b[31m"]\nmass = "1 kg"\n', "is not a name"),
    ("a name of ten thousand letters", f'[bodies.{"a" * 10_000}]\nmass = "1 kg"\nmoves = "level"\n', "is not a name"),
    ("a value of ten thousand letters", f'[bodies.a]\nmass = "{"9" * 10_000}"\nmoves = "level"\n', "too long"),
    ("a symbol of ten thousand letters", f'[[ropes]]\nsymbol = "{"T" * 10_000}"\npulls = []\n', "is not a symbol"),
    ("a number of four thousand digits", f'[bodies.a]\nmass = {"9" * 4000}\nmoves = "level"\n', "too long"),
    ("a number of three hundred digits as a coefficient",
     f'[bodies.a]\nmass = "1 kg"\nmoves = "level"\nfriction = {{ kinetic = 0.{"3" * 150} }}\n', "more than 18 digits"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), [c[1:] for c in HOSTILE], ids=[c[0] for c in HOSTILE])
def test_a_hostile_file_is_refused_in_one_short_line(text: str, says: str) -> None:
    """The message is one line that a terminal can bear."""
    with pytest.raises(SceneError) as caught:
        load_text(text if "[ask]" in text or text.startswith(("x", "a", "[a")) else 'title = "x"\n' + text + ASK)
    assert says in str(caught.value)
    assert len(str(caught.value)) < 900
    assert str(caught.value).isprintable()


def test_a_row_of_200_bodies_loads() -> None:
    """The limit leaves room for long rows."""
    assert len(load_text(row(200)).bodies) == 200


def test_a_loop_of_ropes_is_no_fault_of_the_file() -> None:
    """A rope that comes back to where it began is a matter for mechanics; the file is well formed."""
    scene = load_text(row(3) + '[[ropes]]\nsymbol = "S"\npulls = [["b3", "right"], ["b1", "left"]]\n')
    assert "S" in scene.symbols


def test_a_missing_file_says_so(tmp_path: Path) -> None:
    """The path is named."""
    with pytest.raises(SceneError, match=r"nothing\.toml: there is no such file"):
        load(tmp_path / "nothing.toml")


def test_a_folder_says_so(tmp_path: Path) -> None:
    """A folder in the place of a file is told apart."""
    with pytest.raises(SceneError, match="is a folder"):
        load(tmp_path)


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    """What is not a regular file is refused before it is opened."""
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(SceneError, match="not a regular file"):
        load(tmp_path / "pipe.toml")


def test_a_path_with_a_null_character_is_refused() -> None:
    """No path makes the loader fall over."""
    with pytest.raises(SceneError):
        load("a\0b.toml")


def test_a_file_that_is_not_utf_8_names_the_line(tmp_path: Path) -> None:
    """The line of the first wrong byte is told."""
    (tmp_path / "latin.toml").write_bytes(b'title = "x"\nstory = "Gr\xfc\xdfe"\n')
    with pytest.raises(SceneError, match=r"latin\.toml, line 2: is not UTF-8"):
        load(tmp_path / "latin.toml")


def test_a_byte_order_mark_does_no_harm(tmp_path: Path, good: str) -> None:
    """Some editors put one at the start of a file."""
    (tmp_path / "marked.toml").write_bytes(b"\xef\xbb\xbf" + good.encode())
    assert load(tmp_path / "marked.toml").name == "marked"


def test_windows_line_ends_do_no_harm(tmp_path: Path, good: str) -> None:
    """The same scene, whatever ends the lines."""
    (tmp_path / "crlf.toml").write_bytes(good.replace("\n", "\r\n").encode())
    assert load_text(good).digest == load(tmp_path / "crlf.toml").digest


def loads_or_complains(text: str) -> None:
    try:
        outcome: Scene | str = load_text(text)
    except SceneError as error:
        outcome = str(error)
    assert isinstance(outcome, Scene) or outcome.isprintable()


@given(st.text(max_size=300))
def test_any_text_loads_or_complains(text: str) -> None:
    """Whatever characters come."""
    loads_or_complains(text)


@given(st.binary(max_size=300))
def test_any_bytes_load_or_complain(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    """Whatever bytes a file holds."""
    file = tmp_path_factory.getbasetemp() / "any.toml"
    file.write_bytes(data)
    try:
        outcome: Scene | str = load(file)
    except SceneError as error:
        outcome = str(error)
    assert isinstance(outcome, Scene) or outcome.isprintable()


WORDS = st.sampled_from(
    ["[bodies.a]", "[bodies.b]", "[wheels.w]", "[[ropes]]", "[[contacts]]", "[[rolling]]", "[[forces]]", "[ask]",
     "[ask.motion]", "mass", "moves", "index", "angle", "friction", "symbol", "pulls", "pushes", "on", "size", "direction",
     "body", "wheel", "radius", "inertia", "values", "distance", "g", "title", "rests_on", "starts", "acceleration"]
)  # fmt: skip
VALUES = st.sampled_from(
    ['"1 kg"', '"0 kg"', '"level"', '"slope"', '"vertical"', "1", "0.3", "{}", "[]", '[["a", "up"]]', '["a", "T"]', '"a"',
     '"T"', '"N"', '"30 deg"', '"2 N m"', '"2 N"', "nan", "-inf", "true", "{ kinetic = 0.2 }", '["up", "1 m/s"]', '"w"',
     '"1 m"', "1979-05-27", "[[[]]]", '"right"', '"kg m^2"', '"1 kg m^2"', "0xff", '"\\u0000"']
)  # fmt: skip
LINES = st.one_of(WORDS, st.builds(lambda k, v: f"{k.strip('[]')} = {v}", WORDS, VALUES))


@given(st.lists(LINES, max_size=25))
def test_any_jumble_of_keys_loads_or_complains(lines: list[str]) -> None:
    """Lines of real keys and values in any order."""
    loads_or_complains("\n".join(lines))


@given(st.data())
def test_a_good_file_with_one_value_changed_loads_or_complains(good: str, data: st.DataObject) -> None:
    """A value of any kind in the place of the right one."""
    lines = good.split("\n")
    places = [i for i, line in enumerate(lines) if " = " in line]
    i = data.draw(st.sampled_from(places))
    lines[i] = lines[i].split(" = ")[0] + " = " + data.draw(VALUES)
    loads_or_complains("\n".join(lines))
