"""plusway solve: the worked solution of a scene, for any positive directions."""

from __future__ import annotations

import argparse

from ...autograde.errors import UsageError
from ...autograde.scene.model import Scene
from ..terminal import note, note_doubts, print_json, verb


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = verb(
        subparsers, "solve", run,
        does="print the worked solution of a scene, line by line",
        more="SCENE is the name of a scene that ships (plusway scenes lists them) or a path to a TOML file, which is checked: what is\n"
             "wrong in it ends the command with one line, what is probably not meant is a note on standard error.\n"
             "Things whose direction is not named count as positive the way they accelerate, or so that one letter a will do.\n"
             "For a teacher: --assignment and --student print the key with the numbers of one student; SCENE is then one of\n"
             "the assignment's problems, or left out for all of them.",
        example="plusway solve feed-sack --positive sack=down counterweight=up",
    )
    parser.add_argument("scene", metavar="SCENE", nargs="?", help="a scene's name, or a TOML file")
    parser.add_argument("--positive", nargs="+", action="extend", default=[], metavar="THING=DIRECTION",
                        help="the positive directions to use; may be given several times")
    parser.add_argument("--assignment", metavar="FILE", help="an assignment's own notebook, as plusway assign made it")
    parser.add_argument("--student", metavar="NAME", help="with --assignment: whose numbers")
    parser.add_argument("--to", choices=("text", "markdown", "json"), default="text",
                        help="how to print it (text unless said; --json is the same as --to json)")


def positive_directions(scene: Scene, pairs: list[str]) -> dict[str, str]:
    """{thing: direction} from "sack=down"; UsageError says which things or directions there are."""
    chosen: dict[str, str] = {}
    for pair in pairs:
        thing, equals, direction = (part.strip() for part in pair.partition("="))
        if not equals:
            raise UsageError(f"--positive {pair}: write THING=DIRECTION, for example "
                             f"{scene.things[0]}={scene.directions(scene.things[0])[0]}")
        if thing not in scene.things:
            raise UsageError(f"--positive {pair}: there is no {thing!r} in {scene.name}; "
                             f"there is {', '.join(scene.things)}")
        if direction not in scene.directions(thing):
            raise UsageError(f"--positive {pair}: {thing} can move {' or '.join(scene.directions(thing))}, "
                             f"not {direction!r}")
        if chosen.get(thing, direction) != direction:
            raise UsageError(f"--positive {pair}: {thing} already has {chosen[thing]}; give each thing one direction")
        chosen[thing] = direction
    return chosen


def _scene_and_pairs(args: argparse.Namespace) -> tuple[str, list[str]]:
    """SCENE may stand after the directions too: `plusway solve --positive sack=down feed-sack`."""
    pairs = list(args.positive)
    if args.scene is not None:
        return args.scene, pairs
    if pairs and "=" not in pairs[-1]:
        return pairs[-1], pairs[:-1]
    raise UsageError("SCENE is missing: the name of a scene (plusway scenes lists them) or a TOML file")


def run(args: argparse.Namespace) -> int:
    if args.assignment is not None or args.student is not None:
        return _of_student(args)
    from ...autograde.mechanics.agreeing import agreeing_directions
    from ...autograde.mechanics.worked import solution_json
    from ..catalogue import find
    from ..key import key_markdown, key_text

    name, pairs = _scene_and_pairs(args)
    scene = find(name)
    note_doubts([scene])
    positive = agreeing_directions(scene, positive_directions(scene, pairs))
    if args.json or args.to == "json":
        print_json(solution_json(scene, positive))
    else:
        print((key_markdown if args.to == "markdown" else key_text)(scene, positive))
    return 0


def _of_student(args: argparse.Namespace) -> int:
    """The key with one student's numbers, problem by problem."""
    if args.assignment is None or args.student is None:
        raise UsageError("--assignment FILE and --student NAME go together: the key with that student's numbers")
    if not args.student.strip():
        raise UsageError("--student: the name is empty; give the name that the student's notebook has")
    from ...autograde.marking.assignment import PER_STUDENT
    from ...autograde.mechanics.agreeing import agreeing_directions
    from ...autograde.mechanics.worked import solution_json
    from ..key import key_markdown, key_text, keys_of
    from ..marking_setup import assignment_in, roster

    named = args.scene is not None or any("=" not in pair for pair in args.positive)
    problem, pairs = _scene_and_pairs(args) if named else (None, list(args.positive))
    assignment = assignment_in(args.assignment)
    found = keys_of(assignment, args.student, problem)
    if pairs and len(found) > 1:
        raise UsageError(f"--positive: say which problem it is for: {', '.join(key.problem for key in found)}")
    if (known := roster(args.assignment, assignment.name)) and args.student not in known:
        note(f"{args.student}: no copy was written for a student of that name, so nobody may have these numbers")
    ways = [agreeing_directions(key.scene, positive_directions(key.scene, pairs)) for key in found]
    if args.json or args.to == "json":
        print_json({"assignment": assignment.name, "student": args.student,
                    "problems": {key.problem: solution_json(key.scene, way) for key, way in zip(found, ways, strict=True)}})
        return 0
    whose = f"Numbers of {args.student}" if assignment.numbers == PER_STUDENT else "Everybody has the same numbers"
    for key, way in zip(found, ways, strict=True):
        print(f"{assignment.name}, {key.problem}. {whose}: {key.data}.\n")
        print((key_markdown if args.to == "markdown" else key_text)(key.scene, way))
    return 0
