"""plusway scenes: what ships."""

from __future__ import annotations

import argparse
from itertools import groupby

from ..terminal import print_json, verb


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    verb(
        subparsers, "scenes", run,
        does="list the scenes that ship",
        more="Under each topic, a scene's name, as the other verbs take it, and its title.",
        example="plusway scenes",
    )


def run(args: argparse.Namespace) -> int:
    from ..catalogue import find, names

    scenes = [(name, find(name)) for name in names()]
    if args.json:
        print_json([
            {"name": name, "title": scene.title, "story": scene.story, "topic": scene.topic,
             "things": list(scene.things), "asked": list(scene.asked)}
            for name, scene in scenes
        ])
        return 0
    width = max((len(name) for name, _ in scenes), default=0)
    by_topic = sorted(scenes, key=lambda entry: (entry[1].topic, entry[0]))
    for topic, entries in groupby(by_topic, key=lambda entry: entry[1].topic):
        print(topic.capitalize() or "Other")
        for name, scene in entries:
            print(f"  {name:{width}}  {scene.title}")
    return 0
