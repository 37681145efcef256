"""What a student, a notebook or a file says is data: nothing in the package can run it."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping

import pytest

CALLS = {"eval", "exec", "compile", "__import__", "sympify", "parse_expr", "breakpoint"}
METHODS = {("os", "system"), ("os", "popen"), ("yaml", "load"), ("yaml", "unsafe_load"), ("numpy", "load"),
           ("np", "load"), ("pandas", "eval"), ("pd", "eval"), ("pandas", "read_pickle"), ("pd", "read_pickle")}
MODULES = {"pickle", "cPickle", "dill", "cloudpickle", "joblib", "marshal", "shelve", "code", "codeop", "runpy"}


def dangers(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, what) for everything that could run text."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import | ast.ImportFrom):
            named = [a.name for a in node.names]
            modules = named if isinstance(node, ast.Import) else [node.module or ""]
            for module in modules:
                if module.split(".")[0] in MODULES and not (isinstance(node, ast.ImportFrom) and node.level):
                    yield node.lineno, f"import {module}"
            for name in CALLS.intersection(named):
                yield node.lineno, f"import of {name}"
        elif isinstance(node, ast.Name) and node.id in CALLS:
            yield node.lineno, node.id
        elif isinstance(node, ast.Attribute):
            if node.attr in {"sympify", "parse_expr", "eval"}:
                yield node.lineno, f".{node.attr}"
            elif isinstance(node.value, ast.Name) and (node.value.id, node.attr) in METHODS:
                yield node.lineno, f"{node.value.id}.{node.attr}"
            elif isinstance(node.value, ast.Name) and node.value.id == "builtins":
                yield node.lineno, f"builtins.{node.attr}"
        elif (isinstance(node, ast.keyword) and node.arg in {"shell", "allow_pickle"}
              and not (isinstance(node.value, ast.Constant) and node.value.value is False)):
            yield node.value.lineno, f"{node.arg}="


def test_nothing_in_the_package_can_run_text(trees: Mapping[str, ast.Module]) -> None:
    """No eval, exec, compile, sympify, parse_expr, pickle, yaml.load or shell in any syntax tree of the package."""
    found = [f"{path}:{line}: {what}" for path, tree in trees.items() for line, what in dangers(tree)]
    assert found == []


def test_the_walk_sees_the_whole_package(trees: Mapping[str, ast.Module]) -> None:
    """All three folders are looked at, through the links too."""
    assert {path.split("/")[0] for path in trees} >= {"autograde", "widgets", "lessons"}
    assert "lessons/command.py" in trees


@pytest.mark.parametrize("code", [
    "eval(text)",
    "exec(text)",
    "run = eval",
    "compile(text, '', 'eval')",
    "__import__(name)",
    "from sympy import sympify",
    "import sympy; sympy.sympify(text)",
    "from sympy.parsing.sympy_parser import parse_expr",
    "import pickle",
    "from pickle import loads",
    "yaml.load(text)",
    "os.system(text)",
    "subprocess.run(text, shell=True)",
    "subprocess.run(text, shell=flag)",
    "np.load(path, allow_pickle=True)",
    "frame.eval(text)",
    "builtins.exec(text)",
])
def test_the_walk_finds_each_danger(code: str) -> None:
    """Each way of running text is seen by the walk."""
    assert list(dangers(ast.parse(code))) != []


@pytest.mark.parametrize("code", [
    "re.compile('x')", "subprocess.run([x], shell=False)", "evaluate(text)", "json.load(f)",
])
def test_the_walk_lets_the_harmless_pass(code: str) -> None:
    """What only looks like a danger is no finding."""
    assert list(dangers(ast.parse(code))) == []
