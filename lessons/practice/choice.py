"""Which problem comes next: pure, and the same for the same seed.

First, what is due for review: a skill that counts as known comes back at even distances, for spacing that grows does no better than
even spacing (Latimier, Peyre and Ramus, Educ. Psychol. Rev. 33, 2021). Else the shakiest skill whose groundwork is laid, but
not the same one twice in a row where there is another, so that kinds of problems are mixed. Then a scene that takes this skill and as
little else as possible that is not yet on its way, and that was not among the last ones; while the skill itself is new, none with a lift,
a contact or a slanting force on top, where there is a plainer one. Distances and thresholds are ours.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from ...autograde.errors import PluswayError
from ...autograde.mechanics.seeding import Stream
from .skills import SKILLS, TARGETS
from .tracing import MASTERED, after

EVERY_PROBLEMS = 6
EVERY_DAYS = 5
"""A known skill is due when so many problems went by without it, or so many days."""

ON_ITS_WAY = 0.6
"""From here on a skill is groundwork enough for those that need it."""

NOT_AGAIN = 4
"""The scenes of so many last problems are not chosen again while there are others."""


@dataclass(frozen=True)
class Occasion:
    """One piece of evidence, with the number of its problem and the time."""

    skill: str
    outcome: str
    problem: int
    when: datetime


@dataclass(frozen=True)
class Standing:
    """What is known of one skill: p(L), how often it was seen, and when last (number of the problem, time)."""

    skill: str
    p: float
    seen: int = 0
    last_problem: int = 0
    last_time: datetime | None = None

    @property
    def mastered(self) -> bool:
        """Whether it is as good as certain that the skill is known."""
        return self.p >= MASTERED


@dataclass(frozen=True)
class Chosen:
    """The next problem: its scene, the skill that it was chosen for, and why, as one sentence for the learner."""

    scene: str
    target: str
    why: str


def standings(occasions: Iterable[Occasion]) -> dict[str, Standing]:
    """{skill: where it stands} after these occasions, in their order; every skill is there."""
    out = {name: Standing(name, float(skill.parameters.known)) for name, skill in SKILLS.items()}
    for o in occasions:
        old = out.get(o.skill)
        if old is not None:  # a skill that a later version of plusway no longer has tells nothing here
            p = float(after(old.p, o.outcome, SKILLS[o.skill].parameters))
            out[o.skill] = Standing(o.skill, p, old.seen + 1, o.problem, o.when)
    return out


def due(standing: Standing, number: int, now: datetime) -> bool:
    """Whether a known skill should come back in problem `number`, at the time `now`."""
    if not standing.mastered or standing.last_time is None:
        return False
    return number - standing.last_problem >= EVERY_PROBLEMS or now - standing.last_time >= timedelta(days=EVERY_DAYS)


def choose(
    known: Mapping[str, Standing],
    scenes: Mapping[str, frozenset[str]],
    past: Sequence[tuple[str, str]],
    seed: str,
    now: datetime,
    extras: Mapping[str, int] | None = None,
) -> Chosen:
    """The next problem. scenes: {name: skills it takes}. past: (scene, target) of the problems so far, oldest first. extras: {name: how
    much a scene asks for beside these skills}, as `skills.extras_of` counts it.

    PluswayError where there is no scene.
    """
    if not scenes:
        raise PluswayError("practice: there is no scene to choose from")
    number = len(past) + 1
    within_reach = [t for t in TARGETS if any(t in skills for skills in scenes.values())]
    target, why = _target(known, within_reach, past, number, now)
    fitting = [name for name in sorted(scenes) if target in scenes[name]] or sorted(scenes)
    recent = {name for name, _ in past[-NOT_AGAIN:]}
    fresh = [name for name in fitting if name not in recent] or [n for n in fitting if n != (past[-1][0] if past else "")] or fitting
    strange = {name: sum(s != target and s in TARGETS and known[s].p < ON_ITS_WAY for s in scenes[name]) for name in fresh}
    if known[target].p < ON_ITS_WAY and extras:
        strange = {name: count + extras.get(name, 0) for name, count in strange.items()}
    easiest = [name for name in fresh if strange[name] == min(strange.values())]
    return Chosen(easiest[Stream(f"plusway practice 1|{seed}|{number}").below(len(easiest))], target, why)


def _target(known: Mapping[str, Standing], targets: Sequence[str], past: Sequence[tuple[str, str]], number: int, now: datetime) -> tuple[str, str]:
    overdue = [t for t in targets if due(known[t], number, now)]
    if overdue:
        target = min(overdue, key=lambda t: (known[t].last_problem, targets.index(t)))
        return target, f"It is time to come back to: {_label(target)}."
    open_ones = [t for t in targets if not known[t].mastered and all(known[n].p >= ON_ITS_WAY for n in SKILLS[t].needs)]
    last = past[-1][1] if past else ""
    others = [t for t in open_ones if t != last] or open_ones
    if others:
        target = min(others, key=lambda t: (known[t].p, known[t].last_problem, targets.index(t)))
        return target, f"{'New' if not known[target].seen else 'Still shaky'}: {_label(target)}."
    # Nothing is shaky: the skill that was longest away, so that reviews stay even.
    target = min(targets or TARGETS, key=lambda t: (known[t].last_problem, TARGETS.index(t)))
    return target, f"To keep it fresh: {_label(target)}."


def _label(skill: str) -> str:
    return SKILLS[skill].label[0].lower() + SKILLS[skill].label[1:]
