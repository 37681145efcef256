"""plusway mark: a folder of collected notebooks, marked without running any of their code."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...autograde.errors import UsageError
from ...autograde.printable import printable
from ..terminal import as_json, note, unguarded, verb

if TYPE_CHECKING:
    from ...autograde.marking.marked import Marked
    from ...autograde.marking.overrides import Override
    from ...autograde.marking.run import Marker, Progress
    from ...autograde.marking.store import Store

ROWS_SHOWN = 200
SAME_ERROR, NAMED = 4, 5  # so many notebooks with one error share a line, and so many of them are named there


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "mark", run,
        does="mark a folder of collected notebooks without running any of their code",
        more="FOLDER holds notebooks named after students (s017.ipynb), a folder for each student, or is an nbgrader\n"
             "course. Results go to FOLDER/marks: results.jsonl, results.csv, results.sqlite, and feedback/ with a page\n"
             "for each student. Only what has changed is marked again. A notebook that can't be marked is a line in the\n"
             "table, not an error. \"s017 (1).ipynb\" is a second file of s017, unless plusway assign --students wrote a copy of that name.",
        example="plusway mark collected --assignment source/ps1/ps1.ipynb",
    )
    parser.add_argument("folder", metavar="FOLDER", help="the folder of collected notebooks")
    parser.add_argument("--assignment", metavar="FILE", help="the assignment's own notebook, as plusway assign made it")
    parser.add_argument("--scene", metavar="SCENE", nargs="+", action="extend", default=[],
                        help="mark against these scenes (names or TOML files) where there is no such notebook")
    parser.add_argument("--scheme", metavar="FILE", help="a TOML file with the points for each step")
    parser.add_argument("--override", metavar="FILE", help="a TOML file of your own verdicts; kept for later runs")
    parser.add_argument("--out", metavar="DIR", help="where the results go (FOLDER/marks unless said)")
    parser.add_argument("--jobs", metavar="N", type=int, default=1, help="how many processes to use (1 unless said)")
    parser.add_argument("--scheduler", metavar="ADDRESS", help="use the Dask cluster there, for example tcp://host:8786")


def run(args: argparse.Namespace) -> int:
    from ...autograde.marking.pages import pages_here, pages_in_processes
    from ...autograde.marking.run import Job, mark_all, sole_marker
    from ...autograde.marking.store import Store
    from ..marking_setup import RESULTS, assignment_for, found_there, overrides_for, roster

    folder = Path(args.folder)
    if not folder.is_dir():
        raise UsageError(f"{folder}: there is no such folder; give the one that holds the collected notebooks")
    marker = _marker(args)
    out = Path(args.out) if args.out else folder / "marks"
    assignment, said = assignment_for(folder, args.assignment, args.scene, args.scheme)
    kept = overrides_for(folder, out, args.override, assignment).kept  # a wrong file is told before anything is made
    students = roster(args.assignment, assignment.name, folder)
    with sole_marker(folder, out, assignment.name, students) as listing:
        for says in found_there(folder, out, kept):
            note(says)
        decisions = overrides_for(folder, out, args.override, assignment)
        with _watching(args.json) as watch:
            progress = mark_all(folder, out, Job(assignment, decisions.all), listing, marker, watch,
                                pages_in_processes(args.jobs) if args.jobs > 1 else pages_here, students)
        with Store(out / RESULTS, writing=False) as store:
            useless = unused(decisions.concerning(assignment), store)
        decisions.keep(useless)
    for override in useless:
        dropped = ", so it is not kept" if override in decisions.new else f"; take it out of {decisions.kept}"
        print(f"plusway mark: your verdict on {override.says()} fits no line of these notebooks{dropped}", file=sys.stderr)
    holding = [override.says() for override in decisions.concerning(assignment) if override in decisions.before and override not in useless]
    with Store(out / RESULTS, writing=False) as store:
        _print_json(store, progress, out, said, holding) if args.json else _print_table(store, progress, out, said)
    if not args.json:
        if holding:
            more = f"; and {len(holding) - NAMED} more" if len(holding) > NAMED else ""
            print(f"Your own verdicts that hold, kept in {decisions.kept}: {'; '.join(holding[:NAMED])}{more}")
        print(f"What the class has not understood: plusway report {args.out or args.folder}")
    return 0


def unused(overrides: Sequence[Override], store: Store) -> list[Override]:
    """Those that fit nothing that anybody wrote: mistyped, most likely, and else the teacher would never know."""
    from ...autograde.marking.overrides import holding

    left = list(overrides)
    for marked in store.all() if left else ():
        steps = [(problem.problem, step) for problem, step in marked.steps()]
        mine = holding(left, marked.assignment)
        used = {override for override in mine for problem, step in steps if override.applies(problem, step, marked.student)}
        left = [override for override in left if override not in used]
        if not left:
            break
    return left


def _marker(args: argparse.Namespace) -> Marker:
    from ...autograde.marking.run import here, in_processes

    if args.jobs < 1:
        raise UsageError(f"--jobs {args.jobs}: give a number of processes, 1 or more")
    if args.scheduler and args.jobs > 1:
        raise UsageError("--scheduler: the cluster decides how many notebooks are marked at once; leave --jobs out")
    if args.scheduler:
        from ...autograde.marking.cluster import on_cluster

        return on_cluster(args.scheduler)
    return in_processes(args.jobs) if args.jobs > 1 else here


@contextmanager
def _watching(quiet: bool) -> Iterator[Any]:
    """A line on standard error that counts along, on a terminal only."""
    if quiet or not sys.stderr.isatty():
        yield lambda *_: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed} notebooks"), TimeElapsedColumn())
    with Bar(*columns, console=Console(file=unguarded(sys.stderr)), transient=True) as bar:
        task = bar.add_task("marking", total=None)
        yield lambda marked, progress: bar.update(task, completed=progress.marked + progress.unmarked + progress.kept)


def _print_table(store: Store, progress: Progress, out: Path, said: str) -> None:
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    console = Console(file=unguarded(sys.stdout))  # it has a terminal's own codes; what it is given is made printable
    total = progress.marked + progress.unmarked + progress.kept
    table = Table(box=None, pad_edge=False)
    for name, justify in (("student", "left"), ("notebook", "left"), ("points", "right"), ("of", "right"), ("to look at", "left")):
        table.add_column(name, justify=justify, overflow="fold")  # type: ignore[arg-type]
    left = 0
    errors: dict[str, list[str]] = {}
    for marked in store.all():
        if marked.error:
            errors.setdefault(marked.error, []).append(marked.file)
    together = {error: files for error, files in errors.items() if len(files) >= SAME_ERROR}
    for marked in store.all():
        if marked.error in together:
            continue
        attention = _attention(marked)
        if (total > ROWS_SHOWN and not attention) or table.row_count >= ROWS_SHOWN:
            left += 1
            continue
        points = "-" if marked.error or marked.second else f"{marked.points:g}"
        of = "-" if marked.second else f"{marked.of:g}"
        table.add_row(Text(printable(marked.student)), Text(printable(marked.file)), points, of, Text(printable(attention)))
    if table.row_count:
        console.print(table)
    for error, files in together.items():
        more = f" and {len(files) - NAMED} more" if len(files) > NAMED else ""
        console.print(f"\n{len(files)} notebooks could not be marked: {printable(error)}\n  {printable(', '.join(files[:NAMED]))}{more}", markup=False,
                      highlight=False, soft_wrap=True)
    if left:
        console.print(f"… and {left} more, in {printable(str(out / 'results.csv'))}", markup=False, highlight=False)
    counts = [f"{progress.marked} marked now", f"{progress.kept} unchanged since last time"]
    counts += [f"{progress.unmarked} that could not be marked"] if progress.unmarked else []
    counts += [f"{progress.seconds} second file{'s' if progress.seconds > 1 else ''}, not counted"] if progress.seconds else []
    counts += [f"{progress.gone} no longer there"] if progress.gone else []
    console.print(f"\n{total} notebooks: {', '.join(counts)}. {printable(said)}\nResults and feedback pages: {printable(str(out))}", markup=False,
                  highlight=False, soft_wrap=True)


def _attention(marked: Marked) -> str:
    parts = [f"not marked: {marked.error}"] if marked.error else []
    parts += filter(None, [marked.second, marked.unread])
    return "; ".join([*parts, *(flag.says for flag in marked.telling), *marked.remarks])


def _print_json(store: Store, progress: Progress, out: Path, said: str, own: Sequence[str]) -> None:
    """The same as one JSON value, written notebook by notebook."""
    head = {"out": str(out), "marked": progress.marked, "unmarked": progress.unmarked, "unchanged": progress.kept,
            "gone": progress.gone, "second_files": progress.seconds, "against": said, "own_verdicts": list(own)}
    sys.stdout.write(as_json(head)[:-1] + ', "notebooks": [')
    for place, marked in enumerate(store.all()):
        line = as_json(marked.to_json()).encode("utf-8", "replace").decode("utf-8")
        sys.stdout.write((",\n" if place else "\n") + line)
    sys.stdout.write("\n]}\n")
