"""The scanner: a line -> tokens, with numbers and their units, and with words split into the letters of the scene."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from .complaint import Complaint
from .complaints import complain
from .numerals import MAX_TEN, value_of
from .signs import LETTER, OPS, PHRASE, PHRASE_STARTS, RAISED, SAID, STRANGE, SUB, VULGAR
from .tree import Name, Number
from .units import Unit, unit_at
from .vocabulary import Vocabulary, is_function
from .words import LETTERS_RUN, as_letters, check_unit, listed, split_word


class Token(NamedTuple):
    """kind: "number", "name" (value a node), "function" (sin), "power" (value the exponent), "frac", "end", or the sign
    itself: + - * / ^ ( ) and the relations. spaced: whether white space stands before it."""

    kind: str
    value: object
    start: int
    end: int
    spaced: bool = False


_V = "".join(VULGAR)
_SCAN = re.compile(
    rf"""(?P<space>[ ]+|\\[,;: !]|\\q?quad\b)
    |(?P<number>(?:\d|\.\d)[\d.]*(?:,\d+(?:[.,]\d+)*)?(?:[eE][+-]?\d+(?![\d.]))?)
    |(?P<word>\\?[{LETTER}][{LETTER}\d_{SUB}]*(?:\{{[^{{}}]*(?:\{{[^{{}}]*\}}[^{{}}]*)?\}}[{LETTER}\d_{SUB}]*|(?<=_)\\\w+|(?<=_)[ ]?\{{)*)
    |(?P<op><=|>=|=<|=>|==|!=|<<|>>|~=|->|~|→|\*\*|[-+*/^()\[\]{{}}=<>≤≥≈≠≪≫⇒])
    |(?P<raised>[⁰¹²³⁴⁵⁶⁷⁸⁹]+)
    |(?P<vulgar>[{_V}])""",
    re.VERBOSE,
)
_TEN = re.compile(
    r"\s*(?:\*|[xX]|\\times|\\cdot)\s*10\s*(?:(?:\^|\*\*)\s*(?:\{\s*([+-]?\d{1,4})\s*\}|\(\s*([+-]?\d{1,4})\s*\)|([+-]?\d{1,4}))|(-?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,4}))(?![\d.])"
)
_UNIT_IN_PARENTHESES = re.compile(r"\s*([(\[])\s*")
_TIMES = re.compile(r"\s*[xX]\s*(?=[\d.(])")


class Scanner:
    """Scans one text (`typed` is the same before look-alikes were made plain). choices: which way of each ambiguity to take ({key: option}); `met` collects those that came up
    with their number of options; `remarks` what is worth saying."""

    def __init__(self, text: str, typed: str, vocabulary: Vocabulary, choices: dict[str, int]) -> None:
        self.text, self.typed, self.vocabulary, self.choices = text, typed, vocabulary, choices
        self.met: dict[str, int] = {}
        self.remarks: list[str] = []
        self._said: set[str] = set()

    def tokens(self, start: int, end: int) -> list[Token]:
        """The tokens of text[start:end], and an "end"."""
        text, scan = self.text, _SCAN.match
        out: list[Token] = []
        pos, spaced = start, False
        while pos < end:
            found = scan(text, pos, end)
            if found is None:
                pos, token = self._strange(pos, out)
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
                out.append(Token(OPS.get(sign, sign), sign, pos, after, spaced))
                pos = after
            elif kind == "word":
                pos = self._word(found.group(), pos, spaced, out)
            elif kind == "raised":
                out.append(Token("power", found.group().translate(RAISED), pos, after, spaced))
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

    def _strange(self, pos: int, out: list[Token]) -> tuple[int, Token | None]:
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
        after = self.text[pos + 1 : pos + 2]
        if c == "." and out and (after.isalpha() or after in ("(", "\\")):  # m_1.g
            return pos + 1, Token("*", c, pos, pos + 1)
        if c == "&" and after == "=":
            return pos + 1, None
        if c == "√":
            return pos + 1, Token("root", c, pos, pos + 1)
        if c in STRANGE:
            raise complain("function", (pos, pos + 1), found=c, instead=STRANGE[c])
        if c.isalpha():
            raise complain("unknown-symbol", (pos, pos + 1), found=c, nearest="", known=self.vocabulary.known())
        shown = c if c.isprintable() and not "\ud800" <= c <= "\udfff" else f"character {ord(c)}"
        raise complain("character", (pos, pos + 1), found=shown)

    # -- words -----------------------------------------------------------------------------------------------------

    def _word(self, word: str, start: int, spaced: bool, out: list[Token]) -> int:
        chunks = self.vocabulary.chunks
        split = chunks.get(word)
        if split is None:
            if word.lower() in PHRASE_STARTS and word not in self.vocabulary.spellings:
                phrase = PHRASE.match(self.text, start)
                if phrase:
                    said = " ".join(phrase.group().lower().split()).removeprefix("is ")
                    out.append(Token(SAID[said], phrase.group(), start, phrase.end(), spaced))
                    return phrase.end()
            passed = self._unit_of_expression(word, start, spaced, out)
            if passed:
                return passed
            try:
                split = split_word(word, start, self.vocabulary)
            except Complaint as complaint:
                if (
                    out
                    and out[-1].kind == "number"
                    and complaint.kind in ("unknown-symbol", "unknown-word", "unit-place")
                ):
                    check_unit(word, start, self.text, self.typed)
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
                        self._remark_generic(spelling)
            else:
                name = names[self.choose("name " + spelling, len(names))]
                out.append(Token("name", Name(name, self.typed[here:there], (here, there)), here, there, spaced))
            spaced = False
        return start + used

    def _unit_of_expression(self, word: str, start: int, spaced: bool, out: list[Token]) -> int:
        """(63.7 + 6.5a) N: a unit that no number carries is passed over with a remark; where it ends, or 0."""
        if not spaced or not out or out[-1].kind not in (")", "]", "name"):
            return 0
        unit = unit_at(self.text, start)
        if unit is None or unit.unit not in ("N", "kg", "m/s^2", "rad/s^2", "N m") or as_letters(word, self.vocabulary):
            return 0
        self.remarks.append(f"The unit {self.typed[start : unit.end]} after the expression was passed over.")
        return unit.end

    def _remark_generic(self, spelling: str) -> None:
        if spelling in self._said:
            return
        self._said.add(spelling)
        kind, members = self.vocabulary.family(spelling)
        remark = f"“{spelling}” alone may be any of the {kind} here: {listed(members)}."
        self.remarks.append(remark)

    def choose(self, key: str, options: int) -> int:
        self.met[key] = options
        return self.choices.get(key, 0)

    # -- numbers ---------------------------------------------------------------------------------------------------

    def _number(self, found: re.Match[str], start: int, end: int, spaced: bool, out: list[Token]) -> int:
        text, after = self.text, found.end()
        figures = found.group()
        if found.lastgroup == "vulgar":
            value, half = VULGAR[figures], Fraction(0)
        else:
            if (
                out
                and out[-1].kind == "name"
                and figures.removesuffix(".").isdigit()
                and self._index_apart(figures.removesuffix("."), after, out)
            ):
                return after
            value, half = value_of(figures, (start, after), self.vocabulary.decimal_comma)
            ten = _TEN.match(text, after, end)
            if ten and "e" not in figures.lower():
                power = next(g for g in ten.groups() if g).translate(RAISED)
                figures, after = text[start : ten.end()], ten.end()
                if abs(int(power)) > MAX_TEN:
                    raise complain("too-large", (start, after), found=figures)
                scale = Fraction(10) ** int(power)
                value, half = value * scale, half * scale
            elif after < end and text[after] in VULGAR and figures.isdigit():
                value, half, after = value + VULGAR[text[after]], Fraction(0), after + 1
                figures = text[start:after]
        unit, start_of_unit, unit_end = self._unit(figures, after, end, out)
        figures = self.typed[start:after].removesuffix(".")
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

    def _unit(self, figures: str, after: int, end: int, out: list[Token]) -> tuple[Unit | None, int, int]:
        """The unit after a number, or None where what follows is no unit, or is read as a letter of the scene."""
        text = self.text
        unit = unit_at(text[:end] if end < len(text) else text, after)
        if unit is not None and out and out[-1].kind == "function" and unit.unit not in ("deg", "rad"):
            return None, after, after  # sin 30 g
        if unit is None:
            return self._unit_in_parentheses(after, end)
        start = unit.end - len(text[after : unit.end].lstrip(" "))
        letters = LETTERS_RUN.match(text, start)
        word = letters.group() if letters else ""
        plain = word and len(word) <= 2 and "/" not in text[start : unit.end]
        names = as_letters(word, self.vocabulary) if plain else ()
        if not names:
            return unit, start, unit.end
        return self._either(figures, unit, after, end, word, names)

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
        if closed is None or (word.isalpha() and as_letters(word, self.vocabulary) and word not in ("N",)):
            return None, after, after
        return unit, opened.end(), closed.end()
