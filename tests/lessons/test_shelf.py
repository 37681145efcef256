"""The student's folder: lessons are laid into it once, and what a student did there is never overwritten."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from plusway.autograde.errors import UsageError
from plusway.lessons.shelf import SHIPPED, lay_out


@pytest.fixture
def shipped(tmp_path: Path) -> list[Path]:
    """Two lessons as they ship."""
    folder = tmp_path / "shipped"
    folder.mkdir()
    for name in ("01-one.ipynb", "02-two.ipynb"):
        (folder / name).write_text(f"lesson {name}", encoding="utf-8")
    return sorted(folder.iterdir())


def test_a_new_folder_gets_every_lesson(shipped: list[Path], tmp_path: Path) -> None:
    """The folder is made, parents too, and all that ships is in it, byte for byte."""
    shelf = lay_out(tmp_path / "deep" / "mine", shipped)
    assert shelf.new == ("01-one.ipynb", "02-two.ipynb")
    assert [(shelf.folder / n).read_bytes() for n in shelf.lessons] == [p.read_bytes() for p in shipped]


def test_a_students_work_is_left_as_it_is(shipped: list[Path], tmp_path: Path) -> None:
    """A lesson that was worked on stays; one that was deleted comes back; nothing half-written is left behind."""
    lay_out(tmp_path / "mine", shipped)
    (tmp_path / "mine" / "01-one.ipynb").write_text("my answers", encoding="utf-8")
    (tmp_path / "mine" / "02-two.ipynb").unlink()
    shelf = lay_out(tmp_path / "mine", shipped)
    assert (shelf.kept, shelf.new) == (("01-one.ipynb",), ("02-two.ipynb",))
    assert (tmp_path / "mine" / "01-one.ipynb").read_text(encoding="utf-8") == "my answers"
    assert sorted(p.name for p in (tmp_path / "mine").iterdir()) == ["01-one.ipynb", "02-two.ipynb"]


def test_home_may_be_written_as_a_tilde(shipped: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """~ is the home folder, as in a shell."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert lay_out("~/mine", shipped).folder == tmp_path / "mine"


def test_a_file_in_the_place_of_the_folder_is_named(shipped: list[Path], tmp_path: Path) -> None:
    """A file can't be the folder; the line says so and what to give instead."""
    (tmp_path / "mine").write_text("", encoding="utf-8")
    with pytest.raises(UsageError, match=r"mine: this is a file, not a folder; choose another with --folder"):
        lay_out(tmp_path / "mine", shipped)


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="needs a folder that even the superuser can't write to")
def test_a_folder_that_cannot_be_written_is_refused_at_once(shipped: list[Path]) -> None:
    """Better no lesson than one that loses its answers."""
    with pytest.raises(UsageError, match=r"/proc/self: .*needs? a folder that can be written to"):
        lay_out("/proc/self", shipped)


def test_the_lessons_that_ship_are_notebooks() -> None:
    """What `plusway learn` lays out exists and is a notebook with cells."""
    import nbformat

    lessons = sorted(SHIPPED.glob("*.ipynb"))
    assert lessons != []
    for lesson in lessons:
        assert nbformat.read(lesson, as_version=4).cells != []
        assert not os.access(lesson, os.X_OK)
