"""What is marked against: the problems of an assignment, taken from the teacher's own notebook and from nowhere else.

An Assignment is plain text through and through, so that it travels to other processes and machines as it is.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from ..judging.scheme import Scheme, scheme_from
from ..judging.verdicts import Verdicts
from ..method import STEPS
from ..records.errors import NotebookError
from ..scene import as_in_class, load_text, scene_toml
from ..scene.model import Scene
from .cells import grade_id
from .given_out import GivenOut, cells_in, given_out_in, metadata_of

PER_STUDENT = "per-student"


@dataclass(frozen=True)
class Problem:
    """One problem: its id in the notebook, its scene's name, and the scene's full TOML text. steps: those that count, () for all."""

    id: str
    scene: str
    toml: str
    steps: tuple[str, ...] = ()

    def counted(self, verdicts: Verdicts) -> Verdicts:
        """The verdicts without the steps that this problem does not ask for, or shows worked."""
        return replace(verdicts, steps=tuple(s for s in verdicts.steps if s.step in self.steps)) if self.steps else verdicts


@dataclass(frozen=True)
class Assignment:
    """name: "" where each notebook says for itself which scenes it is about; `library` {name: TOML} are those allowed, and `lessons`
    {name: assignment} the assignments that it may name.

    numbers: "same" or "per-student"; scheme: points by step, as JSON text ("" for the usual ones); given: the cells that were given out.
    """

    name: str = ""
    problems: tuple[Problem, ...] = ()
    numbers: str = "same"
    scheme: str = ""
    library: Mapping[str, str] = field(default_factory=dict)
    lessons: Mapping[str, Assignment] = field(default_factory=dict)
    given: GivenOut = field(default_factory=GivenOut)

    @property
    def digest(self) -> str:
        """Changes when anything changes that could change a mark."""
        parts = [self.name, self.numbers, self.scheme, *(f"{p.id}\0{p.scene}\0{p.toml}\0{p.steps}" for p in self.problems),
                 *(f"{name}\0{toml}" for name, toml in sorted(self.library.items())), self.given.digest,
                 *(f"{name}\0{lesson.digest}" for name, lesson in sorted(self.lessons.items()))]
        return hashlib.sha256("\1".join(parts).encode("utf-8", "replace")).hexdigest()

    def marks(self) -> Scheme | None:
        return scheme_from(json.loads(self.scheme)) if self.scheme else None


def assignment_from(notebook: Mapping[str, Any], where: str, library: Mapping[str, str] | None = None) -> Assignment:
    """The assignment that a source (or release) notebook holds. `library`: scenes that may be given by name alone.

    Raises NotebookError where it is no plusway notebook or a scene is missing, SceneError where a scene is wrong.
    """
    metadata = notebook.get("metadata")
    record = metadata.get("plusway") if isinstance(metadata, Mapping) else None
    problems = record.get("problems") if isinstance(record, Mapping) else None
    if not isinstance(record, Mapping) or not isinstance(problems, Mapping) or not problems:
        raise NotebookError(f"{where}: no plusway problems in this notebook; give the one that plusway assign made")
    settings = record.get("settings")
    settings = settings if isinstance(settings, Mapping) else {}
    order = _in_order(notebook)
    found = tuple(_in_class(_problem(str(name), entry, where, library or {}), settings)
                  for name, entry in sorted(problems.items(), key=lambda item: order.get(str(item[0]), len(order))))
    scheme = settings.get("scheme")
    if scheme is not None:
        scheme_from(scheme if isinstance(scheme, Mapping) else {"scheme": scheme}, where)
    numbers = PER_STUDENT if settings.get("numbers") == PER_STUDENT else "same"
    points = json.dumps(scheme) if scheme else ""
    return Assignment(str(record.get("assignment") or ""), found, numbers, points, given=given_out_in(notebook, map(_beginning, found), points))


def _in_order(notebook: Mapping[str, Any]) -> dict[str, int]:
    """{problem: its place} by the cells: a notebook that is saved has its record sorted by the alphabet."""
    out: dict[str, int] = {}
    for cell in cells_in(notebook):
        about = metadata_of(cell).get("plusway")
        if isinstance(about, Mapping) and isinstance(about.get("problem"), str):
            out.setdefault(about["problem"], len(out))
    return out


def _beginning(problem: Problem) -> str:
    return grade_id(problem.id, "")


def is_ours(notebook: Mapping[str, Any]) -> bool:
    """Whether a teacher's notebook is a plusway assignment."""
    metadata = notebook.get("metadata")
    record = metadata.get("plusway") if isinstance(metadata, Mapping) else None
    return isinstance(record, Mapping) and bool(record.get("problems"))


def _problem(name: str, entry: object, where: str, library: Mapping[str, str]) -> Problem:
    table = entry if isinstance(entry, Mapping) else {}
    scene = str(table.get("scene") or "")
    toml = table.get("scene_toml") or library.get(scene)
    if not isinstance(toml, str):
        raise NotebookError(f"{where}: problem {name!r} is about the scene {scene!r}, which does not ship; "
                            "build the assignment again with plusway assign --scene FILE")
    scene_of(toml, scene or name)
    steps = table.get("steps")
    counted = tuple(step for step in STEPS if step in steps) if isinstance(steps, list) else ()
    return Problem(name, scene or name, toml, counted)


def _in_class(problem: Problem, settings: Mapping[str, Any]) -> Problem:
    """The problem with the letters and the decimal mark that the lesson's settings give it: students wrote with those."""
    scene = scene_of(problem.toml, problem.scene)
    own = as_in_class(scene, settings, f"settings, {problem.id}")
    return problem if own is scene else replace(problem, toml=scene_toml(own))


@lru_cache(maxsize=512)
def scene_of(toml: str, name: str) -> Scene:
    """The scene of a TOML text; kept, because a class shares it. Raises SceneError."""
    return load_text(toml, name=name, file=f"{name}.toml")


def seed_for(assignment: str, student: str) -> str:
    """The seed of a student's own numbers, the same in the browser that first opens the notebook and at marking."""
    return hashlib.sha256(f"plusway\0{assignment}\0{student}".encode("utf-8", "replace")).hexdigest()[:16]
