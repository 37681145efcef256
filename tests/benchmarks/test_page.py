"""The page of ratios: what it shows, and that a run of one module leaves the rows of the others."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

HERE = Path(__file__).resolve().parent


@pytest.fixture(scope="module")
def page() -> ModuleType:
    """tests/benchmarks/page.py, which is a script."""
    spec = importlib.util.spec_from_file_location("benchmarks_page", HERE / "page.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def test_every_benchmark_loads_and_can_measure(page: ModuleType) -> None:
    """Each has `measure` and a first line that heads its table; none is run here."""
    assert page.names()
    for name in page.names():
        module = page.load(name)
        assert callable(module.measure)
        assert (module.__doc__ or "").partition("\n")[0].endswith(".")


@pytest.mark.parametrize(("ours", "theirs", "shown"), [
    (2e-6, 8e-6, "| w | 2 µs | t | 8 µs | 0.25 | ≤ 0.5 | n |"),
    (8e-3, 2e-3, "| w | 8 ms | t | 2 ms | 4 | ≤ 0.5 **missed** | n |"),
    (12.34, 1.0, "| w | 12.3 s | t | 1 s | 12.3 | ≤ 0.5 **missed** | n |"),
])
def test_a_row_shows_both_figures_the_ratio_and_whether_the_aim_is_met(page: ModuleType, ours: float, theirs: float, shown: str) -> None:
    """Three figures, in a unit that suits both."""
    assert page.row(sys.modules["ratios"].times("w", ours, theirs, "t", 0.5, "n")) == shown + "\n"


def test_a_bar_in_a_text_does_not_break_the_table(page: ModuleType) -> None:
    """It is written as Markdown wants it."""
    assert "a\\|b" in page.row(sys.modules["ratios"].Ratio("a|b", 1, 2, "", "s"))


@pytest.fixture
def alone(page: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The page writes into a folder of the test, and its modules `one` and `two` each hand over one row."""

    def load(name: str) -> Any:
        module = ModuleType(name)
        module.__doc__ = f"About {name}."
        module.measure = lambda: [sys.modules["ratios"].Ratio(f"row of {name}", 1, 2, "x", "s")]  # type: ignore[attr-defined]
        return module

    monkeypatch.setattr(page, "RESULTS", tmp_path / "RESULTS.md")
    monkeypatch.setattr(page, "load", load)
    monkeypatch.setattr(page, "names", lambda: ["one", "two"])
    return tmp_path / "RESULTS.md"


def test_rows_of_a_module_that_is_not_run_stay(page: ModuleType, alone: Path) -> None:
    """Word for word, with the date of their own run; those of a module that is gone go."""
    assert page.main([]) == 0
    text = alone.read_text(encoding="utf-8").replace("row of one", "row from long ago")
    alone.write_text(text + "\n## gone\n\nAbout gone.\n", encoding="utf-8")
    assert page.main(["two"]) == 0
    after = alone.read_text(encoding="utf-8")
    assert after == text
    assert "row from long ago" in after
    assert page.machine() in after


def test_a_name_that_is_no_benchmark_is_told(page: ModuleType, alone: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line that lists those there are, and nothing is written."""
    assert page.main(["three"]) == 2
    assert capsys.readouterr().err == "no benchmark three; there are one, two\n"
    assert not alone.exists()


def test_two_calls_are_timed_in_turns(page: ModuleType) -> None:
    """Both are called, and where something is to happen before each call it happens before each."""
    calls: list[str] = []
    pair = sys.modules["ratios"].side_by_side(lambda: calls.append("o"), lambda: calls.append("t"), 0.0, lambda: calls.append("b"))
    assert all(figure >= 0 for figure in pair)
    assert "".join(calls) == "bobt" * (len(calls) // 4)
    assert len(calls) >= 20
