"""plusway report: what a marked class says."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from ...autograde.errors import UsageError
from ..terminal import print_json, verb


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "report", run,
        does="report on a class that plusway mark has marked",
        more="Writes report.html and report.json beside the results: marks, the success and discrimination of each step,\n"
             "slips by kind, body and direction, lines that several wrote, three things to teach again, time and hints.\n"
             "Of several assignments, in one course or in several folders, each student has one row. Names are hidden unless\n"
             "--names asks for them.",
        example="plusway report week-1 week-2 --names",
    )
    parser.add_argument("folders", metavar="FOLDER", nargs="+",
                        help="the folder that was marked, or the one that holds the results; several are reported together")
    parser.add_argument("--names", action="store_true", help="show the students' names")
    parser.add_argument("--out", metavar="DIR", help="where the report goes (beside the first results unless said)")


def run(args: argparse.Namespace) -> int:
    import json

    from ...autograde.marking.statistics import means
    from ...autograde.printable import printable
    from ...autograde.records import sweep, write_atomic
    from ..report import gather, page
    from ..report.page import UNFINISHED, seconds, short
    from ..report.pictures import step_name

    folders = [Path(folder) for folder in args.folders]
    for folder in folders:
        if not folder.is_dir():
            raise UsageError(f"{folder}: there is no such folder; give the one that plusway mark has marked")
    report = gather(folders[0], args.names, folders[1:])
    out = Path(args.out) if args.out else report.folder
    out.mkdir(parents=True, exist_ok=True)
    sweep(out, older_than=3600)  # a marking may be writing there just now
    write_atomic(out / "report.html", page(report))
    write_atomic(out / "report.json", json.dumps(report.to_json(), ensure_ascii=False, indent=1) + "\n")
    if args.json:
        print_json({"html": str(out / "report.html"), "data": str(out / "report.json"), **report.to_json()})
        return 0
    if report.unfinished:
        print(UNFINISHED)
    for name, data in report.classes.items():
        print(f"{name}: {data['notebooks']} handed in, {_marked(data)} marked.{seconds(data)}")
        for place, teach in enumerate(data["teach"], 1):
            print(f"  To teach again {place}: {means(teach['kind'])} ({teach['kind']}), in {teach['notebooks']} of {_marked(data)}.\n"
                  f"    Most often at {step_name(teach, data['titles'])}, for example: {printable(short(teach['example']))}")
    if looks := len({student for row in report.look for student in row["students"]}):
        print(f"To look at: {looks} student{'s' if looks > 1 else ''}, listed in the report.")
    print(f"{out / 'report.html'}\n{out / 'report.json'}")
    return 0


def _marked(data: dict[str, Any]) -> int:
    return int(data["notebooks"] - data["unmarked"])
