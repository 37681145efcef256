"""From what the teacher typed to what is marked against: the assignment's own notebook, scene files, a scheme, overrides."""

from __future__ import annotations

import json
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from ..autograde.errors import PluswayError, UsageError
from ..autograde.judging.scheme import load_scheme
from ..autograde.marking.assignment import Assignment, assignment_from, is_ours
from ..autograde.marking.overrides import KEPT, Override, holding, load_overrides, within_worth, written
from ..autograde.records import locked, read_notebook, write_atomic
from . import catalogue
from .shelf import SHIPPED

PATIENCE = 10  # seconds
RESULTS = "results.sqlite"


def assignment_for(folder: Path, given: str | None, scenes: Sequence[str], scheme: str | None) -> tuple[Assignment, str]:
    """What to mark against, and one sentence that says so. Raises a PluswayError where something given can't be used."""
    source = Path(given) if given else _only_source(folder)
    library = {name: catalogue.text(name) for name in catalogue.names()}
    if source is not None:
        if scenes:
            raise UsageError("--scene: an assignment's own notebook already says which scenes it is about; give one or the other")
        assignment, said = _from_source(source, library), f"Marked against {source}."
    elif scenes:
        library = dict(scene_file(name) for name in scenes)
        assignment, said = Assignment(library=library), f"Marked against {', '.join(scenes)}."
    else:
        assignment = Assignment(library=library, lessons=_lessons(library))
        said = ("Marked against the shipped lessons and scenes that the notebooks name; a notebook could name fewer problems than were "
                "set, so give the assignment's own notebook with --assignment where the total matters.")
    if scheme:
        assignment = replace(assignment, scheme=json.dumps(asdict(load_scheme(scheme))))
    return assignment, said


def assignment_in(given: str) -> Assignment:
    """The assignment that a teacher's own notebook holds. Raises UsageError."""
    return _from_source(Path(given), {name: catalogue.text(name) for name in catalogue.names()})


def scene_file(name_or_path: str) -> tuple[str, str]:
    """(name, TOML text) of a scene that ships or of a file; SceneError where it is neither, or wrong."""
    scene = catalogue.find(name_or_path)
    path = Path(name_or_path)
    return (scene.name, path.read_text(encoding="utf-8-sig")) if path.is_file() and name_or_path not in catalogue.names() \
        else (scene.name, catalogue.text(name_or_path))


@dataclass(frozen=True)
class Decisions:
    """The overrides of a run: those kept from earlier in the file `kept`, and the new ones after them."""

    kept: Path
    before: tuple[Override, ...] = ()
    new: tuple[Override, ...] = ()

    @property
    def all(self) -> tuple[Override, ...]:
        return *self.before, *self.new

    def concerning(self, assignment: Assignment) -> tuple[Override, ...]:
        """Those that should fit a line of this assignment: all the new ones, and of those kept the ones that are not about another."""
        set_here = {problem.id for problem in assignment.problems}
        return *(o for o in holding(self.before, assignment.name) if not set_here or o.assignment or o.problem in set_here), *self.new

    def keep(self, unused: Sequence[Override]) -> None:
        """Keep for later runs the new ones that fit something; one that fits nothing is mistyped and would only be told of again.

        Several may mark assignments of one course at once, each into results of its own: what the file has by now stays."""
        fitting = [override for override in self.new if override not in unused]
        if fitting:
            with _sole_writer(self.kept):
                now = load_overrides(self.kept) if self.kept.is_file() else ()
                write_atomic(self.kept, written([*now, *(override for override in fitting if override not in now)]))


def roster(given: str | None, name: str, collected: Path | None = None) -> frozenset[str]:
    """The students for whom `plusway assign --students` wrote a copy, by the assignment's own notebook; where copies come back into that
    very folder (`collected`) it tells nothing."""
    home = Path(given).resolve().parents[:3] if given else ()
    handout = home[2] / "handout" / name if len(home) == 3 and name else None
    if handout is None or not handout.is_dir() or (collected is not None and handout.samefile(collected)):
        return frozenset()
    return frozenset(path.stem for path in handout.glob("*.ipynb"))


@contextmanager
def _sole_writer(kept: Path) -> Iterator[None]:
    """Wait for a moment's turn at a file that another process may be writing too. Raises UsageError where it never comes."""
    until = time.monotonic() + PATIENCE
    while True:
        with locked(kept.with_name(f".{kept.stem}")) as free:
            if free:
                yield
                return
        if time.monotonic() > until:
            raise UsageError(f"{kept}: another plusway mark is writing it; wait for it, then give the command again")
        time.sleep(0.02)


def overrides_for(folder: Path, out: Path, given: str | None, assignment: Assignment) -> Decisions:
    """The overrides that hold: those kept from earlier, and the given file's after them. In an nbgrader course they are kept in its
    folder, where nbgrader autograde reads them as well, else in `out`. Raises UsageError where a file is wrong."""
    kept = (folder if (folder / "submitted").is_dir() else out) / KEPT
    before = load_overrides(kept) if kept.is_file() else ()
    within_worth(before, assignment, str(kept))
    new = tuple(override for override in load_overrides(given) if override not in before) if given else ()
    within_worth(new, assignment, str(given))
    return Decisions(kept, before, new)


def found_there(folder: Path, out: Path, kept: Path) -> Iterator[str]:
    """One sentence for each thing in a collected folder that turns what is marked, and that a student's archive may have brought."""
    course = (folder / "submitted").is_dir()
    beside = sorted(folder.glob("*.ipynb")) if course else []
    if beside:
        yield (f"{folder} holds a folder submitted/, so it is taken for a course and only that is marked; beside it "
               f"{'lies' if len(beside) == 1 else 'lie'} {beside[0].name}{f' and {len(beside) - 1} more' if len(beside) > 1 else ''}")
    # In a course that is one the file is the teacher's to write before anything is marked.
    if kept.is_file() and not (out / RESULTS).is_file() and (beside or not course):
        yield f"{kept} was there before the first marking, and its verdicts hold; if you did not write it, take it out and mark again"


def _from_source(source: Path, library: dict[str, str]) -> Assignment:
    try:
        assignment = assignment_from(read_notebook(source).json, str(source), library)
        if released := _released(source):
            assignment = replace(assignment, given=assignment.given.with_texts_of(read_notebook(released).json))
    except PluswayError as error:
        raise UsageError(str(error) if str(source) in str(error) else f"{source}: {error}") from None
    return assignment if assignment.name else replace(assignment, name=source.stem)


def _released(source: Path) -> Path | None:
    """The students' version that nbgrader made of a source notebook; None where there is none to be read."""
    path = Path(source).resolve()
    folder = path.parents[2] / "release" / path.parent.name if len(path.parents) > 2 and path.parents[1].name == "source" else None
    if folder is None or not (folder / path.name).is_file():
        return None
    return folder / path.name


def _lessons(library: dict[str, str]) -> dict[str, Assignment]:
    """{name: assignment} of the lessons that ship: which steps they ask for, and with which numbers."""
    records = {path.stem: read_notebook(path).json for path in sorted(SHIPPED.glob("*.ipynb"))}
    return {name: assignment_from(record, name, library) for name, record in records.items() if is_ours(record)}


def _only_source(folder: Path) -> Path | None:
    """In a course folder of nbgrader the source notebook, where there is one plusway assignment only."""
    found = []
    for path in sorted((folder / "source").glob("*/*.ipynb")) if (folder / "submitted").is_dir() else []:
        try:
            if is_ours(read_notebook(path).json):
                found.append(path)
        except PluswayError:
            continue  # not a notebook of ours, and so not what is looked for
    if len(found) > 1:
        raise UsageError(f"{folder}: this course has {len(found)} plusway assignments; say which with --assignment {found[0]}")
    return found[0] if found else None
