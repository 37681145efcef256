"""What becomes of each section of a lesson: its cells, and the problem that it adds to the notebook's record.

`KINDS` is the table: a kind of section, the options that may stand after its scene, and the function that makes its cells. Whoever
has another kind of exercise adds a row (see "find the slip" in `course`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from nbformat.notebooknode import NotebookNode

from ..autograde.judging.slipfinding import NoSlip, exercise
from ..autograde.marking.cells import quoted
from ..autograde.method import PER_THING, STEPS, in_a_sentence, step_title
from ..autograde.scene.data import with_data
from ..autograde.scene.model import Scene
from ..autograde.scene.writing import scene_toml
from ..widgets.slipfinder import number_of
from . import catalogue
from .notebook import ProblemSpec, code_cell, problem_cells, text_cell
from .placeholders import filled, task
from .source import CourseError, Section


@dataclass(frozen=True)
class Built:
    """The cells of a section, and its problem where it has one."""

    cells: tuple[NotebookNode, ...]
    problem: ProblemSpec | None = None


def built(section: Section, place: int, about: Scene) -> Built:
    """The cells of a section, the `place`-th of its lesson; `about`: the scene of placeholders in a section of text alone.

    Raises CourseError, SceneError, PlaceholderError.
    """
    if section.kind:
        return KINDS[section.kind][1](section, place)
    return Built((text_cell(f"text-{place}", filled(f"## {section.heading}\n\n{section.text}", about)),))


def scene_of(section: Section) -> Scene:
    """The scene of a section, with the data of its own where it gives some."""
    scene = catalogue.find(section.scene)
    return with_data(scene, dict(_data(section))) if "data" in section.options else scene


def opening(section: Section, scene: Scene, heading: str, said: str = "", *, given: bool = True, find: bool = True) -> str:
    """The Markdown that opens a section: heading, story, what is `given`, what to `find`, what is `said` of it, and the author's text."""
    parts = [f"## {heading}: {scene.title}", scene.story, "  \n".join(task(scene, given, find)), said, filled(section.text, scene)]
    return "\n\n".join(part for part in parts if part)


def _worked_example(section: Section, place: int) -> Built:
    scene = catalogue.find(section.scene)
    name = f"worked-{scene.name}"
    code = f"from plusway.widgets import WorkedExample\n\nWorkedExample({quoted(scene.name)})"
    said = "Choose which way is plus for each thing, and watch what becomes of the solution: which signs turn, and which results stay."
    return Built((
        text_cell(f"{name}--story", opening(section, scene, "Worked example", said, given=False)),
        code_cell(name, code, {"plusway": {"example": scene.name}}),
    ))


def _half_finished(section: Section, place: int) -> Built:
    given = _steps(section, "given")
    if not given or len(given) == len(STEPS):
        raise CourseError(f"half-finished: {section.scene}: say which steps are given, as in '| given: directions, forces'")
    said = f"Here the {_listed(given)} {'is' if given == ('working',) else 'are'} shown worked, to study. The rest is yours."
    return _problem_of(section, "Half-finished", section.scene, given=given, said=said)


def _problem(section: Section, place: int) -> Built:
    return _problem_of(section, "A whole problem", section.scene)


def _check_yourself(section: Section, place: int) -> Built:
    steps = _steps(section, "steps") or STEPS
    said = "" if steps == STEPS else f"Here only the {_listed(steps)} {'is' if steps == ('working',) else 'are'} asked for."
    return _problem_of(section, "Check yourself", f"check-{section.scene}", steps=steps, said=said, brief=True)


def _find_the_slip(section: Section, place: int) -> Built:
    scene = catalogue.find(section.scene)
    kind, seed = section.options.get("slip", "").strip(), section.options.get("seed", "1").strip()
    try:
        exercise(scene, kind or None, seed)  # a scene in which no such slip can be made is told now, not to a student
    except NoSlip as why:
        raise CourseError(f"find the slip: {why}") from None
    id = f"slip-{scene.name}"
    name = id.replace("-", "_")
    asked = ", ".join([str(number_of(kind))] * bool(kind) + [f"seed={seed if seed.isdigit() else quoted(seed)}"])
    code = f"from plusway.widgets import Problem\n\n{name} = Problem({quoted(scene.name)}, id={quoted(id)})\n{name}.find_slip({asked})"
    said = ("This solution is finished, and wrong: one slip was made in it. Point at the line where it goes wrong, say what kind of slip it "
            "is, and mend it. Nothing is marked here.")
    return Built((
        text_cell(f"{id}--story", "\n\n".join(part for part in (f"## Find the slip: {scene.title}", said, filled(section.text, scene)) if part)),
        code_cell(id, code, {"plusway": {"slip": scene.name}}),
    ))


def _problem_of(section: Section, heading: str, id: str, *, steps: tuple[str, ...] = STEPS, given: tuple[str, ...] = (),
                said: str = "", brief: bool = False) -> Built:
    scene = scene_of(section)
    toml = scene_toml(scene) if "data" in section.options else catalogue.text(section.scene)
    headings = {step: (title, filled(text, scene)) for step, (title, text) in section.headings.items()}
    for name in headings:
        step, _, thing = name.partition(" ")
        if thing and (step not in PER_THING or thing not in scene.things):
            raise CourseError(f"{section.kind}: {section.scene}: '### {name}:' is about none of {', '.join(scene.things)}")
    top = opening(section, scene, heading, said, find="results" in steps)
    problem = ProblemSpec(id, scene, toml, headings, steps=steps, given=given, opening=top, brief=brief)
    return Built(tuple(problem_cells(problem, id.replace("-", "_"))), problem)


def _steps(section: Section, option: str) -> tuple[str, ...]:
    wanted = [step.strip() for step in section.options.get(option, "").split(",") if step.strip()]
    for step in wanted:
        if step not in STEPS:
            raise CourseError(f"{section.kind}: {section.scene}: {option}: {step!r} is no step; the steps are {', '.join(STEPS)}")
    return tuple(step for step in STEPS if step in wanted)


def _data(section: Section) -> Iterator[tuple[str, str]]:
    for part in section.options["data"].split(","):
        name, equals, value = (piece.strip() for piece in part.partition("="))
        if not equals:
            raise CourseError(f"{section.kind}: {section.scene}: data: found {part.strip()!r}; write it as m_1 = 7.5 kg")
        yield name, value


def _listed(steps: tuple[str, ...]) -> str:
    words = [in_a_sentence(step_title(step)) for step in steps]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


KINDS: dict[str, tuple[tuple[str, ...], Callable[[Section, int], Built]]] = {
    "worked example": ((), _worked_example),
    "half-finished": (("given", "data"), _half_finished),
    "problem": (("data",), _problem),
    "check yourself": (("steps", "data"), _check_yourself),
    "find the slip": (("slip", "seed"), _find_the_slip),
}
