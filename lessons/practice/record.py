"""What practice remembers, as frozen records and as the JSON of the learner's own file: pure.

The file is the history: which problems there were, and what each item told. All else (how likely a skill is known, what comes next) is
worked out from it anew each time; the part `skills` is written for the learner to read and is not read back.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timezone
from typing import Any

from ...autograde.errors import PluswayError
from .choice import Occasion, Standing, standings
from .evidence import Evidence
from .skills import SKILLS
from .tracing import HELPED, RIGHT, WRONG

FORMAT = 1
LARGEST = 64_000_000  # bytes
ABOUT = (
    "This file is yours. plusway's free practice keeps in it which problems you had and which lines were right at first try, and "
    "nothing else. Read it, copy it, delete it as you like. The chance that you know a skill, under 'skills', is worked out from the "
    "rest by Bayesian knowledge tracing (Corbett and Anderson, 1995) and is no mark."
)


class RecordError(PluswayError):
    """A practice file that can't be read: file, what was found, what would do."""


@dataclass(frozen=True)
class Past:
    """One problem. id: its name in the journal. scene, seed: the scene that ships and the seed of its numbers, None for the scene's own.
    target: the skill that it was chosen for. began: UTC. skipped: left without an answer."""

    id: str
    scene: str
    seed: str | None
    target: str
    began: datetime
    evidence: tuple[Evidence, ...] = ()


@dataclass(frozen=True)
class Record:
    """seed: from which problems and numbers are drawn. problems: oldest first; the last is the one on the desk."""

    seed: str
    problems: tuple[Past, ...] = ()

    @property
    def last(self) -> Past | None:
        """The problem that was begun last; None before the first."""
        return self.problems[-1] if self.problems else None

    @property
    def past(self) -> list[tuple[str, str]]:
        """(scene, target) of each problem, as `choose` takes it."""
        return [(p.scene, p.target) for p in self.problems]

    def occasions(self) -> list[Occasion]:
        """Every occasion on which a skill was shown, in order; its number is that of the problem, from 1."""
        return [Occasion(e.skill, e.outcome, number, p.began) for number, p in enumerate(self.problems, 1) for e in p.evidence]

    def standings(self) -> dict[str, Standing]:
        """{skill: how well it is known by now}."""
        return standings(self.occasions())

    def with_problem(self, past: Past) -> Record:
        """With one more problem at the end."""
        return replace(self, problems=(*self.problems, past))

    def with_evidence(self, problem: str, more: Iterable[Evidence]) -> Record:
        """With more evidence for the problem of that id."""
        added = tuple(more)
        return replace(self, problems=tuple(replace(p, evidence=(*p.evidence, *added)) if p.id == problem else p for p in self.problems))


def merged(mine: Record, other: Record) -> Record:
    """Two records of one learner (two tabs, two computers) as one: every problem once, each item's first evidence.

    In the order in which the problems began, except that the last of `mine`, which is on the desk, stays last.
    """
    found = {p.id: p for p in other.problems}
    for p in mine.problems:
        theirs = found.get(p.id)
        places = {(e.step, e.item) for e in p.evidence}
        extra = () if theirs is None else tuple(e for e in theirs.evidence if (e.step, e.item) not in places)
        found[p.id] = replace(p, evidence=(*p.evidence, *extra))
    desk = mine.problems[-1].id if mine.problems else ""
    return Record(mine.seed, tuple(sorted(found.values(), key=lambda p: (p.id == desk, p.began, p.id))))


def to_text(record: Record) -> str:
    """The learner's file as text."""
    known = record.standings()
    skills = {s.label: {"chance that you know it": round(known[name].p, 3), "times seen": known[name].seen} for name, s in SKILLS.items()}
    problems = [
        {
            "id": p.id, "scene": p.scene, "seed": p.seed, "target": p.target, "began": p.began.isoformat(timespec="seconds"),
            "evidence": [{"skill": e.skill, "outcome": e.outcome, "step": e.step, "item": e.item, **({"text": e.text} if e.text else {})} for e in p.evidence],
        }
        for p in record.problems
    ]  # fmt: skip
    whole = {"format": FORMAT, "about": ABOUT, "seed": record.seed, "skills": skills, "problems": problems}
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def from_text(text: str, name: str) -> Record:
    """The record in a file's text. Raises RecordError, which names the file and what is wrong."""
    try:
        whole = json.loads(text)
    except ValueError as error:
        raise RecordError(f"{name}: this is not the JSON that practice writes ({error})") from None
    except RecursionError:
        raise RecordError(f"{name}: this is not the JSON that practice writes (too deep)") from None
    if not isinstance(whole, dict) or not isinstance(whole.get("problems"), list) or not isinstance(whole.get("seed"), str):
        raise RecordError(f"{name}: there is no practice in it; it should hold 'seed' (a text) and 'problems' (a list)")
    return Record(whole["seed"], tuple(_past(p, f"{name}: problem {n}") for n, p in enumerate(whole["problems"], 1)))


def format_of(text: str) -> int:
    """The file's format, 0 where none can be read: a number above FORMAT is from a later plusway."""
    try:
        found = json.loads(text)["format"]
    except (ValueError, KeyError, TypeError, RecursionError):
        return 0
    return found if isinstance(found, int) else 0


def csv_rows(record: Record) -> list[list[str]]:
    """The record as a table, a heading first: for a spreadsheet."""
    rows = [["problem", "began", "scene", "chosen for", "step", "item", "skill", "outcome"]]
    for number, p in enumerate(record.problems, 1):
        rows += [[str(number), p.began.isoformat(timespec="seconds"), p.scene, p.target, e.step, e.item, e.skill, e.outcome] for e in p.evidence]
    return rows


def _past(found: object, where: str) -> Past:
    if not isinstance(found, Mapping):
        raise RecordError(f"{where}: found {found!r:.40}; an object would do")
    began = _text(found, "began", where)
    try:
        time = datetime.fromisoformat(began)
    except ValueError:
        raise RecordError(f"{where}: began: found {began!r:.40}; a time like 2025-03-01T10:00:00+00:00 would do") from None
    time = time if time.tzinfo else time.replace(tzinfo=timezone.utc)
    seed, evidence = found.get("seed"), found.get("evidence", [])
    if seed is not None and not isinstance(seed, str):
        raise RecordError(f"{where}: seed: found {seed!r:.40}; a text or null would do")
    if not isinstance(evidence, list):
        raise RecordError(f"{where}: evidence: found {evidence!r:.40}; a list would do")
    told = tuple(_evidence(e, f"{where}, evidence {n}") for n, e in enumerate(evidence, 1))
    return Past(_text(found, "id", where), _text(found, "scene", where), seed, _text(found, "target", where), time, told)


def _evidence(found: object, where: str) -> Evidence:
    if not isinstance(found, Mapping):
        raise RecordError(f"{where}: found {found!r:.40}; an object would do")
    outcome = _text(found, "outcome", where)
    if outcome not in (RIGHT, WRONG, HELPED):
        raise RecordError(f"{where}: outcome: found {outcome!r:.40}; {RIGHT}, {WRONG} or {HELPED} would do")
    text = found.get("text", "")
    return Evidence(_text(found, "skill", where), outcome, _text(found, "step", where), _text(found, "item", where), text if isinstance(text, str) else "")


def _text(found: Mapping[str, Any], key: str, where: str) -> str:
    value = found.get(key)
    if not isinstance(value, str):
        raise RecordError(f"{where}: {key}: found {value!r:.40}; a text would do")
    return value
