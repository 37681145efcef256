"""In which line a key stands: what a message says after the file's name."""

from __future__ import annotations

import pytest

from plusway.autograde.scene.places import line_of

TEXT = '''\
title = "x"   # [not.a.table]
story = """
mass = "this is no key"
[nor.this]
"""
bodies.ball.mass = "1 kg"
[bodies."red box"]
friction = { kinetic = 0.2 }
[[ropes]]
symbol = "T_1"
pulls = [
  ["ball", "up"],
  ["box", "up"],
]
[[ropes]]
symbol = "T_2"
[ask]
values = ["a"]
[ask.motion]
distance = "1 m"
'''

# (key path, line)
LINES: list[tuple[tuple[str | int, ...], int | None]] = [
    (("title",), 1),
    (("story",), 2),
    (("bodies", "ball", "mass"), 6),
    (("bodies", "red box"), 7),
    (("bodies", "red box", "friction", "kinetic"), 8),
    (("bodies", "red box", "mass"), 7),
    (("ropes", 0), 9),
    (("ropes", 0, "pulls", 1), 11),
    (("ropes", 1, "symbol"), 16),
    (("ropes", 1, "pulls"), 15),
    (("ask", "values", 3), 18),
    (("ask", "motion", "distance"), 20),
    (("ask", "motion"), 19),
    (("mass",), None),
    (("nor", "this"), None),
    (("wheels", "drum"), None),
    ((), None),
]


@pytest.mark.parametrize(("path", "line"), LINES, ids=[".".join(map(str, p)) or "-" for p, _ in LINES])
def test_the_line_of_a_key(path: tuple[str | int, ...], line: int | None) -> None:
    """The key's own line, else that of the nearest table above it, else none: never a wrong one."""
    assert line_of(TEXT, path) == line
