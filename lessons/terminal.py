"""What the verbs share: how a verb is declared, and how JSON is printed."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

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
    sys.stdout.write(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False) + "\n")


def note(text: str) -> None:
    """One line on standard error that a person should see; what a program reads on standard output is the same without it."""
    print(f"note: {' '.join(text.split())}", file=sys.stderr)


def note_doubts(scenes: Iterable[Scene]) -> None:
    """A note for each thing in a scene that is allowed and probably not meant."""
    from .doubts import doubts

    for scene in {scene.name: scene for scene in scenes}.values():
        for says in doubts(scene):
            note(f"{scene.file or scene.name}: {says}")


def warn_of_strays(verb: str, scenes: Iterable[Scene]) -> None:
    """One line on standard error for each story with numbers that are no datum and so stay whatever the data become."""
    from ..autograde.mechanics.story import strays

    for scene in scenes:
        if found := strays(scene):
            print(f"plusway {verb}: warning: {scene.name}: story: says {', '.join(found)}, which is no datum of the scene "
                  "and stays the same in every variant", file=sys.stderr)
