"""A committed answer goes into the notebook's own metadata and onto the disk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from plusway.autograde.marking.assignment import seed_for

pytestmark = pytest.mark.browser

Make = Callable[..., Any]


@pytest.mark.parametrize("front", ["lab", "notebook"])
def test_a_commit_is_on_the_disk_with_its_entry_and_its_answer(desk: Make, front: str) -> None:
    """In JupyterLab and in Notebook 7 the file holds what was committed, without anybody pressing save."""
    lesson = desk(front).open().started()
    lesson.commit(1, "directions", "sack", "up")
    lesson.commit(2, "equations", "sack", "T - 63.7 = 6.5a")
    found = lesson.saved(lambda record: len(record.get("entries", [])) == 2)
    assert [(e["n"], e["step"], e["item"], e["value"]) for e in found["entries"]] == [
        (1, "directions", "sack", "up"),
        (2, "equations", "sack", "T - 63.7 = 6.5a"),
    ]
    assert found["answers"] == {
        "feed-sack": {"directions": {"sack": "up"}, "equations": {"sack": "T - 63.7 = 6.5a"}}
    }
    assert found["problems"] == {"feed-sack": {"scene": "feed-sack"}}, "the rest of the record stays as it was"


def test_the_newest_commit_counts_whatever_the_order_of_arrival(desk: Make) -> None:
    """An older record that arrives late does not undo a newer one."""
    lesson = desk().open().started()
    lesson.commit(5, "equations", "sack", "T - 63.7 = 6.5a")
    lesson.commit(3, "equations", "sack", "T + 63.7 = 6.5a")
    lesson.commit(6, "ties", None, ["a_1 = a_2"])
    found = lesson.saved(lambda record: len(record.get("entries", [])) == 2)
    assert [e["n"] for e in found["entries"]] == [5, 6]
    assert found["answers"]["feed-sack"] == {"equations": {"sack": "T - 63.7 = 6.5a"}, "ties": ["a_1 = a_2"]}


@pytest.mark.parametrize(
    "bad",
    [{"step": "marks"}, {"n": -1}, {"n": "1"}, {"problem": "__proto__"}, {"problem": ""}, {"item": 3}, {"format": 2},
     {"value": "x" * 70_000}],
    ids=str,
)  # fmt: skip
def test_what_is_no_record_is_not_written(desk: Make, bad: dict[str, Any]) -> None:
    """A page can dispatch anything; only the shape of an entry gets into the notebook."""
    lesson = desk().open().started()
    lesson.commit(1, "equations", "sack", "T = 1", but=bad)
    lesson.commit(2, "ties", None, ["a_1 = a_2"])
    found = lesson.saved(lambda record: bool(record.get("entries")))
    assert [e["n"] for e in found["entries"]] == [2]


def test_a_widget_gets_back_what_its_own_notebook_holds(desk: Make) -> None:
    """`plusway.restore(el)` gives the entries of the notebook round `el`, and none for an element elsewhere."""
    entry = {"format": 1, "id": "c1", "when": "2024-01-01T00:00:01Z", "n": 1, "problem": "feed-sack",
             "step": "directions", "item": "sack", "value": "up", "hints": 2, "lesson": "l1"}  # fmt: skip
    lesson = desk("lab", entries=[entry]).open().started()
    inside = lesson.page.evaluate("() => plusway.restore(document.querySelector('.jp-CodeCell'))")
    outside = lesson.page.evaluate("() => plusway.restore(document.body)")
    assert (inside, outside) == ([entry], [])


def test_a_save_that_fails_is_said_and_can_be_done_again(desk: Make) -> None:
    """While the server refuses the file the banner says so; its one button saves again."""
    lesson = desk().open().started()

    def refuse(route: Any) -> None:
        if route.request.method == "PUT":
            route.fulfill(status=500, body="{}")
        else:
            route.fallback()

    lesson.page.route("**/api/contents/**", refuse)
    lesson.commit(1, "directions", "sack", "up")
    lesson.page.locator(".pwlab-banner", has_text="could not be saved").wait_for()
    assert "entries" not in lesson.metadata()
    lesson.page.locator(".jp-Dialog button").last.click()  # JupyterLab's own message
    lesson.page.get_by_role("button", name="Save again").wait_for()  # still refused, still said
    lesson.page.unroute("**/api/contents/**", refuse)
    # Pressed at once: JupyterLab asks again in a dialog of its own whenever a save of its own is refused, and a pointer would wait for that.
    lesson.page.get_by_role("button", name="Save again", include_hidden=True).dispatch_event("click")
    assert [e["n"] for e in lesson.saved(lambda record: bool(record.get("entries")))["entries"]] == [1]
    lesson.page.locator(".pwlab-banner", has_text="could not be saved").wait_for(state="hidden")


def test_two_tabs_keep_each_others_answers_and_ask_nothing(desk: Make, page: Any) -> None:
    """Two tabs commit in turn: the file holds the answers of both, and no question about a changed file appears."""
    one = desk().open().started()
    address = one.address.replace("/workspaces/", "/workspaces/other-")
    other = replace(one, page=page.context.new_page(), address=address).open().started()
    for n in range(1, 5):
        (one if n % 2 else other).commit(n, "equations", f"thing{n}", f"T = {n}a")
        one.saved(lambda record, n=n: any(e["n"] == n for e in record.get("entries", [])))
    found = one.saved(lambda record: len(record.get("entries", [])) == 4)
    assert [e["n"] for e in found["entries"]] == [1, 2, 3, 4]
    assert [one.page.locator(".jp-Dialog").count(), other.page.locator(".jp-Dialog").count()] == [0, 0]


def test_a_student_whom_the_hub_names_gets_the_seed_that_marking_expects(desk: Make) -> None:
    """First opening under a hub: student and seed are in the file; the seed is the one that marking works out."""
    lesson = desk("lab", assignment="week 3", settings={"numbers": "per-student"})

    def named(route: Any) -> None:
        """The page as a hub's server sends it: with the user's name in its configuration."""
        if route.request.resource_type != "document":
            route.fallback()
            return
        answer = route.fetch()
        head, mark, tail = answer.text().partition('type="application/json">')
        route.fulfill(response=answer, body=head + mark + tail.replace("{", '{"hubUser": "s017", ', 1))

    lesson.page.route("**/lab/workspaces/**", named)
    lesson.open()
    found = lesson.saved(lambda record: "seed" in record)
    assert (found.get("student"), found.get("seed")) == ("s017", seed_for("week 3", "s017"))


def test_without_a_hub_nobody_is_named(desk: Make) -> None:
    """On a student's own computer the notebook is left without a student and without a seed."""
    lesson = desk("lab", assignment="week 3", settings={"numbers": "per-student"}).open().started()
    lesson.commit(1, "directions", "sack", "up")
    found = lesson.saved(lambda record: bool(record.get("entries")))
    assert "student" not in found
    assert "seed" not in found
