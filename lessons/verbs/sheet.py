"""plusway sheet: problem sheets and worked keys to print."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from ...autograde.errors import UsageError
from ..terminal import print_json, verb, warn_of_strays

MOST = 500


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "sheet", run,
        does="write problem sheets and their worked keys, to print",
        more="Writes DIR/sheet-1.html and DIR/key-1.html, and so on for each variant; the scenes are the problems, in this order.\n"
             "With --seed or --count the numbers are fresh, the same for a seed on every machine; without, they are the scenes'\n"
             "own. --pdf adds the same pages as PDF and needs the extra plusway[print]; the HTML is\n"
             "written without it too. No file is overwritten.",
        example="plusway sheet feed-sack slate-on-bench --count 3 --seed 2024 --out sheets",
    )
    parser.add_argument("scenes", metavar="SCENE", nargs="+", help="scenes by name, or TOML files")
    parser.add_argument("--count", type=int, default=None, metavar="N", help="how many variants (1 unless said)")
    parser.add_argument("--seed", default=None, metavar="S", help="any number or word (1 unless said)")
    parser.add_argument("--scheme", metavar="FILE", help="a TOML file with the points for each step")
    parser.add_argument("--out", metavar="DIR", default="sheets", help="where the pages go (sheets unless said)")
    parser.add_argument("--pdf", action="store_true", help="write PDF too")


def run(args: argparse.Namespace) -> int:
    count = 1 if args.count is None else args.count
    if not 1 <= count <= MOST:
        raise UsageError(f"--count {count}: ask for 1 to {MOST} variants")
    from ...autograde.judging.scheme import load_scheme
    from ...autograde.records import write_atomic
    from .. import sheets
    from ..catalogue import find

    lacking = _no_pdf(sheets.pdf) if args.pdf else None
    seed = args.seed if args.seed is not None or args.count is None else "1"
    scheme = load_scheme(args.scheme) if args.scheme else None
    scenes = [find(name) for name in args.scenes]
    folder = Path(args.out)
    kinds = ("html", "pdf") if args.pdf and lacking is None else ("html",)
    paths = {(k, what, kind): folder / f"{what}-{k}.{kind}" for k in range(1, count + 1) for what in ("sheet", "key") for kind in kinds}
    there = [path for path in paths.values() if path.exists()]
    if there:
        raise UsageError(f"{there[0]}: is there already; choose another folder with --out or move it away")
    made = sheets.sheets(scenes, count, seed, scheme=scheme)
    if seed is not None:
        warn_of_strays("sheet", scenes)
    folder.mkdir(parents=True, exist_ok=True)
    for sheet in made:
        for what, html in (("sheet", sheet.problems), ("key", sheet.key)):
            write_atomic(paths[sheet.number, what, "html"], html)
            if "pdf" in kinds:
                write_atomic(paths[sheet.number, what, "pdf"], sheets.pdf(html))
    if args.json:
        print_json([{"variant": k, **{f"{what}_{kind}": str(paths[k, what, kind]) for what in ("sheet", "key") for kind in kinds}} for k in range(1, count + 1)])
    else:
        print("\n".join(str(path) for path in paths.values()))
    if lacking is not None:
        raise UsageError(f"the pages are written as HTML, which a browser prints too; {lacking}")
    return 0


def _no_pdf(pdf: Callable[[str], bytes]) -> UsageError | None:
    """What is missing for PDF, if anything."""
    try:
        pdf("<p>x</p>")
    except UsageError as why:
        return why
    return None
