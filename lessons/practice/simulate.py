"""Simulated learners, to see whether practice finds out what they know:

    python -m plusway.lessons.practice.simulate --learners 1000 --plot learners.png

prints a table and, where a plot is wanted, draws it and prints what it shows.

Each learner knows a random half of the skills, answers by the guess and slip of the skill, and (where learning is on) learns by its p(T).
The problems are those that practice would choose, and the learner's true state is compared with p(L) after so many problems.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from pathlib import Path

from .choice import Occasion, choose, standings
from .skills import SKILLS, TARGETS
from .tracing import RIGHT, WRONG

BEGIN = datetime(2025, 1, 6, 9, 0, tzinfo=timezone.utc)
STOPS = (3, 6, 12, 24)  # problems done
ITEMS = 2  # occasions that one problem gives for each of its skills


@dataclass(frozen=True)
class Found:
    """After `problems` problems: of the skills that were seen, how many are told rightly; and the four counts behind it."""

    problems: int
    known_called_known: int
    known_called_unknown: int
    unknown_called_known: int
    unknown_called_unknown: int
    unseen: int

    @property
    def seen(self) -> int:
        return self.known_called_known + self.known_called_unknown + self.unknown_called_known + self.unknown_called_unknown

    @property
    def right(self) -> float:
        return (self.known_called_known + self.unknown_called_unknown) / self.seen if self.seen else 0.0

    @property
    def false_hopes(self) -> float:
        """Of the skills called known, the part that is not."""
        called = self.known_called_known + self.unknown_called_known
        return self.unknown_called_known / called if called else 0.0


def simulate(
    learners: int, scenes: Mapping[str, frozenset[str]], stops: Sequence[int] = STOPS, *, learning: bool = False, seed: int = 1
) -> list[Found]:
    """What practice says of so many learners after each of `stops` problems. A skill is called known where p(L) > 1/2."""
    counts = {stop: [0, 0, 0, 0, 0] for stop in stops}
    for number in range(learners):
        draw = random.Random(f"{seed}-{number}")
        truth = {name: draw.random() < 0.5 for name in SKILLS}
        past: list[tuple[str, str]] = []
        occasions: list[Occasion] = []
        for problem in range(1, max(stops) + 1):
            now = BEGIN + timedelta(hours=problem)
            chosen = choose(standings(occasions), scenes, past, f"{seed}-{number}", now)
            past.append((chosen.scene, chosen.target))
            for skill in sorted(scenes[chosen.scene]):
                for _ in range(ITEMS):
                    occasions.append(Occasion(skill, _answer(draw, truth, skill, learning), problem, now))
            if problem in counts:
                _count(counts[problem], occasions, truth)
    return [Found(stop, *counts[stop]) for stop in stops]


def _answer(draw: random.Random, truth: dict[str, bool], skill: str, learning: bool) -> str:
    parameters = SKILLS[skill].parameters
    right = draw.random() < float(1 - parameters.slip if truth[skill] else parameters.guess)
    if learning and not truth[skill]:
        truth[skill] = draw.random() < float(parameters.learn)
    return RIGHT if right else WRONG


def _count(counts: list[int], occasions: Sequence[Occasion], truth: Mapping[str, bool]) -> None:
    for name, standing in standings(occasions).items():
        if standing.seen:
            counts[(0 if truth[name] else 2) + (0 if standing.p > 0.5 else 1)] += 1
        else:
            counts[4] += 1


def table(found: Sequence[Found]) -> str:
    """The outcome as a table in Markdown."""
    head = "| problems | skills told rightly | known, called known | known, called unknown | unknown, called known | unknown, called unknown | not seen yet |"
    lines = [head, "|" + "---|" * 7]
    for f in found:
        lines.append(f"| {f.problems} | {f.right:.1%} | {f.known_called_known} | {f.known_called_unknown} | {f.unknown_called_known} | {f.unknown_called_unknown} | {f.unseen} |")
    return "\n".join(lines)


LABELS = {False: "nothing is learned on the way", True: "they learn on the way"}


def said(found: Mapping[bool, Sequence[Found]], learners: int) -> str:
    """What the plot shows, in words: all of its numbers."""
    out = [f"Plot: how much of what {learners} simulated learners know is told rightly, against the number of problems done."]
    for learning, course in found.items():
        steps = ", ".join(f"after {f.problems}: {f.right:.1%} right, {f.false_hopes:.1%} of the skills called known are not" for f in course)
        out.append(f"Where {LABELS[learning]}: {steps}.")
    return "\n".join(out)


def plot(found: Mapping[bool, Sequence[Found]], learners: int, path: Path) -> None:
    """Draw the share told rightly (solid) and the false hopes (dashed) against the problems done, for each kind of learner."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    figure, axes = plt.subplots(figsize=(7.5, 4.6), layout="constrained")
    for (learning, course), colour, marker in zip(found.items(), ("#1f5673", "#8a4513"), "os", strict=False):
        problems = [f.problems for f in course]
        axes.plot(problems, [100 * f.right for f in course], color=colour, marker=marker, label=f"told rightly; {LABELS[learning]}")
        axes.plot(problems, [100 * f.false_hopes for f in course], color=colour, marker=marker, linestyle="--", fillstyle="none",
                  label=f"called known and is not; {LABELS[learning]}")  # fmt: skip
    axes.axhline(50, color="#74808c", linewidth=0.8, linestyle=":")
    axes.annotate("told rightly by tossing a coin", (max(STOPS), 50), xytext=(0, 3), textcoords="offset points", ha="right", color="#4d5b69", fontsize=9)
    axes.set(xlabel="problems done", ylabel="skills seen so far (%)", xticks=STOPS, ylim=(-2, 102), title=f"{learners} simulated learners of known skill")
    axes.legend(fontsize=8, loc="center", bbox_to_anchor=(0.5, 0.72))
    figure.savefig(path, dpi=120)
    plt.close(figure)


def shipped_scenes() -> dict[str, frozenset[str]]:
    """{name: skills} of the scenes that ship."""
    from .. import catalogue
    from .skills import skills_of

    return {name: skills_of(catalogue.find(name)) for name in catalogue.names()}


def main(arguments: Sequence[str] | None = None) -> int:
    """The command."""
    parser = argparse.ArgumentParser(description="Simulated learners, to see whether practice finds out what they know.")
    parser.add_argument("--learners", type=int, default=1000)
    parser.add_argument("--plot", type=Path, metavar="FILE.png", help="draw the outcome, and say in words what the plot shows")
    given = parser.parse_args(arguments)
    scenes = shipped_scenes()
    found = {learning: simulate(given.learners, scenes, STOPS, learning=learning) for learning in (False, True)}
    for learning, course in found.items():
        print(f"\n{given.learners} learners, {len(SKILLS)} skills ({len(TARGETS)} of them only in some scenes); {LABELS[learning]}\n")
        print(table(course))
    if given.plot:
        plot(found, given.learners, given.plot)
        print(f"\n{said(found, given.learners)}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
