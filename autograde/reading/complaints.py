"""The one table of everything that the reader may complain about.

The parser raises by kind, the tests loop over the examples, and a help page can list it: `TABLE[kind]` has the message,
with places for what was found, and malformed examples with the fragment that the complaint points at.
The examples are lines about a scene with two hanging bodies (m_1, m_2, one rope T) unless a scene is named in the
tests.
"""

from __future__ import annotations

from dataclasses import dataclass

from .complaint import Complaint

Place = tuple[int, int]


@dataclass(frozen=True)
class Entry:
    """says: the message with {fields}; examples: (malformed line, the fragment that the complaint points at)."""

    says: str
    examples: tuple[tuple[str, str], ...]


TABLE: dict[str, Entry] = {
    "empty": Entry(
        "There is nothing to read yet. Write an equation, for example T - W_1 = m_1 a.",
        (("", ""), ("   ", ""), ("therefore", "")),
    ),
    "gap": Entry(
        "There is a gap of {found} spaces in this line. Write it without, or as two lines.",
        ((f"T - W_1{' ' * 25}= m_1 a", " " * 25), (f"T ={chr(9) * 30}5", chr(9) * 30)),
    ),
    "not-text": Entry(
        "A line has to be text. Write the equation as text, for example T - W_1 = m_1 a.",
        (),
    ),
    "too-long": Entry(
        "This line has {found} characters; a line may have {limit}. Write it as two shorter lines.",
        (("T" + " + T" * 120, "T + "), ("a" * 401, "a")),
    ),
    "too-deep": Entry(
        "There are more than {limit} parentheses or signs inside one another here. Write it with fewer.",
        (("(" * 60 + "T" + ")" * 60, "("), ("T = " + "[" * 45 + "a" + "]" * 45, "[")),
    ),
    "too-many-digits": Entry(
        "This number has {found} characters; {limit} are enough for any measurement. Round it.",
        (("T = 1234567890123456789", "1234567890123456789"), ("a = 0.1234567890123456789", "0.1234567890123456789")),
    ),
    "too-large": Entry(
        "The power of ten in “{found}” is beyond anything here. Write powers of ten between -30 and 30.",
        (("T = 1e400", "1e400"), ("a = 1.5 x 10^99", "1.5 x 10^99")),
    ),
    "too-big": Entry(
        "Multiplied out, this would have too many terms or too high a power. Write it in smaller steps.",
        (("(T+a)^4(T+g)^4(a+g)^4(T-a)^4 = 0", "(T+a)^4(T+g)^4(a+g)^4(T-a)^4"), ("((a^4)^4)^4 = T", "((a^4)^4)^4")),
    ),
    "character": Entry(
        "“{found}” has no meaning in an equation here. Leave it out, or write what you mean with letters, numbers, "
        "+ - * / ^ ( ) and =.",
        (("T # 5", "#"), ("a = 5 🙂", "🙂"), ("T = @g", "@"), ("T = 5€", "€")),
    ),
    "decimal-comma": Entry(
        "“{found}” has a comma in it. Write the number with a decimal point: {instead}.",
        (("T - 63,7 = 6.5a", "63,7"), ("a = 1,58", "1,58")),
    ),
    "thousands": Entry(
        "“{found}” is no number here: none is grouped by thousands. Write {instead}.",
        (("T = 1,250 N", "1,250"), ("T = 12,500.5 N", "12,500.5")),
    ),
    "comma": Entry(
        "A comma does not belong here. Write one equation in a line, and an inequality for each pair.",
        (("a = 1.58, T = 74", ","), ("T, a", ",")),
    ),
    "percent": Entry(
        "A percent sign is not read here. Write the fraction as a decimal number, 0.2 for 20 %.",
        (("T = 20% g", "%"), ("a = 20 %", "%")),
    ),
    "unknown-symbol": Entry(
        "There is no “{found}” in this problem.{nearest} The letters here are {known}.",
        (("T - x = 6.5a", "x"), ("Q = 5", "Q"), ("T = m_1 z", "z"), ("t - 63.7 = 6.5a", "t")),
    ),
    "unknown-word": Entry(
        "The word “{found}” can't be read as part of an equation.{nearest} The letters here are {known}.",
        (("T equalz 5", "equalz"), ("the tension = 5", "the"), ("T = banana", "banana")),
    ),
    "sentence": Entry(
        "This reads as a sentence. A line here is an equation or an inequality in letters and numbers, such as T - W_1 = m_1 a.",
        (("add the two", "add the two"), ("same acceleration", "same acceleration"), ("a is positive", "a is positive"),
         ("the sack is heavier, so it goes down", "the sack is heavier, so it goes down")),
    ),
    "net-force": Entry(
        "“{found}” is the sum of the forces. Write that sum out, each force with its sign, and then = mass times acceleration. "
        "The letters here are {known}.",
        (("F = m_1 a", "F"), ("Fnet = T - W_1", "Fnet"), ("F_net = m_1 a", "F_net"), ("F_res - T = 0", "F_res")),
    ),
    "net-torque": Entry(
        "“{found}” is no letter here. Write each torque as a force times its radius, with its sign, and then = I alpha. The letters here are {known}.",
        (("τ = 5", "τ"), ("tau = m_1 g", "tau"), ("torque = T", "torque"), ("\\tau = T", "\\tau")),
    ),
    "no-such-index": Entry(
        "There is no {found} here; {known}.{nearest}",
        (
            ("T - m_3 g = m_1 a", "m_3"),
            ("T2 = 5", "T2"),
            ("W_7 = 3", "W_7"),
            ("a_{9} = a_1", "a_{9}"),
            ("g2 = 3", "g2"),
        ),
    ),
    "function": Entry(
        "“{found}” is not used here. {instead}",
        (
            ("T = exp(2)", "exp"),
            ("T = ln 2", "ln"),
            ("a = arcsin(0.5)", "arcsin"),
            ("|a| = 2", "|"),
            ("T = ±2", "±"),
            ("Δ = 3", "Δ"),
        ),
    ),
    "missing-argument": Entry(
        "“{found}” needs an angle after it. Write it in parentheses: {found}(30°) or {found}(theta).",
        (("T = sin", "sin"), ("T = m_1 g cos + 5", "cos"), ("T = tan * 2", "tan")),
    ),
    "root": Entry(
        "What stands under “{found}” can't be told. Put it in parentheses: {found}(2 a d).",
        (("a = sqrt", "sqrt"), ("T = sqrt a g", "sqrt"), ("a = √2g", "√"), ("a = √ = 5", "√")),
    ),
    "missing-operand": Entry(
        "Something is missing after “{found}”. Write what comes there, or take “{found}” out.",
        (("T - = 6.5a", "-"), ("T - 63.7 =", "="), ("T = 6.5a +", "+"), ("T = 2 *", "*"), ("(T - ) = 5", "-")),
    ),
    "missing-left": Entry(
        "Something is missing before “{found}”. Write what comes there, or take “{found}” out.",
        (("T = * 5", "*"), ("T = / 2", "/"), ("T = ^2", "^")),
    ),
    "no-left-side": Entry(
        "This line starts with “{found}”. Every line stands on its own: write what it is equal to first, for "
        "example T = 6.5a + 63.7.",
        (("= 6.5a + 63.7", "="), ("< W_2", "<"), ("≈ 74", "≈")),
    ),
    "double-sign": Entry(
        "Two signs stand side by side here: “{found}”. Write one of them, or put the negative in parentheses: T - "
        "(-5).",
        (("T - - 5 = a", "- -"), ("T -- 5", "--"), ("T ++ 5", "++")),
    ),
    "double-relation": Entry(
        "“{found}” stands where one sign is enough. Write =, <, >, <= or >= between the two sides.",
        (("T = = 5", "= ="), ("T =< > 5", "=< >")),
    ),
    "missing-close": Entry(
        "The parenthesis opened here is never closed. Add “{close}” where it ends.",
        (("2(a+1 = 3", "("), ("T = [6.5a", "["), ("m_1 (g - a", "("), ("sin(30", "(")),
    ),
    "missing-open": Entry(
        "“{found}” closes a parenthesis that was never opened. Take it out, or write “{open}” where it begins.",
        (("2a+1) = 3", ")"), ("T = 6.5a]", "]")),
    ),
    "wrong-close": Entry(
        "“{found}” closes a parenthesis that was opened with “{open}”. Write “{close}” here.",
        (("2(a+1] = 3", "]"), ("T = [6.5a) + 3", ")")),
    ),
    "empty-parentheses": Entry(
        "There is nothing between these parentheses. Write what belongs there, or take them out.",
        (("T = ()", "()"), ("2[ ] = a", "[ ]")),
    ),
    "two-numbers": Entry(
        "Two numbers stand side by side here: “{found}”. Write * between them to multiply, or take the space out.",
        (
            ("T = 6.5 1.58", "6.5 1.58"),
            ("T = 63 .7", "63 .7"),
            ("a = 2 3 4", "2 3"),
            ("a²2 = T", "²2"),
            (r"2\frac{1}{2} a", r"2\frac{1}{2"),
        ),
    ),
    "number": Entry(
        "“{found}” is not a number. Write it with one decimal point, for example 63.7.",
        (("T = 6.3.7", "6.3.7"), ("a = 1..58", "1..58")),
    ),
    "exponent": Entry(
        "Only the powers 1, 2, 3 and 4 are used here, as in R^2. {instead}",
        (
            ("a^5 = 3", "^5"),
            ("T = a^-1", "^-1"),
            ("a^0.7 = 3", "^0.7"),
            ("2^a = 3", "^a"),
            ("a^ = 3", "^"),
            ("a⁹ = 3", "⁹"),
        ),
    ),
    "exponent-chain": Entry(
        "A power of a power is not read here. Work the power out, or write it with parentheses.",
        (("9**9**9", "**9"), ("a^2^2 = T", "^2"), ("T = 2^3^4", "^4")),
    ),
    "unknown-unit": Entry(
        "“{found}” is not a unit that is used here. Units here are N, kg, m, s, m/s, m/s^2, rad/s^2, kg m^2, N m "
        "and °.",
        (("T = 74 N^2", "N^2"), ("T = 5 kg^3", "kg^3"), ("T = 5 lbs", "lbs"), ("a = 5 mph", "mph")),
    ),
    "unit-place": Entry(
        "“{found}” looks like a unit, but there is no number before it. Write the number first: 6.5 {found}.",
        (("T = kg", "kg"), ("a = kg + 3", "kg")),
    ),
    "two-arrows": Entry(
        "There is more than one arrow in this line. Write one step in a line.",
        (("a = 1 => T = 2 => g = 3", "=>"), ("T = a ⇒ a = T ⇒ a = 5", "⇒")),
    ),
    "condition": Entry(
        "What stands before the arrow or after “if” has to be a condition such as m_1 = m_2. Write one side = the "
        "other.",
        (("T => a = 5", "T"), ("if T: a = 0", "T")),
    ),
    "statement": Entry(
        "After a condition there has to be a statement such as a = 0. Write what follows from it.",
        (("if m_1 = m_2", "m_1 = m_2"), ("m_1 = m_2 => ", "m_1 = m_2"), ("if m_1 = m_2: a", "a")),
    ),
    "two-statements": Entry(
        "There are two statements in this line. Write each equation in a line of its own.",
        (("a = 1.58; T = 74", ";"), ("a = 1 and T = 2", "and"), ("T = 5\na = 3", "\n")),
    ),
    "colon": Entry(
        "A colon is not read here. Write / to divide, or one equation in a line.",
        (("T = 5 : 3", ":"), ("T = 1:2", ":")),
    ),
    "no-value": Entry(
        "A result has to be a number with its unit, such as 1.58 m/s^2, or an expression such as g/4.",
        (),
    ),
}


def complain(kind: str, at: Place, **fields: object) -> Complaint:
    """The complaint of this kind, to be raised: KeyError where the table has no such kind."""
    return Complaint(kind, TABLE[kind].says.format(**fields), at)
