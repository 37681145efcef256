"""What a student, a notebook or a file says is data: nothing in the package can run it."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping

import pytest

CALLS = {"eval", "exec", "compile", "__import__", "sympify", "parse_expr", "breakpoint"}
RUNNERS = {"system", "popen", "startfile", "posix_spawn", "posix_spawnp", *(f"{how}{which}" for how in ("exec", "spawn")
           for which in ("l", "le", "lp", "lpe", "v", "ve", "vp", "vpe"))}
METHODS = {*(("os", name) for name in RUNNERS), ("subprocess", "getoutput"), ("subprocess", "getstatusoutput"),
           ("pty", "spawn"), ("tempfile", "mktemp"), ("importlib", "__import__"), ("yaml", "load"), ("yaml", "unsafe_load"), ("numpy", "load"),
           ("np", "load"), ("pandas", "eval"), ("pd", "eval"), ("pandas", "read_pickle"), ("pd", "read_pickle")}
MODULES = {"pickle", "cPickle", "dill", "cloudpickle", "joblib", "marshal", "shelve", "code", "codeop", "runpy", "ctypes",
           "commands", "imp", "xmlrpc"}
# Where a program is started, or a module is found by a name that is worked out, and why that name is ours.
STARTS_PROGRAMS = {"lessons/environment.py": "sets up a clone: Python, pip and the system's package manager"}
FINDS_MODULES = {"lessons/command.py": "the files of lessons/verbs/, as pkgutil lists them"}


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


def programs(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, what) for every program that is started: "list" where its command is a list of words, else "text"."""
    lists = {target.id for node in ast.walk(tree) if isinstance(node, ast.Assign) and isinstance(node.value, ast.List)
             for target in node.targets if isinstance(target, ast.Name)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and isinstance(node.func.value, ast.Name) \
                and (node.func.value.id == "subprocess" or node.func.attr.startswith("create_subprocess")):
            first = node.args[0] if node.args else None
            words = isinstance(first, ast.List) or (isinstance(first, ast.Name) and first.id in lists)
            yield node.lineno, "list" if words else "text"
        elif isinstance(node, ast.ImportFrom) and node.module == "subprocess":
            yield node.lineno, "text"


def found_by_name(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, what) for every module or attribute of the built-ins that is looked up by a name which is not written out."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name in {"import_module", "spec_from_file_location", "exec_module", "load_module"}:
                yield node.lineno, name
            elif name == "getattr" and isinstance(node.args[0], ast.Name) and node.args[0].id in {"builtins", "__builtins__"}:
                yield node.lineno, "getattr of builtins"
        elif isinstance(node, ast.ImportFrom) and any(a.name == "import_module" for a in node.names):
            yield node.lineno, "import_module"


def test_programs_are_started_in_one_place_and_from_lists_of_words(trees: Mapping[str, ast.Module]) -> None:
    """No text is ever given to a shell, and nothing that a student or teacher wrote starts a program."""
    found = {path: {what for _, what in programs(tree)} for path, tree in trees.items()}
    assert {path: kinds for path, kinds in found.items() if kinds} in ({}, {path: {"list"} for path in STARTS_PROGRAMS})


def test_modules_are_found_by_name_in_one_place(trees: Mapping[str, ast.Module]) -> None:
    """No text decides what is imported."""
    assert {path for path, tree in trees.items() if list(found_by_name(tree))} == set(FINDS_MODULES)


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
    "os.popen(text)",
    "os.execvp(text, [])",
    "subprocess.getoutput(text)",
    "import ctypes",
    "from marshal import loads",
    "mpmath.sympify(text)",
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


@pytest.mark.parametrize(("code", "kind"), [
    ("subprocess.run(f'open {text}')", "text"), ("subprocess.Popen(text)", "text"), ("subprocess.call('x ' + text)", "text"),
    ("from subprocess import run", "text"), ("asyncio.create_subprocess_shell(text)", "text"), ("subprocess.run([x, y])", "list"),
    ("command = [x]\nsubprocess.run(command)", "list"),
])
def test_the_walk_tells_a_command_of_words_from_one_of_text(code: str, kind: str) -> None:
    """A list's words reach the program as they are."""
    assert [what for _, what in programs(ast.parse(code))] == [kind]


@pytest.mark.parametrize("code", ["importlib.import_module(text)", "from importlib import import_module",
                                  "getattr(builtins, text)", "importlib.util.spec_from_file_location('x', text)"])
def test_the_walk_finds_each_look_up_by_name(code: str) -> None:
    """Each way of importing what a text names is seen."""
    assert list(found_by_name(ast.parse(code))) != []
