"""A notebook's JSON -> what this student answered, and nothing else that the notebook claims.

Points, verdicts, checkers and scenes in a student's notebook are never looked at. The answers are taken from the
notebook's metadata (entries, else answers), else from what the widgets left in the outputs, and the journal beside the
notebook is merged in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .answers import FOUND, LONGEST_NAME, Answers, Remarks, clean_text, kind_of, sift, tidy
from .entries import Entry, assemble, entries_from, entry_of

OUTPUT_MIME = "application/vnd.plusway.entries+json"
"""What a widget cell may carry in its output: the entries committed there, as a list (or one) of journal records."""

MOST_PROBLEMS = 200
MOST_ENTRIES = 20_000
MOST_REMARKS = 20


@dataclass(frozen=True)
class Claim:
    """What the notebook says of one problem: only for showing and flagging wherever an assignment is given."""

    scene: str = ""
    variant: int | None = None


@dataclass(frozen=True)
class Harvest:
    """answers: {problem: answers in the contract's shape}; sources: {problem: "metadata", "outputs" or "journal"};
    edited: problems whose answers in the metadata are not what the newest entries say; student, seed, lesson and
    assignment as the notebook claims them.
    """

    answers: dict[str, Answers] = field(default_factory=dict)
    claims: dict[str, Claim] = field(default_factory=dict)
    entries: tuple[Entry, ...] = ()
    sources: dict[str, str] = field(default_factory=dict)
    edited: tuple[str, ...] = ()
    assignment: str = ""
    student: str = ""
    seed: str = ""
    lesson: str = ""
    ours: bool = False
    remarks: tuple[str, ...] = ()


def harvest(notebook: object, journal: Sequence[Entry] = ()) -> Harvest:
    """Everything usable in a notebook of any shape. Never raises; what could not be used is told in `remarks`."""
    remarks = Remarks()
    document = notebook if isinstance(notebook, Mapping) else {}
    metadata = document.get("metadata")
    record = metadata.get("plusway") if isinstance(metadata, Mapping) else None
    ours = isinstance(record, Mapping)
    if record is not None and not ours:
        remarks.append(f"the notebook's plusway record is {kind_of(record)} where a table was expected: not read")
    table: Mapping[Any, Any] = record if isinstance(record, Mapping) else {}

    kept = _entries(table.get("entries"), "the notebook's record", remarks)
    claimed = _answers(table.get("answers"), remarks)
    printed = _from_outputs(document.get("cells"), remarks)
    lesson = _word(table.get("id"))
    written = [e for e in journal if not lesson or not e.lesson or e.lesson == lesson]

    answers, sources, edited = _settle(kept, claimed, printed, written)
    return Harvest(
        answers=answers, claims=_claims(table.get("problems")), entries=(*kept, *printed, *written), sources=sources,
        edited=edited, assignment=_word(table.get("assignment")), student=_word(table.get("student")),
        seed=_word(table.get("seed")), lesson=lesson, ours=ours, remarks=remarks.told(MOST_REMARKS))


def _settle(kept: list[Entry], claimed: dict[str, Answers], printed: list[Entry],
            written: list[Entry]) -> tuple[dict[str, Answers], dict[str, str], tuple[str, ...]]:
    """Which record counts, problem by problem: the metadata, else the outputs, and in any case the journal."""
    answers: dict[str, Answers] = {}
    sources: dict[str, str] = {}
    edited: list[str] = []
    problems = list(dict.fromkeys([*claimed, *(e.problem for e in (*kept, *printed, *written) if e.step != FOUND)]))
    for problem in problems[:MOST_PROBLEMS]:
        mine, theirs, logged = ([e for e in group if e.problem == problem] for group in (kept, printed, written))
        # Answers without entries carry no counter: whatever was committed, and so is in the journal, counts as the newer.
        first = mine or (entries_from(problem, claimed[problem]) if problem in claimed else theirs)
        as_logged = {e.id: (e.key, e.n, e.value) for e in logged if e.id}
        # The journal is only ever appended to: an entry that says something else in the notebook was changed there.
        changed = any(e.id in as_logged and as_logged[e.id] != (e.key, e.n, e.value) for e in first)
        first = [e for e in first if e.id not in as_logged]
        answers[problem] = assemble([*first, *logged]).get(problem, {})
        sources[problem] = "metadata" if mine or problem in claimed else "outputs" if theirs else "journal"
        if changed or (mine and problem in claimed
                       and claimed[problem] not in (assemble(mine).get(problem, {}), answers[problem])):
            edited.append(problem)
    return answers, sources, tuple(edited)


def _entries(value: object, where: str, remarks: Remarks) -> list[Entry]:
    if value is None:
        return []
    if not isinstance(value, list):
        remarks.append(f"{where} has {kind_of(value)} where a list of entries was expected: not read")
        return []
    if len(value) > MOST_ENTRIES:
        remarks.append(f"{where} has {len(value)} entries; only the last {MOST_ENTRIES} were read")
    found = [entry_of(item, remarks) for item in value[-MOST_ENTRIES:]]
    bad = sum(entry is None for entry in found)
    if bad:
        remarks.append(f"{where} has {bad} entr{'ies' if bad > 1 else 'y'} of no known shape: passed over")
    return [entry for entry in found if entry is not None]


def _answers(value: object, remarks: Remarks) -> dict[str, Answers]:
    if value is None:
        return {}
    if not isinstance(value, Mapping):
        remarks.append(f"the notebook's answers are {kind_of(value)} where a table of problems was expected: not read")
        return {}
    if len(value) > MOST_PROBLEMS:
        remarks.append(f"the notebook's answers are to {len(value)} problems; only the first {MOST_PROBLEMS} were read")
    out: dict[str, Answers] = {}
    for problem, claimed in list(value.items())[:MOST_PROBLEMS]:
        if not isinstance(problem, str) or not 0 < len(problem) <= LONGEST_NAME:
            remarks.append(f"answers to {tidy(problem, 40)}: not the name of a problem: not read")
            continue
        answers, said = sift(claimed)
        remarks.take(said, tidy(problem, 40))
        if answers:
            out[clean_text(problem)] = answers
    return out


def _from_outputs(cells: object, remarks: Remarks) -> list[Entry]:
    """Entries that widgets left in the outputs of the cells that are marked as theirs."""
    found: list[Entry] = []
    for cell in cells if isinstance(cells, list) else []:
        if not isinstance(cell, Mapping) or not isinstance(cell.get("metadata"), Mapping):
            continue
        outputs = cell.get("outputs")
        if not isinstance(cell["metadata"].get("plusway"), Mapping) or not isinstance(outputs, list):
            continue
        for output in outputs[:50]:
            data = output.get("data") if isinstance(output, Mapping) else None
            value = data.get(OUTPUT_MIME) if isinstance(data, Mapping) else None
            if value is not None:
                found += _entries(value if isinstance(value, list) else [value], "an output", remarks)
    return found[-MOST_ENTRIES:]


def _claims(value: object) -> dict[str, Claim]:
    out: dict[str, Claim] = {}
    for problem, claim in list(value.items())[:MOST_PROBLEMS] if isinstance(value, Mapping) else []:
        if isinstance(problem, str) and 0 < len(problem) <= LONGEST_NAME and isinstance(claim, Mapping):
            variant = claim.get("variant")
            number = variant if isinstance(variant, int) and not isinstance(variant, bool) else None
            out[clean_text(problem)] = Claim(_word(claim.get("scene")), number)
    return out


def _word(value: object) -> str:
    return clean_text(value) if isinstance(value, str) and len(value) <= LONGEST_NAME else ""
