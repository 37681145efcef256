"""Which of several committed answers counts."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.records import Entry, assemble, entry_of, merge


def entry(n: int, step: str, value: Any, item: str | None = None, when: str = "2025-03-01T10:00:00+00:00") -> Entry:
    return Entry(f"id{n}{value}", when, n, "p", step, item, value)


NEWEST = [
    ("the higher counter wins", [entry(1, "ties", ["old"]), entry(2, "ties", ["new"])], {"ties": ["new"]}),
    ("in whatever order they come", [entry(2, "ties", ["new"]), entry(1, "ties", ["old"])], {"ties": ["new"]}),
    ("the clock decides between equal counters only",
     [entry(3, "ties", ["late"], when="2025-03-01T11:00:00+00:00"), entry(3, "ties", ["early"])], {"ties": ["late"]}),
    ("each thing's equation by itself",
     [entry(1, "equations", "s1", "sack"), entry(2, "equations", "c1", "box"), entry(3, "equations", "s2", "sack")],
     {"equations": {"sack": "s2", "box": "c1"}}),
    ("a whole step replaces what came before it",
     [entry(1, "equations", "s1", "sack"), entry(2, "equations", {"box": "c2"})], {"equations": {"box": "c2"}}),
    ("an item changes a whole step that came before it",
     [entry(1, "directions", {"sack": "up", "box": "up"}), entry(2, "directions", "down", "box")],
     {"directions": {"sack": "up", "box": "down"}}),
    ("an emptied answer is as if never written",
     [entry(1, "equations", "s1", "sack"), entry(2, "equations", "", "sack")], {}),
    ("lists stay lists", [entry(1, "working", ["a", "b"]), entry(2, "results", "2 N", "T")],
     {"working": ["a", "b"], "results": {"T": "2 N"}}),
]


@pytest.mark.parametrize(("entries", "answers"), [case[1:] for case in NEWEST], ids=[case[0] for case in NEWEST])
def test_the_newest_entry_for_each_step_and_item_counts(entries: list[Entry], answers: dict[str, Any]) -> None:
    """The rule of the journal, case by case."""
    assert assemble(entries) == ({"p": answers} if answers else {"p": {}})


def test_journal_and_metadata_are_merged_by_age_not_by_place() -> None:
    """Neither record has precedence: the newer entry has."""
    assert merge([entry(5, "ties", ["journal"])], [entry(4, "ties", ["metadata"])]) == {"p": {"ties": ["journal"]}}
    assert merge([entry(5, "ties", ["journal"])], [entry(6, "ties", ["metadata"])]) == {"p": {"ties": ["metadata"]}}


ENTRIES = st.lists(st.builds(
    lambda n, step, hour: entry(n, step, [f"{n}{hour}"], when=f"2025-03-01T{hour:02}:00:00+00:00"),
    st.integers(0, 5), st.sampled_from(["ties", "working", "sense"]), st.integers(0, 23)), max_size=8)


@given(ENTRIES, st.randoms())
def test_the_order_of_reading_never_matters(entries: list[Entry], random: Any) -> None:
    """Two journals read in either order come to the same answers."""
    shuffled = list(entries)
    random.shuffle(shuffled)
    assert assemble(shuffled) == assemble(entries)


@given(ENTRIES, st.integers(0, 8))
def test_merging_twice_changes_nothing(entries: list[Entry], cut: int) -> None:
    """An entry that stands in journal and metadata counts once."""
    assert merge(entries, entries[:cut]) == assemble(entries)


def test_an_entry_survives_its_json() -> None:
    """to_json and entry_of are each other's inverse."""
    one = entry(1, "forces", [["T", "up"]], "sack")
    assert entry_of(one.to_json()) == one
