"""The folders are the architecture: lessons -> widgets -> autograde, never back."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

import plusway

FLOORS = {"autograde": 0, "widgets": 1, "lessons": 2}
# What each room of autograde may know of the others, beside the modules that all share.
KNOWS: dict[str, set[str]] = {
    "scene": set(), "records": set(), "mechanics": {"scene"}, "reading": {"scene"}, "judging": {"scene", "mechanics", "reading"},
    "marking": {"scene", "mechanics", "reading", "judging", "records"},
}
LONGEST = 400
ALLOWED = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "lessons", "widgets", "autograde", "tests"}
HEAVY = ["numpy", "matplotlib", "sympy", "jupyterlab", "nbgrader", "IPython", "ipywidgets", "distributed"]


def imported(path: str, tree: ast.Module) -> Iterator[tuple[int, str]]:
    """(line, dotted module) of everything that a file imports, relative imports resolved; at any depth of the file."""
    package = ["plusway", *path.split("/")[:-1]]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            yield node.lineno, module
            yield from ((node.lineno, f"{module}.{alias.name}") for alias in node.names)


def floor(path: str) -> int | None:
    return FLOORS.get(path.split("/")[0])


def test_no_folder_imports_from_a_higher_one(trees: Mapping[str, ast.Module]) -> None:
    """lessons -> widgets -> autograde, never back, not even in a function."""
    found = []
    for path, tree in trees.items():
        here = floor(path)
        if here is None:
            continue
        for line, module in imported(path, tree):
            parts = module.split(".")
            if parts[0] == "plusway" and len(parts) > 1 and FLOORS.get(parts[1], here) > here:
                found.append(f"{path}:{line}: {module}")
    assert found == []


def test_no_room_of_autograde_knows_more_than_it_may(trees: Mapping[str, ast.Module]) -> None:
    """A scene knows no mechanics, a reader no verdict, a journal no judge; what all share knows none of them."""
    found = []
    for path, tree in trees.items():
        here, *inside = path.split("/")[1:] if path.startswith("autograde/") else ("",)
        may = KNOWS[here] | {here} if inside else set()
        for line, module in imported(path, tree):
            room = module.removeprefix("plusway.autograde.").split(".")[0]
            if here and room in KNOWS and room not in may:
                found.append(f"{path}:{line}: {module}")
    assert found == []


def test_the_three_folders_import_each_other_relatively(trees: Mapping[str, ast.Module]) -> None:
    """Inside the package no import says `plusway.`, so that the folders could be moved as one."""
    found = [
        f"{path}:{node.lineno}"
        for path, tree in trees.items() if floor(path) is not None
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and not node.level and (node.module or "").split(".")[0] == "plusway"
    ]
    assert found == []


def test_autograde_needs_neither_numpy_nor_matplotlib(trees: Mapping[str, ast.Module]) -> None:
    """No file of autograde imports numpy or matplotlib anywhere, and only functions import sympy.

    The Dask and nbgrader adapters under marking/ may import their programs, in functions.
    """
    found = []
    for path, tree in trees.items():
        if floor(path) != 0:
            continue
        for line, module in imported(path, tree):
            if module.split(".")[0] in {"numpy", "matplotlib", "pandas", "scipy"}:
                found.append(f"{path}:{line}: {module}")
        for node in tree.body:
            if isinstance(node, ast.Import | ast.ImportFrom) and any(
                module.split(".")[0] == "sympy" for _, module in imported(path, ast.Module([node], []))
            ):
                found.append(f"{path}:{node.lineno}: sympy at the top")
    assert found == []


@pytest.mark.parametrize("start", [
    "import plusway.autograde",
    "from plusway.autograde.judging import judge",
    "import plusway.autograde.mechanics",
    "from plusway.autograde.reading import read, to_mathml",
    "import plusway.autograde.scene",
    "from plusway.lessons.command import build_parser; build_parser()",
])
def test_what_starts_quickly_loads_nothing_heavy(start: str) -> None:
    """Judging and the command line's help start without numpy, matplotlib, sympy and the notebook's own packages."""
    code = f"import sys, json; {start}; print(json.dumps([m for m in {HEAVY!r} if m in sys.modules]))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == []


def test_a_page_opens_without_what_only_an_answer_needs(tmp_path: Path) -> None:
    """The first widget of each step is there before the reader of lines, the judge and the drawings are imported."""
    later = [f"plusway.{name}" for name in ("autograde.reading.parser", "autograde.judging.paper", "widgets.worked", "widgets.closingpicture", "widgets.slipfinder")]
    code = ("import sys; from plusway.widgets import Problem; p = Problem('feed-sack'); "
            "p.directions(), p.forces(), p.equation(), p.ties(), p.working(), p.results(), p.sense(); "
            f"print([m for m in {[*later, 'matplotlib', 'sympy']!r} if m in sys.modules])")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path)
    assert done.stdout.strip() == "[]"


def test_files_stay_short_enough_to_read(lengths: Mapping[str, int]) -> None:
    """One idea a file: none is longer than 400 lines."""
    assert {path: lines for path, lines in lengths.items() if lines > LONGEST} == {}


@pytest.mark.clone
def test_the_top_level_holds_only_what_it_may(root: Path) -> None:
    """Three folders of code, the tests, two pages, the licence and the project file; all else is a dot file."""
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=root, capture_output=True, text=True, check=True).stdout
    tops = {name.split("/")[0] for name in listed.split("\0") if name}
    assert {top for top in tops if not top.startswith(".")} == ALLOWED


def test_the_extension_has_the_version_of_the_package() -> None:
    """JupyterLab shows the same version for the extension as pip does for the package."""
    for folder in (Path(plusway.__file__).resolve().parents[2] / "widgets/labextension",
                   Path(sys.prefix) / "share/jupyter/labextensions/plusway"):
        if (folder / "package.json").exists():
            assert json.loads((folder / "package.json").read_text(encoding="utf-8"))["version"] == plusway.__version__
            return
    pytest.fail("the JupyterLab extension is not installed")
