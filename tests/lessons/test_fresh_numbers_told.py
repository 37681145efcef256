"""What the story says of its numbers is rewritten, refused or told, whichever command hands out fresh ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from plusway.lessons import catalogue
from plusway.lessons.command import main

VERBS: list[tuple[str, list[str]]] = [
    ("vary", ["vary", "x.toml"]),
    ("sheet", ["sheet", "x.toml", "--seed", "1"]),
    ("assign", ["assign", "--scene", "x.toml", "--name", "ps1", "--per-student"]),
]


def told_by(story: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str]) -> int:
    """The exit code with the feed sack's scene under this story."""
    monkeypatch.chdir(tmp_path)
    text = catalogue.text("feed-sack").replace("A feed sack", story + " A feed sack", 1)
    Path("x.toml").write_text(text, encoding="utf-8")
    return main(arguments)


@pytest.mark.parametrize(("verb", "arguments"), VERBS, ids=[v[0] for v in VERBS])
def test_a_number_that_is_no_datum_is_warned_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], verb: str, arguments: list[str]
) -> None:
    """The work is done, and one line says which numbers stay."""
    assert told_by("At 4 pm, 15.5 kg in all.", tmp_path, monkeypatch, arguments) == 0
    assert capsys.readouterr().err == (
        f"plusway {verb}: warning: x: story: says 4, 15.5 kg, which is no datum of the scene and stays the same in every variant\n"
    )


@pytest.mark.parametrize(("verb", "arguments"), VERBS, ids=[v[0] for v in VERBS])
def test_a_number_that_cannot_follow_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], verb: str, arguments: list[str]
) -> None:
    """Every one is listed."""
    assert told_by("Masses 6.5 and 9; 9000 g.", tmp_path, monkeypatch, arguments) == 2
    assert "story: " in (said := capsys.readouterr().err)
    assert "6.5, 9, 9000 g" in said


def test_an_assignment_lists_coefficients_and_words_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its story stands in the notebook for all, so nothing of it can follow."""
    monkeypatch.chdir(tmp_path)
    text = catalogue.text("hay-bale-on-ramp").replace('story = "', 'story = "0.35 and 0.45; eighteen kilograms; 30 degrees. ')
    Path("x.toml").write_text(text, encoding="utf-8")
    assert main(VERBS[2][1]) == 2
    said = capsys.readouterr().err
    assert [words for words in ("0.35", "0.45", "eighteen kilograms", "30 degrees") if words not in said] == []
