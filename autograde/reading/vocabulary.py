"""What the letters of one scene may be called: every spelling that a student may type -> the scene's own name.

Spellings are claimed in four rounds, surest first; a later round never takes what an earlier one has:
the scene's names, however their index is typed; the letters that the class writes (`Scene.notation`) and a letter
alone;
the other usual letters of a quantity (F_g for a weight); loose ones (R for a normal force).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache

from ..scene.model import Scene, Symbol
from ..scene.notation import class_letter
from .greek import GREEK, SUBSCRIPT, SUPERSCRIPT

Parts = tuple[str, ...]
# A word split into letters: (spelling, names or None for a sign, from, to) of each, and how much of the word was used.
Piece = tuple[str, tuple[str, ...] | None, int, int]
Split = tuple[list[Piece], int]

# The usual letter of each kind, alone: "m" where it is clear, or left open, which mass is meant.
STEM: dict[str, str] = {
    "mass": "m", "weight": "W", "normal": "N", "friction": "f", "rolling": "f", "tension": "T", "contact": "P",
    "outside": "F",
    "angle": "theta", "force_angle": "phi", "radius": "R", "strand_radius": "r", "inertia": "I", "wheel_mass": "M",
    "alpha": "alpha", "drag": "tau_f", "acceleration": "a", "mu_k": "mu_k", "mu_s": "mu_s",
}  # fmt: skip

PLURAL: dict[str, str] = {
    "mass": "masses", "weight": "weights", "normal": "normal forces", "friction": "friction forces",
    "rolling": "friction forces",
    "tension": "tensions", "contact": "contact forces", "outside": "outside forces", "angle": "angles",
    "force_angle": "angles",
    "radius": "radii", "strand_radius": "radii", "inertia": "moments of inertia", "wheel_mass": "masses of wheels",
    "alpha": "angular accelerations", "drag": "friction torques", "acceleration": "accelerations",
    "shared_acceleration": "accelerations",
    "mu_k": "coefficients", "mu_s": "coefficients", "gravity": "gravity", "time": "times", "speed": "speeds",
    "distance": "distances",
}  # fmt: skip

# Other letters of a quantity, as parts: ("F", "g") is F_g, and with an index F_g1, F_{g,1} ...
_USUAL: dict[str, tuple[Parts, ...]] = {
    "weight": (("W",), ("w",), ("G",), ("F", "g"), ("F", "G"), ("F", "W"), ("F", "w"), ("W", "g")),
    "normal": (("N",), ("F", "N"), ("F", "n"), ("n",)),
    "friction": (("f",), ("f", "k"), ("f", "s"), ("f", "r"), ("F", "f"), ("F", "r"), ("F", "fr"), ("F", "fric"), ("F",
    "k"),
                 ("F", "s"), ("F", "mu"), ("f", "f"), ("fr",)),
    "rolling": (("f",), ("f", "s"), ("f", "r"), ("F", "f"), ("F", "fr"), ("F", "s"), ("fr",)),
    "tension": (("F", "T"), ("F", "t")),
    "inertia": (("I",), ("J",)),
    "angle": (("theta",),),
    "mu_k": (("mu", "k"), ("u", "k")),
    "mu_s": (("mu", "s"), ("u", "s")),
    "drag": (("tau", "f"), ("tau", "d"), ("tau",)),
    "outside": (("F", "app"), ("F", "ext"), ("F", "P")),
    "distance": (("d",), ("s",), ("x",), ("h",)),
    "speed": (("v",), ("v", "f")),
    "wheel_mass": (("M",),),
    "radius": (("R",),),
    "alpha": (("alpha",),),
    "mass": (("m",),),
    "acceleration": (("a",),),
}  # fmt: skip

_LOOSE: dict[str, tuple[Parts, ...]] = {
    "normal": (("R",),),
    "friction": (("F",),),
    "rolling": (("F",),),
    "radius": (("r",),),
    "mass": (("M",),),
    "mu_k": (("u",),),
    "mu_s": (("u",),),
    "tension": (("S",),),
}

_PLACES = ("x", "s", "y", "v")  # letters for where a thing is, or how fast it goes
_FUNCTIONS = ("sin", "cos", "tan")
_GREEK_SPELLINGS: dict[str, tuple[str, ...]] = {name: (name, letter, "\\" + name) for name, letter in GREEK.items()}


@dataclass(frozen=True)
class Vocabulary:
    """spellings: what may be typed -> canonical names, likeliest first (several: a real ambiguity).
    lengths: first character -> lengths of its spellings, longest first. generic: letters that stand for several
    symbols, with
    the names of those that exist. kinds: canonical name -> kind. data: texts of the dimensionless data ("0.2"), which tell a
    coefficient in front of N from newtons. chunks: memory of words already split.
    """

    symbols: Mapping[str, Symbol] = field(repr=False)
    spellings: Mapping[str, tuple[str, ...]] = field(repr=False)
    lengths: Mapping[str, tuple[int, ...]] = field(repr=False)
    generic: Mapping[str, tuple[str, ...]] = field(repr=False)
    kinds: Mapping[str, str] = field(repr=False)
    things: tuple[str, ...] = ()
    decimal_comma: bool = False
    data: frozenset[str] = frozenset()
    asked: tuple[str, ...] = ()
    written: Mapping[str, str] = field(default_factory=dict, repr=False)  # names that the class writes with letters of its own
    chunks: dict[str, Split] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def of(cls, scene: Scene) -> Vocabulary:
        """The vocabulary of a scene. Pure: the scene's symbols, notation and things are all that it looks at."""
        claims = _Claims()
        symbols = dict(scene.symbols)
        generic = _claim_all(claims, scene, symbols)
        claims.end()
        spelt: dict[str, tuple[str, ...]] = {
            name: (_FUNCTION_MARK + name,) for f in _FUNCTIONS for name in (f, "\\" + f, f.capitalize())
        }
        spelt.update(claims.taken)
        lengths: dict[str, set[int]] = {}
        for s in spelt:
            lengths.setdefault(s[0], set()).add(len(s))
        kinds = {n: s.kind for n, s in symbols.items()}
        kinds["a"] = kinds.get("a", "shared_acceleration")
        return cls(
            symbols=symbols,
            spellings=spelt,
            lengths={c: tuple(sorted(n, reverse=True)) for c, n in lengths.items()},
            generic=generic,
            kinds=kinds,
            things=scene.things,
            decimal_comma=scene.decimal_comma,
            data=frozenset(
                s.given.text for s in symbols.values() if s.given is not None and s.kind in ("mu_k", "mu_s")
            ),
            asked=scene.asked,
            written={n: own for n in symbols if (own := class_letter(scene, n)) != n},
        )

    def known(self) -> str:
        """The letters that exist, for a message: "T, a, g, m_1, m_2"."""
        return ", ".join(sorted(self.in_class({*self.symbols, "a"}), key=lambda s: (s.lower(), s)))

    def in_class(self, names: Iterable[str]) -> list[str]:
        """Names of the scene with the letters of the class."""
        return [self.written.get(n, n) for n in names]

    def nearest(self, text: str) -> str:
        """A sentence that names the likeliest letter for a text that is none, with a space before it; or nothing."""
        plain = _plain(text)
        tied = f"a_{plain[1:].lstrip('_')}"
        if plain[:1] in _PLACES and tied in self.symbols:
            return f" Tie the accelerations, {tied} and so on: displacements, speeds and accelerations are tied in the same way."
        names = {_plain(n): n for n in (*self.symbols, "a", *self.generic)} | {_plain(own): n for n, own in self.written.items()}
        near = [n for n in names if n.replace("_", "").lower() == plain.replace("_", "").lower()][:1] or get_close_matches(plain[:24], list(names), n=1, cutoff=0.5)
        if not near and plain:
            near = [n for n in names if n.lower() == plain.lower()[:1]][:1]
        return f" Did you mean {self.in_class([names[near[0]]])[0]}?" if near else ""

    def family(self, stem: str) -> tuple[str, tuple[str, ...]]:
        """What a letter stands for ("masses") and the names of that kind that exist; ("", ()) where it stands for nothing."""
        names = self.spellings.get(stem, ())
        if not names or names[0].startswith(_FUNCTION_MARK):
            return "", ()
        name = names[0]
        members = self.generic.get(name, (name,))
        kind = self.kinds.get(members[0], "") if members else ""
        if kind in ("acceleration", "shared_acceleration"):
            members = tuple(n for n, k in self.kinds.items() if k in ("acceleration", "shared_acceleration"))
        elif kind and name not in self.generic:
            members = tuple(n for n, k in self.kinds.items() if k == kind)
        return PLURAL.get(kind, "letters"), members


_FUNCTION_MARK = "\x00"


def is_function(name: str) -> bool:
    return name.startswith(_FUNCTION_MARK)


class _Claims:
    """Spellings taken so far. Within a round several symbols may claim one spelling (it is then ambiguous); the next
    round only gets what is left."""

    def __init__(self) -> None:
        self.taken: dict[str, tuple[str, ...]] = {}
        self._round: dict[str, list[str]] = {}

    def claim(self, parts: Parts, *names: str, compact: bool = True) -> None:
        for spelling in spellings_of(parts):
            # m_s may be the sack's mass, ms is not.
            if spelling not in self.taken and (compact or not spelling.isalnum()):
                entry = self._round.setdefault(spelling, [])
                entry.extend(n for n in names if n not in entry)

    def end(self) -> None:
        self.taken.update((s, tuple(names)) for s, names in self._round.items())
        self._round.clear()


def _claim_all(claims: _Claims, scene: Scene, symbols: Mapping[str, Symbol]) -> dict[str, tuple[str, ...]]:
    index = {name: _index(scene, s) for name, s in symbols.items()}
    claims.claim(("a",), "a")
    claims.claim(("g",), next((n for n, s in symbols.items() if s.kind == "gravity"), "g"))
    for name in symbols:
        claims.claim(parts_of(name), name)
    claims.end()

    for name, s in symbols.items():
        letter = _class_letter(scene.notation, s)
        if letter:
            claims.claim((*parts_of(letter), *_of(index[name])), name)
            if sum(o.kind == s.kind for o in symbols.values()) == 1:
                claims.claim(parts_of(letter), name)
    claims.end()
    generic = _claim_alone(claims, symbols)
    claims.end()

    for table in (_USUAL, _LOOSE):
        for name, s in symbols.items():
            number = index[name]
            alone = sum(_same_family(o.kind, s.kind) for o in symbols.values()) == 1
            for parts in table.get(s.kind, ()):
                if parts == ("u",) and any(o.kind == "speed" for o in symbols.values()):
                    continue  # there u is the speed at the start
                if s.kind == "tension":
                    number = _tail(name)
                if number:
                    claims.claim((*parts, number), name)
                if alone or (not number and len(parts) > 1):
                    claims.claim(parts, name)
                elif s.kind not in ("acceleration", "mu_k", "mu_s") and STEM.get(s.kind) in generic:
                    claims.claim(parts, STEM[s.kind])
            if s.kind in ("mu_k", "mu_s") and table is _USUAL and number:
                claims.claim(("mu", number), name)
        if table is _USUAL:
            _claim_by_thing(claims, scene, symbols)
        claims.end()
    _claim_index_of_the_only(claims, symbols)
    angles = [n for n, s in symbols.items() if s.kind in ("angle", "force_angle")]
    if len(angles) == 1:
        for letter in ("theta", "phi", "alpha", "beta"):
            claims.claim((letter,), angles[0])
    claims.end()
    return generic


def _claim_alone(claims: _Claims, symbols: Mapping[str, Symbol]) -> dict[str, tuple[str, ...]]:
    """A letter alone: the only one of its kind, or, where there are several, the letter itself (the judge names the slip)."""
    families: dict[str, list[str]] = {}
    for name, s in symbols.items():
        stem = STEM.get(s.kind)
        if stem and s.kind != "acceleration":
            families.setdefault(stem, []).append(name)
    coefficients = [*families.get("mu_k", ()), *families.get("mu_s", ())]
    generic: dict[str, tuple[str, ...]] = {}
    for stem, members in families.items():
        if stem in symbols:
            continue
        if len(members) == 1:
            claims.claim(parts_of(stem), members[0])
        else:
            claims.claim(parts_of(stem), stem)
            generic[stem] = tuple(members)
    if coefficients and "mu" not in symbols:
        if len(families.get("mu_k", ())) <= 1 and len(families.get("mu_s", ())) <= 1:
            claims.claim(("mu",), *coefficients)
        else:
            claims.claim(("mu",), "mu")
            generic["mu"] = tuple(coefficients)
    return generic


def _claim_by_thing(claims: _Claims, scene: Scene, symbols: Mapping[str, Symbol]) -> None:
    """m_sack, T_sack, and m_s where no other thing starts with s."""
    ropes_of: dict[str, list[str]] = {}
    for rope in scene.ropes:
        for strand in rope.pulls:
            names = ropes_of.setdefault(strand.thing, [])
            if rope.symbol not in names:
                names.append(rope.symbol)
    initials = [t[:1] for t in scene.things]
    for thing in scene.things:
        words = [thing]
        if initials.count(thing[:1]) == 1 and thing[:1] not in ("k", "f", "g"):
            words.append(thing[:1])
        owned = [(s.kind, n) for n, s in symbols.items() if s.thing == thing]
        owned += [("tension", n) for n in ropes_of.get(thing, ()) if len(ropes_of[thing]) == 1]
        for kind, name in owned:
            heads = {parts_of(STEM[kind])} if kind in STEM else set()
            heads |= set(_USUAL.get(kind, ()))
            for parts in heads:
                for word in words:
                    if kind in ("friction", "rolling") and word in ("s", "k", "r"):
                        continue  # f_s is static friction
                    if word.isidentifier() and not (
                        len(word) == 1 and (parts[0] in ("mu", "u", "v") or len(parts) > 1)
                    ):
                        claims.claim((*parts, word), name, compact=len(word) > 1)


def _claim_index_of_the_only(claims: _Claims, symbols: Mapping[str, Symbol]) -> None:
    """m_1 where the only mass has no index."""
    for name, s in symbols.items():
        if s.kind in STEM and not _tail(name) and sum(o.kind == s.kind for o in symbols.values()) == 1:
            claims.claim((*parts_of(name), "1"), name)


def _same_family(one: str, other: str) -> bool:
    return one == other or {one, other} == {"friction", "rolling"}


def _class_letter(notation: Mapping[str, str], s: Symbol) -> str | None:
    letter = notation.get(s.kind) or notation.get(STEM.get(s.kind, "\x00"))
    return letter if letter and re.fullmatch(r"\w+", letter) and letter != "mg" else None


def _index(scene: Scene, s: Symbol) -> str | None:
    thing = scene.bodies.get(s.thing or "") or scene.wheels.get(s.thing or "")
    if thing is not None and thing.index is not None:
        return str(thing.index)
    return _tail(s.name)


def _of(part: str | None) -> Parts:
    return (part,) if part else ()


def _tail(name: str) -> str | None:
    found = re.search(r"(\d+)$", name)
    return found.group(1) if found else None


def parts_of(name: str) -> Parts:
    """ "mu_k1" -> ("mu", "k", "1"): the letter, then what stands below it."""
    out: list[str] = []
    for i, piece in enumerate(name.split("_")):
        found = re.fullmatch(r"(\D*?)(\d*)", piece)
        pieces = [p for p in found.groups() if p] if found else [piece]
        out.extend(pieces if pieces or i else [piece])
    return tuple(out)


@lru_cache(maxsize=4096)  # scenes share most of their letters
def spellings_of(parts: Parts) -> tuple[str, ...]:
    """Every way of typing a letter with these parts: m_1, m1, m₁, m_{1}, \\mu_k, F_{g,1}, F_g1 ..."""
    heads = _GREEK_SPELLINGS.get(parts[0], (parts[0],))
    subs = parts[1:]
    if not subs:
        return heads
    greek = [_GREEK_SPELLINGS.get(p, (p,)) for p in subs]
    tails: list[str] = []
    flat = ["".join(p) for p in _choices(greek)]
    for joined in flat:
        tails += [joined, "_" + joined, "_{" + joined + "}"]
        glyphs = "".join(SUBSCRIPT.get(c, "?") for c in joined)
        if "?" not in glyphs:
            tails += [glyphs, "_" + glyphs]
    if len(subs) == 1 and len(subs[0]) > 1:
        tails += [f"_{{\\{font}{{{subs[0]}}}}}" for font in ("text", "mathrm", "mathit", "rm")]
        tails += [f"_\\{font}{{{subs[0]}}}" for font in ("text", "mathrm")]
    if len(subs) > 1:
        for pieces in _choices(greek):
            for sep in (",", ", ", "_", " "):
                tails.append("_{" + sep.join(pieces) + "}")
            tails += ["_" + "_".join(pieces), "".join(pieces[:-1]) + "_" + pieces[-1], "_" + ",".join(pieces)]
            tails.append("_{" + "".join(pieces[:-1]) + "}" + pieces[-1])
            tails.append("_{" + "".join(pieces[:-1]) + "_" + pieces[-1] + "}")
            last = "".join(SUBSCRIPT.get(c, "?") for c in pieces[-1])
            if "?" not in last:
                tails += ["_" + "".join(pieces[:-1]) + last, "".join(pieces[:-1]) + last]
        swapped = (*subs[1:], subs[0])
        tails += ["_{" + "".join(swapped) + "}", "_{" + ",".join(swapped) + "}", "_" + "".join(swapped)]
    # A name such as \mu can't run into a letter: \muk is another name.
    return tuple(head + tail for head in heads for tail in dict.fromkeys(tails) if not (head.startswith("\\") and tail[:1].isalpha()))


def _choices(options: Iterable[Iterable[str]]) -> list[Parts]:
    out: list[Parts] = [()]
    for option in options:
        out = [(*head, o) for head in out for o in option if not (o.startswith("\\") and len(head) > 3)]
    return out


def _plain(text: str) -> str:
    for name, letter in GREEK.items():
        text = text.replace("\\" + name, name).replace(letter, name)
    for plain, sub in SUBSCRIPT.items():
        text = text.replace(sub, "_" + plain)
    return "".join(c for c in text if c.isalnum() or c in SUPERSCRIPT or c == "_")
