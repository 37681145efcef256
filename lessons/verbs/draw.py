"""plusway draw: a scene, its forces, its motion or the dependence on one datum, as SVG or PNG, and in words."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ...autograde.errors import UsageError
from ..terminal import print_json, verb

if TYPE_CHECKING:
    from ...autograde.scene.model import Scene
    from ...widgets.drawing import Drawing

KINDS = (".svg", ".png")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "draw", run,
        does="draw a scene, its forces, its motion, or how it depends on one datum",
        more="Writes the picture to FILE, as SVG or PNG by its ending, and prints a text that says the same; without --out only\n"
             "the text. Without --forces, --motion or --against the scene itself is drawn. --from and --upto are in the unit that\n"
             "the scene file has for that datum. Directions that --positive does not name are those of plusway solve.",
        example="plusway draw slate-on-bench --against m_2 --from 0.5 --upto 8 --out bucket.svg",
    )
    parser.add_argument("scene", metavar="SCENE", help="a scene's name, or a TOML file")
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--forces", action="store_true", help="the force diagram of each thing, to scale")
    which.add_argument("--motion", action="store_true", help="position, velocity and energy over time")
    which.add_argument("--against", metavar="DATUM", help="accelerations and tensions against this datum, such as m_1")
    parser.add_argument("--from", dest="low", type=float, metavar="X", help="the smallest value of the datum, with --against")
    parser.add_argument("--upto", dest="high", type=float, metavar="X", help="the largest value of the datum, with --against")
    parser.add_argument("--positive", nargs="+", action="extend", default=[], metavar="THING=DIRECTION",
                        help="the positive directions to use; may be given several times")
    parser.add_argument("--out", metavar="FILE", help="the picture: FILE.svg or FILE.png; an older one is replaced")


def run(args: argparse.Namespace) -> int:
    out = Path(args.out) if args.out else None
    if out is not None and out.suffix.lower() not in KINDS:
        raise UsageError(f"--out {args.out}: give a file that ends in .svg or .png")
    if args.against is None and (args.low is not None or args.high is not None):
        raise UsageError("--from and --upto go with --against")
    drawing = _drawing(args)
    if out is not None:
        from ...autograde.records import write_atomic

        write_atomic(out, drawing.svg if out.suffix.lower() == ".svg" else drawing.png)
    if args.json:
        print_json({"title": drawing.title, "text": drawing.text, **({"file": str(out)} if out else {})})
    else:
        print(drawing.text)
    return 0


def _drawing(args: argparse.Namespace) -> Drawing:
    from ...autograde.mechanics import derive
    from ...autograde.mechanics.agreeing import agreeing_directions
    from ...widgets import drawing
    from ..catalogue import find
    from .solve import positive_directions

    scene = find(args.scene)
    positive = positive_directions(scene, args.positive)
    if args.against is not None:
        _note_of_ends(scene, args)
        ways = {**drawing.agreeing(scene), **positive} if positive else None
        return drawing.draw_dependence(scene, args.against, args.low, args.high, ways)
    if not (args.forces or args.motion):
        return drawing.draw_scene(scene, positive)
    setup = derive(scene, agreeing_directions(scene, positive))  # the directions of `plusway solve`, so that the two can be laid side by side
    return drawing.draw_forces(setup) if args.forces else drawing.draw_motion(setup)


def _note_of_ends(scene: Scene, args: argparse.Namespace) -> None:
    """Say which end of the range is a value that the scene can't have, and why: there the curves have a gap."""
    from ...autograde.errors import PluswayError
    from ...autograde.scene.data import with_data
    from ..terminal import note

    symbol = scene.symbols.get(args.against)
    unit = symbol.given.unit if symbol is not None and symbol.given is not None else ""
    for option, value in (("--from", args.low), ("--upto", args.high)):
        if value is None or symbol is None or symbol.given is None:  # what is no datum is told by the drawing
            continue
        number = f"{value:.10f}".rstrip("0").rstrip(".")
        try:
            with_data(scene, {args.against: f"{number.replace('.', ',') if scene.decimal_comma else number} {unit}".strip()})
        except PluswayError as error:
            note(f"{option} {value:g} is a value that the scene can't have, so the curves end before it: {error}")
