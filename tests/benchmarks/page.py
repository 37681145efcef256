"""Run the benchmarks and write the table of ratios, RESULTS.md beside this file.

    python3 tests/run --benchmarks                        # all
    .venv/bin/python tests/benchmarks/page.py reading     # one module; the other rows stay as they are

Every other module of this folder with a `measure() -> list[Ratio]` is a benchmark; with a `picture() -> (file, words)` it has one. One after the other, on a quiet machine.
"""

from __future__ import annotations

import importlib.util
import os
import platform
import re
import sys
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path
from time import perf_counter
from types import ModuleType

sys.path.insert(0, str(Path(__file__).resolve().parent))

from ratios import Ratio

HERE = Path(__file__).resolve().parent
sys.path[:] = [folder for folder in sys.path if folder != str(HERE)]  # no benchmark is to be taken for a library of its name

RESULTS = HERE / "RESULTS.md"
HEAD = """# Benchmarks: ratios

Written by `python3 tests/run --benchmarks`. Each row sets plusway against something known on the same input, measured in turns in
the same run. Less is better; the aim is the largest ratio that we want. Nothing here passes or fails, and times of two machines
are not to be compared.
"""
COLUMNS = "| what | ours | against | theirs | ours / theirs | aim | note |\n|---|---:|---|---:|---:|---|---|\n"


def names() -> list[str]:
    """The modules of this folder that measure something."""
    return sorted(path.stem for path in HERE.glob("*.py") if "\ndef measure(" in path.read_text(encoding="utf-8"))


def load(name: str) -> ModuleType:
    """One benchmark module, under a name of its own."""
    spec = importlib.util.spec_from_file_location(f"benchmark_{name}", HERE / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # where a process of its own finds the module again
    sys.path.append(str(HERE))  # for what two modules share; at the end, so that libraries come first
    try:
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(HERE))
    return module


def machine() -> str:
    """The machine's kind, in words that say nothing about whose it is."""
    return f"{platform.system()}, {platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}"


def figure(value: float) -> str:
    """Three figures, never in powers of ten."""
    return f"{float(f'{value:.3g}'):,.10g}" if value < float("inf") else "∞"


def cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def row(ratio: Ratio) -> str:
    """One line of the table; an aim that is missed says so."""
    aim = "" if ratio.aim is None else f"≤ {figure(ratio.aim)}{'' if ratio.met else ' **missed**'}"
    fields = [ratio.what, f"{figure(ratio.ours)} {ratio.unit}", ratio.against, f"{figure(ratio.theirs)} {ratio.unit}",
              figure(ratio.ratio), aim, ratio.note]
    return "| " + " | ".join(cell(field) for field in fields) + " |\n"


def section(ratios: Iterable[Ratio], about: str, when: str, picture: str = "", says: str = "") -> str:
    """The part of the page that one module fills; `picture` is a file beside it, `says` the same in words."""
    shown = f"\n![{says}]({picture})\n\n{says}\n" if picture else ""
    return f"{about}\n{when}.\n\n{COLUMNS}{''.join(row(ratio) for ratio in ratios)}{shown}"


def sections(page: str) -> dict[str, str]:
    """{module: its part} of a page written before."""
    return {name: text.strip("\n") + "\n" for name, text in re.findall(r"^## (\S+)\n(.*?)(?=^## |\Z)", page, re.MULTILINE | re.DOTALL)}


def page(parts: Mapping[str, str]) -> str:
    """The whole page, the parts in the order of the alphabet."""
    return HEAD + "".join(f"\n## {name}\n\n{parts[name]}" for name in sorted(parts))


def main(wanted: list[str]) -> int:
    known = names()
    if strange := sorted(set(wanted) - set(known)):
        print(f"no benchmark {', '.join(strange)}; there are {', '.join(known)}", file=sys.stderr)
        return 2
    before = sections(RESULTS.read_text(encoding="utf-8")) if RESULTS.is_file() else {}
    parts = {name: text for name, text in before.items() if name in known}
    for name in wanted or known:
        began = perf_counter()
        module = load(name)
        ratios = module.measure()
        about = (module.__doc__ or "").partition("\n")[0]
        parts[name] = section(ratios, about, f"{date.today().isoformat()}, {machine()}", *getattr(module, "picture", lambda: ())())
        RESULTS.write_text(page(parts), encoding="utf-8")  # after each: an interrupted run keeps what it has
        print(f"{name}: {len(ratios)} rows in {perf_counter() - began:.0f} s", flush=True)
        print("".join(row(ratio) for ratio in ratios), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
