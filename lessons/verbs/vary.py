"""plusway vary: the same scene with fresh numbers."""

from __future__ import annotations

import argparse
from pathlib import Path

from ...autograde.errors import UsageError
from ..terminal import print_json, verb, warn_of_strays

MOST = 10_000


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "vary", run,
        does="give a scene with fresh, sensible numbers",
        more="The same scene and seed give the same numbers on every machine, and no two variants are alike. Unless\n"
             "--regime any is given, everything moves, slides and holds as in the scene itself. Each variant is a scene\n"
             "file: printed one after the other, or written to DIR as NAME-1.toml, NAME-2.toml … Numbers in the story follow\n"
             "their data; one that can't is refused, and one that is no datum stays and is warned of.",
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
        print(f"{len(files)} variants of {scene.name} in {args.out}")
    else:
        print("\n".join(f"# {name}\n{text}" for name, text in files.items()), end="")
    return 0


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
