"""plusway judge: the verdicts of one answers file."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import Any, NoReturn

from ...autograde.errors import PluswayError, UsageError
from ..terminal import print_json, verb

LARGEST = 2_000_000  # characters; what one student types for one scene is a few thousand


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "judge", run,
        does="judge one student's answers, line by line",
        more="ANSWERS is a JSON file, or - for standard input. Its \"scene\" is the name of a scene that ships or a\n"
             "path to a TOML file, seen from the answers file. A student's slip is no failure: the exit code is 0\n"
             "whenever the answers could be judged.",
        example="plusway judge answers.json --scene my-scene.toml",
    )
    parser.add_argument("answers", metavar="ANSWERS", help="a JSON file of answers, or - for standard input")
    parser.add_argument("--scene", metavar="SCENE", help="the scene to judge against, not the one that the file names")
    parser.add_argument("--scheme", metavar="FILE", help="a TOML file with the marks for each step")


def read_answers(path: str) -> Any:
    """The JSON value of an answers file ("-": standard input). UsageError: file, line, column, what is wrong."""
    name = "standard input" if path == "-" else path
    try:
        if path == "-":
            text = sys.stdin.read(LARGEST + 1).removeprefix("\ufeff")  # some shells put one before what they pipe
        else:
            with open(path, encoding="utf-8-sig") as file:
                text = file.read(LARGEST + 1)
    except UnicodeDecodeError as error:
        raise UsageError(f"{name}: not UTF-8 text (byte {error.start}); save the file as UTF-8") from None
    if len(text) > LARGEST:
        raise UsageError(f"{name}: more than {LARGEST:,} characters; this can't be one student's answers to one scene")

    def refuse(constant: str) -> NoReturn:
        raise UsageError(f"{name}: {constant} is not a JSON number; leave the answer out or write it as text")

    try:
        return json.loads(text, parse_constant=refuse)
    except json.JSONDecodeError as error:
        raise UsageError(f"{name}: line {error.lineno}, column {error.colno}: not JSON: {error.msg}") from None
    except RecursionError:
        raise UsageError(f"{name}: nested too deeply to be answers") from None
    except ValueError as error:  # an integer of thousands of digits
        if isinstance(error, PluswayError):
            raise
        raise UsageError(f"{name}: a number in it is too long to be read") from None


def scene_reference(raw: Any, answers_path: str) -> str:
    """What `find` is asked for, from the answers file's own "scene": a shipped name, or a path seen from that file."""
    name = "standard input" if answers_path == "-" else answers_path
    if not isinstance(raw, dict):
        raise UsageError(f"{name}: expected a JSON object such as {{\"scene\": …}}, found {kind_of(raw)}")
    scene = raw.get("scene")
    if not isinstance(scene, str) or not scene.strip():
        found = "no \"scene\"" if scene is None else f"\"scene\" is {kind_of(scene)}"
        raise UsageError(f"{name}: {found}; give the name of a scene (plusway scenes lists them), or use --scene FILE")
    from ..catalogue import names

    if scene in names() or answers_path == "-":
        return scene
    beside = Path(answers_path).parent / scene
    return str(beside) if beside.is_file() else scene


def kind_of(value: Any) -> str:
    """A JSON value's kind in words.

    >>> kind_of([1]), kind_of(None)
    ('a list', 'null')
    """
    kinds = {dict: "an object", list: "a list", str: "text", bool: "true or false", int: "a number", float: "a number"}
    return kinds.get(type(value), "null")


def run(args: argparse.Namespace) -> int:
    raw = read_answers(args.answers)
    from ...autograde.judging import judge
    from ...autograde.judging.answers import check_answers
    from ..catalogue import find
    from ..verdict_text import verdict_text

    scene = find(args.scene or scene_reference(raw, args.answers))
    scheme = None
    if args.scheme:
        from ...autograde.judging.scheme import load_scheme

        scheme = load_scheme(args.scheme)
    verdicts = judge(scene, check_answers(raw, scene), scheme)
    if args.json:
        print_json(verdicts.to_json())
    else:
        print(verdict_text(verdicts, scene))
    return 0
