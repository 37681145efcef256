"""How long judging takes, beside SymPy's own parser and simplifier on the same lines. Figures only; nothing is asserted about time.

    pytest tests/benchmarks/test_bench_judging.py --benchmark-columns=median,min,rounds

`parse_expr` runs code that hides in a text and is never used on a student's line: here it reads lines written in this file.
"""

from __future__ import annotations

from typing import Any

import pytest

from plusway.autograde.judging import judge
from plusway.autograde.judging.context import context_for
from plusway.autograde.judging.equations import judge_equation
from plusway.autograde.reading import Vocabulary, read
from plusway.lessons.catalogue import find

SACK = {"sack": "up", "counterweight": "down"}
BALE = {"bale": "upslope", "trough": "down"}
WHEEL = {"small": "up", "large": "down", "wheel": "clockwise"}

# (scene, directions, thing, line)
RIGHT = [
    ("feed-sack", SACK, "sack", "T - m_1 g = m_1 a"),
    ("feed-sack", SACK, "counterweight", "88.2 - T = 9a"),
    ("hay-bale-on-ramp", BALE, "bale", "T - m_1 g sin(theta) - mu_k m_1 g cos(theta) = m_1 a"),
    ("hay-bale-on-ramp", BALE, "bale", "T - 88.2 - 53.5 = 18a"),
    ("cask-over-a-heavy-wheel", WHEEL, "wheel", "(T_2 - T_1) R = I alpha"),
]
WRONG = [
    ("feed-sack", SACK, "sack", "T + 63.7 = 6.5a"),
    ("feed-sack", SACK, "sack", "T - m_1 g = m_1 g a"),
    ("hay-bale-on-ramp", BALE, "bale", "T - 88.2 + 53.5 = 18a"),
    ("hay-bale-on-ramp", BALE, "bale", "T - m_1 g sin(theta) - mu_k m_1 g = m_1 a"),
    ("cask-over-a-heavy-wheel", WHEEL, "wheel", "T_2 - T_1 = I alpha"),
]
TWICE_WRONG = [
    ("hay-bale-on-ramp", BALE, "bale", "T + m_1 g cos(theta) - mu_s N_1 = m_1 a"),
    ("feed-sack", SACK, "sack", "T + 6.5 = 6.5a"),
]
PAPER: dict[str, Any] = {
    "scene": "feed-sack",
    "directions": SACK,
    "forces": {"sack": [["T", "up"], ["W_1", "down"]], "counterweight": [["T", "up"], ["W_2", "down"]]},
    "equations": {"sack": "T - 63.7 = 6.5a", "counterweight": "m_2 g - T = m_2 a"},
    "ties": ["a_1 = a_2"],
    "working": ["T = 6.5a + 63.7", "88.2 - (6.5a + 63.7) = 9a", "24.5 = 15.5a", "a = 1.58"],
    "results": {"a": "1.58 m/s^2", "T": "74.0 N"},
    "sense": ["W_1 < T", "T < W_2", "a < g"],
}
SLIPPED: dict[str, Any] = {
    **PAPER,
    "equations": {"sack": "T + 63.7 = 6.5a", "counterweight": "m_2 g - T = m_2 a"},
    "working": ["T = 6.5a - 63.7", "88.2 - 6.5a - 63.7 = 9a", "24.5 = 15.5a", "a = 1.85"],
    "results": {"a": "1.85", "T": "75.7 N"},
    "sense": ["T > W_2", "a < g"],
}


@pytest.mark.parametrize(("scene", "directions", "thing", "line"), RIGHT, ids=[x[3] for x in RIGHT])
def test_a_right_equation(benchmark: Any, scene: str, directions: dict[str, str], thing: str, line: str) -> None:
    context = context_for(find(scene), directions)
    assert benchmark(judge_equation, context, thing, line).verdict == "right"


@pytest.mark.parametrize(("scene", "directions", "thing", "line"), WRONG, ids=[x[3] for x in WRONG])
def test_a_wrong_equation_with_its_slip_named(
    benchmark: Any, scene: str, directions: dict[str, str], thing: str, line: str
) -> None:
    context = context_for(find(scene), directions)
    found = benchmark(judge_equation, context, thing, line)
    assert found.verdict == "slip"
    assert found.slips[0].kind != "unnamed"


@pytest.mark.parametrize(("scene", "directions", "thing", "line"), TWICE_WRONG, ids=[x[3] for x in TWICE_WRONG])
def test_an_equation_with_two_slips(
    benchmark: Any, scene: str, directions: dict[str, str], thing: str, line: str
) -> None:
    context = context_for(find(scene), directions)
    assert benchmark(judge_equation, context, thing, line).verdict == "slip"


@pytest.mark.parametrize("answers", [PAPER, SLIPPED], ids=["all right", "with slips"])
def test_a_whole_answers_file(benchmark: Any, answers: dict[str, Any]) -> None:
    scene = find("feed-sack")
    verdicts = benchmark(judge, scene, answers)
    assert (verdicts.points == verdicts.of) == (answers is PAPER)


def test_a_first_look_at_a_scene(benchmark: Any) -> None:
    """Cold: deriving the scene and making its context, which is then kept."""
    from plusway.autograde.judging import context as module

    scene = find("hay-bale-on-ramp")

    def cold() -> str:
        module._CACHE.clear()
        return judge_equation(context_for(scene, BALE), "bale", "T - 88.2 + 53.5 = 18a").verdict

    assert benchmark(cold) == "slip"


@pytest.mark.parametrize(("scene", "line"), [(x[0], x[3]) for x in RIGHT], ids=[x[3] for x in RIGHT])
def test_reading_a_line(benchmark: Any, scene: str, line: str) -> None:
    vocabulary = Vocabulary.of(find(scene))
    assert benchmark(read, line, vocabulary).lines


# The same line for the judge and for SymPy: (scene, directions, thing, line, left minus right in SymPy's spelling, right or not)
SAME = [
    ("feed-sack", SACK, "sack", "m_1 (a + g) = T", "m_1*(a + g) - T", True),
    ("feed-sack", SACK, "sack", "T/m_1 - g = a", "T/m_1 - g - a", True),
    (
        "hay-bale-on-ramp",
        BALE,
        "bale",
        "T - m_1 g (sin(theta) + mu_k cos(theta)) = m_1 a",
        "T - m_1*g*(sin(theta) + mu_k*cos(theta)) - m_1*a",
        True,
    ),
    ("feed-sack", SACK, "sack", "T + m_1 g = m_1 a", "T + m_1*g - m_1*a", False),
    (
        "hay-bale-on-ramp",
        BALE,
        "bale",
        "T - m_1 g sin(theta) - mu_k m_1 g = m_1 a",
        "T - m_1*g*sin(theta) - mu_k*m_1*g - m_1*a",
        False,
    ),
]
TRUTH = {"sack": "T - m_1*g - m_1*a", "bale": "T - m_1*g*sin(theta) - mu_k*m_1*g*cos(theta) - m_1*a"}
IDS = [x[3] for x in SAME]


@pytest.mark.parametrize(("scene", "directions", "thing", "line", "spelled", "right"), SAME, ids=IDS)
def test_the_same_line_judged_by_plusway(
    benchmark: Any, scene: str, directions: dict[str, str], thing: str, line: str, spelled: str, right: bool
) -> None:
    context = context_for(find(scene), directions)
    assert (benchmark(judge_equation, context, thing, line).verdict == "right") is right


@pytest.mark.parametrize(("scene", "directions", "thing", "line", "spelled", "right"), SAME, ids=IDS)
def test_the_same_line_parsed_and_simplified_by_sympy(
    benchmark: Any, scene: str, directions: dict[str, str], thing: str, line: str, spelled: str, right: bool
) -> None:
    """Up to a factor without unknowns; each round without what SymPy remembers of the one before."""
    from sympy import Symbol, cos, simplify, sin
    from sympy.core.cache import clear_cache
    from sympy.parsing.sympy_parser import parse_expr

    names = {n: Symbol(n) for n in ("T", "m_1", "g", "a", "theta", "mu_k")} | {"sin": sin, "cos": cos}

    def same() -> bool:
        quotient = simplify(parse_expr(spelled, local_dict=names) / parse_expr(TRUTH[thing], local_dict=names))
        return not quotient.free_symbols & {names["T"], names["a"]}

    assert benchmark.pedantic(same, setup=clear_cache, rounds=8, warmup_rounds=1) is right
