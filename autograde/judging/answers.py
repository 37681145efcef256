"""The answers file of the contract, checked before anything is judged: whatever its shape, the judge meets only what it expects."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ..errors import PluswayError
from ..method import STEPS
from ..scene.model import Scene

OTHER_KEYS = ("scene", "student", "variant", "assignment", "seed", "format")
LONGEST_TEXT = 100_000
MOST_LINES = 400


class AnswersError(PluswayError):
    """An answers file of the wrong shape: one line with the key, what was found and what would do."""


@dataclass(frozen=True)
class Answers:
    """One student's answers, in the contract's shape; what was not given is empty."""

    directions: Mapping[str, str] = field(default_factory=dict)
    forces: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    equations: Mapping[str, str] = field(default_factory=dict)
    ties: tuple[str, ...] = ()
    working: tuple[str, ...] = ()
    results: Mapping[str, str] = field(default_factory=dict)
    sense: tuple[str, ...] = ()


def _kind(value: Any) -> str:
    if value is None:
        return "nothing (null)"
    names = {
        bool: "true or false",
        int: "a number",
        float: "a number",
        str: "a text",
        list: "a list",
        dict: "an object",
    }
    return names.get(type(value), type(value).__name__)


def _near(word: str, words: tuple[str, ...]) -> str:
    hit = difflib.get_close_matches(word, words, 1)
    return f"; did you mean {hit[0]!r}?" if hit else ""


def _table(raw: Mapping[str, Any], key: str) -> dict[str, Any]:
    value = raw.get(key)
    if value is None:
        return {}
    if not isinstance(value, Mapping):
        raise AnswersError(f"{key}: expected an object (name: answer), found {_kind(value)}")
    return {str(k): v for k, v in value.items()}


def _text(value: Any, where: str) -> str:
    if value is None:
        return ""
    if not isinstance(value, str):
        raise AnswersError(f"{where}: expected a text in quotes, found {_kind(value)}")
    if len(value) > LONGEST_TEXT:
        raise AnswersError(f"{where}: {len(value)} characters; a line may have at most {LONGEST_TEXT}")
    return value


def _lines(raw: Mapping[str, Any], key: str) -> tuple[str, ...]:
    value = raw.get(key)
    if value is None:
        return ()
    if isinstance(value, str):
        value = [value]
    if not isinstance(value, (list, tuple)):
        raise AnswersError(f"{key}: expected a list of lines, found {_kind(value)}")
    if len(value) > MOST_LINES:
        raise AnswersError(f"{key}: {len(value)} lines; at most {MOST_LINES} are judged")
    return tuple(_text(v, f"{key}[{n}]") for n, v in enumerate(value))


def check_answers(raw: Any, scene: Scene) -> Answers:
    """Answers from JSON of any shape, for this scene. Raises AnswersError where the shape is not the contract's."""
    if not isinstance(raw, Mapping):
        raise AnswersError(f'the answers: expected an object with keys such as "equations", found {_kind(raw)}')
    for key in raw:
        if key not in STEPS and key not in OTHER_KEYS:
            raise AnswersError(
                f"{key!s:.60}: not a key of an answers file; the keys are {', '.join(('scene', 'student', 'variant', *STEPS))}{_near(str(key), STEPS)}"
            )
    directions = {}
    for thing, word in _table(raw, "directions").items():
        _check_thing(scene, thing, "directions")
        directions[thing] = _text(word, f"directions.{thing}").strip()
    forces = {}
    for thing, arrows in _table(raw, "forces").items():
        _check_thing(scene, thing, "forces")
        forces[thing] = _arrows(arrows, f"forces.{thing}")
    equations = {}
    for thing, line in _table(raw, "equations").items():
        _check_thing(scene, thing, "equations")
        equations[thing] = _text(line, f"equations.{thing}")
    results = {}
    for symbol, value in _table(raw, "results").items():
        results[symbol] = _text(
            str(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value,
            f"results.{symbol}",
        )
    return Answers(
        directions, forces, equations, _lines(raw, "ties"), _lines(raw, "working"), results, _lines(raw, "sense")
    )


def _check_thing(scene: Scene, thing: str, step: str) -> None:
    if thing not in scene.things:
        raise AnswersError(
            f"{step}.{thing:.60}: there is no such thing in this scene; its things are {', '.join(scene.things)}{_near(thing, scene.things)}"
        )


def _arrows(value: Any, where: str) -> tuple[tuple[str, str], ...]:
    if value is None:
        return ()
    if not isinstance(value, (list, tuple)):
        raise AnswersError(f"{where}: expected a list of [force, direction] pairs, found {_kind(value)}")
    if len(value) > MOST_LINES:
        raise AnswersError(f"{where}: {len(value)} forces; at most {MOST_LINES} are judged")
    out = []
    for n, pair in enumerate(value):
        if not isinstance(pair, (list, tuple)) or len(pair) != 2 or not all(isinstance(x, str) for x in pair):
            raise AnswersError(f'{where}[{n}]: expected a pair such as ["T", "up"], found {_kind(pair)}')
        out.append((_text(pair[0], f"{where}[{n}]"), _text(pair[1], f"{where}[{n}]")))
    return tuple(out)
