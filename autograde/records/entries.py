"""One committed answer, as the journal and the notebook's metadata both hold it, and which of several counts.

The newest entry for each problem, step and item wins: by the counter `n` first, because a clock can be set back, and by
the time only between equal counters (two tabs without a common lock, or a counter that has come to its end).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ..method import LISTS, STEPS
from .answers import FOUND, LONGEST_NAME, Answers, Remarks, clean_text, sift_item, tidy

FORMAT = 1
GREATEST_N = 2**53 - 1  # the greatest whole number that the browser's side counts exactly


@dataclass(frozen=True)
class Entry:
    """One commit.

    when: ISO 8601 in UTC, as the writer's clock had it; n: a counter that only grows; hints: hints shown for this item
    so far; lesson: the notebook's id ("" where it has none); value: the answer in the shape of its step.
    """

    id: str
    when: str
    n: int
    problem: str
    step: str
    item: str | None
    value: Any
    hints: int = 0
    lesson: str = ""

    def to_json(self) -> dict[str, Any]:
        return {"format": FORMAT, "id": self.id, "when": self.when, "n": self.n, "problem": self.problem,
                "step": self.step, "item": self.item, "value": self.value, "hints": self.hints, "lesson": self.lesson}

    @property
    def key(self) -> tuple[str, str, str | None]:
        """What it is an answer to: (problem, step, item)."""
        return self.problem, self.step, self.item

    @property
    def age(self) -> tuple[int, str, str]:
        return self.n, self.when, self.id


def entry_of(record: object, remarks: Remarks | None = None) -> Entry | None:
    """The entry that a JSON value holds, or None where it holds none. Never raises; an answer's unusable parts are left
    out and told in `remarks`."""
    if not isinstance(record, Mapping):
        return None
    problem, step, item, n = (record.get(key) for key in ("problem", "step", "item", "n"))
    if not _name(problem) or step not in (*STEPS, FOUND) or not (item is None or _name(item)):
        return None
    if isinstance(n, bool) or not isinstance(n, int) or not 0 <= n <= GREATEST_N:
        return None
    hints, when, identity, lesson = (record.get(key) for key in ("hints", "when", "id", "lesson"))
    counted = hints if isinstance(hints, int) and not isinstance(hints, bool) and 0 <= hints <= 1000 else 0
    problem, item = clean_text(str(problem)), None if item is None else clean_text(str(item))
    said = Remarks()
    value = sift_item(step, item, record.get("value"), said)
    if remarks is not None:
        remarks.take(said, tidy(problem, 40))
    return Entry(_short(identity), _short(when), n, problem, step, item, value, counted, _short(lesson))


def newest(entries: Iterable[Entry]) -> dict[tuple[str, str, str | None], Entry]:
    """For each (problem, step, item) the entry that counts."""
    best: dict[tuple[str, str, str | None], Entry] = {}
    for entry in entries:
        if entry.key not in best or entry.age > best[entry.key].age:
            best[entry.key] = entry
    return best


def assemble(entries: Iterable[Entry]) -> dict[str, Answers]:
    """{problem: answers} that the entries add up to, oldest first, so that a whole step and its items may be mixed."""
    out: dict[str, Answers] = {}
    for entry in sorted(newest(entries).values(), key=lambda e: e.age):
        if entry.step == FOUND:
            continue
        answers = out.setdefault(entry.problem, {})
        if entry.item is None or entry.step in LISTS:
            answers[entry.step] = entry.value
        else:
            answers.setdefault(entry.step, {})[entry.item] = entry.value
    return {problem: _without_blanks(answers) for problem, answers in out.items()}


def entries_from(problem: str, answers: Mapping[str, Any], lesson: str = "") -> list[Entry]:
    """Answers that stand alone (as the contract allows) as entries older than any commit: whatever was committed wins over them.

    `entriesFrom` in widgets/labextension/static/records.js gives the same.
    """
    out = []
    for step in STEPS:
        value = answers.get(step)
        parts = [(None, value)] if step in LISTS else value.items() if isinstance(value, Mapping) else []
        out += [Entry(f"answers {step} {item or ''}".rstrip(), "", 0, problem, step, item, part, 0, lesson) for item, part in parts if part]
    return out


def merge(from_journal: Iterable[Entry], from_metadata: Iterable[Entry]) -> dict[str, Answers]:
    """{problem: answers} from both records of one notebook: the newest entry per step and item wins."""
    return assemble([*from_journal, *from_metadata])


def _without_blanks(answers: Answers) -> Answers:
    """Without steps and items that were emptied again: to the judge these are blank, as if never written."""
    out: Answers = {}
    for step in STEPS:
        value = answers.get(step)
        if isinstance(value, dict):
            value = {name: item for name, item in value.items() if item}
        if value:
            out[step] = value
    return out


def _name(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= LONGEST_NAME


def _short(value: object) -> str:
    return clean_text(value[:LONGEST_NAME]) if isinstance(value, str) else ""
