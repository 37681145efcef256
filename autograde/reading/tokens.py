"""The scanner: a line -> tokens, with numbers and their units, and with words split into the letters of the scene."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from .complaint import Complaint
from .complaints import complain
from .greek import GREEK, SUPERSCRIPT
from .tree import Name, Number, Place
from .units import UNIT_WORDS, Unit, unit_at
from .vocabulary import Piece, Split, Vocabulary, is_function

MAX_DIGITS = 18
MAX_TEN = 30


class Token(NamedTuple):
    """kind: "number", "name" (value a node), "function" (sin), "power" (value the exponent), "frac", "end", or the sign
    itself: + - * / ^ ( ) and the relations. spaced: whether white space stands before it."""

    kind: str
    value: object
    start: int
    end: int
    spaced: bool = False


VULGAR: dict[str, Fraction] = {
    "½": Fraction(1, 2), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3), "¼": Fraction(1, 4), "¾": Fraction(3, 4),
    "⅕": Fraction(1, 5),
    "⅖": Fraction(2, 5), "⅗": Fraction(3, 5), "⅘": Fraction(4, 5), "⅙": Fraction(1, 6), "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip
_V = "".join(VULGAR)
_LETTER = r"A-Za-zΑ-ΡΣ-Ωα-ω"
_SUB = "₀-₉ₐₑₕᵢⱼₖₗₘₙₒₚᵣₛₜᵤᵥₓ"
_SCAN = re.compile(
    rf"""(?P<space>[ ]+|\\[,;: !]|\\q?quad\b)
    |(?P<number>(?:\d|\.\d)[\d.]*(?:,\d+(?:[.,]\d+)*)?(?:[eE][+-]?\d+(?![\d.]))?)
    |(?P<word>\\?[{_LETTER}][{_LETTER}\d_{_SUB}]*(?:\{{[^{{}}]*(?:\{{[^{{}}]*\}}[^{{}}]*)?\}}[{_LETTER}\d_{_SUB}]*|(?<=_)\\\w+|(?<=_)[ ]?\{{)*)
    |(?P<op><=|>=|=<|=>|==|!=|<<|>>|~=|->|~|→|\*\*|[-+*/^()\[\]{{}}=<>≤≥≈≠≪≫⇒])
    |(?P<raised>[⁰¹²³⁴⁵⁶⁷⁸⁹]+)
    |(?P<vulgar>[{_V}])""",
    re.VERBOSE,
)
_TEN = re.compile(
    r"\s*(?:\*|[xX]|\\times|\\cdot)\s*10\s*(?:(?:\^|\*\*)\s*(?:\{\s*([+-]?\d{1,4})\s*\}|\(\s*([+-]?\d{1,4})\s*\)|([+-]?\d{1,4}))|(-?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,4}))(?![\d.])"
)
_UNIT_IN_PARENTHESES = re.compile(r"\s*([(\[])\s*")
_LATEX: dict[str, str] = {
    "\\cdot": "*", "\\times": "*", "\\ast": "*", "\\div": "/", "\\le": "<=", "\\leq": "<=", "\\ge": ">=",
    "\\geq": ">=", "\\lt": "<",
    "\\gt": ">", "\\ne": "!=", "\\neq": "!=", "\\approx": "≈", "\\simeq": "≈", "\\sim": "≈", "\\frac": "frac",
    "\\dfrac": "frac",
    "\\tfrac": "frac", "\\left": "", "\\right": "", "\\big": "", "\\Big": "", "\\bigl": "", "\\bigr": "",
    "\\displaystyle": "",
    "\\ll": "<<", "\\gg": ">>", "\\Rightarrow": "⇒", "\\implies": "⇒", "\\to": "≈", "\\rightarrow": "≈",
    "\\therefore": "",
}  # fmt: skip
_OPS: dict[str, str] = {
    "**": "^",
    "=<": "<=",
    "==": "=",
    "~=": "≈",
    "≠": "!=",
    "≤": "<=",
    "≥": ">=",
    "≪": "<<",
    "≫": ">>",
    "->": "≈",
    "→": "≈",
    "~": "≈",
    "=>": "⇒",
}
_WORD_OPS: dict[str, str] = {"times": "*", "plus": "+", "minus": "-", "equals": "=", "over": "/", "approx": "≈"}
_NOT_USED: dict[str, str] = {
    "sqrt": "Write the square of the quantity instead: v^2 = 2 a d.",
    "root": "Write the square of the quantity instead: v^2 = 2 a d.",
    "abs": "Write the equation with the sign that you have chosen.",
    "sum": "Write every term of the sum.",
    **dict.fromkeys(("exp", "ln", "log"), "Write the equation with sums, products, powers, sin, cos and tan."),
    **dict.fromkeys(("arcsin", "arccos", "arctan", "asin", "acos", "atan"), "Write sin(theta) = ... instead."),
    **dict.fromkeys(("cot", "sec", "csc"), "Write it with sin, cos and tan."),
}  # fmt: skip
_STRANGE: dict[str, str] = {
    "√": "Write the square of the quantity instead: v^2 = 2 a d.",
    "|": "Write the quantity without bars, with its sign.",
    "±": "Write one equation with + and one with -.",
    "∓": "Write one equation with + and one with -.",
    "∑": "Write every term of the sum.",
    "Σ": "Write every term of the sum.",
    "Δ": "Write the quantity itself.",
    "∆": "Write the quantity itself.",
    "∫": "Write the equation with sums and products.",
}

_OTHER_UNITS = frozenset(
    (
        "lb",
        "lbs",
        "ft",
        "in",
        "oz",
        "mi",
        "mph",
        "kgf",
        "W",
        "Pa",
        "kPa",
        "Hz",
        "dyn",
        "kJ",
        "hp",
        "mg",
        "t",
        "ton",
        "tons",
        "rpm",
        "rev",
    )
)
_PHRASE = re.compile(
    r"(?:is\s+)?(?:(?:less|smaller|lower) than or equal to|(?:greater|more|bigger|larger) than or equal to|(?:less|smaller|lower) than"
    r"|(?:greater|more|bigger|larger|higher) than|not equal to|equal to|the same as|approximately|about|at most|at least|equals)\b|is\b",
    re.IGNORECASE,
)
_PHRASE_STARTS = frozenset(
    ("is", "less", "smaller", "lower", "greater", "more", "bigger", "larger", "higher", "not", "equal", "the", "approximately",
     "about", "at", "equals")
)  # fmt: skip
_SAID: dict[str, str] = {
    **{f"{w} than": "<" for w in ("less", "smaller", "lower")},
    **{f"{w} than": ">" for w in ("greater", "more", "bigger", "larger", "higher")},
    **{f"{w} than or equal to": "<=" for w in ("less", "smaller", "lower")},
    **{f"{w} than or equal to": ">=" for w in ("greater", "more", "bigger", "larger")},
    "not equal to": "!=", "equal to": "=", "the same as": "=", "equals": "=", "is": "=", "approximately": "≈", "about": "≈",
    "at most": "<=", "at least": ">=",
}  # fmt: skip
_GREEK_NAME = re.compile("|".join(n for n in GREEK if len(n) > 2) + "|mu(?![A-Za-z])|phi|psi")
_GREEK_STARTS = frozenset(n[0] for n in GREEK)
_TIMES = re.compile(r"\s*[xX]\s*(?=[\d.(])")
_RUN = re.compile(rf"[{_LETTER}]+")


def listed(names: Sequence[str]) -> str:
    """ "m_1, m_2 and m_3"."""
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names)


class Scanner:
    """Scans one text (`typed` is the same before look-alikes were made plain). choices: which way of each ambiguity to take ({key: option}); `met` collects those that came up
    with their number of options; `remarks` what is worth saying."""

    def __init__(self, text: str, typed: str, vocabulary: Vocabulary, choices: dict[str, int]) -> None:
        self.text, self.typed, self.vocabulary, self.choices = text, typed, vocabulary, choices
        self.met: dict[str, int] = {}
        self.remarks: list[str] = []

    def tokens(self, start: int, end: int) -> list[Token]:
        """The tokens of text[start:end], and an "end"."""
        text, scan, out = self.text, _SCAN.match, []
        pos, spaced = start, False
        while pos < end:
            found = scan(text, pos, end)
            if found is None:
                pos, token = self._strange(pos, end)
                if token is None:
                    spaced = True
                    continue
                out.append(token)
                continue
            kind, after = found.lastgroup, found.end()
            if kind == "space":
                spaced, pos = True, after
                continue
            if kind == "op":
                sign = found.group()
                out.append(Token(_OPS.get(sign, sign), sign, pos, after, spaced))
                pos = after
            elif kind == "word":
                pos = self._word(found.group(), pos, spaced, out)
            elif kind == "raised":
                out.append(Token("power", found.group().translate(_RAISED), pos, after, spaced))
                pos = after
            else:
                pos = self._number(found, pos, end, spaced, out)
                times = _TIMES.match(text, pos, end)
                if times and "x" not in self.vocabulary.spellings:  # 6.5 x 9.8
                    out.append(Token("*", "x", pos, times.end(), True))
                    pos = times.end()
            spaced = False
        out.append(Token("end", "", end, end, spaced))
        return out

    def _strange(self, pos: int, end: int) -> tuple[int, Token | None]:
        """A character outside the scanner's alphabet."""
        c = self.text[pos]
        if c == "%":
            raise complain("percent", (pos, pos + 1))
        if c == ",":
            raise complain("comma", (pos, pos + 1))
        if c in ";\n\r\v\f\x85\u2028\u2029":
            raise complain("two-statements", (pos, pos + 1))
        if c == ":":
            raise complain("colon", (pos, pos + 1))
        if c == "∴":
            return pos + 1, None
        if c in _STRANGE:
            raise complain("function", (pos, pos + 1), found=c, instead=_STRANGE[c])
        if c.isalpha():
            raise complain("unknown-symbol", (pos, pos + 1), found=c, nearest="", known=self.vocabulary.known())
        shown = c if c.isprintable() and not "\ud800" <= c <= "\udfff" else f"character {ord(c)}"
        raise complain("character", (pos, pos + 1), found=shown)

    # -- words -----------------------------------------------------------------------------------------------------

    def _word(self, word: str, start: int, spaced: bool, out: list[Token]) -> int:
        chunks = self.vocabulary.chunks
        split = chunks.get(word)
        if split is None:
            if word.lower() in _PHRASE_STARTS and word not in self.vocabulary.spellings:
                phrase = _PHRASE.match(self.text, start)
                if phrase:
                    said = " ".join(phrase.group().lower().split()).removeprefix("is ")
                    out.append(Token(_SAID[said], phrase.group(), start, phrase.end(), spaced))
                    return phrase.end()
            try:
                split = self._split(word, start)
            except Complaint as complaint:
                if (
                    out
                    and out[-1].kind == "number"
                    and complaint.kind in ("unknown-symbol", "unknown-word", "unit-place")
                ):
                    self._check_unit(word, start)
                raise
            if len(chunks) < 5000:
                chunks[word] = split
        pieces, used = split
        for spelling, names, a, b in pieces:
            here, there = start + a, start + b
            if names is None:
                if spelling:
                    out.append(Token(spelling, word[a:b], here, there, spaced))
            elif len(names) == 1:
                name = names[0]
                if is_function(name):
                    out.append(Token("function", name[1:], here, there, spaced))
                else:
                    node = Name(name, self.typed[here:there], (here, there))
                    out.append(Token("name", node, here, there, spaced))
                    if name in self.vocabulary.generic:
                        self._remark_generic(name, spelling)
            else:
                name = names[self.choose("name " + spelling, len(names))]
                out.append(Token("name", Name(name, self.typed[here:there], (here, there)), here, there, spaced))
            spaced = False
        return start + used

    def _remark_generic(self, name: str, spelling: str) -> None:
        kind, members = self.vocabulary.family(spelling)
        remark = f"“{spelling}” alone may be any of the {kind} here: {listed(members)}."
        if remark not in self.remarks:
            self.remarks.append(remark)

    def choose(self, key: str, options: int) -> int:
        self.met[key] = options
        return self.choices.get(key, 0)

    def _split(self, word: str, start: int) -> Split:
        """Split a word into letters of the scene, longest first: "m1gsin" -> m1, g, sin. Digits that belong to no letter
        are left for the numbers ("sin30")."""
        spellings, lengths = self.vocabulary.spellings, self.vocabulary.lengths
        pieces: list[Piece] = []
        if word in _WORD_OPS and word not in spellings:
            return [(_WORD_OPS[word], None, 0, len(word))], len(word)
        pos, size = 0, len(word)
        while pos < size:
            c = word[pos]
            if c in _GREEK_STARTS:
                foreign = _GREEK_NAME.match(word, pos)
                if foreign and foreign.group() not in spellings:
                    raise self._unknown(word, pos, start, pieces)
            if c.isdigit() and pos and pieces and pieces[-1][1] is not None and is_function(pieces[-1][1][0]):
                break
            for n in lengths.get(c, ()):
                piece = word[pos : pos + n]
                names = spellings.get(piece)
                if names is None or pos + n > size or (piece[-1].isdigit() and word[pos + n : pos + n + 1].isdigit()):
                    continue
                if c == "\\" and word[pos + n : pos + n + 1].isalpha() and "_" not in piece:
                    continue
                break
            else:
                command = re.match(r"\\[A-Za-z]+", word[pos:]) if c == "\\" else None
                if command and command.group() in _LATEX:
                    pieces.append((_LATEX[command.group()], None, pos, pos + command.end()))
                    pos += command.end()
                    continue
                if c in "{}" or (c.isdigit() and pieces and pieces[-1][1] is None):
                    break
                raise self._unknown(word, pos, start, pieces)
            if c.isalpha() and self._index_after(word, pos + n) and not is_function(names[0]):
                raise self._no_index(word, pos, pos + n, start)
            pieces.append((piece, names, pos, pos + n))
            pos += n
        return pieces, pos

    @staticmethod
    def _looks_like_unit(letters: str) -> bool:
        return letters in UNIT_WORDS or letters in "NmsgJ" or letters in _OTHER_UNITS

    def _check_unit(self, word: str, start: int) -> None:
        """Complain where a word after a number is a unit that is not used here, alone or with a power."""
        letters = _RUN.match(word)
        if letters and self._looks_like_unit(letters.group()):
            whole = re.compile(r"[^\s=<>+()]+").match(self.text, start)
            end = whole.end() if whole else start + len(word)
            raise complain("unknown-unit", (start, end), found=self.typed[start:end])

    @staticmethod
    def _index_after(word: str, pos: int) -> bool:
        c = word[pos : pos + 1]
        return c.isdigit() or c == "_" or "₀" <= c <= "ₜ" or c in tuple("ᵢⱼᵣᵤᵥ")

    def _no_index(self, word: str, a: int, b: int, start: int) -> Complaint:
        rest = re.compile(rf"_?\{{[^{{}}]*\}}?|_?\d+|_?[{_SUB}]+|_[A-Za-z]+|_").match(word, b)
        end = rest.end() if rest else b
        kind, members = self.vocabulary.family(word[a:b])
        known = f"the {kind} here are {listed(members)}" if members else f"the letters are {self.vocabulary.known()}"
        if len(members) == 1:
            known = f"write {members[0]}"
        return complain("no-such-index", (start + a, start + end), found=word[a:end], known=known, nearest="")

    def _unknown(self, word: str, pos: int, start: int, pieces: list[Piece]) -> Complaint:
        letters = re.compile(rf"\\?[{_LETTER}]+|.", re.DOTALL)
        whole = letters.match(word, 0)
        first = whole.group() if whole else word[pos]
        bare = first.lstrip("\\").lower()
        if first[0] in _STRANGE:
            return complain("function", (start, start + 1), found=first[0], instead=_STRANGE[first[0]])
        if bare in _NOT_USED:
            return complain("function", (start, start + len(first)), found=first, instead=_NOT_USED[bare])
        if first in UNIT_WORDS:
            return complain("unit-place", (start, start + len(first)), found=first)
        if bare == "and":
            return complain("two-statements", (start, start + len(first)))
        v = self.vocabulary
        foreign = _GREEK_NAME.match(word, pos)
        rest = _RUN.match(word, pos)
        if len(first) > 2 and first.isascii() and (pos == 0 or (rest and len(rest.group()) > 1)) and not foreign:
            return complain(
                "unknown-word", (start, start + len(first)), found=first, nearest=v.nearest(first), known=v.known()
            )
        here = letters.match(word, pos)
        text = here.group() if here else word[pos]
        if foreign:
            text = foreign.group()
        elif not text.startswith("\\"):
            text = text[:1]
        sub = re.compile(rf"_\{{[^{{}}]*\}}|_?\d+|_?[{_SUB}]+|_[A-Za-z]+").match(word, pos + len(text))
        end = sub.end() if sub else pos + len(text)
        return complain(
            "unknown-symbol",
            (start + pos, start + end),
            found=word[pos:end],
            nearest=v.nearest(word[pos:end]),
            known=v.known(),
        )

    # -- numbers ---------------------------------------------------------------------------------------------------

    def _number(self, found: re.Match[str], start: int, end: int, spaced: bool, out: list[Token]) -> int:
        text, after = self.text, found.end()
        figures = found.group()
        if found.lastgroup == "vulgar":
            value, half = VULGAR[figures], Fraction(0)
        else:
            if out and out[-1].kind == "name" and figures.isdigit() and self._index_apart(figures, after, out):
                return after
            value, half = self._value(figures, (start, after))
            ten = _TEN.match(text, after, end)
            if ten and "e" not in figures.lower():
                power = next(g for g in ten.groups() if g).translate(_RAISED)
                figures, after = text[start : ten.end()], ten.end()
                if abs(int(power)) > MAX_TEN:
                    raise complain("too-large", (start, after), found=figures)
                scale = Fraction(10) ** int(power)
                value, half = value * scale, half * scale
            elif after < end and text[after] in VULGAR:
                value, half, after = value + VULGAR[text[after]], Fraction(0), after + 1
                figures = text[start:after]
        unit, start_of_unit, unit_end = self._unit(figures, after, end, out)
        figures = self.typed[start:after]
        if unit is None:
            node = Number(value, figures, half, "", "", (start, after))
            out.append(Token("number", node, start, after, spaced))
            return after
        shown = self.typed[start_of_unit : unit.end]
        node = Number(value * unit.factor, figures, half * unit.factor, unit.unit, shown, (start, unit_end))
        out.append(Token("number", node, start, unit_end, spaced))
        return unit_end

    def _index_apart(self, figures: str, after: int, out: list[Token]) -> bool:
        """m 1 for m_1, where m alone would not say which."""
        node = out[-1].value
        if not isinstance(node, Name) or node.name not in self.vocabulary.generic:
            return False
        names = self.vocabulary.spellings.get(node.name + figures)
        if names is None:
            return False
        at = (node.at[0], after)
        self.remarks = [r for r in self.remarks if not r.startswith(f"“{node.text}” alone")]
        out[-1] = Token("name", Name(names[0], self.typed[at[0] : at[1]], at), at[0], at[1], out[-1].spaced)
        return True

    def _value(self, figures: str, at: Place) -> tuple[Fraction, Fraction]:
        mantissa, _, exponent = figures.lower().partition("e")
        if "," in mantissa:
            mantissa = self._comma(mantissa, figures, at)
        if mantissa.count(".") > 1:
            raise complain("number", at, found=figures)
        if len(mantissa) > MAX_DIGITS:
            raise complain("too-many-digits", at, found=len(mantissa), limit=MAX_DIGITS)
        power = int(exponent[:6] or 0) if exponent else 0
        if abs(power) > MAX_TEN:
            raise complain("too-large", at, found=figures)
        whole, _, decimals = mantissa.partition(".")
        scale = Fraction(10) ** (power - len(decimals)) if power else Fraction(1, 10 ** len(decimals))
        return int(whole + decimals) * scale, scale / 2

    def _comma(self, mantissa: str, figures: str, at: Place) -> str:
        """Commas in a number: decimal where the scene says so, a complaint that says what to write elsewhere."""
        plain = mantissa.replace(",", "")
        if mantissa.count(",") > 1 or "." in mantissa:
            raise complain(
                "thousands", at, found=figures, instead=plain if plain.count(".") < 2 else plain.replace(".", "")
            )
        if self.vocabulary.decimal_comma:
            return mantissa.replace(",", ".")
        whole, _, rest = mantissa.partition(",")
        if len(rest) == 3 and whole.strip("0"):
            raise complain("thousands", at, found=figures, instead=f"{plain} or {whole}.{rest}")
        raise complain("decimal-comma", at, found=figures, instead=f"{whole}.{rest}")

    def _unit(self, figures: str, after: int, end: int, out: list[Token]) -> tuple[Unit | None, int, int]:
        """The unit after a number, or None where what follows is no unit, or is read as a letter of the scene."""
        text = self.text
        unit = unit_at(text[:end] if end < len(text) else text, after)
        if unit is not None and out and out[-1].kind == "function" and unit.unit not in ("deg", "rad"):
            return None, after, after  # sin 30 g
        if unit is None:
            return self._unit_in_parentheses(after, end)
        start = unit.end - len(text[after : unit.end].lstrip(" "))
        letters = _RUN.match(text, start)
        word = letters.group() if letters else ""
        plain = word and len(word) <= 2 and "/" not in text[start : unit.end]
        as_letters = self._as_letters(word) if plain else ()
        if not as_letters:
            return unit, start, unit.end
        return self._either(figures, unit, after, end, word, as_letters)

    def _as_letters(self, word: str) -> tuple[str, ...]:
        """The names that this word is made of, or nothing where it can't be read as letters of the scene."""
        spellings, names, pos = self.vocabulary.spellings, [], 0
        while pos < len(word):
            for n in self.vocabulary.lengths.get(word[pos], ()):
                found = spellings.get(word[pos : pos + n])
                if found is not None and pos + n <= len(word):
                    names.append(found[0])
                    pos += n
                    break
            else:
                return ()
        return tuple(names)

    def _either(
        self, figures: str, unit: Unit, after: int, end: int, word: str, names: tuple[str, ...]
    ) -> tuple[Unit | None, int, int]:
        """0.5 m: half a metre, or half of m. Both readings are kept; the likelier one comes first."""
        text = self.text
        start = unit.end - len(text[after : unit.end].lstrip(" "))
        following = text[unit.end : end].lstrip(" ")[:1]
        goes_on = following.isalpha() or following in ("(", "[", "\\")
        if word == "g" and start == after and not self._about_mass():
            return None, start, start  # nobody means grams in 5g - T = 5a
        if (
            names[0] in self.vocabulary.generic
            and following == ")"
            and text[:after].rstrip("0123456789.,").endswith("(")
        ):
            return unit, start, unit.end  # (0.12 m)^2
        letters_first = (
            (word[0] == "g" and text[start : unit.end] == "g" and not self._about_mass())
            or (goes_on and names[0] not in self.vocabulary.generic)
            or (goes_on and len(word) == 1 and following != "(")
            or (word[0] == "N" and figures in self.vocabulary.data)
            or (word[0] == "J")
        )
        if (goes_on and word in ("m", "g", "s") and names[0] not in self.vocabulary.generic) or (
            word == "g" and text[:after].rstrip(" .0123456789").endswith("/")
        ):
            return None, start, start  # 1/2 m v^2
        choice = self.choose(f"unit {text[start : unit.end]} {letters_first}", 2)
        if (choice == 0) == letters_first:
            return None, start, start
        return unit, start, unit.end

    def _about_mass(self) -> bool:
        return re.match(r"\s*[mM][_\d₁-₉]*\w{0,3}\s*=", self.text) is not None

    def _unit_in_parentheses(self, after: int, end: int) -> tuple[Unit | None, int, int]:
        """74.0 (N)"""
        text = self.text
        opened = _UNIT_IN_PARENTHESES.match(text, after, end)
        if opened is None:
            return None, after, after
        unit = unit_at(text[:end], opened.end())
        if unit is None:
            return None, after, after
        closed = re.compile(r"\s*" + re.escape(")" if opened.group(1) == "(" else "]")).match(text, unit.end, end)
        word = text[opened.end() : unit.end]
        if closed is None or (word.isalpha() and self._as_letters(word) and word not in ("N",)):
            return None, after, after
        return unit, opened.end(), closed.end()


_RAISED = {ord(k): v for k, v in SUPERSCRIPT.items()}
