"""plusway vary: the same scene with fresh numbers."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ...autograde.errors import UsageError
from ..terminal import print_json, verb, warn_of_strays

if TYPE_CHECKING:
    from ...autograde.scene.model import Scene

MOST = 10_000
ROWS_SHOWN = 100


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "vary", run,
        does="give a scene with fresh, sensible numbers",
        more="The same scene and seed give the same numbers on every machine, and no two variants are alike. Unless\n"
             "--regime any is given, everything moves, slides and holds as in the scene itself. One variant is printed as a\n"
             "scene file, of several a table of their numbers; --out writes each as a scene file, DIR/NAME-1.toml, DIR/NAME-2.toml …\n"
             "Numbers in the story follow their data; one that can't is refused, and one that is no datum stays and is warned of.",
        example="plusway vary feed-sack --count 30 --seed 2024 --out variants",
    )
    parser.add_argument("scene", metavar="SCENE", help="a scene's name, or a TOML file")
    parser.add_argument("--count", type=int, default=1, metavar="N", help="how many (1 unless said)")
    parser.add_argument("--seed", default="1", metavar="S", help="any number or word (1 unless said)")
    parser.add_argument("--regime", choices=("same", "any"), default="same",
                        help="same (unless said): moves and slides as in the scene; any: all ways")
    parser.add_argument("--out", metavar="DIR", help="write files there instead of printing; none is overwritten")


def run(args: argparse.Namespace) -> int:
    if not 1 <= args.count <= MOST:
        raise UsageError(f"--count {args.count}: ask for 1 to {MOST:,} variants")
    from ...autograde.mechanics.variants import vary
    from ...autograde.scene.quantities import plain
    from ...autograde.scene.writing import scene_toml
    from ..catalogue import find

    scene = find(args.scene)
    fresh = vary(scene, args.count, args.seed, regime=args.regime)
    warn_of_strays("vary", [scene])
    found = [(f"{scene.name}-{i}", one) for i, one in enumerate(fresh, 1)]
    files = {name: scene_toml(one) for name, one in found}
    if args.out:
        written = _write(Path(args.out), files)
    if args.json:
        print_json([
            {"name": name, "toml": files[name],
             "data": {s.name: plain(s.given) for s in one.symbols.values() if s.given is not None},
             **({"file": str(written[name])} if args.out else {})}
            for name, one in found
        ])
    elif args.out:
        _print_table(scene, found)
        print(f"\n{len(files)} variant{'s' if len(files) > 1 else ''} of {scene.name} in {args.out}")
    elif len(files) == 1:
        print("\n".join(f"# {name}\n{text}" for name, text in files.items()), end="")
    else:
        _print_table(scene, found)
        print("\nAs scene files: --out DIR writes them, --json prints them.")
    return 0


def _print_table(scene: Scene, found: Sequence[tuple[str, Scene]]) -> None:
    """The title, and a row for each variant; a datum that all have stands above them, once."""
    from ...autograde.scene.quantities import plain

    rows = []
    for name, one in found[:ROWS_SHOWN]:
        data = {symbol.name: plain(symbol.given) for symbol in one.symbols.values() if symbol.given is not None}
        starts = {f"start of {thing}": plain(body.starts[1]) for thing, body in one.bodies.items() if body.starts is not None}
        rows.append({"variant": name, **data, **starts})
    same = [name for name, value in rows[0].items() if len(rows) > 1 and all(row[name] == value for row in rows)]
    shared = ", ".join(f"{name} = {rows[0][name]}" for name in same)
    print(f"{scene.title or scene.name}{f' (in all of them: {shared})' if shared else ''}")
    columns = [name for name in rows[0] if name not in same]
    widths = {name: max(len(name), *(len(row[name]) for row in rows)) for name in columns}
    for row in ({name: name for name in columns}, *rows):
        print("  ".join(f"{row[name]:<{widths[name]}}" if name == "variant" else f"{row[name]:>{widths[name]}}" for name in columns))
    if len(found) > len(rows):
        print(f"… and {len(found) - len(rows)} more")


def _write(folder: Path, files: dict[str, str]) -> dict[str, Path]:
    """Write each text as NAME.toml; one that is there already is named in a UsageError, and nothing is done."""
    paths = {name: folder / f"{name}.toml" for name in files}
    there = [path for path in paths.values() if path.exists()]
    if there:
        raise UsageError(f"{there[0]}: is there already; choose another folder with --out or move it away")
    folder.mkdir(parents=True, exist_ok=True)
    for name, path in paths.items():
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(files[name])
    return paths
