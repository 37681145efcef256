"""plusway assign: an nbgrader assignment from scenes."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...autograde.errors import UsageError
from ..terminal import note, note_doubts, print_json, verb, warn_of_strays

if TYPE_CHECKING:
    from ...autograde.judging.scheme import Scheme
    from ..assign import Plan


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "assign", run,
        does="build an nbgrader assignment from scenes",
        more="Writes COURSE/source/NAME/NAME.ipynb: for every scene its story, a widget for each step, and after each a\n"
             "locked cell with the step's points. Then nbgrader generate_assignment NAME makes the students' version.\n"
             "--dry-run shows what students will see, the points, and the worked key for you.\n"
             "With --per-student a hub's user name gives each student numbers of their own; without a hub, --students does:\n"
             "a file with one name on each line (or a CSV file with a column id, student or username), whose copies you mail. They come back named\n"
             "after their students, as plusway mark wants them. A scene whose story tells a number that differs is refused: every step lists\n"
             "the student's own.",
        example="plusway assign --scene feed-sack my-winch.toml --name ps1 --course physics101",
    )
    parser.add_argument("--scene", metavar="SCENE", nargs="+", action="extend", required=True,
                        help="scenes by name, or TOML files; may be given several times")
    parser.add_argument("--name", required=True, help="the assignment's name, such as ps1")
    parser.add_argument("--course", metavar="DIR", default=".", help="the folder of the nbgrader course (here unless said)")
    parser.add_argument("--title", default="", help="the notebook's title (the assignment's name unless said)")
    parser.add_argument("--scheme", metavar="FILE", help="a TOML file with the points for each step")
    parser.add_argument("--per-student", action="store_true", help="give every student fresh numbers")
    parser.add_argument("--students", metavar="FILE",
                        help="write each student of that list a copy too, to mail: COURSE/handout/NAME/STUDENT.ipynb")
    parser.add_argument("--verdicts", choices=("at-once", "after-marking"), default="at-once",
                        help="whether students see verdicts while they work (at-once unless said)")
    parser.add_argument("--no-hints", action="store_true", help="offer no hints")
    parser.add_argument("--notation", metavar="KIND=LETTER", nargs="+", action="extend", default=[],
                        help="the letters of the class for weight, normal, friction or inertia, such as weight=F_g normal=R")
    parser.add_argument("--decimal-comma", action="store_true", help="the class writes 2,5 for 2.5")
    parser.add_argument("--language", metavar="CODE",
                        help="the language of numbers, such as de: its decimal mark, and its word for it when a line is read aloud")
    parser.add_argument("--enable", action="store_true", help="add the line that switches marking on to nbgrader_config.py")
    parser.add_argument("--force", action="store_true", help="replace an assignment of that name")
    parser.add_argument("--dry-run", action="store_true", help="write nothing; show the notebook, the points and the key")
    parser.add_argument("--out", metavar="DIR", help="with --dry-run: show it as pages in DIR, sheet.html and key.html")


def run(args: argparse.Namespace) -> int:
    from ...autograde.judging.scheme import load_scheme
    from .. import assign

    settings = {"verdicts": args.verdicts.replace("-", " "), "hints": not args.no_hints, **_class_writes(args)}
    scheme = load_scheme(args.scheme) if args.scheme else None
    planned = assign.plan(args.name, args.scene, title=args.title, scheme=scheme, per_student=args.per_student,
                          settings=settings)
    students, heading = assign.students_in(Path(args.students)) if args.students else ([], "")
    if heading:
        print(f"plusway assign: {args.students}: the first row ({heading!r}) is taken for a heading, not for a student", file=sys.stderr)
    note_doubts((problem.scene for problem in planned.problems), stories=not args.per_student)
    if args.per_student:
        warn_of_strays("assign", [problem.scene for problem in planned.problems])
    if args.out and not args.dry_run:
        raise UsageError("--out: goes with --dry-run; an assignment is written into the course (--course)")
    if args.dry_run:
        if args.out:
            return _pages(planned, Path(args.out), scheme, args.json)
        print_json(_as_json(planned)) if args.json else _show(planned)
        return 0
    if not args.force:
        assign.no_copies_yet(planned, Path(args.course), students)  # before anything is written: all, or nothing
    elif count := assign.handed_in(planned, Path(args.course)):
        note(f"{count} student{'s have' if count > 1 else ' has'} handed in {planned.name} as it was: nbgrader keeps the grading cells that it had "
             "(choose another --name for other problems or points); plusway mark marks against the new one")
    path, said = assign.write(planned, Path(args.course), force=args.force, enable=args.enable)
    copies = assign.hand_out(planned, Path(args.course), students, force=args.force) if students else None
    if args.json:
        print_json({**_points_json(planned), "file": str(path), "config": said, "handout": str(copies) if copies else None})
        return 0
    print(f"{path}: {len(planned.problems)} problem{'s' if len(planned.problems) > 1 else ''}, {planned.of:g} points.")
    print(said)
    if copies:
        print(f"{copies}: a copy for each of {len(students)} students. Mark what comes back with "
              f"plusway mark FOLDER --assignment {path}")
    elif args.per_student:
        print("Each student's numbers come from the user name on the hub; without a hub, give a list with --students.")
    print(f"Next, in {args.course}: nbgrader generate_assignment {planned.name}")
    return 0


def _class_writes(args: argparse.Namespace) -> dict[str, Any]:
    """Those settings of letters and numbers that were given."""
    letters = {}
    for given in args.notation:
        kind, equals, letter = given.partition("=")
        if not equals or kind in letters:
            raise UsageError(f"--notation {given}: write KIND=LETTER, once for each kind, such as weight=F_g")
        letters[kind] = letter
    return {**({"notation": letters} if letters else {}), **({"decimal_comma": True} if args.decimal_comma else {}),
            **({"language": args.language} if args.language is not None else {})}


def _show(planned: Plan) -> None:
    """For the teacher: the notebook's text, the points, the worked key."""
    from ...autograde.mechanics.agreeing import agreeing_directions
    from ..key import key_text

    print("What students see\n")
    for cell in planned.notebook.cells:
        indent = "    " if cell.cell_type == "code" else "  "
        print("\n".join(indent + line for line in cell.source.splitlines()) + "\n")
    if writes := _said(planned.notebook.metadata.plusway.settings):
        print(f"The class writes {writes}\n")
    print("Points\n")
    for problem, cells in planned.points:
        print(f"  {problem.scene.title or problem.id} ({problem.id}): {sum(cell.of for cell in cells):g}")
        for cell in cells:
            print(f"    {cell.of:6g}  {cell.step}{' ' + cell.item if cell.item else ''}")
    print(f"  {planned.of:g} in all\n\nThe worked key, for you only\n")
    if planned.per_student:
        print("  With the scene's own numbers; each student's differ: plusway solve --assignment FILE --student NAME.\n")
    for problem in planned.problems:
        worked = key_text(problem.scene, agreeing_directions(problem.scene))
        print("\n".join("  " + line for line in worked.splitlines()) + "\n")


def _said(settings: Any) -> str:
    """The letters and numbers of the class in words; "" where the scenes' own hold."""
    parts = [f"{kind} {letter}" for kind, letter in settings.get("notation", {}).items()]
    parts += ["a decimal comma"] if settings.get("decimal_comma") else []
    parts += [f"numbers as in the language {settings['language']}"] if settings.get("language") else []
    return ", ".join(parts)


def _pages(planned: Plan, out: Path, scheme: Scheme | None, as_json: bool) -> int:
    """The same as two pages: the problems with their pictures and points, and the key."""
    from ...autograde.records import write_atomic
    from ..sheets import sheets

    made = sheets([problem.scene for problem in planned.problems], scheme=scheme)[0]
    out.mkdir(parents=True, exist_ok=True)
    paths = {"sheet": out / "sheet.html", "key": out / "key.html"}
    write_atomic(paths["sheet"], made.problems)
    write_atomic(paths["key"], made.key)
    if as_json:
        print_json({**_points_json(planned), **{name: str(path) for name, path in paths.items()}})
    else:
        print("\n".join(str(path) for path in paths.values()))
    return 0


def _points_json(planned: Plan) -> dict[str, Any]:
    return {"assignment": planned.name, "of": planned.of, "problems": [
        {"problem": problem.id, "scene": problem.scene.name, "of": sum(cell.of for cell in cells),
         "cells": [{"step": cell.step, "item": cell.item, "of": cell.of} for cell in cells]}
        for problem, cells in planned.points]}


def _as_json(planned: Plan) -> dict[str, Any]:
    from ...autograde.mechanics.agreeing import agreeing_directions
    from ...autograde.mechanics.worked import solution_json

    return {**_points_json(planned), "notebook": planned.notebook,
            "key": {p.id: solution_json(p.scene, agreeing_directions(p.scene)) for p in planned.problems}}
