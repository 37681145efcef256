"""Every kind of complaint: its examples get it, it points at the fragment, and it says what to write instead."""

from __future__ import annotations

import re

import pytest

from plusway.autograde.reading import COMPLAINTS, Complaint, Vocabulary, read, read_value

EXAMPLES = [(kind, line, fragment) for kind, entry in COMPLAINTS.items() for line, fragment in entry.examples]


@pytest.mark.parametrize(("kind", "line", "fragment"), EXAMPLES)
def test_example_of_the_table(kind: str, line: str, fragment: str, hanging: Vocabulary) -> None:
    """A malformed example raises the complaint that it is filed under, at the right characters."""
    with pytest.raises(Complaint) as caught:
        read(line, hanging)
    start, end = caught.value.at
    assert (caught.value.kind, line[start:end][: len(fragment)]) == (kind, fragment)


@pytest.mark.parametrize(("kind", "line", "fragment"), EXAMPLES)
def test_message_is_finished(kind: str, line: str, fragment: str, hanging: Vocabulary) -> None:
    """Every place in the message is filled, and it ends as a sentence."""
    with pytest.raises(Complaint) as caught:
        read(line, hanging)
    says = caught.value.says
    assert not re.search(r"\{(found|instead|known|nearest|limit|open|close)\}", says)
    assert says[0].isupper() or says[0] in "“"
    assert says[-1] in ".?"


@pytest.mark.parametrize("kind", [k for k, e in COMPLAINTS.items() if not e.examples])
def test_kinds_without_examples_are_about_what_is_no_line(kind: str) -> None:
    """Only what no line can show has no example here; the tests below raise it."""
    assert kind in ("not-text", "no-value")


@pytest.mark.parametrize("thing", [None, 5, b"T = 5", ["T"], 1.5])
def test_what_is_no_text(thing: object, hanging: Vocabulary) -> None:
    """Something other than text gets a complaint, not a TypeError."""
    with pytest.raises(Complaint) as caught:
        read(thing, hanging)  # type: ignore[arg-type]
    assert caught.value.kind == "not-text"


@pytest.mark.parametrize("text", ["T < 5", "if m_1 = m_2: a = 0", "a != 3 m/s^2"])
def test_what_is_no_result(text: str, hanging: Vocabulary) -> None:
    """A result states one value."""
    with pytest.raises(Complaint) as caught:
        read_value(text, hanging)
    assert caught.value.kind == "no-value"


def test_unknown_index_names_those_that_exist(hanging: Vocabulary) -> None:
    """A wrong index is answered with the right ones."""
    with pytest.raises(Complaint) as caught:
        read("T - m_3 g = m_1 a", hanging)
    assert caught.value.says == "There is no m_3 here; the masses here are m_1 and m_2."


def test_unknown_letter_names_the_nearest(hanging: Vocabulary) -> None:
    """A wrong letter is answered with all that exist and the likeliest one."""
    with pytest.raises(Complaint) as caught:
        read("t - W_1 = m_1 a", hanging)
    assert caught.value.says == (
        "There is no “t” in this problem. Did you mean T? The letters here are a, a_1, a_2, g, m_1, m_2, T, W_1, W_2."
    )
    assert caught.value.at == (0, 1)


def test_a_tower_of_powers_is_refused_at_once(hanging: Vocabulary) -> None:
    """Nothing is worked out on the way to the complaint."""
    with pytest.raises(Complaint) as caught:
        read("9**9**9**9", hanging)
    assert caught.value.kind == "exponent-chain"


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "\x00",
        "\ud800",
        "🙂",
        "\u202eT = 5",
        "<script>alert(1)</script>",
        "T" * 1_000_000,
        "(" * 399,
        "__import__('os').system('true')",
        "{}" * 100,
        "\\" * 300,
        "_" * 300,
        "a_{" * 100,
        "9e999999999999",
        "T = " + "1/" * 190 + "0",
        "sin" * 130,
        "²" * 300,
        "½" * 300,
        "if " * 100,
        "=>" * 150,
        "((((" + "a)" * 4,
    ],
)
def test_hostile_text_gets_a_complaint_or_a_tree(text: str, hanging: Vocabulary) -> None:
    """No text raises anything but a complaint."""
    for reader in (read, read_value):
        try:
            reader(text, hanging)
        except Complaint as complaint:
            start, end = complaint.at
            assert 0 <= start <= end <= len(text)
