"""The command line: `plusway VERB ...`. One file per verb in `verbs/`; this one finds them, runs one, and answers for
whatever goes wrong.

A verb's file offers `add_parser(subparsers)`, which sets `func`; it imports what is heavy only when it runs, so that
`plusway --help` is quick.

Exit codes: 0 the work was done; 1 a fault of plusway's own; 2 something to mend, said in one line on standard error;
130 stopped by Ctrl-C; 141 the reader of a pipe went away.
"""

from __future__ import annotations

import argparse
import difflib
import errno
import importlib
import os
import pkgutil
import signal
import sys
import traceback
from collections.abc import Callable, Sequence
from typing import Any, NoReturn, cast

from .. import __version__
from ..autograde.errors import PluswayError
from . import verbs
from .terminal import guarded

DONE, OUR_FAULT, TO_MEND = 0, 1, 2
STOPPED, PIPE_CLOSED = 128 + signal.SIGINT, 128 + 13

CURES = {
    errno.ENOSPC: "make room there, then give the command again",
    errno.EDQUOT: "your share of the disk is used up; make room, then give the command again",
    errno.EROFS: "nothing can be written there; name another folder (--out, where the command has it)",
    errno.EACCES: "change its permissions, or name another folder (--out, where the command has it)",
}
ORDER = ("learn", "scenes", "solve", "judge", "vary", "assign", "mark", "report", "draw", "sheet")


class Parser(argparse.ArgumentParser):
    """argparse, but a wrong call ends in one line that says what would do."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("allow_abbrev", False)
        kwargs.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        super().__init__(*args, **kwargs)

    def error(self, message: str) -> NoReturn:
        """One line with what would do, and exit code 2."""
        self.exit(TO_MEND, f"{self.prog}: {' '.join(message.split())} ({self.prog} --help shows how)\n")


def verb_names() -> list[str]:
    """Every verb, in the order in which help lists them."""
    found = {module.name for module in pkgutil.iter_modules(verbs.__path__)}
    return [name for name in ORDER if name in found] + sorted(found - set(ORDER))


def build_parser() -> Parser:
    """The whole command line as one parser, every verb registered."""
    parser = Parser(
        prog="plusway",
        description="Lessons in the mechanics of connected bodies, judged line by line.",
        epilog="plusway VERB --help explains a verb, with an example.\n"
               "Exit codes: 0 done, 1 a fault of plusway's own, 2 something for you to mend (one line says what).",
    )
    parser.add_argument("--version", action="version", version=f"plusway {__version__}")
    subparsers = parser.add_subparsers(dest="verb", metavar="VERB", title="verbs")
    for name in verb_names():
        importlib.import_module(f"{verbs.__name__}.{name}").add_parser(subparsers)
    return parser


def nearest(word: str, known: Sequence[str]) -> str:
    """' Did you mean X?' where one of the known words is close, else ''."""
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f" Did you mean {close[0]}?" if close else ""


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """The arguments of one call; a wrong one raises SystemExit(2) after one line."""
    parser = build_parser()
    if not argv:
        parser.print_help()
        raise SystemExit(DONE)
    names = verb_names()
    if not argv[0].startswith("-") and argv[0] not in names:
        parser.error(f"there is no verb {argv[0]!r}.{nearest(argv[0], names)} The verbs are {', '.join(names)}.")
    args, left = parser.parse_known_args(argv)
    if left:
        what = "no option" if left[0].startswith("-") else "nothing to do with"
        hint = _where(parser, args.verb, left[0].split("=")[0]) if left[0].startswith("-") else ""
        parser.exit(TO_MEND, f"plusway {args.verb}: {what} {left[0]!r}.{hint} (plusway {args.verb} --help shows how)\n")
    if args.verb is None:
        parser.error(f"a verb is missing: one of {', '.join(names)}")
    return args


def _where(parser: argparse.ArgumentParser, verb: str, option: str) -> str:
    """Which verbs have an option that this one has not; else which of its own is meant."""
    others = [name for name in verb_names() if option in _options(parser, name)]
    if others:
        return f" {option} belongs to {' and '.join(f'plusway {name}' for name in others)}."
    return nearest(option, _options(parser, verb))


def _options(parser: argparse.ArgumentParser, verb: str) -> list[str]:
    """The options that a verb knows."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            chosen = cast(argparse.ArgumentParser, action.choices[verb])
            return [o for a in chosen._actions for o in a.option_strings]
    return []


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; argv without the program's name. Returns the exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    for stream in (sys.stdout, sys.stderr):
        # A terminal that can't show a Greek letter gets a question mark, not a failure.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    with guarded():
        return _done(arguments)


def _done(arguments: Sequence[str]) -> int:
    try:
        args = parse(arguments)
        code = cast(Callable[[argparse.Namespace], int | None], args.func)(args)
        sys.stdout.flush()
        return code or DONE
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else DONE
    except PluswayError as error:
        return _to_mend(arguments, str(error))
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # Whatever is still buffered must not be written at exit either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return PIPE_CLOSED
    except OSError as error:
        where = f"{error.filename}: " if error.filename is not None else ""
        cure = CURES.get(error.errno or 0, "")
        return _to_mend(arguments, f"{where}{error.strerror or error}{'; ' if cure else ''}{cure}")
    except Exception as error:  # the last line of defence: said plainly, never a traceback in a student's face
        return _our_fault(arguments, error)


def _called(arguments: Sequence[str]) -> str:
    return " ".join(["plusway", *arguments[:1]])


def _to_mend(arguments: Sequence[str], line: str) -> int:
    print(f"{_called(arguments)}: {' '.join(line.split())}", file=sys.stderr)
    return TO_MEND


def _our_fault(arguments: Sequence[str], error: Exception) -> int:
    if os.environ.get("PLUSWAY_TRACEBACK") == "1":
        traceback.print_exception(error)
    said = " ".join(f"{type(error).__name__}: {error}".split())[:300]
    print(f"{_called(arguments)}: this is a fault in plusway, not in what you gave it ({said}). Please report it "
          "with the command and its input; PLUSWAY_TRACEBACK=1 shows where it happened.", file=sys.stderr)
    return OUR_FAULT
