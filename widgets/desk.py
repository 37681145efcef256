"""One problem on one student's desk: the scene, the entries committed so far, and what the judge says of them.

This is where the effects are (journal, clock through the journal, notebook file). Everything that is shown is worked out from
here by pure functions in `shown`.
"""

from __future__ import annotations

import logging
import uuid
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, timezone
from typing import Any

from ..autograde.errors import PluswayError
from ..autograde.judging.scheme import Scheme
from ..autograde.languages import written
from ..autograde.method import LISTS
from ..autograde.reading import Vocabulary
from ..autograde.records import journal as journals
from ..autograde.records.answers import FOUND, sift, sift_item
from ..autograde.records.entries import Entry, assemble, entries_from, entry_of, newest
from ..autograde.records.errors import JournalError
from ..autograde.scene.model import Scene
from .place import Place
from .settings import Settings

_log = logging.getLogger(__name__)


class Desk:
    """`listeners` are called after every change of the answers."""

    def __init__(self, scene: Scene, problem: str, settings: Settings, place: Place, scheme: Scheme | None = None) -> None:
        self.scene, self.problem, self.settings, self.place = scene, problem, settings, place
        self._scheme = scheme
        self.vocabulary = Vocabulary.of(scene)
        self.trouble = self.fault = ""
        self.listeners: list[Callable[[], None]] = []
        self._journal = journals.Journal(journals.beside(place.notebook))
        self._entries: dict[str, Entry] = {}
        self._current: tuple[dict[tuple[str, str, str | None], Entry], dict[str, Any]] | None = None
        self._given: dict[tuple[tuple[str, str], ...], dict[tuple[str, str | None], Any]] = {}
        self._verdicts: tuple[dict[str, Any], list[dict[str, Any]]] | None = None
        self._take(self._kept_so_far())
        try:
            self._journal.probe()
        except JournalError as error:
            self.trouble = str(error)
        self._fill_in_worked()

    # --- answers ------------------------------------------------------------------------------------------------

    @property
    def answers(self) -> dict[str, Any]:
        """The answers in the contract's shape, {} where there are none yet."""
        return self._counting()[1]

    def newest(self, step: str, item: str | None) -> Entry | None:
        """The entry that counts for one item, or None."""
        return self._counting()[0].get((self.problem, step, item))

    def as_given(self, step: str, item: str | None) -> bool:
        """Whether an answer is what the lesson gives, and not the student's own."""
        entry = self.newest(step, item)
        if entry is None or step not in self.settings.worked:
            return False
        chosen = {} if step == "directions" else self.answers.get("directions") or {}
        return bool(entry.value == sift_item(step, item, self._worked_for(chosen).get((step, item)), []))

    def _counting(self) -> tuple[dict[tuple[str, str, str | None], Entry], dict[str, Any]]:
        """The entries that count and the answers that they add up to; every step asks, so both are kept until the next change."""
        if self._current is None:
            best = newest(self._entries.values())
            self._current = best, assemble(best.values()).get(self.problem, {})
        return self._current

    def commit(self, step: str, item: str | None, value: Any, hints: int, first: Callable[[], None] | None = None) -> tuple[Entry, bool]:
        """Keep an answer. Returns its entry and whether the journal has it; where it has not, `trouble` says why, and the answer
        counts for as long as this kernel lives (and in the notebook's metadata, where the extension keeps it). first: the listener
        that is told before all others, because its student waits."""
        if not self._fits(step, item):
            raise PluswayError(f"there is no {item!r:.60} to answer in this step; nothing was kept")
        clean = sift_item(step, item, value, [])
        shown_worked = self._worked() if step == "directions" else {}
        above = journals.highest(self._entries.values())
        lesson = str(self.place.metadata.get("id") or "")  # an entry without an id belongs to whatever id the notebook gets later
        kept = True
        try:
            entry = self._journal.append(self.problem, step, clean, item=item, hints=hints, lesson=lesson, above=above)
            self.trouble = ""
        except JournalError as error:
            self.trouble, kept = str(error), False
            entry = Entry(uuid.uuid4().hex, self._now(), above + 1, self.problem, step, item, clean, hints, lesson)
        self._entries[entry.id] = entry
        self._current = None
        self._rewrite_worked(shown_worked)
        self._tell(first)
        return entry, kept

    def restore(self, records: Iterable[object]) -> int:
        """Take entries from the notebook's metadata; returns how many changed what counts here."""
        before = {e.id for e in self._counting()[0].values()}
        self._take(e for e in map(entry_of, records) if e is not None)
        taken = {e.id for e in self._counting()[0].values()} - before
        if taken:
            self._tell()
        return len(taken)

    def reread(self) -> None:
        """Look at the journal once more: another kernel (a second tab on a copy) may have written to it."""
        before = set(self._entries)
        self._take(self._kept_so_far())
        if set(self._entries) != before:
            self._tell()

    # --- verdicts -----------------------------------------------------------------------------------------------

    def verdicts(self) -> list[dict[str, Any]]:
        """The judge's steps for the answers as they are now, in the contract's JSON."""
        answers = self.answers
        if self._verdicts is None or self._verdicts[0] != answers:
            self._verdicts = answers, self._judged(answers)
        return self._verdicts[1]

    def points(self, step: str, item: str | None = None) -> float:
        """The points earned for a step, or for one item of it; 0.0 while verdicts wait for the marking."""
        if not self.settings.at_once:
            return 0.0
        return float(sum(s["points"] for s in self.verdicts() if s["step"] == step and (item is None or s["item"] == item)))

    def _judged(self, answers: dict[str, Any]) -> list[dict[str, Any]]:
        """The judge's steps; none, with a word to the student, where the judge itself fails: the answer must not be lost with it."""
        self.fault = ""
        try:
            from ..autograde.judging.paper import judge  # with the first answer: a page opens without it

            steps: list[dict[str, Any]] = judge(self.scene, answers, self._scheme).to_json()["steps"]
        except Exception:
            _log.exception("plusway: the judge failed on %s", answers)
            self.fault = "This can't be judged just now; that is a fault of plusway, not yours. Your answer is kept."
            return []
        return steps

    # --- inside -------------------------------------------------------------------------------------------------

    def _kept_so_far(self) -> list[Entry]:
        stored = self.place.metadata.get("entries")
        from_notebook = [e for e in map(entry_of, stored if isinstance(stored, list) else []) if e is not None]
        lesson = str(self.place.metadata.get("id") or "")
        if not any(e.problem == self.problem for e in from_notebook):
            # A notebook may carry the answers alone (another program wrote them, or they were handed over so).
            answers = self.place.metadata.get("answers")
            claimed, _ = sift(answers.get(self.problem) if isinstance(answers, Mapping) else None)
            from_notebook += entries_from(self.problem, claimed, lesson)
        try:
            from_journal = journals.entries_for(self.place.notebook, lesson).entries
        except JournalError as error:
            self.trouble, from_journal = str(error), ()
        return [*from_notebook, *from_journal]

    def _take(self, entries: Iterable[Entry]) -> None:
        self._current = None
        self._entries.update({e.id or f"{e.key}{e.age}": e for e in entries if e.problem == self.problem and self._fits(e.step, e.item)})

    def _fits(self, step: str, item: str | None) -> bool:
        """Whether this scene has such an item: a journal may come from another scene of the same name, or from anywhere."""
        if step in LISTS:
            return item is None
        if step == FOUND:
            return item is not None
        return item in (self.scene.asked if step == "results" else self.scene.things)

    @staticmethod
    def _now() -> str:
        return datetime.now(timezone.utc).isoformat(timespec="milliseconds")

    def _worked(self) -> dict[tuple[str, str | None], Any]:
        """The answers of the steps that the teacher shows worked, for the directions that are chosen now."""
        return self._worked_for(self.answers.get("directions") or {})

    def _worked_for(self, directions: Mapping[str, str]) -> dict[tuple[str, str | None], Any]:
        if not self.settings.worked:
            return {}
        from .worked import worked_answers

        key = tuple(sorted(directions.items()))
        if key not in self._given:  # every step asks for it whenever anything is answered
            comma = self.scene.decimal_comma
            every = ((step, worked_answers(self.scene, {"directions": dict(directions)}, step)) for step in self.settings.worked)
            self._given[key] = {(step, item): _in_own_figures(value, comma) for step, answers in every for item, value in answers}
        return self._given[key]

    def _fill_in_worked(self) -> None:
        """Commit the worked answers, where the student has none."""
        for (step, item), value in self._worked().items():
            if self.newest(step, item) is None:
                self.commit(step, item, value, 0)

    def _rewrite_worked(self, before: Mapping[tuple[str, str | None], Any]) -> None:
        """Write what was shown worked anew for other directions; what the student has changed stays theirs."""
        if not before:
            return
        for (step, item), value in self._worked().items():
            entry, old = self.newest(step, item), before.get((step, item))
            theirs = entry is not None and entry.value != sift_item(step, item, old, [])
            if step != "directions" and value != old and not theirs:
                self.commit(step, item, value, 0)

    def _tell(self, first: Callable[[], None] | None = None) -> None:
        if first is not None:
            first()
        for listener in list(self.listeners):
            if listener != first:
                listener()


def _in_own_figures(value: Any, decimal_comma: bool) -> Any:
    """Worked lines with their numbers as the class writes them."""
    if isinstance(value, list):
        return [_in_own_figures(part, decimal_comma) for part in value]
    return written(value, decimal_comma)
