"""The command line answers every call in its own words: exit 0, 2 with one line, 1 only for a fault of ours."""

from __future__ import annotations

import argparse
import io
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.autograde.errors import PluswayError
from plusway.lessons import command

Run = Callable[..., "subprocess.CompletedProcess[str]"]
VERBS = command.verb_names()


def test_the_verbs_are_those_of_the_contract() -> None:
    """Eight verbs, in the order in which a newcomer meets them; what is ours beside them comes after."""
    assert VERBS[:8] == ["learn", "scenes", "solve", "judge", "vary", "assign", "mark", "report"]


@pytest.mark.parametrize("verb", VERBS)
def test_each_verb_explains_itself_with_an_example(verb: str, plusway: Run) -> None:
    """--help says what the verb does and shows a call of it, and has --json."""
    done = plusway(verb, "--help")
    assert done.returncode == 0
    assert f"plusway {verb} " in done.stdout.partition("Example")[2] or f"plusway {verb}\n" in done.stdout
    assert "--json" in done.stdout


@pytest.mark.parametrize(("arguments", "says"), [
    (["solv"], "Did you mean solve?"),
    (["frobnicate"], "The verbs are"),
    (["scenes", "--jsn"], "Did you mean --json?"),
    (["scenes", "--js"], "Did you mean --json?"),
    (["report", "marks", "--against", "theta"], "--against belongs to plusway draw."),
    (["solve", "feed-sack", "--scheme", "mine.toml"], "--scheme belongs to plusway judge and plusway assign and plusway mark and plusway sheet."),
    (["scenes", "more"], "nothing to do with 'more'"),
    (["solve"], "SCENE is missing"),
    (["solve", "no-such-scene"], "no-such-scene"),
    (["solve", "feed-sack", "--positive", "sack"], "write THING=DIRECTION"),
    (["solve", "feed-sack", "--positive", "sac=up"], "there is sack, counterweight"),
    (["solve", "feed-sack", "--positive", "sack=left"], "up or down"),
    (["solve", "feed-sack", "--positive", "sack=up", "sack=down"], "one direction"),
    (["solve", "feed-sack", "--to", "pdf"], "markdown"),
    (["judge", "no-such-file.json"], "no-such-file.json: No such file"),
    (["judge", "."], ".: Is a directory"),
    (["vary", "feed-sack", "--count", "many"], "--count"),
    (["vary", "feed-sack", "--count", "-1", "--seed", "1"], "--count"),
    (["learn", "--port", "70000"], "1 to 65535"),
    (["learn", "--folder", "/dev/null"], "this is a file, not a folder"),
])
def test_a_wrong_call_ends_in_one_line_that_says_what_to_mend(arguments: list[str], says: str, plusway: Run) -> None:
    """Exit code 2, nothing on standard output, one line on standard error."""
    done = plusway(*arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("plusway")
    assert done.stderr.count("\n") == 1
    assert says in done.stderr


@pytest.mark.parametrize(("arguments", "says"), [
    (["--against", "theta", "--upto", "120"], "--upto 120 is a value that the scene can't have, so the curves end before it: "
                                              "hay-bale-on-ramp: bodies.bale.angle: 120 deg is not from 0 to 90 deg"),
    (["--against", "m_1", "--from", "0", "--upto", "5"], "--from 0 is a value that the scene can't have"),
    (["--against", "theta", "--upto", "60"], ""),
])
def test_a_range_that_goes_too_far_is_drawn_and_told(arguments: list[str], says: str, plusway: Run) -> None:
    """What the scene can't have is said on standard error with the scene's own reason; the text and the JSON are as without it."""
    done = plusway("draw", "hay-bale-on-ramp", *arguments, "--json")
    assert (done.returncode, "note" in done.stdout) == (0, False)
    assert done.stderr.startswith(f"note: {says}") if says else done.stderr == ""


@pytest.mark.parametrize(("text", "says"), [
    ("", "line 1, column 1"),
    ('{"scene": "feed-sack",\n "results": {"a": }}', "line 2, column 19"),
    ('{"scene": NaN}', "NaN"),
    ('{"scene": "feed-sack", "results": {"a": Infinity}}', "Infinity"),
    ("[]", "expected a JSON object"),
    ("{}", '"scene"'),
    ('{"scene": 3}', '"scene" is a number'),
    ('{"scene": "no-such-scene"}', "no-such-scene"),
    ('{"scene": "feed-sack", "directions": "up"}', "directions"),
    ('{"scene": "feed-sack", "directions": {"truck": "up"}}', "truck"),
    ('{"scene": "feed-sack", "equations": ["T = 1"]}', "equations"),
    ('{"scene": "feed-sack", "working": {"1": "T = 1"}}', "working"),
    ('{"scene": "feed-sack", "results": {"a": [1]}}', "results"),
    ("[" * 100_000, "nested"),
    ('{"scene": "feed-sack", "variant": ' + "9" * 5000 + "}", "too long"),
    (" " * 2_000_001, "more than"),
    ('{"scene": "feed-sack", "scene": {}}', '"scene" is an object'),
], ids=lambda given: given[:40])
def test_unusable_answers_are_refused_in_one_line(text: str, says: str, plusway: Run) -> None:
    """The line names what was wrong and where; never a traceback."""
    done = plusway("judge", "-", input=text)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1
    assert says in done.stderr


COMMANDS = "\x1b]0;mine\x07\x1b[2J\x9b31m\r\u202e"
QUOTED = {"scene": "feed-sack", "directions": {"sack": COMMANDS}, "forces": {"sack": [[COMMANDS, "up"]]}, "equations": {"sack": f"T = {COMMANDS}"},
          "ties": [COMMANDS], "results": {COMMANDS: "1", "T": f"74 {COMMANDS}"}, "sense": [f"{COMMANDS} < T"]}
OWN_SCENE = f"""title = {json.dumps(COMMANDS)}
story = {json.dumps(COMMANDS)}
[bodies.lamp]
mass = "2 kg"
moves = "vertical"
[[forces]]
symbol = "F"
on = "lamp"
direction = "up"
size = "30 N"
[ask]
values = ["a"]
"""


@pytest.mark.parametrize(("arguments", "input"), [
    (["judge", "-"], json.dumps(QUOTED)),
    (["judge", "-", "--json"], json.dumps(QUOTED)),
    (["judge", "-"], json.dumps({"scene": "feed-sack", "equations": {COMMANDS: "T"}})),
    (["judge", "-"], json.dumps({"scene": COMMANDS})),
    (["judge", "-"], json.dumps({"scene": "feed-sack", COMMANDS: {}})),
    (["solve", "own.toml"], ""),
    (["solve", "own.toml", "--to", "markdown"], ""),
    (["vary", "own.toml", "--seed", "1"], ""),
    (["draw", "own.toml"], ""),
    (["draw", "own.toml", "--json"], ""),
    (["assign", "--scene", "own.toml", "--name", "ps1", "--course", ".", "--dry-run"], ""),
    (["solve", COMMANDS], ""),
    (["mark", COMMANDS], ""),
    ([COMMANDS], ""),
], ids=lambda given: str(given)[:30])
def test_no_text_of_anybody_s_gives_a_terminal_commands(
    arguments: list[str], input: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Escape sequences, returns and marks that turn the reading order are shown as signs, in answers, scenes, names and complaints."""
    (tmp_path / "own.toml").write_text(OWN_SCENE, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO(input))
    code = command.main(arguments)
    printed = "".join(capsys.readouterr())
    assert (code in (0, 2), bool(printed)) == (True, True)
    assert [c for c in printed if c in "\x1b\x07\x9b\r\u202e"] == []


def test_json_says_what_was_typed_character_for_character(plusway: Run) -> None:
    """The guard of the terminal changes nothing that a program reads."""
    done = plusway("judge", "-", "--json", input="\ufeff" + json.dumps(QUOTED))
    assert f"T = {COMMANDS}" in [step["text"] for step in json.loads(done.stdout)["steps"]]


def test_answers_that_are_no_text_are_refused_in_one_line(plusway: Run, tmp_path: Path) -> None:
    """A picture given as answers is named and refused."""
    (tmp_path / "answers.json").write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe")
    done = plusway("judge", "answers.json")
    assert done.returncode == 2
    assert "answers.json: not UTF-8 text" in done.stderr


class Tripping(argparse.Namespace):
    """Arguments whose verb raises what it was given."""

    def __init__(self, error: BaseException) -> None:
        def trip(_: argparse.Namespace) -> int:
            raise error

        super().__init__(func=trip)


@pytest.mark.parametrize(("error", "code", "says"), [
    (PluswayError("answers.json: line 3:\n  no such thing"), 2, "answers.json: line 3: no such thing"),
    (FileNotFoundError(2, "No such file or directory", "x.toml"), 2, "x.toml: No such file or directory"),
    (OSError(28, "No space left on device", "marks.csv"), 2, "marks.csv: No space left on device"),
    (PermissionError(13, "Permission denied", "marks.csv"), 2, "marks.csv: Permission denied"),
    (KeyError("T"), 1, "this is a fault in plusway, not in what you gave it (KeyError: 'T')"),
    (RecursionError("maximum recursion depth"), 1, "this is a fault in plusway"),
    (KeyboardInterrupt(), 130, "stopped"),
])
def test_whatever_a_verb_raises_ends_in_one_line(
    error: BaseException, code: int, says: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ours to mend: 1; yours to mend: 2; stopped: 130. One line each, no traceback unless PLUSWAY_TRACEBACK=1."""
    monkeypatch.delenv("PLUSWAY_TRACEBACK", raising=False)
    monkeypatch.setattr(command, "parse", lambda _: Tripping(error))
    assert command.main(["solve"]) == code
    said = capsys.readouterr().err
    assert says in said
    assert said.count("\n") == 1


def test_a_fault_of_ours_shows_its_place_when_asked(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """PLUSWAY_TRACEBACK=1 adds the traceback that a report needs."""
    monkeypatch.setenv("PLUSWAY_TRACEBACK", "1")
    monkeypatch.setattr(command, "parse", lambda _: Tripping(KeyError("T")))
    assert command.main(["solve"]) == 1
    assert "Traceback" in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix", reason="pipes close in this way on POSIX systems only")
def test_a_reader_that_goes_away_is_no_failure() -> None:
    """`plusway scenes --json | head -1` ends without a word on standard error."""
    line = f"{sys.executable} -m plusway scenes --json"
    writer = subprocess.Popen(line.split(), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert writer.stdout is not None
    assert writer.stderr is not None
    writer.stdout.close()
    said = writer.stderr.read()
    writer.stderr.close()
    assert (writer.wait(), said) == (141, b"")


@pytest.mark.skipif(os.name != "posix", reason="signals are sent in this way on POSIX systems only")
def test_ctrl_c_ends_a_command_without_a_traceback(tmp_path: Path, interruptible: dict[str, Any]) -> None:
    """Stopped while it waits for its input: exit code 130 and one word."""
    os.mkfifo(tmp_path / "answers.json")
    waiting = subprocess.Popen([sys.executable, "-m", "plusway", "judge", str(tmp_path / "answers.json")],
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE, **interruptible)
    with (tmp_path / "answers.json").open("wb"):  # opens once the command has the other end open
        for _ in range(20):
            time.sleep(0.5)  # past what it still imports: a signal in there is reported by Python itself
            waiting.send_signal(signal.SIGINT)
            try:
                _, said = waiting.communicate(timeout=3)
                break
            except subprocess.TimeoutExpired:
                continue  # it came just before Python went to wait for input, and is seen only with the next
    assert (waiting.returncode, said) == (130, b"stopped\n")


def test_a_terminal_without_greek_gets_question_marks(plusway: Run) -> None:
    """Output that the terminal can't show is replaced, not a failure."""
    done = plusway("solve", "feed-sack", env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0


def test_several_variants_are_a_table_for_a_person(plusway: Run, tmp_path: Path) -> None:
    """The story is not repeated; what all share stands once; one variant alone is a scene file that can be kept."""
    done = plusway("vary", "hay-bale-on-ramp", "--count", "5", "--seed", "2")
    head, columns, *rows = done.stdout.splitlines()[:7]
    assert head == "Hay bale drawn up a ramp (in all of them: g = 9.8 m/s^2)"
    assert columns.split() == ["variant", "m_1", "m_2", "mu_k", "mu_s", "theta"]
    assert [row.split()[0] for row in rows] == [f"hay-bale-on-ramp-{k}" for k in range(1, 6)]
    assert len({row.split(maxsplit=1)[1] for row in rows}) == 5
    assert len({len(row) for row in (columns, *rows)}) == 1
    shown = json.loads(plusway("vary", "hay-bale-on-ramp", "--count", "5", "--seed", "2", "--json").stdout)
    assert all(value in row for row, variant in zip(rows, shown, strict=True) for name, value in variant["data"].items() if name != "g")
    (tmp_path / "mine.toml").write_text(plusway("vary", "hay-bale-on-ramp", "--seed", "2").stdout, encoding="utf-8")
    assert plusway("solve", "mine.toml").returncode == 0


def test_the_table_of_many_variants_stops(plusway: Run) -> None:
    """All are written; a hundred are shown."""
    done = plusway("vary", "feed-sack", "--count", "120", "--out", "many")
    assert "… and 20 more" in done.stdout
    assert "120 variants of feed-sack in many" in done.stdout
