"""`Problem`: what a lesson's cells use. One problem gives one widget for each step, and the points of each step.

>>> problem = Problem("feed-sack")                      # doctest: +SKIP
>>> problem.equation("sack")                            # doctest: +SKIP
>>> problem.points("equations", "sack")                 # doctest: +SKIP
2.0
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from pathlib import Path
from threading import Timer
from typing import TYPE_CHECKING, Any

from ..autograde.errors import PluswayError
from ..autograde.judging.scheme import Scheme, scheme_from
from ..autograde.marking.assignment import PER_STUDENT
from ..autograde.scene import as_in_class, load, load_text
from ..autograde.scene.model import Scene
from .desk import Desk
from .place import Place, find_place
from .reading import Reader
from .settings import settings_from
from .steps import Directions, Equation, Forces, Results, Sense, StepWidget, Ties, Working

if TYPE_CHECKING:
    from .closingpicture import ClosingPicture
    from .slipfinder import SlipFinder


@dataclass
class _Bench:
    """One problem's desk with the widgets round it: one model for each, however often its cell is run."""

    desk: Desk
    reader: Reader
    steps: dict[tuple[str, str | None], StepWidget] = field(default_factory=dict)
    closing: ClosingPicture | None = None


# Running a lesson's first cell again must not split its answers over two desks: the same problem of the same notebook stays one.
_benches: dict[tuple[str, str, str, str], _Bench] = {}


_READING_TIME = 2.0  # s from the first widget until the judge is imported beside the page


@cache
def _fetch_the_judge() -> None:
    """Import in the background, while the student reads, what the first answer will need; in a kernel only, once."""
    if "ipykernel" in sys.modules:
        timer = Timer(_READING_TIME, _import_the_judge)
        timer.daemon = True
        timer.start()


def _import_the_judge() -> None:
    from ..autograde.judging import paper  # noqa: F401


def forget_all() -> None:
    """Begin anew, as a restarted kernel does; the answers are in the journal."""
    _benches.clear()


class Problem:
    """One problem of a lesson.

    `scene`: the name of a scene that ships, a path to a scene file, its TOML text, or a Scene. `id` names the problem within the
    notebook (default: the scene's name). `settings`: see `plusway.widgets.settings`; they are stronger than the notebook's own.
    Raises SceneError or SettingsError, each one line that says what to mend.
    """

    def __init__(self, scene: str | Scene, id: str | None = None, settings: Mapping[str, Any] | None = None) -> None:
        place = find_place(id or (scene.name if isinstance(scene, Scene) else "lesson"))
        found = scene if isinstance(scene, Scene) else _own_numbers(place, id or scene) or scene_from(scene)
        self.id = id or found.name
        stored = place.metadata.get("settings")
        chosen = settings_from(stored if isinstance(stored, Mapping) else {}, settings or {})
        found = as_in_class(found, chosen.to_json())
        key = (str(place.notebook), self.id, found.digest, repr(chosen))
        if key in _benches:
            _benches[key].desk.reread()
        else:
            desk = Desk(found, self.id, chosen, place, _scheme(place))
            _benches[key] = _Bench(desk, Reader(desk.vocabulary, chosen.language))
        self._bench = _benches[key]
        self._desk = self._bench.desk

    @property
    def scene(self) -> Scene:
        return self._desk.scene

    def directions(self) -> StepWidget:
        """Choose which way counts as plus for each thing."""
        return self._widget(Directions)

    def forces(self, thing: str | None = None) -> StepWidget:
        """Build the force diagram of one thing (of all, one below the other, where none is named)."""
        return self._widget(Forces, self._thing(thing))

    def equation(self, thing: str | None = None) -> StepWidget:
        """Write Newton's second law for one thing (for all, where none is named)."""
        return self._widget(Equation, self._thing(thing))

    def ties(self) -> StepWidget:
        """Write the relations between the accelerations."""
        return self._widget(Ties)

    def working(self) -> StepWidget:
        """Solve the equations line by line."""
        return self._widget(Working)

    def results(self) -> StepWidget:
        """Give each asked value with its unit."""
        return self._widget(Results)

    def sense(self) -> StepWidget:
        """State checks that a true result must pass."""
        return self._widget(Sense)

    def closing(self) -> ClosingPicture:
        """The motion and the forces to scale, from the student's own results; given once they have drawn the forces."""
        if self._bench.closing is None:
            from .closingpicture import ClosingPicture

            self._bench.closing = ClosingPicture(self._desk)
        return self._bench.closing

    def find_slip(self, kind: str | int | None = None, seed: str | int = 1) -> SlipFinder:
        """A finished solution with one slip in it, to be found, named and mended; another seed gives another. `kind`: a kind of slip
        ("flipped-force"), or the number that stands for it in a lesson; left out: one that the seed draws. Raises NoSlip where the scene has no such slip."""
        from .slipfinder import slip_finder

        return slip_finder(self._desk, kind, seed)

    def points(self, step: str, item: str | None = None) -> float:
        """The points of a step, or of one item of it, as a float: what a grade cell prints. 0.0 while verdicts wait for the
        marking, which finds the points by itself."""
        return self._desk.points(step, item)

    def answers(self) -> dict[str, Any]:
        """The answers so far, in the contract's shape."""
        return {"scene": self.scene.name, **self._desk.answers}

    def verdicts(self) -> list[dict[str, Any]]:
        """The judge's steps for the answers so far, in the contract's JSON."""
        return self._desk.verdicts()

    def hints(self, step: str, item: str | None) -> int:
        """How many hints were shown by the time the newest answer to this item was given; item None for a step that is one list."""
        entry = self._desk.newest(step, item)
        return entry.hints if entry else 0

    def watch(self, listener: Callable[[], None]) -> None:
        """Call `listener` after every change of the answers."""
        self._desk.listeners.append(listener)

    def __repr__(self) -> str:
        return f"Problem({self.id!r}): {self.scene.title}"

    def _thing(self, thing: str | None) -> str | None:
        if thing is not None and thing not in self.scene.things:
            raise PluswayError(f"{self.id}: there is no {thing!r} in this scene; its things are {', '.join(self.scene.things)}")
        return thing

    def _widget(self, kind: type[StepWidget], item: str | None = None) -> StepWidget:
        key = (kind.step, item)
        if key not in self._bench.steps:
            _fetch_the_judge()
            self._bench.steps[key] = kind(self._desk, self._bench.reader, item)
        return self._bench.steps[key]


def _own_numbers(place: Place, problem: str) -> Scene | None:
    """The scene as the notebook's metadata have it: the same problem, with this student's own numbers; None where they have none."""
    problems = place.metadata.get("problems")
    stored = problems.get(problem) if isinstance(problems, Mapping) else None
    text = stored.get("scene_toml") if isinstance(stored, Mapping) else None
    if not isinstance(text, str) or not text.strip():
        return None
    name = str(stored.get("scene") or problem) if isinstance(stored, Mapping) else problem
    settings, seed = place.metadata.get("settings"), place.metadata.get("seed")
    if isinstance(settings, Mapping) and settings.get("numbers") == PER_STUDENT:
        from ..autograde.marking.numbers import is_seed, seed_in, with_numbers

        if is_seed(seed) and isinstance(problems, Mapping):
            scenes = {str(id): str(one.get("scene") or id) for id, one in problems.items() if isinstance(one, Mapping)}
            return with_numbers(text, name, seed_in(str(seed), problem, scenes))
    return load_text(text, name=name, file=f"{place.notebook.name}, scene {name}")


def _scheme(place: Place) -> Scheme | None:
    settings = place.metadata.get("settings")
    table = settings.get("scheme") if isinstance(settings, Mapping) else None
    return scheme_from(table, place.notebook.name) if isinstance(table, Mapping) else None


def scene_from(text: str) -> Scene:
    """A scene from TOML text, from the path of a scene file, or by the name of one that ships. Raises SceneError."""
    if "\n" in text or "=" in text:
        return load_text(text)
    # Shipped scenes are data of the package, so they are reached without importing the lessons.
    shipped = resources.files("plusway") / "lessons" / "scenes" / f"{text}.toml"
    if re.fullmatch(r"[a-z0-9-]+", text) and shipped.is_file():
        return load_text(shipped.read_text(encoding="utf-8"), name=text, file=f"{text}.toml")
    if text.endswith(".toml") or Path(text).is_file():
        return load(text)
    raise PluswayError(f"there is no scene named {text!r:.60}; `plusway scenes` lists those that ship, or give the path of a .toml file. (An "
                       "assignment's own scene stands in its notebook: open that in JupyterLab, or run it in its folder without other copies there.)")
