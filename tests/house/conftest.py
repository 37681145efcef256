"""The package as files and syntax trees, wherever it is installed."""

from __future__ import annotations

import ast
import os
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import pytest

import plusway

PACKAGE = Path(plusway.__file__).parent
ROOT = Path(__file__).resolve().parents[2]


def package_files(*suffixes: str) -> list[Path]:
    """Every file of the package with one of these suffixes (links followed)."""
    return sorted(
        Path(folder) / name
        for folder, folders, names in os.walk(PACKAGE, followlinks=True)
        if "__pycache__" not in folder and "node_modules" not in folder
        for name in names
        if name.endswith(suffixes)
    )


@pytest.fixture(scope="session")
def package() -> Path:
    """The folder that `import plusway` finds."""
    return PACKAGE


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder that holds tests/, README.md and DEVELOPERS.md."""
    return ROOT


@pytest.fixture(scope="session")
def trees() -> Mapping[str, ast.Module]:
    """{path within the package: syntax tree} of every Python file of the package."""
    return MappingProxyType({
        file.relative_to(PACKAGE).as_posix(): ast.parse(file.read_text(encoding="utf-8"), str(file))
        for file in package_files(".py")
    })


@pytest.fixture(scope="session")
def lengths() -> Mapping[str, int]:
    """{path within the package: number of lines} of every Python and JavaScript file of the package."""
    return MappingProxyType({
        file.relative_to(PACKAGE).as_posix(): len(file.read_text(encoding="utf-8").splitlines())
        for file in package_files(".py", ".js", ".css")
    })
