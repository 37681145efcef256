"""Replacing a file in one step."""

from __future__ import annotations

from pathlib import Path

import pytest

from plusway.autograde.records import replacing, write_atomic


def test_the_new_contents_are_there_and_nothing_else(tmp_path: Path) -> None:
    """No temporary file is left."""
    write_atomic(tmp_path / "x.txt", "grün")
    assert (tmp_path / "x.txt").read_bytes() == "grün".encode()
    assert [p.name for p in tmp_path.iterdir()] == ["x.txt"]


def test_a_failure_in_the_middle_leaves_the_old_contents(tmp_path: Path) -> None:
    """Whatever goes wrong while writing, the old file stands and nothing lies about."""
    path = tmp_path / "x.txt"
    path.write_text("old")


    def write_half() -> None:
        with replacing(path) as stream:
            stream.write(b"half")
            raise RuntimeError("the power went")

    with pytest.raises(RuntimeError):
        write_half()
    assert path.read_text() == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["x.txt"]


def test_the_permissions_stay(tmp_path: Path) -> None:
    """A file that others may read stays so."""
    path = tmp_path / "x.txt"
    path.write_text("old")
    path.chmod(0o640)
    write_atomic(path, b"new")
    assert path.stat().st_mode & 0o777 == 0o640


def test_an_error_names_the_file_that_was_meant(tmp_path: Path) -> None:
    """Not the temporary one that stands in for it."""
    with pytest.raises(FileNotFoundError) as caught:
        write_atomic(tmp_path / "gone" / "x.txt", b"new")
    assert caught.value.filename == str(tmp_path / "gone" / "x.txt")
