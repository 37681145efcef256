"""plusway learn: the lessons in JupyterLab, in a folder of the student's own."""

from __future__ import annotations

import argparse

from ..terminal import verb


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "learn", run,
        does="open the lessons in JupyterLab",
        more="The lessons are copied into a folder of your own, and what is there already is left as it is. The\n"
             "address that is printed carries a key to this server, which can be reached from this computer only.\n"
             "Ctrl-C stops it.",
        example="plusway learn --no-browser --folder my-lessons",
    )
    parser.add_argument("--folder", metavar="DIR", default="~/plusway-lessons",
                        help="where the lessons are kept (~/plusway-lessons unless said)")
    parser.add_argument("--no-browser", action="store_true", help="print the address and open no browser")
    parser.add_argument("--port", type=int, metavar="N", help="the port (the first free one from 8888 unless said)")


def run(args: argparse.Namespace) -> int:
    from ..server import serve
    from ..shelf import lay_out

    shelf = lay_out(args.folder)
    serve(shelf, port=args.port, browser=not args.no_browser, as_json=args.json)
    return 0
