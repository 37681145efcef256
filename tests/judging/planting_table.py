"""How many of the slips that can be planted pass the judge's own check: every shipped scene, every kind that applies to it.

    python tests/judging/planting_table.py

tries up to three slips of each kind in each scene, for two choices of positive directions, and prints a table (some minutes). The
tests try a few kinds of each scene, drawn by lot.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator

from marked_lines import scene_named

from plusway.autograde.judging.context import context_for
from plusway.autograde.judging.planting import Garden
from plusway.autograde.judging.slipfinding import Exercise, planted
from plusway.autograde.mechanics.seeding import Stream
from plusway.lessons.catalogue import names


def tried(name: str, directions: int, each: int, kinds: int | None = None) -> Iterator[tuple[str, Exercise | None]]:
    """(kind, exercise or None) for up to `each` slips of each kind (or of so many kinds, drawn by lot) in one scene."""
    scene = scene_named(name)
    lot = Stream(f"{name} {directions}")
    garden = Garden(context_for(scene, {t: scene.directions(t)[lot.below(2)] for t in scene.things}))
    groups: dict[str, list[int]] = {}
    for n, c in enumerate(garden.candidates):
        groups.setdefault(c.kind, []).append(n)
    chosen = [list(groups)[n] for n in lot.shuffled(len(groups))][:kinds]
    for kind in chosen:
        for n in list(lot.shuffled(len(groups[kind])))[:each]:
            yield kind, planted(garden, garden.candidates[groups[kind][n]], lot)


def main() -> int:
    all_, good = Counter[str](), Counter[str]()
    scenes = dict.fromkeys(names(), 0)
    for name in scenes:
        found = [(kind, made is not None) for way in (1, 2) for kind, made in tried(name, way, 3)]
        all_.update(kind for kind, _ in found)
        good.update(kind for kind, fits in found if fits)
        scenes[name] = len({kind for kind, fits in found if fits})
    print(f"{'kind':22} {'tried':>6} {'planted':>8}")
    for kind, count in sorted(all_.items()):
        print(f"{kind:22} {count:6} {good[kind]:8}")
    print(f"{'together':22} {sum(all_.values()):6} {sum(good.values()):8}")
    print(f"{len(scenes)} scenes, each with slips of {min(scenes.values())} to {max(scenes.values())} kinds")
    return 0


if __name__ == "__main__":
    sys.exit(main())
