"""What the docstrings show is true, and what is public has one."""

from __future__ import annotations

import ast
import doctest
import importlib
from collections.abc import Mapping

EXAMPLES_AT_LEAST = 5


def module_name(path: str) -> str:
    parts = ["plusway", *path.removesuffix(".py").split("/")]
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def test_every_example_in_a_docstring_runs(trees: Mapping[str, ast.Module]) -> None:
    """Every `>>>` in the package gives what stands below it."""
    tried, failed = 0, []
    for path, tree in trees.items():
        if ">>>" not in ast.unparse(tree):
            continue
        result = doctest.testmod(importlib.import_module(module_name(path)), report=True)
        tried += result.attempted
        failed += [f"{path}: {result.failed} of {result.attempted}"] if result.failed else []
    assert failed == []
    assert tried >= EXAMPLES_AT_LEAST


def test_every_module_says_what_it_is_for(trees: Mapping[str, ast.Module]) -> None:
    """Each file starts with a docstring."""
    assert [path for path, tree in trees.items() if not ast.get_docstring(tree)] == []


def test_exported_functions_and_classes_are_explained(trees: Mapping[str, ast.Module]) -> None:
    """Whatever a package's `__init__` offers (`__all__`) has a docstring."""
    silent = []
    for path in trees:
        if not path.endswith("__init__.py"):
            continue
        module = importlib.import_module(module_name(path))
        for name in getattr(module, "__all__", ()):
            offered = getattr(module, name)
            if callable(offered) and not (offered.__doc__ or "").strip():
                silent.append(f"{module.__name__}.{name}")
    assert silent == []
