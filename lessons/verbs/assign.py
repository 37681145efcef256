"""plusway assign: an nbgrader assignment from scenes."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..terminal import print_json, verb

if TYPE_CHECKING:
    from ..assign import Plan


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "assign", run,
        does="build an nbgrader assignment from scenes",
        more="Writes COURSE/source/NAME/NAME.ipynb: for every scene its story, a widget for each step, and after each a\n"
             "locked cell with the step's points. Then nbgrader generate_assignment NAME makes the students' version.\n"
             "--dry-run writes nothing and shows what students will see, the points, and the worked key for you.",
        example="plusway assign --scene feed-sack my-winch.toml --name ps1 --course physics101",
    )
    parser.add_argument("--scene", metavar="SCENE", nargs="+", action="extend", required=True,
                        help="scenes by name, or TOML files; may be given several times")
    parser.add_argument("--name", required=True, help="the assignment's name, such as ps1")
    parser.add_argument("--course", metavar="DIR", default=".", help="the folder of the nbgrader course (here unless said)")
    parser.add_argument("--title", default="", help="the notebook's title (the assignment's name unless said)")
    parser.add_argument("--scheme", metavar="FILE", help="a TOML file with the points for each step")
    parser.add_argument("--per-student", action="store_true", help="give every student fresh numbers")
    parser.add_argument("--verdicts", choices=("at-once", "after-marking"), default="at-once",
                        help="whether students see verdicts while they work (at-once unless said)")
    parser.add_argument("--no-hints", action="store_true", help="offer no hints")
    parser.add_argument("--enable", action="store_true", help="add the line that switches marking on to nbgrader_config.py")
    parser.add_argument("--force", action="store_true", help="replace an assignment of that name")
    parser.add_argument("--dry-run", action="store_true", help="write nothing; show the notebook, the points and the key")


def run(args: argparse.Namespace) -> int:
    from ...autograde.judging.scheme import load_scheme
    from .. import assign

    settings = {"verdicts": args.verdicts.replace("-", " "), "hints": not args.no_hints}
    scheme = load_scheme(args.scheme) if args.scheme else None
    planned = assign.plan(args.name, args.scene, title=args.title, scheme=scheme, per_student=args.per_student,
                          settings=settings)
    if args.dry_run:
        print_json(_as_json(planned)) if args.json else _show(planned)
        return 0
    path, said = assign.write(planned, Path(args.course), force=args.force, enable=args.enable)
    if args.json:
        print_json({**_points_json(planned), "file": str(path), "config": said})
        return 0
    print(f"{path}: {len(planned.problems)} problem{'s' if len(planned.problems) > 1 else ''}, {planned.of:g} points.")
    print(said)
    print(f"Next, in {args.course}: nbgrader generate_assignment {planned.name}")
    return 0


def _show(planned: Plan) -> None:
    """For the teacher: the notebook's text, the points, the worked key."""
    from ...autograde.mechanics.worked import solution_text

    print("What students see\n")
    for cell in planned.notebook.cells:
        indent = "    " if cell.cell_type == "code" else "  "
        print("\n".join(indent + line for line in cell.source.splitlines()) + "\n")
    print("Points\n")
    for problem, cells in planned.points:
        print(f"  {problem.id}: {sum(cell.of for cell in cells):g}")
        for cell in cells:
            print(f"    {cell.of:6g}  {cell.step}{' ' + cell.item if cell.item else ''}")
    print(f"  {planned.of:g} in all\n\nThe worked key, for you only\n")
    for problem in planned.problems:
        print("\n".join("  " + line for line in solution_text(problem.scene, {}).splitlines()) + "\n")


def _points_json(planned: Plan) -> dict[str, Any]:
    return {"assignment": planned.name, "of": planned.of, "problems": [
        {"problem": problem.id, "scene": problem.scene.name, "of": sum(cell.of for cell in cells),
         "cells": [{"step": cell.step, "item": cell.item, "of": cell.of} for cell in cells]}
        for problem, cells in planned.points]}


def _as_json(planned: Plan) -> dict[str, Any]:
    from ...autograde.mechanics.worked import solution_json

    return {**_points_json(planned), "notebook": planned.notebook,
            "key": {problem.id: solution_json(problem.scene, {}) for problem in planned.problems}}
