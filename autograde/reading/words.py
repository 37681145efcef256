"""A word split into the letters of the scene, or the complaint about it: m1gsin -> m1, g, sin."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .complaint import Complaint
from .complaints import complain
from .greek import GREEK
from .signs import LATEX, LETTER, NOT_USED, OTHER_UNITS, STRANGE, SUB, WORD_OPS
from .units import UNIT_WORDS
from .vocabulary import Piece, Split, Vocabulary, is_function

_GREEK_NAME = re.compile("|".join(n for n in GREEK if len(n) > 2) + "|mu(?![A-Za-z])|phi|psi")
_GREEK_STARTS = frozenset(n[0] for n in GREEK)
LETTERS_RUN = re.compile(rf"[{LETTER}]+")
_NO_SIGN = re.compile(r"[^\s=<>+()]+")
_TAIL = re.compile(rf"_?\{{[^{{}}]*\}}?|_?\d+|_?[{SUB}]+|_[A-Za-z]+|_")
_NET_FORCE = re.compile(r"F(_?\{?(?:net|res|resultant|tot|total)\}?)?(?![A-Za-z0-9_{])")
_NET_TORQUE = re.compile(r"(?:\\?tau|τ|[Tt]orque)(?![A-Za-z0-9_{])")
_LETTERS = re.compile(rf"\\?[{LETTER}]+|.", re.DOTALL)


def split_word(word: str, start: int, vocabulary: Vocabulary) -> Split:
    """Split a word into letters of the scene, longest first: "m1gsin" -> m1, g, sin. Digits that belong to no letter
    are left for the numbers ("sin30")."""
    spellings, lengths = vocabulary.spellings, vocabulary.lengths
    pieces: list[Piece] = []
    if word in WORD_OPS and word not in spellings:
        return [(WORD_OPS[word], None, 0, len(word))], len(word)
    pos, size = 0, len(word)
    while pos < size:
        c = word[pos]
        if c in _GREEK_STARTS:
            foreign = _GREEK_NAME.match(word, pos)
            if foreign and foreign.group() not in spellings:
                raise _unknown(word, pos, start, vocabulary)
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
            if command and command.group() in LATEX:
                pieces.append((LATEX[command.group()], None, pos, pos + command.end()))
                pos += command.end()
                continue
            if c in "{}" or (c.isdigit() and pieces and pieces[-1][1] is None):
                break
            raise _unknown(word, pos, start, vocabulary)
        if c.isalpha() and _index_after(word, pos + n) and not is_function(names[0]):
            raise _no_index(word, pos, pos + n, start, vocabulary)
        pieces.append((piece, names, pos, pos + n))
        pos += n
    return pieces, pos


def as_letters(word: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The names that this word is made of, or nothing where it can't be read as letters of the scene."""
    spellings, names, pos = vocabulary.spellings, [], 0
    while pos < len(word):
        for n in vocabulary.lengths.get(word[pos], ()):
            found = spellings.get(word[pos : pos + n])
            if found is not None and pos + n <= len(word):
                names.append(found[0])
                pos += n
                break
        else:
            return ()
    return tuple(names)


def check_unit(word: str, start: int, text: str, typed: str) -> None:
    """Complain where a word after a number is a unit that is not used here, alone or with a power."""
    letters = LETTERS_RUN.match(word)
    if letters and _looks_like_unit(letters.group()):
        whole = _NO_SIGN.match(text, start)
        end = whole.end() if whole else start + len(word)
        raise complain("unknown-unit", (start, end), found=typed[start:end])


def _looks_like_unit(letters: str) -> bool:
    return letters in UNIT_WORDS or letters in "NmsgJ" or letters in OTHER_UNITS


def _index_after(word: str, pos: int) -> bool:
    c = word[pos : pos + 1]
    return c.isdigit() or c == "_" or "₀" <= c <= "ₜ" or c in tuple("ᵢⱼᵣᵤᵥ")


def _no_index(word: str, a: int, b: int, start: int, vocabulary: Vocabulary) -> Complaint:
    net = _NET_FORCE.match(word)
    if net and net[1]:
        return complain("net-force", (start, start + net.end()), found=net.group(), known=vocabulary.known())
    rest = _TAIL.match(word, b)
    end = rest.end() if rest else b
    kind, members = vocabulary.family(word[a:b])
    known = f"the {kind} here are {listed(vocabulary.in_class(members))}" if members else f"the letters are {vocabulary.known()}"
    if len(members) == 1:
        known = f"write {vocabulary.in_class(members)[0]}"
    return complain("no-such-index", (start + a, start + end), found=word[a:end], known=known, nearest="")


def _unknown(word: str, pos: int, start: int, vocabulary: Vocabulary) -> Complaint:
    whole = _LETTERS.match(word, 0)
    first = whole.group() if whole else word[pos]
    bare = first.lstrip("\\").lower()
    if first[0] in STRANGE:
        return complain("function", (start, start + 1), found=first[0], instead=STRANGE[first[0]])
    if bare in NOT_USED:
        return complain("function", (start, start + len(first)), found=first, instead=NOT_USED[bare])
    if first in UNIT_WORDS:
        return complain("unit-place", (start, start + len(first)), found=first)
    if bare == "and":
        return complain("two-statements", (start, start + len(first)))
    v = vocabulary
    turning = _NET_TORQUE.match(word)
    if turning and pos == 0:
        return complain("net-torque", (start, start + turning.end()), found=turning.group(), known=v.known())
    net = _NET_FORCE.match(word)
    if net and (pos == 0 or net[1]):  # F alone is a letter where the scene has one
        return complain("net-force", (start, start + net.end()), found=net.group(), known=v.known())
    foreign = _GREEK_NAME.match(word, pos)
    rest = LETTERS_RUN.match(word, pos)
    if len(first) > 2 and first.isascii() and (pos == 0 or (rest and len(rest.group()) > 1)) and not foreign:
        return complain(
            "unknown-word", (start, start + len(first)), found=first, nearest=v.nearest(first), known=v.known()
        )
    here = _LETTERS.match(word, pos)
    text = here.group() if here else word[pos]
    if foreign:
        text = foreign.group()
    elif not text.startswith("\\"):
        text = text[:1]
    sub = _TAIL.match(word, pos + len(text))
    end = sub.end() if sub else pos + len(text)
    return complain(
        "unknown-symbol",
        (start + pos, start + end),
        found=word[pos:end],
        nearest=v.nearest(word[pos:end]),
        known=v.known(),
    )


def listed(names: Sequence[str]) -> str:
    """ "m_1, m_2 and m_3"."""
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names)
