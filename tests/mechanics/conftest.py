"""What the tests of mechanics share: reading a scene from text, and the scenes that ship."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from plusway.autograde.mechanics import Setup, derive
from plusway.autograde.scene import Scene, load_text


@pytest.fixture(scope="session")
def scene() -> Callable[[str], Scene]:
    """scene(toml) is the scene of that text."""
    return lambda text: load_text(text, name="test", file="test.toml")


@pytest.fixture(scope="session")
def solved() -> Callable[..., Setup]:
    """solved(toml, thing="word") is the Setup for those positive directions."""
    return lambda text, **positive: derive(load_text(text, name="test", file="test.toml"), positive)
