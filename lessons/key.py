"""The worked key as a class writes it: with its letters and decimal mark, and with one student's own numbers."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TypeVar, cast

from ..autograde.errors import UsageError
from ..autograde.languages import written
from ..autograde.marking.assignment import PER_STUDENT, Assignment, scene_of, seed_for
from ..autograde.marking.numbers import seed_in, with_numbers
from ..autograde.mechanics.render import as_markdown, as_text
from ..autograde.mechanics.steps import WorkedLine, WorkedStep
from ..autograde.mechanics.worked import work
from ..autograde.reading.tree import Name
from ..autograde.scene.model import Scene
from ..autograde.scene.notation import class_letter

_KINDS = {"W": "weight", "N": "normal", "f": "friction", "I": "inertia"}
_LETTER = re.compile(r"(?<![\w\\])([WNfI])(?:_(\w+))?(?!\w)")
_LETTER_IN_WORDS = re.compile(r"(?<![\w\\])(?<![0-9)] )([WNfI])(?:_(\w+))?(?!\w)")  # "93 N" is a unit


@dataclass(frozen=True)
class Key:
    """One problem of an assignment with the numbers that one student has."""

    problem: str
    scene: Scene

    @property
    def data(self) -> str:
        """The student's numbers on one line."""
        given = [f"{s.name} = {s.given.text} {s.given.unit}".strip() for s in self.scene.symbols.values() if s.given is not None]
        return written(", ".join(given), self.scene.decimal_comma)


def keys_of(assignment: Assignment, student: str, problem: str | None = None) -> list[Key]:
    """Each problem with this student's numbers, or the one that is named. Raises UsageError where there is none of that name."""
    scenes = {p.id: p.scene for p in assignment.problems}
    wanted = [p for p in assignment.problems if problem in (None, p.id)] or [p for p in assignment.problems if p.scene == problem]
    if not wanted:
        raise UsageError(f"{problem}: no problem of this assignment; it has {', '.join(scenes)}")
    if assignment.numbers != PER_STUDENT:
        return [Key(p.id, scene_of(p.toml, p.scene)) for p in wanted]
    seed = seed_for(assignment.name, student)
    return [Key(p.id, with_numbers(p.toml, p.scene, seed_in(seed, p.id, scenes))) for p in wanted]


def key_steps(scene: Scene, positive: Mapping[str, str]) -> tuple[WorkedStep, ...]:
    """The steps of the worked solution in the letters of the class."""
    return tuple(_in_class(step, scene) for step in work(scene, positive).steps)


def key_text(scene: Scene, positive: Mapping[str, str]) -> str:
    """The worked solution as plain text."""
    return written(as_text(scene, key_steps(scene, positive)), scene.decimal_comma)


def key_markdown(scene: Scene, positive: Mapping[str, str]) -> str:
    """The worked solution as Markdown with LaTeX in dollar signs."""
    return written(as_markdown(scene, key_steps(scene, positive)), scene.decimal_comma)


def in_class_letters(text: str, scene: Scene, is_line: bool = True) -> str:
    """A line of ours (or a sentence) with the class's letters in the place of W, N, f and I.

    An index stays: where R is written for a normal force, N_1 becomes R_1; where mg is written for a weight, W_1 becomes m_1 g.
    """
    if not scene.notation:
        return text

    def own(found: re.Match[str]) -> str:
        name, letter = found[0], scene.notation.get(_KINDS[found[1]])
        symbol = scene.symbols.get(name)
        if letter is None or (symbol is not None and symbol.kind != _KINDS[found[1]]):
            return name
        if symbol is not None:
            return class_letter(scene, name)
        return "m g" if letter == "mg" else letter + (f"{'' if '_' in letter else '_'}{found[2]}" if found[2] else "")

    return (_LETTER if is_line else _LETTER_IN_WORDS).sub(own, text)


Tree = TypeVar("Tree")


def respelt(tree: Tree, scene: Scene) -> Tree:
    """A line that was read, or a part of it, with its symbols called as the class calls them: a tree has their names in the scene."""
    if isinstance(tree, Name):
        own = in_class_letters(tree.name, scene)
        return cast(Tree, replace(tree, name=own, text=own))
    if isinstance(tree, tuple):
        return cast(Tree, tuple(respelt(part, scene) for part in tree))
    if is_dataclass(tree) and not isinstance(tree, type):
        return replace(tree, **{part.name: respelt(getattr(tree, part.name), scene) for part in fields(tree) if part.init})
    return tree


def _in_class(step: WorkedStep, scene: Scene) -> WorkedStep:
    lines: Sequence[WorkedLine] = [replace(line, text=in_class_letters(line.text, scene, line.kind == "math")) for line in step.lines]
    return replace(step, says=in_class_letters(step.says, scene, is_line=False), lines=tuple(lines))
