"""A small class to mark, and commands that run as a process of their own under something that goes wrong."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from plusway.lessons import assign

SCENE = "feed-sack"
Outcome = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def place() -> Iterator[Path]:
    """A fresh folder that every user of this computer may look into (pytest's own are for their owner alone)."""
    with tempfile.TemporaryDirectory(prefix="faults-") as name:
        Path(name).chmod(0o777)
        yield Path(name)


@pytest.fixture
def classroom(place: Path) -> Path:
    """place/collected with nine notebooks of known points, one that is none, and place/ps1.ipynb to mark them against."""
    source, _ = assign.write(assign.plan("ps1", [SCENE]), place / "course")
    text = source.read_text(encoding="utf-8")
    (place / "ps1.ipynb").write_text(text, encoding="utf-8")
    collected = place / "collected"
    collected.mkdir()
    for k in range(9):
        notebook = json.loads(text)
        answers: dict[str, Any] = {"directions": {"sack": "up", "counterweight": "down"}}
        answers["equations"] = {"sack": f"T {'-+'[k % 2]} 63.7 = 6.5a", "counterweight": "88.2 - T = 9a"}
        answers["working"] = [f"a = 1.{50 + k}"]
        notebook["metadata"]["plusway"]["answers"] = {SCENE: answers}
        (collected / f"s{k}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    (collected / "broken.ipynb").write_text('{"cells": [', encoding="utf-8")
    return collected


@pytest.fixture
def python() -> Outcome:
    """python(code, *arguments) runs it in a process of its own."""

    def run(code: str, *arguments: str, **options: Any) -> subprocess.CompletedProcess[str]:
        return subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, encoding="utf-8",
                              timeout=120, check=False, **options)

    return run


AS_ANYBODY = """
import os, sys, stat
from pathlib import Path
from plusway.lessons.command import main
for command in sys.argv[2:]:                        # first where all is well, so that whatever it imports is there
    main(command.replace('@', sys.argv[1] + '/well').replace('%', 'well').split())
home = Path(sys.argv[1])
for folder, _, files in [*os.walk(home / 'shut')][::-1]:
    for name in files:
        (Path(folder) / name).chmod(0o444)
    Path(folder).chmod(0o555)
sys.stdout.flush()
sys.stdout = open(os.devnull, 'w')
if os.geteuid() == 0:
    os.seteuid(65534)                               # root may write anywhere
try:
    codes = [main(command.replace('@', sys.argv[1] + '/shut').replace('%', 'shut').split()) for command in sys.argv[2:]]
finally:
    os.seteuid(os.getuid())
    for folder, _, _ in os.walk(home / 'shut'):
        Path(folder).chmod(0o755)
sys.exit(codes[-1])
"""


@pytest.fixture
def in_a_read_only_folder(python: Outcome) -> Outcome:
    """in_a_read_only_folder(home, "mark @/collected", …): the commands with @ for home/well; then as a user who may not write
    in home/shut, with @ for that. The outcome's code is that of the last one."""
    return lambda home, *commands: python(AS_ANYBODY, str(home), *commands)


@pytest.fixture
def command(place: Path) -> Outcome:
    """command("mark", …, limit=8000): plusway as a process that may write no file longer than so many bytes."""

    def run(*arguments: str, limit: int | None = None) -> subprocess.CompletedProcess[str]:
        def limited() -> None:
            import resource

            if limit is not None:
                resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))

        environment = {**os.environ, "MPLCONFIGDIR": str(place / "matplotlib"), "PYTHONDONTWRITEBYTECODE": "1"}
        return subprocess.run([sys.executable, "-m", "plusway", *arguments], capture_output=True, text=True, cwd=place,
                              encoding="utf-8", timeout=120, check=False, preexec_fn=limited, env=environment)

    return run
