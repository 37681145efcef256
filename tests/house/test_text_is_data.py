"""What a student, a notebook or a file says is data: nothing in the package can run it.

What may be used is listed, not what may not: a module, a part of `os` or a name that is worked out and is not listed below is a finding, and
somebody has to look at it before it goes in.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping

import pytest

HARMLESS = frozenset("""
    __future__ argparse base64 codecs collections contextlib copy csv dataclasses datetime difflib errno fcntl fractions functools
    hashlib heapq html io itertools json logging math mmap msvcrt pathlib random re secrets signal stat statistics sys tempfile textwrap threading
    time tomli tomllib traceback typing unicodedata urllib uuid warnings weakref zlib
    anywidget ipywidgets matplotlib mpmath nbformat plusway pydantic pydantic_core rich scipy traitlets
""".split())  # noqa: SIM905
# What could start a program, find a module, open a connection or a page, or run a notebook: only there, and why.
ONLY_THERE = {
    "subprocess": ({"lessons/environment.py"}, "sets up a clone: Python, pip and the system's package manager"),
    "shutil": ({"lessons/environment.py"}, "looks for programs, takes an old .venv away"),
    "importlib": ({"lessons/command.py", "lessons/catalogue.py", "lessons/lab/runs.py", "widgets/problem.py", "widgets/static.py"},
                  "the files of lessons/verbs/, as pkgutil lists them; elsewhere only the package's own data (`resources`)"),
    "pkgutil": ({"lessons/command.py"}, "lists lessons/verbs/"),
    "socket": ({"lessons/server.py"}, "looks for a free port of this computer"),
    "webbrowser": ({"lessons/server.py"}, "opens the server's own address"),
    "jupyterlab": ({"lessons/server.py"}, "plusway learn"),
    "jupyter_server": ({"lessons/server.py", "lessons/connection.py"}, "plusway learn"),
    "sqlite3": ({"autograde/marking/store.py"}, "results; values are given apart from the statements"),
    "multiprocessing": ({"autograde/marking/processes.py"}, "whether a worker's parent is still there"),
    "concurrent": ({"autograde/marking/run.py", "autograde/marking/pages.py"}, "workers run our own two functions"),
    "distributed": ({"autograde/marking/cluster.py"}, "--scheduler"),
    "nbgrader": ({f"autograde/marking/nbgrader_{name}.py" for name in ("adapter", "feedback", "export")}, "what replaces running cells"),
    "nbconvert": ({"autograde/marking/nbgrader_adapter.py"}, "the exporter that writes a notebook"),
    "weasyprint": ({"lessons/sheets.py"}, "prints our own HTML, and fetches nothing"),
}
OS = frozenset("""
    O_APPEND O_BINARY O_CREAT O_RDONLY O_RDWR O_WRONLY PathLike _exit chmod close devnull dup dup2 environ fdopen fsencode fspath fstat fsync
    ftruncate geteuid name open path pathsep pread replace scandir sep stat strerror umask unlink write
""".split())  # noqa: SIM905
PARTS = {"os": OS, "importlib": {"resources", "import_module"}, "codecs": {"BOM_UTF8", "BOM_UTF16_LE", "BOM_UTF16_BE", "BOM_UTF32_LE", "BOM_UTF32_BE"},
         "urllib": {"parse"}, "logging": {"getLogger"}, "sys": {"argv", "executable", "exit", "modules", "platform", "prefix", "version_info", "stdin", "stdout", "stderr"}}
BUILT_INS = {"eval", "exec", "compile", "__import__", "breakpoint", "globals", "locals", "__builtins__", "__loader__", "__spec__", "setattr", "delattr"}
ATTRIBUTES = {"eval", "sympify", "parse_expr", "__globals__", "__builtins__", "__subclasses__", "__bases__", "__mro__", "__code__", "__loader__",
              "__reduce__", "__dict__", "__import__", "load_extension", "enable_load_extension", "run_cell"}
# Where an attribute is looked up by a name that is worked out, and whose names these are.
WORKED_OUT = {
    "autograde/marking/overrides.py": "the keys of an override, a list of ours",
    "lessons/key.py": "the fields of the reader's own trees",
    "lessons/practice/session.py": "the methods of Problem, by the table of steps",
    "lessons/practice/tracing.py": "the fields of the parameters",
    "lessons/terminal.py": "a stream's own, handed on by its guard",
}


def known_as(tree: ast.Module) -> dict[str, str]:
    """{name in the file: what it is}: `import os as o` gives {"o": "os"}, `from os import system as s` {"s": "os.system"}."""
    names: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.asname: alias.name for alias in node.names if alias.asname}
            names |= {alias.name.split(".")[0]: alias.name.split(".")[0] for alias in node.names if not alias.asname}
        elif isinstance(node, ast.ImportFrom) and not node.level:
            names |= {alias.asname or alias.name: f"{node.module}.{alias.name}" for alias in node.names}
    return names


def modules(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, top-level module) of every import from outside the package."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name.split(".")[0]) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            yield node.lineno, (node.module or "").split(".")[0]


def dangers(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, what) for everything that could run text."""
    names = known_as(tree)
    used = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    used |= {id(node.args[0]) for node in ast.walk(tree) if isinstance(node, ast.Call) and _written_out(node)}
    for line, module in modules(tree):
        if module not in HARMLESS | set(ONLY_THERE) | {"os"}:
            yield line, f"import {module}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            dotted = [alias.name.split(".") for alias in node.names if "." in alias.name]
            yield from ((node.lineno, f"import {root}.{part}") for root, part, *_ in dotted if root in PARTS and part not in PARTS[root])
        elif isinstance(node, ast.ImportFrom) and not node.level:
            parts = PARTS.get((node.module or "").split(".")[0])
            first = [(node.module or "").split(".")[1]] if "." in (node.module or "") else [alias.name for alias in node.names]
            yield from ((node.lineno, f"{node.module}.{part}") for part in first if parts is not None and part not in parts)
            yield from ((node.lineno, f"import of {alias.name}") for alias in node.names if alias.name in BUILT_INS | ATTRIBUTES)
        elif isinstance(node, ast.Name):
            if node.id in BUILT_INS:
                yield node.lineno, node.id
            elif names.get(node.id, "") in PARTS and id(node) not in used:
                yield node.lineno, f"{node.id} itself"  # handed on, or given another name
        elif isinstance(node, ast.Attribute):
            root = names.get(node.value.id, "") if isinstance(node.value, ast.Name) else ""
            if node.attr in ATTRIBUTES or (root in PARTS and node.attr not in PARTS[root]):
                yield node.lineno, f"{root}.{node.attr}"
        elif isinstance(node, ast.Call) and _written_out(node):
            root = names.get(getattr(node.args[0], "id", ""), "")
            if root in PARTS and node.args[1].value not in PARTS[root]:  # type: ignore[attr-defined]
                yield node.lineno, f"getattr of {root}"
        elif (isinstance(node, ast.keyword) and node.arg in {"shell", "allow_pickle"}
              and not (isinstance(node.value, ast.Constant) and node.value.value is False)):
            yield node.value.lineno, f"{node.arg}="


def _written_out(node: ast.Call) -> bool:
    """getattr(x, "name")"""
    return getattr(node.func, "id", "") in {"getattr", "hasattr"} and isinstance(node.args[1], ast.Constant)


def worked_out(tree: ast.Module) -> Iterator[int]:
    """The lines in which an attribute is looked up by a name that is not written out: by getattr, in a module's vars, or by its methods."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", "") or getattr(node.func, "attr", "")
            if (name in {"getattr", "hasattr"} and not isinstance(node.args[1], ast.Constant)) or name in {"attrgetter", "methodcaller", "__getattribute__"}:
                yield node.lineno


def programs(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, what) for every program that is started: "list" where its command is a list of words, else "text"."""
    names = known_as(tree)
    lists = {target.id for node in ast.walk(tree) if isinstance(node, ast.Assign) and isinstance(node.value, ast.List)
             for target in node.targets if isinstance(target, ast.Name)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and isinstance(node.func.value, ast.Name) \
                and (names.get(node.func.value.id) == "subprocess" or node.func.attr.startswith("create_subprocess")):
            first = node.args[0] if node.args else None
            words = isinstance(first, ast.List) or (isinstance(first, ast.Name) and first.id in lists)
            yield node.lineno, "list" if words and node.func.attr not in {"getoutput", "getstatusoutput"} else "text"
        elif isinstance(node, ast.ImportFrom) and node.module == "subprocess":
            yield node.lineno, "text"


def test_programs_are_started_from_lists_of_words(trees: Mapping[str, ast.Module]) -> None:
    """No text is ever given to a shell."""
    assert [f"{path}:{line}" for path, tree in trees.items() for line, kind in programs(tree) if kind != "list"] == []


def test_what_reaches_out_does_so_in_one_place(trees: Mapping[str, ast.Module]) -> None:
    """Programs, modules by name, connections, other people's code that runs notebooks: where the table says, and nowhere else."""
    found: dict[str, set[str]] = {}
    for path, tree in trees.items():
        for _, module in modules(tree):
            if module in ONLY_THERE:
                found.setdefault(module, set()).add(path)
    from_a_clone = {"lessons/environment.py"}  # no part of the wheel
    assert found == {module: files if files & set(trees) else set() for module, (files, _) in ONLY_THERE.items() if files - from_a_clone or files & set(trees)}


def test_modules_are_found_by_name_in_one_place(trees: Mapping[str, ast.Module]) -> None:
    """No text decides what is imported."""
    assert {path for path, tree in trees.items() for node in ast.walk(tree)
            if isinstance(node, ast.Attribute) and node.attr == "import_module"} == {"lessons/command.py"}


def test_names_that_are_worked_out_are_ours(trees: Mapping[str, ast.Module]) -> None:
    """An attribute is looked up by a worked-out name only where that name comes from a table."""
    assert {path for path, tree in trees.items() if list(worked_out(tree))} == set(WORKED_OUT)


def test_nothing_in_the_package_can_run_text(trees: Mapping[str, ast.Module]) -> None:
    """No eval, exec, compile, sympify, pickle, yaml, XML, archive or shell in any syntax tree of the package."""
    assert [f"{path}:{line}: {what}" for path, tree in trees.items() for line, what in dangers(tree)] == []


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
    "__builtins__['eval'](text)",
    "globals()['ev' + 'al'](text)",
    "from builtins import eval as worth",
    "import builtins as b; b.exec(text)",
    "setattr(thing, text, text)",
    "().__class__.__bases__[0].__subclasses__()",
    "function.__globals__[text]",
    "from sympy import sympify",
    "from sympy import S",
    "import sympy as s; s.Matrix(text)",
    "mpmath.sympify(text)",
    "frame.eval(text)",
    "import pickle",
    "from pickle import loads",
    "from marshal import loads",
    "import shelve",
    "import yaml; yaml.load(text)",
    "import numpy as np; np.load(path, allow_pickle=True)",
    "figure = load(path, allow_pickle=flag)",
    "import os; os.system(text)",
    "import os as o; o.system(text)",
    "from os import system",
    "from os import popen as ask",
    "from os import *",
    "import os; getattr(os, 'system')(text)",
    "import os; run = os",
    "import os; vars(os)[text]()",
    "import os; os.execvp(text, [])",
    "import os; os.posix_spawn(text, [], {})",
    "import posix",
    "import pty",
    "import sys; sys.setrecursionlimit(10 ** 9)",
    "import sys; sys.set_int_max_str_digits(0)",
    "import importlib; importlib.reload(x)",
    "import importlib.util as u; u.spec_from_file_location('x', text)",
    "from importlib.util import spec_from_file_location",
    "import logging; logging.config.dictConfig(table)",
    "from logging import config",
    "run(text, shell=True)",
    "run(text, shell=flag)",
    "import ctypes",
    "import code",
    "import timeit; timeit.timeit(text)",
    "import pdb",
    "import runpy",
    "import asyncio",
    "from operator import attrgetter",
    "import ast; ast.literal_eval(text)",
    "import string; string.Template(text)",
    "import jinja2",
    "from xml.etree import ElementTree",
    "import zipfile",
    "import tarfile",
    "import gzip",
    "import urllib.request",
    "from urllib.request import urlopen",
    "import requests",
    "get_ipython().run_cell(text)",
    "connection.enable_load_extension(True)",
])
def test_the_walk_finds_each_danger(code: str) -> None:
    """Each way of running, unpacking or fetching what a text says is seen by the walk."""
    assert list(dangers(ast.parse(code))) != []


@pytest.mark.parametrize("code", [
    "re.compile('x')", "run([x], shell=False)", "evaluate(text)", "import json; json.load(f)", "import os; os.open(path, os.O_RDWR)",
    "import os; getattr(os, 'O_BINARY', 0)", "from importlib import resources", "from ..errors import PluswayError",
])
def test_the_walk_lets_the_harmless_pass(code: str) -> None:
    """What only looks like a danger is no finding."""
    assert list(dangers(ast.parse(code))) == []


@pytest.mark.parametrize(("code", "kind"), [
    ("subprocess.run(f'open {text}')", "text"), ("subprocess.Popen(text)", "text"), ("subprocess.call('x ' + text)", "text"),
    ("sp.run(text)", "text"), ("subprocess.getoutput([x])", "text"),
    ("from subprocess import run", "text"), ("asyncio.create_subprocess_shell(text)", "text"), ("subprocess.run([x, y])", "list"),
    ("command = [x]\nsubprocess.run(command)", "list"),
])
def test_the_walk_tells_a_command_of_words_from_one_of_text(code: str, kind: str) -> None:
    """A list's words reach the program as they are."""
    assert [what for _, what in programs(ast.parse(f"import subprocess\nimport subprocess as sp\n{code}"))] == [kind]


@pytest.mark.parametrize("code", ["getattr(module, text)", "getattr(module, 'a' + text)", "attrgetter(text)(module)", "operator.methodcaller(text)(module)",
                                  "module.__getattribute__(text)"])
def test_the_walk_finds_each_look_up_by_name(code: str) -> None:
    """Each way of reaching what a text names is seen."""
    assert list(worked_out(ast.parse(code))) != []
