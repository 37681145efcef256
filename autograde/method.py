"""The method: the steps of a problem in their order, the shape of the answers to each, and how each is called wherever it is named.

A row of `METHOD` is a step. The name is the contract's, and what files, schemes and the journal say.
"""

from __future__ import annotations

from dataclasses import dataclass

TABLE, FOR_EACH_THING, LINES = "table", "for each thing", "lines"


@dataclass(frozen=True)
class StepKind:
    """name: in files. title: of the whole step. answers: TABLE ({thing or symbol: text}, committed and marked together), FOR_EACH_THING
    ({thing: answer}, each marked by itself) or LINES ([line, …]). title_for: of one thing's part, with {thing}."""

    name: str
    title: str
    answers: str
    title_for: str = ""


METHOD = (
    StepKind("directions", "Positive directions", TABLE),
    StepKind("forces", "Force diagrams", FOR_EACH_THING, "Forces on the {thing}"),
    StepKind("equations", "Equations", FOR_EACH_THING, "Equation for the {thing}"),
    StepKind("ties", "Ties", LINES),
    StepKind("working", "Working", LINES),
    StepKind("results", "Results", TABLE),
    StepKind("sense", "Sense checks", LINES),
)

STEPS = tuple(step.name for step in METHOD)
TABLES = tuple(step.name for step in METHOD if step.answers == TABLE)
PER_THING = tuple(step.name for step in METHOD if step.answers == FOR_EACH_THING)
LISTS = tuple(step.name for step in METHOD if step.answers == LINES)
_BY_NAME = {step.name: step for step in METHOD}


def step_title(step: str, thing: str = "") -> str:
    """How a step is called, or one thing's part of it; a name that is no step's is given back. thing: its name as it reads in a sentence.

    >>> step_title("equations"), step_title("equations", "sack"), step_title("results", "sack")
    ('Equations', 'Equation for the sack', 'Results')
    """
    kind = _BY_NAME.get(step)
    if kind is None:
        return step
    return kind.title_for.format(thing=thing) if thing and kind.title_for else kind.title


def in_a_sentence(title: str) -> str:
    """A title within a sentence: "Equation for the sack" -> "equation for the sack"."""
    return title[:1].lower() + title[1:]
