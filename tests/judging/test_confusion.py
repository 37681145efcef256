"""The confusion matrix: printed (`pytest -s`), and nearly everything on its diagonal."""

from __future__ import annotations

from pathlib import Path

from confusion import as_text, cells, draw
from marked_lines import corpus


def test_marker_and_judge_agree_and_no_wrong_line_is_called_right() -> None:
    counts = cells(corpus())
    print("\n" + as_text(counts))
    assert [pair for pair in counts if pair[1] == "right" and pair[0] != "right"] == []
    assert [pair for pair in counts if pair[0] == "right" and pair[1] != "right"] == []
    assert sum(n for (w, f), n in counts.items() if w == f) >= 0.98 * sum(counts.values())


def test_the_table_names_every_row_with_its_count() -> None:
    counts = cells(m for m in corpus() if m.scene == "feed-sack")
    text = as_text(counts)
    assert text.splitlines()[0].split()[:3] == ["the", "marker", "said"]
    assert text.splitlines()[-1].split() == [
        "together",
        str(sum(counts.values())),
        str(sum(n for (w, f), n in counts.items() if w == f)),
    ]


def test_the_picture_is_drawn(tmp_path: Path) -> None:
    draw(cells(m for m in corpus() if m.scene == "feed-sack" and m.step == "ties"), tmp_path / "shots" / "matrix.png")
    assert (tmp_path / "shots" / "matrix.png").read_bytes().startswith(b"\x89PNG")
