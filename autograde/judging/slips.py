"""The one table of slips: what the student did, why it matters, how to mend it, an example, and the operator that finds it.

The judge takes its wording from here, the tests loop over it, the help lists it. `rank` orders slips by how common they are in
teaching (lower is commoner; common practice, no source), for the cases where two explanations are equally small. `condoned`
tells whether the method mark survives: published schemes ask there for the right number of terms of the right dimension, and condone
signs and sine/cosine; a coefficient of the other kind of friction leaves all that as it is.

Fields in the messages: {body} the thing's name, {force} the force with its symbol, {plus} the positive direction that this student
chose ({chose}: the sentence that says so), {acts} the direction in which the force acts, {enters} "a plus" or "a minus", {other} another thing or symbol, {wrote} and
{right} what stands there and what kind of thing belongs there; `says.USUAL` has what the rest says where nobody says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Example:
    """A line that makes the slip: a shipped scene, the student's directions, the step with its item, the text; `before` the
    lines of working that it follows."""

    scene: str
    positive: dict[str, str]
    step: str
    item: str | int
    text: str
    before: tuple[str, ...] = ()


@dataclass(frozen=True)
class SlipKind:
    kind: str
    means: str
    says: str
    why: str
    how: str
    rank: int
    condoned: bool
    operator: str  # what finds it: a name within this package
    example: Example


_SACK = {"sack": "up", "counterweight": "down"}


def _equation(
    text: str, item: str = "sack", scene: str = "feed-sack", positive: dict[str, str] | None = None
) -> Example:
    return Example(scene, _SACK if positive is None else positive, "equations", item, text)


def _working(text: str, *before: str) -> Example:
    return Example("feed-sack", _SACK, "working", len(before), text, before)


_TABLE = (
    SlipKind(
        "flipped-force",
        "gave one force the sign opposite to its direction",
        "{chose}{Force} acts {acts} on it, so it enters with {enters}.",
        "Every force enters with a plus if it acts along the direction that you chose as plus, and with a minus if it acts against it.",
        "Turn the sign of {named}; leave the rest of the line as it is.",
        1,
        True,
        "operators.flipped_force",
        _equation("T + 63.7 = 6.5a"),
    ),
    SlipKind(
        "flipped-inertia",
        "gave m a the sign opposite to the chosen positive direction",
        "You chose {plus} as plus for the {body}. Your line counts the forces one way and {inertia} the other.",
        "The acceleration is counted along the same direction as the forces. If it really points the other way, its value comes out negative by itself.",
        "With {plus} as plus a force that acts {plus} has a plus, and what they add up to is {inertia}: turn the sign of {inertia}, or of every force.",
        4,
        True,
        "operators.flipped_inertia",
        _equation("T - m_1 g = -m_1 a"),
    ),
    SlipKind(
        "missing-force",
        "left out a force that acts on this body",
        "{Force} acts on the {body} too, and {lacks} for it.",
        "{needs}",
        "{gather}",
        3,
        False,
        "operators.missing_force",
        _equation("T = m_1 a"),
    ),
    SlipKind(
        "extra-force",
        "put in a force that does not act on this body",
        "{Force} does not act on the {body}{along}.",
        "Only forces that something else exerts on this very body, along its own line, belong in its equation.",
        "Take {named} out; ask of each force: what exerts it, and on what?",
        8,
        False,
        "operators.extra_force",
        _equation("T - m_1 g + m_2 g = m_1 a"),
    ),
    SlipKind(
        "mass-for-weight",
        "wrote m where m g belongs",
        "In your line for the {body} a mass stands where a weight belongs: {weighs}.",
        "A mass in kilograms can't be added to forces in newtons.",
        "Multiply that mass by g.",
        6,
        False,
        "operators.mass_for_weight",
        _equation("T - m_1 = m_1 a"),
    ),
    SlipKind(
        "weight-for-mass",
        "wrote m g where m belongs",
        "In your line for the {body} a weight stands where its mass belongs: the acceleration is multiplied by the mass, not by m g.",
        "Newton's second law says force equals mass times acceleration; g belongs only to the weight.",
        "Leave g out of the term with the acceleration.",
        9,
        False,
        "operators.weight_for_mass",
        _equation("T - m_1 g = m_1 g a"),
    ),
    SlipKind(
        "other-body",
        "used another body's mass, weight or acceleration",
        "Your {paper} for the {body} uses what belongs to {other}.",
        "Each {page} is about one thing only: its own mass, its own weight, its own acceleration.",
        "Go through the {paper} and keep only what belongs to the {body}.",
        7,
        False,
        "operators.other_body",
        _equation("T - m_1 g = m_2 a"),
    ),
    SlipKind(
        "total-mass",
        "used the mass of several bodies where one is meant",
        "The mass in your line for the {body} is that of several bodies together.",
        "The forces in this line act on the {body} alone, so they accelerate its mass alone.",
        "Use the mass of the {body} only.",
        10,
        False,
        "operators.total_mass",
        _equation("T - m_1 g = (m_1 + m_2) a"),
    ),
    SlipKind(
        "whole-system",
        "wrote a true equation of the whole system where one body's was asked",
        "That is true, but it is about the whole system; here the equation of the {body} alone was asked.",
        "Taken alone, the {body} feels the forces that act on it from the ropes and surfaces too; in an equation of the whole they have dropped out.",
        "Think of the {body} alone and write every force on it.",
        11,
        True,
        "matcher.Matcher.true_for_all",
        _equation("m_2 g - m_1 g = (m_1 + m_2) a"),
    ),
    SlipKind(
        "sine-cosine",
        "swapped sine and cosine",
        "In your {paper} for the {body}, sine and cosine have changed places in {force}.",
        "The part of a force along a line is the force times the cosine of the angle between them; the weight makes the slope's angle with the line across the slope, so its part along the slope has the sine.",
        "{trig_test}",
        5,
        True,
        "operators.sine_cosine",
        _equation("T - m_1 g cos(theta) = m_1 a", "cart", "mine-cart", {"cart": "upslope", "counterweight": "down"}),
    ),
    SlipKind(
        "whole-weight",
        "used the whole weight where a component acts, or N = m g where that is not so",
        "In your line for the {body} {whole} ({force}).",
        "On a slope the weight is split: one part along the slope, one across it that the surface carries. The normal force is what the balance across the line says, and m g only on the level with nothing else pushing or pulling.",
        "{split}",
        12,
        False,
        "operators.whole_weight",
        _equation("T - m_1 g = m_1 a", "cart", "mine-cart", {"cart": "upslope", "counterweight": "down"}),
    ),
    SlipKind(
        "flipped-friction",
        "pointed friction along the motion",
        "{Force} acts {acts} on the {body}{against}; with {plus} as plus it enters with {enters}.",
        "{rub_why}",
        "{rub_how}",
        2,
        True,
        "operators.flipped_force",
        _equation("T + mu_k m_1 g = m_1 a", "slate", "slate-on-bench", {"slate": "right", "bucket": "down"}),
    ),
    SlipKind(
        "static-kinetic",
        "used the static coefficient for sliding, or the limit where static friction is less",
        "{Force} on the {body} is taken with the wrong kind of friction: {other}.",
        "While a body slides, friction is mu_k {normal}. While it stays put, friction is only as large as it needs to be, at most mu_s {normal}.",
        "Decide first whether it slides.",
        13,
        True,
        "operators.static_kinetic",
        _equation("T - mu_s m_1 g = m_1 a", "slate", "slate-on-bench", {"slate": "right", "bucket": "down"}),
    ),
    SlipKind(
        "one-tension",
        "used one tension on both sides of a wheel that has inertia",
        "The rope pulls with a different tension on each side of a wheel with inertia; your {paper} for the {body} has the wrong one, or one for both.",
        "If both tensions were equal, their torques would cancel and the wheel could not begin to turn.",
        "Give each side its own letter, and use on each thing the one that ends there: on the wheel both, one on each side.",
        6,
        False,
        "operators.one_tension",
        _equation(
            "T - m_1 g = m_1 a",
            "small_cask",
            "cask-over-a-heavy-wheel",
            {"small_cask": "up", "large_cask": "down", "wheel": "clockwise"},
        ),
    ),
    SlipKind(
        "radius",
        "left the radius out of a torque or of a = alpha R, or put it in where it does not belong",
        "In your line for the {body} {arm}. Look at {force}.",
        "{arm_why}",
        "{arm_how}",
        6,
        False,
        "operators.radius",
        _equation(
            "T_2 - T_1 = I alpha",
            "wheel",
            "cask-over-a-heavy-wheel",
            {"small_cask": "up", "large_cask": "down", "wheel": "clockwise"},
        ),
    ),
    SlipKind(
        "strand-count",
        "counted the strands at a movable pulley wrong, or turned the ratio round",
        "Count the strands of the rope that pull on the {body}: {counted}.",
        "Every strand pulls with the same tension, and what moves one end by some length is shared among the strands.",
        "Cut through all strands next to the {body} in your mind and count the cuts.",
        5,
        False,
        "operators.strand_count",
        _equation("T - m_1 g = m_1 a_1", "crate", "crate-on-a-movable-pulley", {"crate": "up", "sack": "down"}),
    ),
    SlipKind(
        "clashing-directions",
        "used one a although the chosen directions give the accelerations opposite signs",
        "You chose {plus} as plus for the {body} and {other}; with these choices their accelerations have opposite signs, so one letter a can't stand for both.",
        "When one goes along its plus, the other goes against its plus.",
        "Give each its own a (a_1, a_2) and a tie between them, or turn one of the two directions.",
        3,
        True,
        "clashes.clashes",
        Example("feed-sack", {"sack": "up", "counterweight": "up"}, "equations", "counterweight", "T - m_2 g = m_2 a"),
    ),
    SlipKind(
        "flipped-tie",
        "wrote a tie with the wrong sign for the chosen directions",
        "For the directions that you chose, the sign of this tie is turned round.",
        "A tie says how far one thing moves along its plus when the other moves along its own. Move one a little and watch the other.",
        "Turn the sign of {turned}.",
        2,
        True,
        "ties.mended",
        Example("feed-sack", _SACK, "ties", 0, "a_1 = -a_2"),
    ),
    SlipKind(
        "undistributed",
        "did not carry a minus sign over the whole parenthesis",
        "A parenthesis with a minus (or a factor) in front was opened, and it was not carried to every term: look at {force}.",
        "The minus belongs to all that stands in the parenthesis, so every sign in it turns.",
        "Keep the parenthesis for one more line, then turn every sign in it.",
        1,
        True,
        "steps_back.explain",
        _working("88.2 - 6.5a + 63.7 = 9a", "T = 6.5a + 63.7", "88.2 - (6.5a + 63.7) = 9a"),
    ),
    SlipKind(
        "lost-term",
        "dropped or doubled a term from one line to the next",
        "From the line before to this one a term was lost or came in twice: look at {force}.",
        "Every term of one line has to be found again in the next, moved, merged or as it was.",
        "Tick the terms off one by one against the line before.",
        4,
        True,
        "steps_back.explain",
        _working("88.2 - 6.5a = 9a", "T = 6.5a + 63.7", "88.2 - 6.5a - 63.7 = 9a"),
    ),
    SlipKind(
        "moved-sign",
        "moved a term across the equals sign without changing its sign",
        "{Force} crossed the equals sign and kept its sign.",
        "To move a term across, the same is added to or taken from both sides; so it arrives with the other sign.",
        "Turn the sign of the term that you moved.",
        2,
        True,
        "steps_back.explain",
        _working("T = 6.5a - 63.7"),
    ),
    SlipKind(
        "arithmetic",
        "worked a number out wrong",
        "A number is worked out wrong: look at {wrote}. The rest of the line is as it should be.",
        "The line fits with another number in that place.",
        "Work {wrote} out again.",
        3,
        True,
        "arithmetic.one_number",
        _working("a = 1.85", "24.5 = 15.5a"),
    ),
    SlipKind(
        "free-fall",
        "got a = g for a body that is held back",
        "This says that it falls as freely as if no rope held it: a = g.",
        "A body falls at g only when its weight is the sole force on it; here something holds it back, so a must be less.",
        "Look for the force that is missing or the sign that makes the bodies help each other instead of holding each other back.",
        5,
        True,
        "operators.free_fall",
        Example("feed-sack", _SACK, "results", "a", "9.8 m/s^2"),
    ),
    SlipKind(
        "unit",
        "gave no unit, or one of another quantity",
        "{Wrote} is given {other}; {right} belongs there.",
        "A number without its unit, or with that of another quantity, is no answer to a question about a quantity.",
        "Write the unit after the number, with a space.",
        1,
        True,
        "results.unit_slip",
        Example("feed-sack", _SACK, "results", "a", "1.58"),
    ),
    SlipKind(
        "rounding",
        "rounded so early or so far that the figure is off",
        "The physics fits, but {wrote} is off by rounding: too few figures were kept on the way, or given.",
        "Rounding in the middle carries its error along to the end.",
        "Keep one or two figures more than the data have until the last line, then round once.",
        2,
        True,
        "results.judge_result",
        Example("feed-sack", _SACK, "results", "T", "74.1 N"),
    ),
    SlipKind(
        "does-not-follow",
        "wrote a line that neither the earlier lines nor a slip above explain",
        "This does not follow from the lines before, and no single slip explains it.",
        "Each line has to come from the ones before it by a step that can be named.",
        "Go back to the last line that holds and take one step at a time.",
        20,
        False,
        "working.Chain.judge",
        _working("a = 3.1 T", "T = 6.5a + 63.7"),
    ),
    SlipKind(
        "false-sense",
        "stated a check that is not true, or is true but says nothing about this scene",
        "{Wrote}",
        "A sense check compares a result with something known: the tension with the weights, the acceleration with g, a limiting case.",
        "Compare a result with a bound that it could have broken.",
        1,
        True,
        "sense.judge_sense",
        Example("feed-sack", _SACK, "sense", 0, "T > W_2"),
    ),
)

SLIPS: dict[str, SlipKind] = {s.kind: s for s in _TABLE}

UNNAMED = "unnamed"  # wrong, and no single explanation fits; never guessed at
