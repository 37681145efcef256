"""README and DEVELOPERS.md say all there is, and what they show is true."""

from __future__ import annotations

import argparse
import ast
import json
import re
import shlex
import subprocess
from collections.abc import Callable, Mapping
from dataclasses import asdict, fields
from pathlib import Path

import pytest

from plusway.autograde.judging import SLIPS
from plusway.autograde.judging.scheme import NOTES, Scheme
from plusway.autograde.languages import LANGUAGES
from plusway.autograde.marking.overrides import KEYS as OVERRIDE_KEYS
from plusway.autograde.marking.overrides import load_overrides
from plusway.autograde.records.journal import SUFFIX
from plusway.autograde.scene import load_text
from plusway.autograde.scene.scene_keys import scene_keys
from plusway.lessons.command import build_parser, verb_names
from plusway.widgets import Problem
from plusway.widgets.settings import Settings


@pytest.fixture(scope="module")
def readme(root: Path) -> str:
    """README.md."""
    return (root / "README.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.MULTILINE | re.DOTALL)


def options(verb: str) -> set[str]:
    """The long options of a verb, without --help."""
    for action in build_parser()._actions:
        if isinstance(action, argparse._SubParsersAction):
            found = {o for a in action.choices[verb]._actions for o in a.option_strings}
            return {o for o in found if o.startswith("--")} - {"--help", "--json"}
    raise AssertionError("the command has no verbs")


@pytest.mark.parametrize("verb", verb_names())
def test_every_verb_and_option_is_in_the_readme(verb: str, readme: str) -> None:
    """The row of a verb in the table of commands names each of its options, and no other."""
    row = re.search(rf"^\| `plusway {verb}`.*$", readme, re.MULTILINE)
    assert row
    assert set(re.findall(r"--[a-z-]+", row[0])) == options(verb)


def test_every_slip_is_in_the_readme(readme: str) -> None:
    """The table of slips is the judge's own, word for word."""
    rows = dict(re.findall(r"^\| `([a-z-]+)` \| (.*?) \|$", readme.partition("| slip |")[2].partition("\n\n")[0], re.MULTILINE))
    assert rows == {kind: slip.means for kind, slip in SLIPS.items()}


def test_every_key_of_a_scene_is_in_the_readme(readme: str) -> None:
    """The table of keys is the loader's own, word for word."""
    table = readme.partition("| key | what it holds |")[2].partition("\n\n")[0]
    assert dict(re.findall(r"^\| `([^`]+)` \| (.*?) \|$", table, re.MULTILINE)) == scene_keys()


def test_every_key_of_a_scheme_is_in_the_readme(readme: str) -> None:
    """The table of points has each key, what it is worth unless said and what for, word for word."""
    table = readme.partition("| key | points | |")[2].partition("\n\n")[0]
    rows = {key: (float(points), means) for key, points, means in re.findall(r"^\| `(\w+)` \| (\S+) \| (.*?) \|$", table, re.MULTILINE)}
    assert rows == {key: (points, NOTES[key]) for key, points in asdict(Scheme()).items()}


def test_every_setting_of_a_lesson_is_in_the_readme(readme: str) -> None:
    """The table of settings has each of them, and no other."""
    table = readme.partition("| setting | what it does |")[2].partition("\n\n")[0]
    assert re.findall(r"^\| `(\w+)` \|", table, re.MULTILINE) == [field.name for field in fields(Settings)]


def test_every_language_of_numbers_is_in_the_readme(readme: str) -> None:
    """The row of the setting names the code of each."""
    row = re.search(r"^\| `language` \| .*$", readme, re.MULTILINE)
    assert row
    assert set(re.findall(r"\b[a-z]{2}\b(?=,| or | \(|\.)", row[0].partition(":")[2].partition(".")[0] + ".")) == set(LANGUAGES)


def test_every_key_of_an_override_is_in_the_readme(readme: str) -> None:
    """The sentence before the example names each of them."""
    sentence = readme.partition("A file of overrides holds")[2].partition("only")[0]
    assert re.findall(r"`(\w+)`", sentence) == list(OVERRIDE_KEYS)


def test_where_answers_live_and_how_plusway_is_installed_is_in_the_readme(readme: str) -> None:
    """The journal by its name, the notebook's metadata, and the extras that pip can be asked for."""
    assert f"`NAME{SUFFIX}`" in readme
    assert "`pip install .`" in readme
    assert set(re.findall(r'"\.\[(\w+)\]"', readme)) == {"print", "cluster", "lab"}


def test_every_variable_of_the_environment_is_in_a_page(trees: Mapping[str, ast.Module], readme: str, root: Path) -> None:
    """What the package and the tests read from the environment under plusway's name is explained."""
    scripts = [file.read_text(encoding="utf-8") for file in [*(root / "tests").rglob("*.py"), root / "tests" / "run"]]
    text = "".join([*map(ast.unparse, trees.values()), *scripts])
    pages = readme + (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert {name for name in re.findall(r"\bPLUSWAY_[A-Z]+\b", text) if f"`{name}" not in pages} == set()


def test_the_scene_in_the_readme_is_a_scene(readme: str) -> None:
    """It loads, and asks for a and T."""
    (scene,) = [text for text in blocks(readme, "toml") if "[bodies." in text]
    assert load_text(scene, name="readme", file="README.md").asked == ("a", "T")


def test_the_override_in_the_readme_is_one(readme: str, tmp_path: Path) -> None:
    """It is read as it stands, and sets every key but the student's."""
    (text,) = [text for text in blocks(readme, "toml") if "[[override]]" in text]
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    (override,) = load_overrides(tmp_path / "mine.toml")
    assert set(override.to_json()) == set(OVERRIDE_KEYS) - {"student"}


def test_what_the_readme_shows_of_a_command_is_what_it_prints(
    readme: str, plusway: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    """Each `$ plusway …` is run beside the README's own answers file; a line with … stands for any lines."""
    (answers,) = blocks(readme, "json")
    (tmp_path / "answers.json").write_text(answers, encoding="utf-8")
    shown = [part.partition("\n") for block in blocks(readme, "console") for part in block.split("$ ")[1:]]
    assert shown
    for command, _, stated in shown:
        done = plusway(*shlex.split(command)[1:])
        assert done.returncode == 0, done.stderr
        pattern = ".*?".join(re.escape(part) for part in stated.strip("\n").split("…"))
        assert re.fullmatch(pattern, done.stdout.strip("\n"), re.DOTALL), f"{command} prints\n{done.stdout}"


def test_the_answers_in_the_readme_can_be_judged(
    readme: str, plusway: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    """The one slip that stands in them is found where the README says."""
    for text in blocks(readme, "json"):
        done = plusway("judge", "-", "--json", input=text)
        assert done.returncode == 0, done.stderr
        slips = [(s["item"], slip["kind"]) for s in json.loads(done.stdout)["steps"] for slip in s["slips"]]
        assert slips == [("sack", "flipped-force")]


def test_what_the_readme_shows_of_python_runs(readme: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each `Problem(…)` in the text gives something to show."""
    monkeypatch.chdir(tmp_path)
    shown = re.findall(r"`(Problem\([^`]+)`", readme)
    assert shown
    assert [code for code in shown if eval(code, {"Problem": Problem}) is None] == []


@pytest.mark.clone
def test_the_two_commands_are_there(readme: str, root: Path) -> None:
    """The README's two commands are scripts of this clone."""
    commands = [shlex.split(line.split("#")[0]) for line in blocks(readme, "sh")[0].splitlines()]
    assert [command[0] for command in commands] == ["python3", "python3"]
    assert all((root / command[1]).is_file() for command in commands)


def _shown_commands(text: str) -> list[str]:
    """Every `plusway …` that a page shows as code, options and all."""
    return sorted({c for c in re.findall(r"`(plusway [^`]+)`", text) if "…" not in c and not c.isupper()})


def test_every_command_that_is_shown_can_be_given(readme: str, root: Path) -> None:
    """Each `plusway …` in README.md and DEVELOPERS.md is accepted by the command line."""
    pages = readme + (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    parser = build_parser()
    for command in _shown_commands(pages):
        words = shlex.split(command)[1:]
        if words[0] == "VERB" or words == ["--help"]:
            continue
        if len(words) == 1 or words[1].isupper():  # a verb by its name alone, or with a placeholder
            assert words[0] in verb_names(), command
            continue
        parser.parse_args(words)


@pytest.mark.clone
def test_no_page_names_a_file_that_is_gone(root: Path, readme: str) -> None:
    """Links and paths in the two pages lead somewhere."""
    pages = readme + (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    links = re.findall(r"\]\(([^)#:]+)\)", pages)
    paths = re.findall(r"`((?:lessons|widgets|autograde|tests)/[\w./-]*)`", pages)
    assert [p for p in [*links, *paths] if not (root / p).exists()] == []
