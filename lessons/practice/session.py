"""A practice session in a notebook: the problem on the desk, its steps, the way to the next one, and the learner's file.

This is where the effects are: file, clock, widgets. Which evidence counts, what is known and what comes next is worked out elsewhere.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import datetime, timezone
from pathlib import Path
from typing import TYPE_CHECKING

from ...autograde.errors import PluswayError
from ...autograde.mechanics.variants import variants
from ...autograde.method import STEPS
from ...autograde.scene.model import Scene
from ...autograde.scene.notation import class_letter
from .. import catalogue
from ..placeholders import pretty
from .choice import choose
from .evidence import new_evidence
from .keeping import File
from .known import known_html, known_text
from .record import Past, Record, RecordError
from .skills import SKILLS, extras_of, skills_of

if TYPE_CHECKING:
    import ipywidgets

    from ...widgets import Problem


def _now() -> datetime:
    return datetime.now(timezone.utc)


def scene_for(past: Past) -> Scene:
    """The scene of a problem, with its numbers. SceneError where no such scene ships any more."""
    scene = catalogue.find(past.scene)
    return scene if past.seed is None else next(variants(scene, past.seed), scene)


def next_problem(record: Record, scenes: dict[str, frozenset[str]], now: datetime) -> tuple[Past, str]:
    """The problem that comes after this record, and why, in a sentence."""
    extras = {name: extras_of(catalogue.find(name)) for name in scenes}
    chosen = choose(record.standings(), scenes, record.past, record.seed, now, extras)
    number = len(record.problems) + 1
    return Past(f"practice-{secrets.token_hex(5)}", chosen.scene, f"{record.seed}-{number}", chosen.target, now), chosen.why


def shipped() -> dict[str, frozenset[str]]:
    """{name: skills} of the scenes that ship."""
    return {name: skills_of(catalogue.find(name)) for name in catalogue.names()}


class Session:
    """One learner at work in `folder`. `view` is the widget that shows it; `clock` gives the time with its zone."""

    def __init__(self, folder: Path, clock: Callable[[], datetime] = _now, scenes: dict[str, frozenset[str]] | None = None) -> None:
        import ipywidgets

        from ...widgets.bar import Bar

        self.file, self._clock = File(folder), clock
        self._scenes = shipped() if scenes is None else scenes
        self._turn, self._why, self.ended = 0, "", False
        self.problem: Problem | None = None
        self.top, self.bottom = Bar(self.press), Bar(self.press)
        self._table = ipywidgets.HTML()
        self.view: ipywidgets.VBox = ipywidgets.VBox()
        opened = self.file.open()
        self.record, self.notice = opened.record, opened.says
        if self.record.last is None or not self._lay_out(self.record.last):
            self.next()

    def press(self, name: str) -> str:
        """What a button does, and what to announce."""
        if name == "next":
            self.next()
            return f"A new problem. {self._why}"
        return ""

    def next(self) -> None:
        """Put the next problem on the desk."""
        self._watching_ends()
        past, self._why = next_problem(self.record, self._scenes, self._clock())
        self.record = self._kept(self.record.with_problem(past))
        self._turn += 1
        self._lay_out(past)

    def learn_from_answers(self) -> None:
        """Take from the verdicts what they tell that is new, and keep it."""
        past, problem = self.record.last, self.problem
        if past is None or problem is None or problem.id != past.id:
            return
        more = new_evidence(problem.scene, problem.verdicts(), past.evidence, problem.hints)
        if more:
            self.record = self._kept(self.record.with_evidence(past.id, more))
            self._show_known()
            self._show_bars()

    def end(self) -> None:
        """Remember nothing more: what is still on show belongs to a file that the learner has deleted."""
        self.ended = True

    def _kept(self, record: Record) -> Record:
        if self.ended:
            return record
        try:
            kept = self.file.keep(record)
        except RecordError as error:
            self.notice = str(error)
            return record
        return kept

    def _lay_out(self, past: Past) -> bool:
        """Show a problem and its steps; False where its scene is gone."""
        from ...widgets import Problem
        from ..notebook import WIDGETS

        try:
            scene = scene_for(past)
        except PluswayError:
            return False
        self.problem = problem = Problem(scene, id=past.id, settings={"verdicts": "at once"})
        asked = {verdict["step"] for verdict in problem.verdicts()}
        steps = [getattr(problem, WIDGETS[step])() for step in STEPS if step in asked]
        problem.watch(self._listener(past.id))
        self._show_known()
        self._show_bars()
        self.view.children = (self.top, *steps, self.bottom, self._table)
        self.learn_from_answers()
        return True

    def _listener(self, problem: str) -> Callable[[], None]:
        def changed() -> None:
            if self.problem is not None and self.problem.id == problem:
                self.learn_from_answers()

        return changed

    def _watching_ends(self) -> None:
        self.problem = None

    def _show_known(self) -> None:
        self._table.value = known_html(self.record.standings())

    def _show_bars(self) -> None:
        if self.problem is None or self.record.last is None:
            return
        scene, number = self.problem.scene, len(self.record.problems)
        why = self._why or f"Chosen for: {SKILLS[self.record.last.target].label}." if self.record.last.target in SKILLS else self._why
        to_find = f"To find: {', '.join(pretty(class_letter(scene, s)) for s in scene.asked)}." if scene.asked else ""
        self.top.show(f"Problem {number}: {scene.title}", [p for p in (scene.story.strip(), to_find, why) if p], [("next", "Another problem instead")], self.notice, self._turn)
        self.bottom.show(lines=["Done with this one? What you got right at first try decides what comes next."], buttons=[("next", "Next problem")])

    def _repr_mimebundle_(self, **kwargs: object) -> object:
        return self.view._repr_mimebundle_(**kwargs)


class Practice:
    """`practice()` shows the next problem; `practice.known()`, `practice.export("mine.json")`, `practice.forget()` are about your file."""

    def __init__(self) -> None:
        self._sessions: dict[Path, Session] = {}

    def __call__(self, folder: str | Path | None = None) -> object:
        """Free practice in `folder`, left out: the notebook's own. Shows the problem that you left, or the next one."""
        place = self._folder(folder)
        if place not in self._sessions:
            try:
                self._sessions[place] = Session(place)
            except RecordError as error:
                return Said(str(error))
        return self._sessions[place]

    def known(self, folder: str | Path | None = None) -> Said:
        """What you know and what is shaky, as a table."""
        try:
            standings = File(self._folder(folder)).open().record.standings()
        except RecordError as error:
            return Said(str(error))
        return Said(known_text(standings), known_html(standings))

    def export(self, target: str | Path = "plusway-practice-copy.json", folder: str | Path | None = None) -> Said:
        """Copy your practice file: as it is (.json), or as a table for a spreadsheet (.csv)."""
        place = self._folder(folder)
        try:
            return Said(f"Copied to {File(place).export(place / target)}.")
        except PluswayError as error:
            return Said(str(error))

    def forget(self, folder: str | Path | None = None) -> Said:
        """Delete your practice file. Answers that you wrote stay in the notebook and in the journal beside it."""
        place = self._folder(folder)
        session = self._sessions.pop(place, None)
        if session is not None:
            session.end()
        try:
            gone = File(place).forget()
        except RecordError as error:
            return Said(str(error))
        return Said("Your practice file is deleted. Run practice() to begin anew." if gone else "There is no practice file here.")

    @staticmethod
    def _folder(folder: str | Path | None) -> Path:
        from ...widgets.place import find_place

        return (find_place("practice").notebook.parent if folder is None else Path(folder)).expanduser().absolute()


class Said:
    """Words for the learner, shown as such in a notebook and in a terminal."""

    def __init__(self, text: str, html: str = "") -> None:
        self.text, self._html = text, html

    def __repr__(self) -> str:
        return self.text

    def _repr_html_(self) -> str | None:
        return self._html or None


practice = Practice()
