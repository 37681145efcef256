"""What would do, said to a teacher who has never read what TOML is: cures for the usual slips of the pen."""

from __future__ import annotations

import re

from .error import Path

TABLES: dict[Path, str] = {
    ("friction",): "friction = { kinetic = 0.2 } or { kinetic = 0.2, static = 0.3 }",
    ("notation",): 'notation = { weight = "F_g" }',
    ("motion",): 'motion = { distance = "1.2 m" }',
    ("ask",): 'a line [ask] (single brackets) and below it values = ["a"]',
    ("bodies",): "[bodies.NAME] for each body, like [bodies.sack]",
    ("wheels",): "[wheels.NAME] for each wheel, like [wheels.drum]",
}
LISTS = {
    "ropes": "[[ropes]] with double brackets for each rope",
    "contacts": "[[contacts]] with double brackets for each contact",
    "rolling": "[[rolling]] with double brackets for each rolling wheel",
    "forces": "[[forces]] with double brackets for each force",
    "values": 'values = ["a"] with square brackets, each symbol in quotation marks',
    "pulls": 'pulls = [["sack", "up"], ["stone", "up"]]',
    "pushes": 'pushes = [["crate", "left"], ["box", "right"]]',
}
MEANT = {
    "anticlockwise": "counterclockwise", "ccw": "counterclockwise", "acw": "counterclockwise", "cw": "clockwise",
    "uphill": "upslope", "up the slope": "upslope", "up-slope": "upslope", "upwards": "up", "upward": "up",
    "downhill": "downslope", "down the slope": "downslope", "down-slope": "downslope", "downwards": "down", "downward": "down",
    "horizontal": "level", "horizontally": "level", "flat": "level", "incline": "slope", "inclined": "slope", "ramp": "slope",
    "hanging": "vertical", "hangs": "vertical", "up": "vertical", "down": "vertical",
    "cylinder": "disk", "disc": "disk", "solid": "disk", "ring": "hoop", "ball": "sphere",
}  # fmt: skip
"""What people write for a word of the scene file."""

_QUOTES = 'text and numbers with a unit stand in quotation marks, like mass = "5 kg"'


def table(path: Path) -> str:
    """What to write where a table belongs at that key."""
    if len(path) == 2 and path[0] in ("bodies", "wheels"):
        return f"write [{path[0]}.{path[1]}] with single brackets, and its keys below" if path[1] not in _KEYS else (
            f"write a line [{path[0]}.NAME] above it, like [{path[0]}.{'sack' if path[0] == 'bodies' else 'drum'}]")
    says = TABLES.get(path[-1:])
    if says is None and isinstance(path[-1], int) and path[0] in LISTS:
        says = LISTS[str(path[0])]
    return f"write {says}" if says else "write keys with their values in braces, like { kinetic = 0.2 }"


_KEYS = ("index", "mass", "moves", "angle", "friction", "acceleration", "starts", "rests_on", "radius", "inertia", "shape", "drag")


def listing(path: Path) -> str:
    """What to write where a list belongs at that key."""
    says = LISTS.get(str(path[-1]))
    return f"write {says}" if says else "write a list in square brackets"


def syntax(says: str, line: str) -> str:
    """The usual cause of the TOML parser's complaint about that line, or ""."""
    line = line[:2000]  # more would only cost time
    twice = re.match(r"Cannot declare \((.*?),?\) twice", says)
    if twice:
        name = ".".join(re.findall(r"'([^']*)'", twice[1]))
        if name in ("ropes", "contacts", "rolling", "forces"):
            return f"write {LISTS[name]}"
        return f"[{name}] stands twice; give each its own name, or put the keys of both together"
    if re.search("[“”„‘’«»]", line) and not re.search(r'"[^"]*[“”„‘’«»][^"]*"', line):
        return 'use straight quotation marks ("), not curly ones'
    for words, cure in _CURES:
        if words in says:
            return cure(line) if callable(cure) else cure
    return ""


def _after_value(line: str) -> str:
    rest = line.partition("=")[2]
    if re.match(r"\s*[\d.,+-]", rest):
        return _QUOTES
    if "//" in rest:
        return "a comment begins with #"
    if rest.rstrip().endswith((";", ",")):
        return "nothing follows a value; leave the mark at the end of the line out"
    if rest.count('"') > 2:
        return 'within a text in "quotation marks" write single ones (\')'
    if rest.count("'") > 1:
        return 'put a text that has an apostrophe in it in double quotation marks (")'
    return "write each key on a line of its own, like mass = \"5 kg\""


def _no_equals(line: str) -> str:
    if re.search(r"\d,\d", line):
        return "write a decimal point, like kinetic = 0.20"
    if line.strip().endswith("]"):
        return "the name of a table stands in brackets, like [ask]"
    return 'write KEY = VALUE, like mass = "5 kg"'


_CURES = (
    ("Invalid value", _QUOTES),
    ("after a statement", _after_value),
    ("Expected '='", _no_equals),
    ("Cannot overwrite", "this key stands twice; leave one of them out"),
    ("Illegal character '\\n'", 'the quotation mark is not closed on this line (a text of several lines stands in """)'),
    ("Unclosed array", "a bracket ] or a comma between two entries is missing"),
    ("end of a table declaration", "a name in brackets has no spaces; write - or _ in their place"),
    ("Unescaped '\\'", "write two backslashes for one"),
)  # fmt: skip
