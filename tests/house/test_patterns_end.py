"""No pattern can be kept busy for ever by a text: whoever types forty spaces gets an answer as soon as anybody.

A repetition within a repetition divides a run of the same characters in two to the power of its length ways, and Python tries them all
where the text does not fit in the end. How long that takes depends on the machine, so the patterns themselves are looked at.
"""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any

import pytest

from plusway.autograde.reading import Complaint, Vocabulary, read
from plusway.lessons import catalogue

try:
    from re import _parser  # type: ignore[attr-defined]
except ImportError:  # Python 3.10
    import sre_parse as _parser  # type: ignore[no-redef]

ENDLESS = _parser.MAXREPEAT


def _within(item: tuple[Any, Any]) -> list[list[tuple[Any, Any]]]:
    """The sequences that one item of a parsed pattern holds."""
    kind, value = str(item[0]), item[1]
    if kind == "BRANCH":
        return [list(branch) for branch in value[1]]
    if kind == "SUBPATTERN":
        return [list(value[3])]
    if kind in ("MAX_REPEAT", "MIN_REPEAT", "ATOMIC_GROUP", "POSSESSIVE_REPEAT"):
        return [list(value[2] if kind != "ATOMIC_GROUP" else value)]
    if kind in ("ASSERT", "ASSERT_NOT"):
        return [list(value[1])]
    if kind == "GROUPREF_EXISTS":
        return [list(part) for part in value[1:] if part]
    return []


def _ways(items: list[tuple[Any, Any]]) -> Iterator[list[tuple[Any, Any]]]:
    """The ways through a sequence that is nothing but a group or a choice; else the sequence."""
    if len(items) == 1 and str(items[0][0]) in ("BRANCH", "SUBPATTERN"):
        for part in _within(items[0]):
            yield from _ways(part)
    else:
        yield items


def _endless(item: tuple[Any, Any]) -> bool:
    return str(item[0]) in ("MAX_REPEAT", "MIN_REPEAT") and item[1][1] == ENDLESS


def _may_be_nothing(item: tuple[Any, Any]) -> bool:
    kind = str(item[0])
    if kind in ("MAX_REPEAT", "MIN_REPEAT"):
        return bool(item[1][0] == 0)
    return kind in ("AT", "ASSERT", "ASSERT_NOT") or (kind in ("SUBPATTERN", "BRANCH") and any(all(map(_may_be_nothing, part)) for part in _within(item)))


def _beside_its_double(items: list[tuple[Any, Any]]) -> bool:
    """Whether, going round and round through these, two endless runs of the same characters can stand side by side: (\\s*,?\\s*a)*."""
    twice = items * 2
    for n, item in enumerate(items):
        if _endless(item):
            for later in twice[n + 1 : n + len(items) + 1]:
                if later is not item and _endless(later) and list(later[1][2]) == list(item[1][2]):
                    return True
                if not _may_be_nothing(later):
                    break
    return False


def many_ways(pattern: str, flags: int = 0) -> bool:
    """Whether a run of characters can be divided in many ways: an endless repetition of what is an endless repetition itself, of a thing
    with its own double beside it, or of what has two endless runs of the same characters side by side."""
    todo = [list(_parser.parse(pattern, flags))]
    while todo:
        items = todo.pop()
        for item in items:
            todo += _within(item)
            if not _endless(item):
                continue
            ways = [way for part in _within(item) for way in _ways(part)]
            if any(len(way) == 1 and _endless(way[0]) for way in ways):
                return True
            if any(len(way) == 2 and str(way[1][0]) == "MAX_REPEAT" and list(way[1][1][2]) == [way[0]] for way in ways):
                return True
            if any(_beside_its_double(way) for way in ways):
                return True
    return False


def patterns(trees: Mapping[str, ast.Module]) -> Iterator[tuple[str, re.Pattern[str]]]:
    """(path, pattern) of every pattern that a module of the package has at its top."""
    for path, tree in trees.items():
        if "re.compile(" not in ast.unparse(tree) or path == "lessons/environment.py":
            continue
        module = importlib.import_module("plusway." + path.removesuffix(".py").removesuffix("/__init__").replace("/", "."))
        for value in vars(module).values():
            inner = value if isinstance(value, list | tuple) else [value]
            found = [part for one in inner for part in (one if isinstance(one, list | tuple) else [one])]
            yield from ((path, one) for one in found if isinstance(one, re.Pattern) and isinstance(one.pattern, str))


def test_no_pattern_divides_a_run_in_many_ways(trees: Mapping[str, ast.Module]) -> None:
    """Every pattern at the top of a module."""
    all_of_them = list(patterns(trees))
    assert len(all_of_them) > 50
    assert [f"{path}: {one.pattern}" for path, one in all_of_them if many_ways(one.pattern, one.flags & ~re.UNICODE)] == []


@pytest.mark.parametrize(("pattern", "many"), [
    (r"(?:\s+|[.;])+$", True),
    (r"(a+)+$", True),
    (r"(?:(?:a*)|b)*c", True),
    (r"(?:\$\$?|;)+$", True),
    (r"(?:\s*and\s*(?:eq)?\s*\d)*x", True),
    (r"(?:\s*and\s*)*x", True),
    (r"(?:\s*and\s*(?:eq\s*)?\d)*x", False),
    (r"(?:[\s.;$]|\\\))+$", False),
    (r"(?:,\s*\d+)+", False),
    (r"(?:a+){1,3}", False),
])
def test_the_look_tells_one_way_from_many(pattern: str, many: bool) -> None:
    """What is endless within what is endless, and nothing else."""
    assert many_ways(pattern) is many


@pytest.mark.parametrize("text", [f"T ={' ' * 40}1.", f"T = 74{' ' * 60}N.", f"T = 74{chr(9) * 200}N )", f"T = {'$' * 80}x$", f"{' ' * 180}1/{' ' * 180}",
                                  "from (1)" * 40, "in (1)" * 60 + "=a!"])
def test_a_line_with_a_long_run_is_read_or_refused(text: str) -> None:
    """The reader comes back."""
    vocabulary = Vocabulary.of(catalogue.find("feed-sack"))
    with suppress(Complaint):
        assert read(text, vocabulary).lines
