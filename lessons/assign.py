"""Building an assignment in an nbgrader course: the source notebook, and the line of configuration that switches marking on."""

from __future__ import annotations

import copy
import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import nbformat
from nbformat.notebooknode import NotebookNode

from ..autograde.errors import UsageError
from ..autograde.judging.scheme import Scheme
from ..autograde.languages import written
from ..autograde.marking.assignment import PER_STUDENT, seed_for
from ..autograde.marking.cells import Graded, cells_of
from ..autograde.marking.feedback import RESERVED
from ..autograde.marking.given_out import build_of
from ..autograde.marking.numbers import with_numbers
from ..autograde.mechanics.story import told
from ..autograde.records import NotebookError, read_notebook, write_atomic
from ..autograde.scene import as_in_class, load_text
from ..autograde.scene.model import Scene
from ..widgets.settings import settings_from
from .marking_setup import scene_file
from .notebook import ProblemSpec, blank_verdicts, build

ENABLE = "from plusway.autograde.marking.nbgrader_adapter import enable; enable(c)"
CONFIG = "nbgrader_config.py"
NEW_CONFIG = f"""c = get_config()

# plusway's assignments are marked without running the students' code; all others as ever.
{ENABLE}
"""


@dataclass(frozen=True)
class Plan:
    """What would be written: the notebook, and for each problem the points of its grade cells."""

    name: str
    notebook: NotebookNode
    problems: tuple[ProblemSpec, ...]
    points: tuple[tuple[ProblemSpec, tuple[Graded, ...]], ...]

    @property
    def per_student(self) -> bool:
        """Whether each student gets numbers of their own."""
        return bool(self.notebook.metadata.plusway.settings.numbers == PER_STUDENT)

    @property
    def of(self) -> float:
        """What the assignment is worth."""
        return sum(cell.of for _, cells in self.points for cell in cells)


def plan(name: str, scenes: Sequence[str], *, title: str = "", scheme: Scheme | None = None,
         per_student: bool = False, settings: dict[str, Any] | None = None) -> Plan:
    """An assignment from scenes (names or TOML files). settings: as in the notebook's metadata. Nothing is written. Raises
    UsageError, SceneError, SettingsError."""
    chosen = {**(settings or {}), "numbers": PER_STUDENT if per_student else "same"}
    settings_from(chosen, {})
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,63}", name):
        raise UsageError(f"--name {name!r}: use letters, figures, _ and - only, such as ps1: it becomes a folder's name")
    if not scenes:
        raise UsageError("--scene: name at least one scene (plusway scenes lists them), or a TOML file")
    problems: list[ProblemSpec] = []
    for given in scenes:
        scene_name, toml = scene_file(given)
        scene = load_text(toml, name=scene_name, file=given)
        if per_student:
            _can_differ(scene, toml, given)
        problems.append(ProblemSpec(_new_id(scene_name, [p.id for p in problems]), _in_class(scene, chosen), toml))
    if scheme is not None:
        chosen["scheme"] = asdict(scheme)
    notebook = build(title or name, problems, assignment=name, settings=chosen, scheme=scheme)
    points = tuple((problem, cells_of(blank_verdicts(problem.scene, scheme))) for problem in problems)
    return Plan(name, notebook, tuple(problems), points)


def _in_class(scene: Scene, settings: Mapping[str, Any]) -> Scene:
    """The scene as this class writes it, its story too; letters that are another symbol's are told now, not at marking."""
    own = as_in_class(scene, settings, f"--notation, {scene.name}")
    return replace(own, title=written(own.title, own.decimal_comma), story=written(own.story, own.decimal_comma))


def _can_differ(scene: Scene, toml: str, where: str) -> None:
    """Told now, not in a student's browser: a scene without sensible variants, or a story that says the numbers."""
    if said := told(scene):
        raise UsageError(f"{where}: story: says {', '.join(said)}, which differ with --per-student; write the story without "
                         "figures, for every step of the lesson lists the student's own")
    with_numbers(toml, scene.name, seed_for("", ""))


def of_student(planned: Plan, student: str) -> NotebookNode:
    """One student's own copy, with the name and the seed that a hub would write at first opening: to be mailed."""
    notebook = copy.deepcopy(planned.notebook)
    record = notebook.metadata.plusway
    record.student = student
    if planned.per_student:
        record.seed = seed_for(planned.name, student)
    return notebook


def hand_out(planned: Plan, course: Path, students: Sequence[str], *, force: bool = False) -> Path:
    """Write COURSE/handout/NAME/STUDENT.ipynb for each of them; returns the folder. Raises UsageError before it writes where a
    copy exists (unless `force`)."""
    folder = course / "handout" / planned.name
    if not force:
        no_copies_yet(planned, course, students)
    folder.mkdir(parents=True, exist_ok=True)
    for student in students:
        write_atomic(folder / f"{student}.ipynb", nbformat.writes(of_student(planned, student)) + "\n")
    return folder


def no_copies_yet(planned: Plan, course: Path, students: Sequence[str]) -> None:
    """Raise UsageError where one of these students has a copy already."""
    for student in students:
        if (path := course / "handout" / planned.name / f"{student}.ipynb").exists():
            raise UsageError(f"{path}: is there already; a student may have it; replace the copies with --force")


COLUMNS = ("id", "student", "student_id", "studentid", "user", "username", "user_name", "login")
"""What the column of a list is called that names the students' files; of several the first of these that is there."""
HEADINGS = (*COLUMNS, "name", "names", "students")
"""What stands above a list that is one column, and is no student."""


def students_in(path: Path) -> tuple[list[str], str]:
    """The students that a file lists: one on a line, or a column of a CSV file, whose columns a comma, a semicolon or a tab parts; and
    the heading that was passed over ("" for none). Raises UsageError."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise UsageError(f"{path}: can't be read ({error.strerror or error}); give a text file with one student on each line") from None
    except UnicodeDecodeError:
        raise UsageError(f"{path}: is not UTF-8 text; save it as UTF-8 (in a spreadsheet: CSV UTF-8)") from None
    reader = csv.reader(text.splitlines(), delimiter=max(",;\t", key=next(filter(str.strip, text.splitlines()), "").count))
    lines = [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    rows = [row for _, row in lines]
    head = [cell.strip().lower().replace(" ", "_") for cell in rows[0]] if rows else []
    several = any(len(row) > 1 for row in rows)
    column = next((head.index(name) for name in (COLUMNS if several else HEADINGS) if name in head), None)
    if column is None and several:
        raise UsageError(f"{path}: has several columns and none that is called id, student or username")
    names = [row[column or 0].strip() if len(row) > (column or 0) else "" for row in rows[0 if column is None else 1:]]
    for (place, _), name in zip(lines[0 if column is None else 1:], names, strict=True):
        if not re.fullmatch(r"[^\W_](?:[\w.@+-]|[ ](?! |$))*", name) or name.upper().partition(".")[0] in RESERVED:
            raise UsageError(f"{path}, line {place}: {name!r} can't be a file's name; use letters, figures, - _ . @ +")
    if twice := next((name for place, name in enumerate(names) if name.lower() in map(str.lower, names[:place])), None):
        raise UsageError(f"{path}: {twice} is there twice; give each student a name of their own")
    if not names:
        raise UsageError(f"{path}: lists no student; write one on each line")
    return names, "" if column is None else rows[0][column].strip()


def write(planned: Plan, course: Path, *, force: bool = False, enable: bool = False) -> tuple[Path, str]:
    """Write the source notebook into the course; returns its path and a sentence about the configuration.

    The enabling line goes into nbgrader_config.py where there is no such file yet, or `enable` asks for it. Raises UsageError
    where the assignment exists (unless `force`), the course is no folder, or its configuration no text; nothing is then written.
    """
    if course.exists() and not course.is_dir():
        raise UsageError(f"{course}: this is a file; give the folder of the nbgrader course")
    path = course / "source" / planned.name / f"{planned.name}.ipynb"
    if path.exists() and not force:
        raise UsageError(f"{path}: this assignment exists; choose another --name, or replace it with --force")
    config = course / CONFIG
    text = _config_text(config)
    path.parent.mkdir(parents=True, exist_ok=True)
    write_atomic(path, nbformat.writes(planned.notebook) + "\n")
    return path, _configure(config, text, enable)


def handed_in(planned: Plan, course: Path) -> int:
    """How many students have handed in an earlier build of it, with other grade cells: nbgrader takes no others then. 0: nothing to say."""
    try:
        before = read_notebook(course / "source" / planned.name / f"{planned.name}.ipynb").json
    except NotebookError:
        return 0  # none, or none of ours
    same = build_of(before) == build_of(planned.notebook)
    return 0 if same else sum(1 for _ in (course / "submitted").glob(f"*/{planned.name}"))


def _config_text(config: Path) -> str | None:
    """What the course's configuration says; None where there is none. Raises UsageError, OSError."""
    try:
        return config.read_text(encoding="utf-8")
    except FileNotFoundError:
        return None
    except UnicodeDecodeError:
        raise UsageError(f"{config}: is not UTF-8 text; save it as UTF-8") from None


def _configure(config: Path, text: str | None, enable: bool) -> str:
    if text is None:
        write_atomic(config, NEW_CONFIG)
        return f"{config} is new and switches plusway's marking on."
    if re.search(r"^[^#\n]*nbgrader_adapter import enable", text, re.MULTILINE):
        return f"{config} switches plusway's marking on already."
    if enable:
        write_atomic(config, text.rstrip("\n") + f"\n\n# plusway's assignments are marked without running code.\n{ENABLE}\n")
        return f"{config} now switches plusway's marking on."
    return f"{config} does not switch plusway's marking on yet: add the line  {ENABLE}  at its end, or call again with --enable."


def _new_id(name: str, taken: Sequence[str]) -> str:
    plain = re.sub(r"[^A-Za-z0-9_-]+", "-", name).strip("-") or "problem"
    place, found = 2, plain
    while found in taken:
        found, place = f"{plain}-{place}", place + 1
    return found
