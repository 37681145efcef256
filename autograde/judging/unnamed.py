"""What is said where the table of slips has no kind: a law without its m a, a force taken whole, the inertia of another shape."""

from __future__ import annotations

from dataclasses import replace

from ..reading.tree import Line
from ..scene.words import thing_name
from .context import Context
from .lines import Meaning
from .says import force_words, slip, unnamed
from .units import unlike_terms
from .verdicts import Slip


def unexplained(context: Context, thing: str, line: Line, meaning: Meaning) -> Slip:
    """That no slip explains the line, or what is unlike in it, which explains enough."""
    unlike = unlike_terms(line, context, meaning)
    says = f"This is not Newton's second law for the {thing_name(thing)}"
    if not unlike:
        return unnamed(f"{says}, and no one or two slips explain it.", guessed=True)
    return replace(unnamed(f"{says}. {unlike[0]}"), why="In Newton's second law every term is of one kind.", how=unlike[1])


def without_inertia(context: Context, thing: str, line: Line) -> Slip:
    """That the line has no m a, though the thing accelerates."""
    inertia = force_words(context.setup, thing, None)["inertia"]
    says = f"Your line has no {inertia}: it says that the forces on the {thing_name(thing)} balance, but it accelerates."
    why = "Forces balance on what stays at rest or goes on steadily; what is left of them elsewhere is mass times acceleration."
    return replace(unnamed(says, _whole(line)), why=why, how=f"Write {inertia} on the other side of the forces.")


def without_inertia_too(context: Context, thing: str, line: Line, other: Slip) -> Slip:
    """The same, with another slip among the forces: told as one, for either is only half of what is to be mended."""
    lacks = without_inertia(context, thing, line)
    return replace(lacks, says=f"{lacks.says} And of the forces: {other.says}", how=f"{lacks.how} {other.how}")


def turned_whole(context: Context, thing: str, line: Line) -> tuple[Slip, ...]:
    """That the line is an equation of the whole system, with its accelerations turned round."""
    words = force_words(context.setup, thing, None)
    about, turned = slip("whole-system", words, _whole(line)), slip("flipped-inertia", words, _whole(line), words["inertia"])
    says = "Its sign is turned round as well: the forces are counted along one direction, and mass times acceleration along the other."
    return replace(about, says=about.says.replace("That is true, but it is about", "This is about", 1)), replace(turned, says=says)


def side_relation(thing: str) -> Slip:
    """That the line is true and no equation of motion of the thing."""
    return unnamed(f"True, but this is not the equation of motion of the {thing_name(thing)}: no acceleration of it follows from it alone.")


def other_shape(thing: str, line: Line, shape: str) -> Slip:
    """That the line has the moment of inertia of another shape."""
    says = f"Your line has the inertia of a {shape} for the {thing_name(thing)}; look again at what turns."
    why = "The farther from the axis the mass lies, the larger is the moment of inertia, from one shape to the next."
    return replace(unnamed(says, _whole(line)), why=why, how="Look up how large I is for a body of this shape that turns about this axis.")


def whole_force(thing: str, line: Line, force: str) -> Slip:
    """That a force at an angle is taken whole."""
    says = f"{force} pulls at an angle: only the part of it along the line of the {thing_name(thing)} counts in this equation, and your line has the whole of it."
    why = "A force at an angle pulls partly along the line, with its cosine, and partly across it, where it changes the normal force."
    return replace(unnamed(says, _whole(line)), why=why, how=f"Multiply {force} by the cosine of its angle to the line of motion.")


def _whole(line: Line) -> tuple[int, int]:
    return (0, len(line.text))
