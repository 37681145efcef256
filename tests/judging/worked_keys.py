"""Worked keys as answers: every line of mathematics that a key prints, put where a student would write it, and judged.

    python tests/judging/worked_keys.py 500

judges the keys of so many variants, spread over all shipped scenes, with positive directions by lot, and prints what is not right.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from itertools import cycle, islice
from typing import Any

from marked_lines import scene_named

from plusway.autograde.judging import judge
from plusway.autograde.mechanics.seeding import Stream
from plusway.autograde.mechanics.variants import variants
from plusway.autograde.mechanics.worked import work
from plusway.autograde.scene.model import Scene
from plusway.lessons.catalogue import names

IN_WORKING = ("surfaces", "numbers", "working")
IN_SENSE = ("sense", "limits")


def key_of(scene: Scene, positive: dict[str, str]) -> dict[str, Any]:
    """The worked key of a scene in the contract's shape of answers."""
    out: dict[str, Any] = {"directions": positive, "equations": {}, "ties": [], "working": [], "results": {}, "sense": []}
    for step in work(scene, positive).steps:
        for line in step.lines:
            if line.kind != "math":
                continue
            if step.step == "equations":
                out["equations"][line.thing] = line.text
            elif step.step == "ties":
                out["ties"].append(line.text)
            elif step.step in IN_WORKING:
                out["working"].append(line.text)
            elif step.step == "results":
                symbol, _, value = line.with_unit.partition(" = ")
                if symbol in scene.asked:
                    out["results"][symbol] = value
            elif step.step in IN_SENSE:
                out["sense"].append(line.text)
    return out


def keys(count: int, seed: str = "worked keys") -> Iterator[tuple[Scene, dict[str, Any]]]:
    """So many variants with their keys, from each scene in turn; its own numbers first."""
    lot = Stream(seed)
    sources = {name: iter([scene_named(name), *islice(variants(scene_named(name), seed), count // len(names()) + 2)]) for name in names()}
    for name in islice(cycle(sources), count):
        scene = next(sources[name])
        yield scene, key_of(scene, {t: scene.directions(t)[lot.below(2)] for t in scene.things})


def not_right(scene: Scene, key: dict[str, Any]) -> list[tuple[str, str, str, list[str]]]:
    """(step, text, verdict, kinds) of every line of the key that the judge does not call right."""
    return [
        (s.step, s.text, s.verdict, [slip.kind for slip in s.slips])
        for s in judge(scene, key).steps
        if s.text and s.verdict != "right"
    ]


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    begin, lines, bad = time.time(), 0, 0
    for scene, key in keys(count):
        wrong = not_right(scene, key)
        lines += sum(len(key[step]) for step in ("equations", "ties", "working", "results", "sense"))
        bad += bool(wrong)
        for found in wrong:
            print(scene.name, key["directions"], *found)
    print(f"{count} keys of {len(names())} scenes, {lines} lines: {count - bad} keys right in every line, in {time.time() - begin:.0f} s")
    return bad > 0


if __name__ == "__main__":
    sys.exit(main())
