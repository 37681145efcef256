"""What the student chose: the positive directions, and which way a friction that holds is taken to act."""

from __future__ import annotations

import re
from itertools import product

from ..mechanics.agreeing import agreeing_directions
from ..reading import Complaint
from ..scene.model import OPPOSITE, Scene
from .answers import Answers
from .context import Context, context_for
from .diagrams import direction_word, force_symbol
from .equations import judge_equation
from .lines import Meaning, lonely_name, readings, resolve
from .ties import judge_tie
from .verdicts import RIGHT

MOST_GUESSED = 4
MOST_READ = 150  # lines of working
NEGATIVE = re.compile(r"\s*[-−–]\s*[\d.,]")


def chosen_directions(scene: Scene, answers: Answers) -> dict[str, str]:
    """The positive directions that the student chose, as far as they are directions of their things."""
    out = {}
    for thing, word in answers.directions.items():
        w = direction_word(word)
        if w in scene.directions(thing):
            out[thing] = w
    return out


def pick_context(scene: Scene, answers: Answers) -> Context:
    """The context for the student's directions, and for the frictions that they assumed the other way and carried through."""
    context = _directed(scene, answers)
    held = [s for s, (state, word) in context.setup.regime.friction.items() if state == "holds" and word is not None]
    assumed = frozenset(s for s in held if _found_negative(context, answers, s) and _taken_the_other_way(context, answers, s))
    return context_for(scene, context.positive, assumed) if assumed else context


def _found_negative(context: Context, answers: Answers, symbol: str) -> bool:
    """Whether a value of this friction is negative somewhere: the sign of one who assumed a direction and kept to it."""
    last = [text.rpartition("=")[2] for text in answers.working[:MOST_READ] if "=" in text and _names(context, text.partition("=")[0]) == symbol]
    return any(NEGATIVE.match(text) for text in (answers.results.get(symbol, ""), *last))


def _names(context: Context, text: str) -> str | None:
    """The symbol that a text is, however its class writes it: f_1, f1, F_f1; None where it is more than a letter, or none."""
    try:
        name = lonely_name(readings(text, context)[0].sides[0])
        return resolve(name.name, context, Meaning())[1] if name is not None else None
    except (Complaint, KeyError):
        return None


def _taken_the_other_way(context: Context, answers: Answers, symbol: str) -> bool:
    """Whether the diagrams and the equations of all things on which this friction acts have it the other way."""
    other = context_for(context.scene, context.positive, frozenset({symbol}))
    seen = False
    for thing, equation in other.setup.equations.items():
        for term in equation.terms:
            if term.symbol != symbol:
                continue
            words = [direction_word(w) for f, w in answers.forces.get(thing, ()) if (force_symbol(context, thing, f) or ("",))[0] == symbol]
            text = answers.equations.get(thing, "")
            if OPPOSITE[term.direction] in words or (text.strip() and judge_equation(other, thing, text).verdict != RIGHT):
                return False
            seen = seen or bool(words) or bool(text.strip())
    return seen


def _directed(scene: Scene, answers: Answers) -> Context:
    """The context for the student's directions; where some are missing, those that make most of the equations and
    ties right."""
    chosen = chosen_directions(scene, answers)
    missing = [t for t in scene.things if t not in chosen]
    default = {t: chosen.get(t, scene.directions(t)[0]) for t in scene.things}
    if missing and not chosen and answers.results and not (answers.equations or answers.ties or answers.working):
        return context_for(scene, agreeing_directions(scene))  # values alone: along the motion, as a solution has them
    ties = [t for t in answers.ties[:MOST_GUESSED] if t.strip()]
    if not missing or not (answers.equations or ties) or len(missing) > MOST_GUESSED:
        return context_for(scene, default)
    best: tuple[float, Context] | None = None
    for words in product(*(scene.directions(t) for t in missing)):
        context = context_for(scene, {**default, **dict(zip(missing, words, strict=True))})
        badness = sum(
            min(judge_equation(context, t, text).badness, 9.0)
            for t, text in answers.equations.items()
            if text.strip() and t in context.setup.equations
        )
        badness += sum(judge_tie(context, t).verdict != RIGHT for t in ties)
        shared = 0.0 if context.setup.shared else 0.6
        if best is None or badness + shared < best[0] - 1e-9:
            best = (badness + shared, context)
    assert best is not None
    return best[1]
