"""What the verbs share: how a verb is declared, how JSON is printed, and what text may do to a terminal: nothing."""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from typing import TYPE_CHECKING, Any, TextIO, cast

from ..autograde.printable import printable

if TYPE_CHECKING:
    from ..autograde.scene import Scene


def verb(
    subparsers: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run: Callable[[argparse.Namespace], int],
    does: str,
    more: str,
    example: str,
) -> argparse.ArgumentParser:
    """Declare a verb: `does` is its line in the list, `more` what it does in full, `example` a command to try.

    Every verb gets --json, so that whatever it prints can be read by a program too.
    """
    parser = subparsers.add_parser(
        name, help=does, description=f"{does[0].upper()}{does[1:]}.\n\n{more}".rstrip(), epilog=f"Example:\n  {example}"
    )
    parser.add_argument("--json", action="store_true", help="print JSON, for programs")
    parser.set_defaults(func=run)
    return parser


def print_json(value: Any) -> None:
    """One JSON value on standard output. NaN and infinity are refused: they are not JSON (ValueError)."""
    sys.stdout.write(as_json(value, indent=2) + "\n")


def as_json(value: Any, indent: int | None = None) -> str:
    """JSON in which every character that a terminal would obey is escaped, so that a program reads it unchanged."""
    return _OBEYED.sub(lambda found: f"\\u{ord(found[0]):04x}", json.dumps(value, ensure_ascii=False, indent=indent, allow_nan=False))


# Control characters (but new lines and tabs) and the marks that turn the reading order. An answers file, a file's name or a scene may hold them.
_OBEYED = re.compile("[\\x00-\\x08\\x0b-\\x1f\\x7f-\\x9f\\u2028-\\u202e\\u2066-\\u2069]")


class Guarded:
    """A stream on which text can only be read: what a terminal would obey is shown as a sign, whoever wrote it."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream

    def write(self, text: str) -> int:
        """Write the text with a sign in the place of each character that a terminal would obey; the length of what was given."""
        self.stream.write(_OBEYED.sub(lambda found: printable(found[0]), text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)


@contextmanager
def guarded() -> Iterator[None]:
    """Standard output and standard error with the guard, until the end of the `with`."""
    with redirect_stdout(cast(TextIO, Guarded(sys.stdout))), redirect_stderr(cast(TextIO, Guarded(sys.stderr))):
        yield


def unguarded(stream: TextIO) -> TextIO:
    """The stream behind the guard, for whoever sends a terminal codes of our own (a bar that counts along)."""
    return stream.stream if isinstance(stream, Guarded) else stream


def note(text: str) -> None:
    """One line on standard error that a person should see; what a program reads on standard output is the same without it."""
    print(f"note: {' '.join(text.split())}", file=sys.stderr)


def note_doubts(scenes: Iterable[Scene], stories: bool = True) -> None:
    """A note for each thing in a scene that is allowed and probably not meant. stories: False where `warn_of_strays` looks at those."""
    from .doubts import doubts, untold

    for scene in {scene.name: scene for scene in scenes}.values():
        for says in (*doubts(scene), *(untold(scene) if stories else ())):
            note(f"{scene.file or scene.name}: {says}")


def warn_of_strays(verb: str, scenes: Iterable[Scene]) -> None:
    """One line on standard error for each story with numbers that are no datum and so stay whatever the data become."""
    from ..autograde.mechanics.story import strays

    for scene in scenes:
        if found := strays(scene):
            print(f"plusway {verb}: warning: {scene.name}: story: says {', '.join(found)}, which is no datum of the scene "
                  "and stays the same in every variant", file=sys.stderr)
