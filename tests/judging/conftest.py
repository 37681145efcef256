"""What the tests of judging share: this folder on the path (for `marked_lines`, `line_writer`), and the corpus as a parameter."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from marked_lines import corpus


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Every test that takes a `marked` line is run for each line of the corpus."""
    if "marked" in metafunc.fixturenames:
        metafunc.parametrize("marked", corpus(), ids=lambda m: m.name)
