"""What is imported is declared, and the declared ranges are the ones that are tried."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

DISTRIBUTION = {"IPython": "ipython", "yaml": "pyyaml", "dask": "distributed", "pydantic_core": "pydantic"}
RANGE = re.compile(r"([A-Za-z0-9._-]+)(?:\[[^\]]*\])?\s*>=\s*([0-9.]+)(?:\s*;.*)?")


@pytest.fixture(scope="module")
def project(root: Path) -> dict[str, Any]:
    """[project] of pyproject.toml."""
    project: dict[str, Any] = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return project


def ranges(requirements: list[str]) -> dict[str, str]:
    """{distribution: lower bound}; every requirement must have just that, so that a newer release is let in."""
    found = {}
    for requirement in requirements:
        match = RANGE.fullmatch(requirement)
        assert match, f"{requirement}: expected NAME>=VERSION"
        found[match[1].lower()] = match[2]
    return found


def test_whatever_the_package_imports_is_declared(project: dict[str, Any], trees: Mapping[str, ast.Module]) -> None:
    """No import leans on a package that only happens to come with another."""
    extras = project["optional-dependencies"]
    declared = set(ranges(project["dependencies"])) | set(ranges([*extras["cluster"], *extras["lab"], *extras["print"]]))
    missing: dict[str, list[str]] = {}
    for path, tree in trees.items():
        if path in ("lessons/environment.py",):
            continue
        for node in ast.walk(tree):
            modules = [a.name for a in node.names] if isinstance(node, ast.Import) else \
                [node.module or ""] if isinstance(node, ast.ImportFrom) and not node.level else []
            for module in (m.split(".")[0] for m in modules):
                name = DISTRIBUTION.get(module, module).lower().replace("_", "-")
                if module not in sys.stdlib_module_names and module != "plusway" and name not in declared and \
                        name.replace("-", "_") not in declared and module != "tomllib":
                    missing.setdefault(name, []).append(path)
    assert missing == {}


def test_the_oldest_releases_that_are_tried_are_the_lower_bounds(project: dict[str, Any], root: Path) -> None:
    """tests/oldest.txt pins each lower bound (tools that only check the code apart, and what only old Pythons need)."""
    extras = project["optional-dependencies"]
    bounds = ranges([*project["dependencies"], *extras["cluster"], *extras["lab"], *extras["print"], *extras["test"]])
    lines = (root / "tests" / "oldest.txt").read_text(encoding="utf-8").splitlines()
    pins = dict(line.lower().split("==") for line in lines if line and not line.startswith("#"))
    expected = {name: bound for name, bound in bounds.items() if name not in {"build", "mypy", "ruff", "tomli"}}
    assert {n: _numbers(v) for n, v in pins.items()} == {n: _numbers(v) for n, v in expected.items()}


def _numbers(version: str) -> list[int]:
    """A version as numbers without trailing zeros: 4.1 and 4.1.0 are the same release."""
    numbers = [int(part) for part in version.split(".")]
    while numbers and numbers[-1] == 0:
        numbers.pop()
    return numbers
