"""A clone sets itself up with nothing but Python: which way it takes on which machine, and what it says where it can't."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

pytestmark = pytest.mark.clone


@pytest.fixture
def environment(root: Path) -> ModuleType:
    """lessons/environment.py, as the two scripts import it."""
    spec = importlib.util.spec_from_file_location("environment_of_the_clone", root / "lessons" / "environment.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


Machine = Callable[[set[str]], list[str]]


@pytest.fixture
def machine(environment: ModuleType, monkeypatch: pytest.MonkeyPatch) -> Machine:
    """machine(what works) -> the list of what was tried, filled as `make` goes."""

    def behave(works: set[str]) -> list[str]:
        tried: list[str] = []

        def runs(*command: str) -> bool:
            line = " ".join(command)
            what = ("ensurepip" if "import ensurepip" in line else "bare venv" if "--without-pip" in line else
                    "pip fills it" if "--python" in line else "venv" if "-m venv" in line else "pip there")
            tried.append(what)
            return what in works

        def apt_install(*packages: str) -> bool:
            tried.append(f"apt {' '.join(packages)}")
            if "apt" in works:
                works.add("venv")
            return "apt" in works

        monkeypatch.setattr(environment, "_runs", runs)
        monkeypatch.setattr(environment, "apt_install", apt_install)
        return tried

    return behave


@pytest.mark.parametrize(("works", "tried"), [
    ({"ensurepip", "venv"}, ["ensurepip", "venv"]),
    ({"bare venv", "pip fills it"}, ["ensurepip", "bare venv", "pip fills it"]),
    ({"bare venv", "apt"}, ["ensurepip", "bare venv", "pip fills it", "apt python3-venv", "venv"]),
    ({"apt"}, ["ensurepip", "bare venv", "apt python3-venv", "venv"]),
])
def test_each_machine_gets_its_environment(
    works: set[str], tried: list[str], environment: ModuleType, machine: Machine, tmp_path: Path
) -> None:
    """Python's own way first, then a pip that is there, then the system's package manager."""
    found = machine(works)
    assert environment.make(tmp_path / ".venv") == environment.venv_python(tmp_path / ".venv")
    assert found == tried


def test_a_machine_that_can_not_is_told_what_to_install(
    environment: ModuleType, machine: Machine, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line, exit code 2, and no half-made environment left behind."""
    machine(set())
    with pytest.raises(SystemExit) as stopped:
        environment.make(tmp_path / ".venv")
    assert stopped.value.code == 2
    assert "apt install python3-venv" in capsys.readouterr().err
    assert not (tmp_path / ".venv").exists()


def test_an_environment_that_stands_is_taken_as_it_is(environment: ModuleType, machine: Machine, tmp_path: Path) -> None:
    """The second call does nothing but look."""
    python = environment.venv_python(tmp_path / ".venv")
    python.parent.mkdir(parents=True)
    python.touch()
    tried = machine({"pip there"})
    assert environment.make(tmp_path / ".venv") == python
    assert tried == ["pip there"]


@pytest.fixture
def installs(environment: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[str]:
    """A small clone under tmp_path, and what pip was asked to install there."""
    for name in ("pyproject.toml", "README.md"):
        (tmp_path / name).write_text(name, encoding="utf-8")
    for folder in (".src", "lessons", "widgets/labextension", "autograde", ".venv/bin"):
        (tmp_path / folder).mkdir(parents=True)
    asked: list[str] = []

    def run(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        asked.append(" ".join(a.replace(str(tmp_path), "clone") for a in command[command.index("install") + 1:]
                              if a not in ("--quiet", "--disable-pip-version-check")))
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr(environment, "ROOT", tmp_path)
    monkeypatch.setattr(environment.subprocess, "run", run)
    return asked


def test_an_unchanged_clone_is_installed_once(environment: ModuleType, installs: list[str], tmp_path: Path) -> None:
    """A change of any file of the package installs it anew; nothing else does."""
    python = tmp_path / ".venv/bin/python"
    environment.install(python)
    environment.install(python)
    assert installs == ["clone"]
    (tmp_path / "autograde" / "new.py").write_text("", encoding="utf-8")
    environment.install(python)
    assert installs == ["clone", "clone"]


def test_what_the_tests_installed_serves_the_lessons_too(
    environment: ModuleType, installs: list[str], tmp_path: Path
) -> None:
    """An editable install follows the files; only the project file and the extension, which is copied, call for pip."""
    python = tmp_path / ".venv/bin/python"
    environment.install(python, "test", editable=True)
    (tmp_path / "autograde" / "new.py").write_text("", encoding="utf-8")
    environment.install(python)
    environment.install(python, "test", editable=True)
    assert installs == ["--editable clone[test]"]
    (tmp_path / "widgets/labextension/panel.js").write_text("", encoding="utf-8")
    environment.install(python, "test", editable=True)
    assert installs == ["--editable clone[test]"] * 2


def test_the_scripts_start_in_old_pythons_too(root: Path) -> None:
    """They are plain enough for Python 3.8 to read, so that it can say that it is too old."""
    import ast

    for script in ("lessons/open", "lessons/environment.py", "tests/run"):
        ast.parse((root / script).read_text(encoding="utf-8"), feature_version=(3, 8))
    assert sys.version_info >= (3, 10)
