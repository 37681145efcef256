"""Two students with the same slips in the same order: told where chance would hardly bring it about, and only there."""

from __future__ import annotations

from typing import Any

import pytest

from plusway.autograde.marking.alike import Alike
from plusway.autograde.marking.marked import Marked, ProblemMarks


def student(name: str, *slips: tuple[str, str, str]) -> Marked:
    """slips: (item, kind, line)."""
    steps: list[dict[str, Any]] = [
        {"step": "equations", "item": item, "text": line, "verdict": "slip", "points": 0.0, "of": 1.0,
         "slips": [{"kind": kind, "says": ""}]} for item, kind, line in slips]
    return Marked(f"{name}.ipynb", name, "ps1", (ProblemMarks("p", "p", {"scene": "p", "steps": steps}),))


RARE = (("sack", "missing-force", "T = 6.5a"), ("box", "flipped-force", "T + 9 = a"), ("drum", "radius", "T = 0.03 a"))


def flagged(*class_: Marked) -> dict[str, str]:
    alike = Alike()
    for marked in class_:
        alike.add(marked)
    return {file: flags[0].says for file, flags in alike.flags().items()}


def others(count: int) -> list[Marked]:
    return [student(f"o{n}", ("sack", "arithmetic", f"T = {n}")) for n in range(count)]


def test_a_rare_row_of_slips_that_two_share_is_flagged() -> None:
    """Each is told of the other."""
    assert flagged(student("a", *RARE), student("b", *RARE), *others(28)) == {
        "a.ipynb": "the same slips, on the same lines, in the same order as b",
        "b.ipynb": "the same slips, on the same lines, in the same order as a"}


NOT_FLAGGED = [
    ("another order", RARE, RARE[::-1]),
    ("other lines", RARE, (("sack", "missing-force", "T = 6.5 a + 1"), *RARE[1:])),
    ("one slip more", RARE, (*RARE, ("sack", "unit", "2"))),
    ("two slips only", RARE[:2], RARE[:2]),
    ("one misunderstanding in three places", tuple((i, "flipped-force", f"{i} = 1") for i in "abc"),
     tuple((i, "flipped-force", f"{i} = 1") for i in "abc")),
]


@pytest.mark.parametrize(("one", "two"), [case[1:] for case in NOT_FLAGGED], ids=[case[0] for case in NOT_FLAGGED])
def test_what_is_not_beyond_chance_is_not_flagged(one: Any, two: Any) -> None:
    """Being alike in part is no sign."""
    assert flagged(student("a", *one), student("b", *two), *others(28)) == {}


def test_slips_that_half_the_class_has_are_not_flagged() -> None:
    """What everybody gets wrong two will get wrong alike."""
    assert flagged(*(student(f"s{n}", *RARE) for n in range(15)), *others(15)) == {}


def test_two_notebooks_of_one_student_are_not_flagged() -> None:
    """A copy of one's own work."""
    one = student("a", *RARE)
    assert flagged(one, Marked("copy.ipynb", "a", "ps1", one.problems), *others(28)) == {}


def test_spaces_make_no_line_another() -> None:
    """A copied line with other spaces is the same line."""
    spaced = tuple((item, kind, line.replace(" ", "  ")) for item, kind, line in RARE)
    assert len(flagged(student("a", *RARE), student("b", *spaced), *others(28))) == 2
