"""plusway scenes: what ships."""

from __future__ import annotations

import argparse

from ..terminal import print_json, verb


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    verb(
        subparsers, "scenes", run,
        does="list the scenes that ship",
        more="Each line gives a scene's name, as the other verbs take it, and its title.",
        example="plusway scenes",
    )


def run(args: argparse.Namespace) -> int:
    from ..catalogue import find, names

    scenes = [(name, find(name)) for name in names()]
    if args.json:
        print_json([
            {"name": name, "title": scene.title, "story": scene.story, "things": list(scene.things),
             "asked": list(scene.asked)}
            for name, scene in scenes
        ])
        return 0
    width = max((len(name) for name, _ in scenes), default=0)
    for name, scene in scenes:
        print(f"{name:{width}}  {scene.title}")
    return 0
