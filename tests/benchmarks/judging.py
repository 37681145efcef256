"""Judging a line, against SymPy's own parser and simplifier on the same lines, and judging a paper, against bare JSON.

`parse_expr` runs code that hides in a text and is never used on a student's line: here it reads lines written in this file.
"""

from __future__ import annotations

import json
from typing import Any

from ratios import Ratio, side_by_side, times

from plusway.autograde.judging import context as contexts
from plusway.autograde.judging import judge
from plusway.autograde.judging.context import context_for
from plusway.autograde.judging.equations import judge_equation
from plusway.lessons.catalogue import find

SACK = {"sack": "up", "counterweight": "down"}
BALE = {"bale": "upslope", "trough": "down"}
TRUTH = {"sack": "T - m_1*g - m_1*a", "bale": "T - m_1*g*sin(theta) - mu_k*m_1*g*cos(theta) - m_1*a"}
LINES = [
    # scene, directions, thing, line as typed, the same in SymPy's spelling (left minus right), right or not
    ("feed-sack", SACK, "sack", "m_1 (a + g) = T", "m_1*(a + g) - T", True),
    ("feed-sack", SACK, "sack", "T/m_1 - g = a", "T/m_1 - g - a", True),
    ("hay-bale-on-ramp", BALE, "bale", "T - m_1 g (sin(theta) + mu_k cos(theta)) = m_1 a",
     "T - m_1*g*(sin(theta) + mu_k*cos(theta)) - m_1*a", True),
    ("feed-sack", SACK, "sack", "T + m_1 g = m_1 a", "T + m_1*g - m_1*a", False),
    ("hay-bale-on-ramp", BALE, "bale", "T - m_1 g sin(theta) - mu_k m_1 g = m_1 a",
     "T - m_1*g*sin(theta) - mu_k*m_1*g - m_1*a", False),
    ("hay-bale-on-ramp", BALE, "bale", "T + m_1 g cos(theta) - mu_s N_1 = m_1 a",
     "T + m_1*g*cos(theta) - mu_s*N_1 - m_1*a", False),
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


def measure() -> list[Ratio]:
    """Right and wrong lines, the first look at a scene, and a whole paper with and without slips."""
    from sympy import Symbol, cos, simplify, sin
    from sympy.core.cache import clear_cache
    from sympy.parsing.sympy_parser import parse_expr

    names = {n: Symbol(n) for n in ("T", "m_1", "g", "a", "theta", "mu_k", "mu_s", "N_1")} | {"sin": sin, "cos": cos}

    def same(spelled: str, thing: str) -> bool:
        """Up to a factor without unknowns."""
        quotient = simplify(parse_expr(spelled, local_dict=names) / parse_expr(TRUTH[thing], local_dict=names))
        return not quotient.free_symbols & {names["T"], names["a"]}

    rows = []
    for scene, directions, thing, line, spelled, right in LINES:
        context = context_for(find(scene), directions)
        assert (judge_equation(context, thing, line).verdict == "right") is right is same(spelled, thing)
        pair = side_by_side(lambda c=context, t=thing, x=line: judge_equation(c, t, x), lambda x=spelled, t=thing: same(x, t), 3,
                            before_each=clear_cache)
        rows.append(times(f"judge `{line}`", *pair, "SymPy's parse_expr and simplify", aim=0.01,
                          note="right" if right else "wrong: plusway names the slip, SymPy only says no"))
    bale = find("hay-bale-on-ramp")

    def cold() -> str:
        contexts._CACHE.clear()
        return judge_equation(context_for(bale, BALE), "bale", "T - 88.2 + 53.5 = 18a").verdict

    pair = side_by_side(cold, lambda: same(LINES[2][4], "bale"), 3, before_each=clear_cache)
    rows.append(times("the first line of a scene: derive, then judge", *pair, "SymPy's parse_expr and simplify of one line", aim=1))
    sack = find("feed-sack")
    for answers, kind in ((PAPER, "all right"), (SLIPPED, "with slips")):
        text = json.dumps(answers)
        pair = side_by_side(lambda a=answers: judge(sack, a), lambda t=text: json.loads(t))
        rows.append(times(f"judge a whole paper, {kind}", *pair, "json.loads of the same answers", note="the lower bound"))
    return rows
