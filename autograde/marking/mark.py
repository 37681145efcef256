"""Marking one notebook: the student's text against the teacher's scenes. Pure, and nothing of the notebook is run."""

from __future__ import annotations

import hashlib
import signal
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from itertools import pairwise
from typing import Any

from ..errors import PluswayError
from ..judging.verdicts import Verdicts
from ..method import PER_THING
from ..records.answers import Answers, tidy
from ..records.entries import Entry, newest
from ..records.errors import NotebookError
from ..records.harvest import Harvest, harvest
from ..records.notebook import Notebook, parse_notebook
from ..scene.model import Scene
from .assignment import PER_STUDENT, Assignment, Problem, scene_of, seed_for
from .cells import cells_of_json, grade_id
from .marked import Flag, Marked, ProblemMarks
from .numbers import is_seed, seed_in, with_numbers
from .odd import odd
from .overrides import Override, holding, overridden

Judge = Callable[..., Verdicts]
LONGEST_SECONDS = 60
NO_ANSWERS = "no answers in this file"
MOST_STRANGE = 5  # problems named that are none of the assignment's
LONGEST_PAUSE = 15 * 60  # seconds between two commits; a longer one is a break, not work


def mark_notebook(raw: bytes | Notebook | NotebookError, assignment: Assignment, *, student: str, file: str = "",
                  journal: Sequence[Entry] = (), remarks: Sequence[str] = (), overrides: Sequence[Override] = (),
                  judge: Judge | None = None) -> Marked:
    """Mark one notebook's bytes. Never raises for anything that a student's file can hold: what is wrong with the file
    stands in `error`, what could not be used in `remarks` (after those given), what the teacher should look at in `flags`."""
    judging = judge or _the_judge()
    try:
        if isinstance(raw, NotebookError):
            raise raw
        notebook = parse_notebook(raw) if isinstance(raw, bytes) else raw
        found = harvest(notebook.json, journal)
        found = replace(found, remarks=tuple(dict.fromkeys([*remarks, *notebook.remarks, *found.remarks])))
        problems, said = _problems(found, assignment)
    except PluswayError as error:
        return Marked(file, student, assignment.name, error=str(error), blank=_worth(assignment, judging))
    overrides = holding(overrides, assignment.name)
    marked, flags = [], list(_flags(found, assignment, student))
    earned: dict[str, tuple[float, float]] = {}
    told = [*found.remarks, *said, *([] if _written(found.answers) else [NO_ANSWERS])]
    further = _further(found, assignment, problems)
    if further:
        names = ", ".join(tidy(name, 40) for name in further[:MOST_STRANGE])
        flags.append(Flag("further", f"answers to {names}, which this notebook does not set: shown apart, not counted"))
    for problem in problems:
        result, flag = _mark_problem(problem, found, assignment, told, judging)
        flags += [flag] if flag else []
        earned |= {grade_id(problem.id, cell.step, cell.item): (cell.points, cell.of) for cell in cells_of_json(result.verdicts)}
        marked.append(replace(result, verdicts=overridden(result, student, overrides), apart=problem.id in further))
    flags += odd(notebook.json, assignment.lessons.get(found.assignment, assignment).given, earned, assignment.scheme)
    return Marked(file, student, assignment.name or found.assignment, tuple(marked), tuple(flags), tuple(told),
                  named=found.student, seed=found.seed)


def _the_judge() -> Judge:
    from ..judging import judge

    return judge


def _worth(assignment: Assignment, judge: Judge) -> float:
    return sum(p.counted(judge(scene_of(p.toml, p.scene), {}, assignment.marks())).of for p in assignment.problems)


def _problems(found: Harvest, assignment: Assignment) -> tuple[tuple[Problem, ...], list[str]]:
    """The problems to mark. Only where no assignment is given is the notebook asked, and then for names alone."""
    if assignment.problems:
        ids = {p.id for p in assignment.problems}
        if assignment.name and found.assignment not in ("", assignment.name) and ids.isdisjoint([*found.claims, *found.answers]):
            raise NotebookError(f"this is the notebook of another assignment, {tidy(found.assignment, 40)}; ask for that of {assignment.name}")
        strange = [tidy(name, 40) for name in found.answers if name not in ids]
        said = [f"answers to {name}, not a problem of this assignment: not read" for name in strange[:MOST_STRANGE]]
        more = len(strange) - len(said)
        return assignment.problems, [*said, *([f"and answers to {more} more that are not in it"] if more else [])]
    if found.assignment in assignment.lessons:
        return assignment.lessons[found.assignment].problems, []
    if not found.ours:
        raise NotebookError("this is a notebook, but not one of plusway's: it has no plusway record")
    out: list[Problem] = []
    remarks: list[str] = []
    names = dict.fromkeys([*found.claims, *found.answers])
    for name in names:
        scene = found.claims[name].scene if name in found.claims else name
        alone = len(names) == 1 and len(assignment.library) == 1
        toml = next(iter(assignment.library.values())) if alone else assignment.library.get(scene)
        if toml is None:
            known = "does not ship; give --assignment or --scene"
            remarks.append(f"{tidy(name, 40)}: its scene {tidy(scene, 40)!r} {known}")
        elif (once := next((p for p in out if p.toml == toml), None)) is not None:
            # Else a notebook would earn the same points again under each name that it invents.
            remarks.append(f"{tidy(name, 40)}: the same scene as {tidy(once.id, 40)}, which counts once; give --assignment if both were set")
        else:
            out.append(Problem(name, scene, toml))
    if not out:
        raise NotebookError("; ".join(remarks[:3]) or "the notebook's plusway record names no problem")
    return tuple(out), remarks


def _further(found: Harvest, assignment: Assignment, problems: Sequence[Problem]) -> list[str]:
    """The problems that a notebook has answers to and does not set itself, where the teacher did not say what was set."""
    if assignment.problems or not assignment.lessons or found.assignment in assignment.lessons:
        return []
    further = [p.id for p in problems if p.id not in found.claims]
    return further if len(further) < len(problems) else []  # a notebook without such a record sets whatever it is about


def _flags(found: Harvest, assignment: Assignment, student: str) -> Iterator[Flag]:
    for problem in found.edited:
        yield Flag("edited", f"{tidy(problem, 40)}: the answers in the notebook are not those last committed; "
                             "the committed ones were marked")
    committed = {entry.problem for entry in found.entries}
    for problem in found.answers if committed else ():
        if problem not in committed:
            yield Flag("edited", f"{tidy(problem, 40)}: the answers in the notebook were never committed; they were marked as they stand")
    expected = seed_for(assignment.name, student)
    # A notebook that was never opened has no seed and no answers, so nothing with the wrong numbers either.
    if assignment.numbers == PER_STUDENT and found.seed != expected and (is_seed(found.seed) or _written(found.answers)):
        claimed = f"the seed {found.seed}" if is_seed(found.seed) else "no seed, so the scene's own numbers were marked"
        yield Flag("seed", f"the numbers are not this student's own (seed {expected}): the notebook has {claimed}")


def _written(answers: object) -> bool:
    """Whether anything at all is written in some answers."""
    if isinstance(answers, Mapping):
        return any(map(_written, answers.values()))
    if isinstance(answers, list | tuple):
        return any(map(_written, answers))
    return bool(str(answers).strip())


def _mark_problem(problem: Problem, found: Harvest, assignment: Assignment, remarks: list[str],
                  judge: Judge) -> tuple[ProblemMarks, Flag | None]:
    flag = None
    name = tidy(problem.id, 40)
    try:
        scene, variant = _numbers(problem, found, assignment)
    except PluswayError as error:  # a made-up seed can be one that the scene has no sensible numbers for
        flag = Flag("unjudged", f"{name}: no numbers for the seed {found.seed} ({error}); mark this problem yourself")
        scene, variant = scene_of(problem.toml, problem.scene), ""
    answers, said = fitting(found.answers.get(problem.id, {}), scene)
    remarks += [f"{name}: {remark}" for remark in said]
    scheme = assignment.marks()
    try:
        with at_most(LONGEST_SECONDS):
            verdicts = judge(scene, answers, scheme)
    except Exception as error:  # one student's answers must not stop the class; the teacher is told
        flag = Flag("unjudged", f"{name}: plusway could not judge these answers "
                                f"({type(error).__name__}: {tidy(str(error), 120)}); mark this problem yourself")
        verdicts = judge(scene, {}, scheme)
    mine = [entry for entry in found.entries if entry.problem == problem.id]
    hints = sum(entry.hints for entry in newest(mine).values())
    return ProblemMarks(problem.id, problem.scene, problem.counted(verdicts).to_json(), variant, hints, minutes_of(mine), scene.title), flag


def _numbers(problem: Problem, found: Harvest, assignment: Assignment) -> tuple[Scene, str]:
    """The scene with the numbers that the student saw: those of the notebook's seed, which is flagged where it is not this
    student's, and without a seed the scene's own. Any numbers are as hard as any others, so nothing is won by it."""
    if assignment.numbers != PER_STUDENT or not is_seed(found.seed):
        return scene_of(problem.toml, problem.scene), ""
    seed = seed_in(found.seed, problem.id, {p.id: p.scene for p in assignment.problems})
    return with_numbers(problem.toml, problem.scene, seed), seed


def fitting(answers: Answers, scene: Scene) -> tuple[Answers, list[str]]:
    """The answers without those to things that the scene does not have, and a remark for each."""
    out: Answers = {}
    remarks: list[str] = []
    for step, value in answers.items():
        if step in (*PER_THING, "directions"):
            for name in value:
                if name not in scene.things:
                    remarks.append(f"{step}: there is no {tidy(name, 40)!r} in this scene: not read")
            value = {name: item for name, item in value.items() if name in scene.things}
        if value:
            out[step] = value
    return out, remarks


def minutes_of(entries: Sequence[Entry]) -> float | None:
    """Minutes of work between commits as the student's clock has them, breaks left out; None where they can't tell."""
    times: list[float] = []
    for entry in sorted(entries, key=lambda e: e.age):
        try:
            times.append(datetime.fromisoformat(entry.when.replace("Z", "+00:00")).timestamp())
        except (ValueError, OverflowError, OSError):
            continue
    gaps = [later - earlier for earlier, later in pairwise(times)]
    worked = sum(gap for gap in gaps if 0 <= gap <= LONGEST_PAUSE)
    return round(worked / 60, 1) if gaps else None


@contextmanager
def at_most(seconds: int) -> Iterator[None]:
    """Raise TimeoutError in the block after so many seconds, where there are alarms and this is the main thread."""
    if not hasattr(signal, "SIGALRM") or threading.current_thread() is not threading.main_thread():
        yield
        return

    def stop(*_: Any) -> None:
        raise TimeoutError(f"took longer than {seconds} s")

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def digest_of(raw: bytes, journal: bytes, context: str) -> str:
    """What a notebook's marks depend on; the same digest, the same marks."""
    total = hashlib.sha256(context.encode())
    for part in (raw, journal):
        total.update(len(part).to_bytes(8, "big"))
        total.update(part)
    return total.hexdigest()
