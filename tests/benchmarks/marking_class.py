"""The hundred notebooks of the marking benchmarks: an invented class, four choices of directions, six kinds of work."""

from __future__ import annotations

import json
from typing import Any

SCENE, COUNT = "feed-sack", 100
TENSION = {"up": "6.5a_1 + 63.7", "down": "63.7 - 6.5a_1"}


def answers(place: int) -> dict[str, Any]:
    """The answers of student number `place`."""
    sack, box = ("up", "down")[place % 2], ("up", "down")[place // 2 % 2]
    slip = ("", "flipped", "missing", "half", "empty", "figures")[place // 4 % 6]
    if slip == "empty":
        return {}
    weight = "" if slip == "missing" else f"{'-' if (sack == 'up') != (slip == 'flipped') else '+'} m_1 g"
    out: dict[str, Any] = {
        "directions": {"sack": sack, "counterweight": box},
        "forces": {"sack": [["T", "up"], ["W_1", "down"]], "counterweight": [["T", "up"], ["W_2", "down"]]},
        "equations": {"sack": f"{'' if sack == 'up' else '-'}T {weight} = m_1 a_1",
                      "counterweight": "T - 88.2 = 9a_2" if box == "up" else "88.2 - T = 9a_2"}}
    if slip == "half":
        return out
    left = f"({TENSION[sack]}) - 88.2" if box == "up" else f"88.2 - ({TENSION[sack]})"
    sign, figure = "" if sack == "up" else "-", f"{1.58 + place / 1000 if slip == 'figures' else 1.58:.3g}"
    return {**out, "ties": ["a_1 = a_2" if sack != box else "a_1 = -a_2"],
            "working": [f"T = {TENSION[sack]}", f"{left} = {'-' if sack == box else ''}9a_1", f"15.5a_1 = {sign}24.5",
                        f"a_1 = {sign}{figure}"],
            "results": {"a": f"{figure} m/s^2", "T": "74.0 N"}, "sense": ["T < W_2", "a < g"]}


def hundred(notebook: dict[str, Any]) -> list[bytes]:
    """The class's notebooks, from the released one."""
    out = []
    for place in range(COUNT):
        notebook["metadata"]["plusway"]["answers"] = {SCENE: answers(place)}
        out.append(json.dumps(notebook).encode())
    return out
