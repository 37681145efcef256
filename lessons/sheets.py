"""Problem sheets and worked keys to print: one pair of HTML pages for each variant, and PDF where `plusway[print]` is installed.

The pages are complete in themselves: pictures are in them, nothing is fetched, no script runs, and whatever a scene file says is escaped.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from ..autograde.errors import UsageError
from ..autograde.judging import judge
from ..autograde.judging.scheme import Scheme
from ..autograde.mechanics import derive
from ..autograde.mechanics.steps import WorkedLine, WorkedStep
from ..autograde.mechanics.variants import vary
from ..autograde.method import step_title
from ..autograde.reading import Complaint, Vocabulary, read, to_mathml
from ..autograde.reading.tree import Name
from ..autograde.scene.model import Quantity, Scene, Symbol
from ..autograde.scene.words import thing_name
from .key import in_class_letters, key_steps, respelt

if TYPE_CHECKING:
    from ..widgets.drawing import Drawing

STYLE = """
@page { size: A4; margin: 18mm 18mm 20mm; }
:root { color-scheme: light; }
body { font: 11pt/1.45 Georgia, "Times New Roman", serif; color: #1d2733; background: #fff; max-width: 46rem; margin: 0 auto; padding: 1.5rem 1rem; overflow-wrap: anywhere; }
h1 { font-size: 1.5em; margin: 0 0 .2em; } h2 { font-size: 1.2em; margin: 0 0 .4em; } h3 { font-size: 1em; margin: 1em 0 .2em; }
header { border-bottom: .75pt solid #4d5b69; margin-bottom: 1.4em; padding-bottom: .5em; }
.who { display: flex; gap: 1.5em; margin: .8em 0 .2em; } .who span { flex: 1; border-bottom: .5pt solid #4d5b69; color: #4d5b69; }
section { margin: 0 0 2.2em; } section + section { break-before: page; }
h1, h2, h3, caption, h3 + p, p.says { break-after: avoid; } figure, table, li, .line { break-inside: avoid; }
figure { margin: .8em 0; } figure img { max-width: 100%; max-height: 9.5cm; } figure.forces img { max-height: none; }
table { border-collapse: collapse; margin: .5em 0 1em; font-size: .95em; } caption { text-align: left; font-weight: bold; padding: .2em 0; }
th, td { text-align: left; font-weight: normal; padding: .15em 1.2em .15em 0; border-bottom: .5pt solid #c3cbd3; vertical-align: top; }
td.n, th.n { text-align: right; } sub { font-size: .75em; line-height: 0; } tr.sum th, tr.sum td { font-weight: bold; border-bottom: 0; }
.points, .quiet { color: #4d5b69; font-weight: normal; font-size: .9em; }
.room { border-bottom: .5pt dotted #74808c; height: 1.9em; } .room.high { height: 7.5em; } .room.forces { height: 9em; }
.line { margin: .25em 0 .25em 1.5em; } .line .thing { color: #4d5b69; font-size: .9em; margin-right: .8em; } .line .letter { display: inline-block; min-width: 2.2em; }
math { font-size: 1.08em; }
@media screen { .line { overflow-x: auto; } }
@media screen and (max-width: 32rem) { .line { margin-left: .5em; } .line math { display: inline-flex; max-width: 100%; } .line math > mrow { display: flex; flex-wrap: wrap; align-items: baseline; row-gap: .3em; } .line math > mrow > mo { margin: 0 .28em; } }
@media print { body { max-width: none; padding: 0; } a { color: inherit; text-decoration: none; } }
"""

PDF_STYLE = """
math { font-family: "DejaVu Serif", Georgia, serif; font-size: .95em; } mi { font-style: italic; } mi.word { font-style: normal; }
mo { margin: 0 .12em; } mi + mi, mn + mi, msub + msub, msub + mi { margin-left: .08em; }
msub > :nth-child(2), msubsup > :nth-child(2) { font-size: .7em; vertical-align: sub; line-height: 0; }
msup > :nth-child(2), msubsup > :nth-child(3) { font-size: .7em; vertical-align: super; line-height: 0; }
mfrac { display: inline-block; vertical-align: middle; text-align: center; } mfrac > * { display: block; padding: 0 .2em; } mfrac > :first-child { border-bottom: .6pt solid; }
mspace { padding-left: .2em; }
"""
"""Formulas for a PDF: its maker sets MathML as plain text unless told how."""

_KINDS = {
    "mass": "mass of the {thing}", "wheel_mass": "mass of the {thing}", "radius": "radius of the {thing}",
    "strand_radius": "smaller radius on the {thing}", "inertia": "rotational inertia of the {thing}", "drag": "friction torque of the bearing of the {thing}",
    "angle": "angle of the slope", "force_angle": "angle of the given force to the surface", "mu_k": "coefficient of kinetic friction",
    "mu_s": "coefficient of static friction", "gravity": "acceleration of free fall", "distance": "distance",
    "acceleration": "given acceleration of the {thing}", "outside": "given force on the {thing}",
}  # fmt: skip
_UNITS = {"m/s^2": "m/s²", "kg m^2": "kg m²", "rad/s^2": "rad/s²"}


@dataclass(frozen=True)
class Sheet:
    """One variant: `number` from 1, its scenes in order, the problem page and the key as HTML."""

    number: int
    scenes: tuple[Scene, ...]
    problems: str
    key: str


def sheets(scenes: Sequence[Scene], count: int = 1, seed: str | None = None, *, scheme: Scheme | None = None) -> list[Sheet]:
    """`count` variants of a sheet with these scenes as its problems.

    seed: the scenes get fresh numbers from it, the same on every machine; None: the scenes' own numbers, and count is then 1
    (UsageError). SceneError where so many different variants can't be found.
    """
    if seed is None and count != 1:
        raise UsageError("several variants need a seed for their numbers")
    fresh = [[scene] if seed is None else vary(scene, count, seed) for scene in scenes]
    out = []
    for k in range(count):
        one = tuple(variants[k] for variants in fresh)
        number = k + 1 if seed is not None else 0
        out.append(Sheet(k + 1, one, _problem_page(one, number, seed, scheme), _key_page(one, number, seed, scheme)))
    return out


def pdf(html: str) -> bytes:
    """A page as PDF. UsageError, in one line, where WeasyPrint (the extra `print`) or what it needs is not installed."""
    try:
        from weasyprint import CSS, HTML
        from weasyprint.urls import URLFetcher
    except (ImportError, OSError) as why:
        raise UsageError(f"PDF needs WeasyPrint: pip install 'plusway[print]' ({type(why).__name__}: {str(why).splitlines()[0]})") from None

    words = re.sub(r"<mi>(\w{2,})</mi>", r'<mi class="word">\1</mi>', html)
    data_only = URLFetcher(allowed_protocols=("data",))  # pictures are in the page; nothing else is ever fetched
    made: bytes = HTML(string=words, url_fetcher=data_only).write_pdf(stylesheets=[CSS(string=PDF_STYLE)])
    return made


def _page(title: str, number: int, seed: str | None, body: str, head: str = "") -> str:
    variant = f"Variant {number}" if number else ""
    mark = f" <span class=\"quiet\">(seed {escape(seed)})</span>" if seed is not None else ""
    under = f"<p class=\"quiet\">{variant}{mark}</p>\n" if variant else ""
    name = f"{title}, {variant.lower()}" if variant else title
    return (f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n'
            f"<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\">\n"
            f"<title>{escape(name)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<header>\n<h1>{escape(title)}</h1>\n{under}{head}</header>\n<main>\n"
            f"{body}</main>\n</body>\n</html>\n")  # fmt: skip


# -- the problems -----------------------------------------------------------------------------------------------------------


def _problem_page(scenes: Sequence[Scene], number: int, seed: str | None, scheme: Scheme | None) -> str:
    body = "".join(_problem(k, scene, scheme) for k, scene in enumerate(scenes, 1))
    who = '<p class="who"><span>Name:</span> <span>Date:</span></p>\n'
    return _page("Problem sheet", number, seed, body, who)


def _problem(place: int, scene: Scene, scheme: Scheme | None) -> str:
    from ..widgets.drawing import draw_scene

    of = judge(scene, {}, scheme).of
    names = _Letters(scene)
    wanted = ", ".join(names.name(s) for s in scene.asked)
    return (f"<section>\n<h2>{place}. {escape(scene.title or scene.name)} <span class=\"points\">({_points(of)})</span></h2>\n<p>{escape(scene.story.strip())}</p>\n"
            f"{_figure(draw_scene(scene))}{_data(scene, names)}<p><strong>Find</strong> {wanted}.</p>\n{_room(scene, names)}</section>\n")  # fmt: skip


def _room(scene: Scene, names: _Letters) -> str:
    """Space to write, in the order of the method."""
    things = [escape(thing_name(t)) for t in scene.things]
    out = "<h3>Positive directions</h3>\n" + "".join(f'<p class="line"><span class="thing">{t}:</span></p>\n' for t in things)
    out += "<h3>Force diagrams</h3>\n<div class=\"room forces\"></div>\n<h3>One equation for each thing</h3>\n"
    out += "".join(f'<p class="line room"><span class="thing">{t}:</span></p>\n' for t in things)
    out += "<h3>Ties between the motions</h3>\n<div class=\"room\"></div>\n" if len(things) > 1 else ""
    out += "<h3>Working</h3>\n<div class=\"room high\"></div>\n<h3>Results, with units</h3>\n"
    out += "".join(f'<p class="line room"><span class="letter">{names.name(s)}</span> =</p>\n' for s in scene.asked)
    return out + "<h3>Does it make sense?</h3>\n<div class=\"room\"></div>\n"


def _data(scene: Scene, names: _Letters) -> str:
    rows = "".join(
        f"<tr><th scope=\"row\">{names.name(s.name)}</th><td class=\"n\">{escape(_quantity(s.given))}</td><td>{escape(_meaning(scene, s))}</td></tr>\n"
        for s in scene.symbols.values() if s.given is not None
    )  # fmt: skip
    starts = "".join(
        f"<tr><th scope=\"row\">start</th><td class=\"n\">{escape(_quantity(b.starts[1]))}</td><td>{escape(f'speed of the {thing_name(n)} at the start, {b.starts[0]}')}</td></tr>\n"
        for n, b in scene.bodies.items() if b.starts is not None
    )  # fmt: skip
    return f"<table>\n<caption>Given</caption>\n<tbody>\n{rows}{starts}</tbody>\n</table>\n"


def _meaning(scene: Scene, symbol: Symbol) -> str:
    text = _KINDS.get(symbol.kind, symbol.kind.replace("_", " ")).format(thing=thing_name(symbol.thing or "body"))
    force = next((f for f in scene.forces if f.symbol == symbol.name), None)
    if force is not None:
        return f"given {'torque' if force.is_torque else 'force'} on the {thing_name(force.on)}"
    several = sum(s.kind == symbol.kind for s in scene.symbols.values()) > 1
    return f"{text} ({thing_name(symbol.thing)})" if several and symbol.thing and "{thing}" not in _KINDS.get(symbol.kind, "") else text


def _quantity(quantity: Quantity | None) -> str:
    if quantity is None:
        return ""
    unit = _UNITS.get(quantity.unit, quantity.unit)
    number = quantity.text.replace("-", "\N{MINUS SIGN}")
    return number if unit in ("", "1") else f"{number}°" if unit == "deg" else f"{number}\N{NO-BREAK SPACE}{unit}"


# -- the key ----------------------------------------------------------------------------------------------------------------


def _key_page(scenes: Sequence[Scene], number: int, seed: str | None, scheme: Scheme | None) -> str:
    body = "".join(_solution(k, scene, scheme) for k, scene in enumerate(scenes, 1))
    return _page("Worked key", number, seed, body)


def _solution(place: int, scene: Scene, scheme: Scheme | None) -> str:
    from ..widgets.drawing import agreeing, draw_forces, draw_scene

    positive = agreeing(scene)
    names = _Letters(scene)
    out = f"<section>\n<h2>{place}. {escape(scene.title or scene.name)}</h2>\n<p>{escape(scene.story.strip())}</p>\n{_figure(draw_scene(scene, positive))}{_data(scene, names)}"
    out += '<p class="quiet">Any choice of positive directions is right, as long as it is kept to; this is one of them.</p>\n'
    for step in key_steps(scene, positive):
        out += _step(step, names)
        if step.step == "forces":
            out += _figure(draw_forces(derive(scene, positive)), "forces")
    return out + _marks(scene, scheme, names) + "</section>\n"


def _step(step: WorkedStep, names: _Letters) -> str:
    title = f"<h3>{escape(step.title)}</h3>\n" if step.title else ""
    says = f"<p class=\"says\">{_prose(step.says)}</p>\n" if step.says else ""
    return title + says + "".join(_line(line, names) for line in step.lines)


def _line(line: WorkedLine, names: _Letters) -> str:
    if line.kind != "math":
        return f'<p class="line">{_prose(names.things(line.text))}</p>\n'
    thing = f'<span class="thing">{escape(thing_name(line.thing))}:</span>' if line.thing else ""
    unit = f" {escape(_UNITS.get(line.unit, line.unit))}" if line.unit not in ("", "1") else ""
    return f'<p class="line">{thing}{names.line(line.text)}{unit}</p>\n'


def _marks(scene: Scene, scheme: Scheme | None, names: _Letters) -> str:
    """The marking scheme: the points of every item that the judge looks at, what they are for, and their sum."""
    verdicts = judge(scene, {}, scheme)
    worth = scheme or Scheme()
    rows = ""
    whats = {
        "directions": "any choice, kept to", "forces": "every force and nothing else, each with its direction",
        "equations": f"{worth.equation_method:g} for every force and the inertia, {worth.equation_accuracy:g} for all signs and components",
        "ties": "the relation with its sign", "results": "value, unit, figures", "sense": "a check that a wrong result could have failed",
    }  # fmt: skip
    for step in verdicts.steps:
        if step.of:
            item = names.name(step.item) if step.step == "results" else escape(thing_name(step.item)) if isinstance(step.item, str) else str(step.item + 1)
            what = whats.get(step.step) or step.says.removeprefix("Still to come: ").rstrip(".")
            rows += f"<tr><th scope=\"row\">{escape(step_title(step.step))}</th><td>{item}</td><td class=\"n\">{step.of:g}</td><td>{escape(what)}</td></tr>\n"
    return (f"<table>\n<caption>Marking scheme</caption>\n<thead><tr><th scope=\"col\">step</th><th scope=\"col\">item</th><th scope=\"col\" class=\"n\">points</th><th scope=\"col\">for</th></tr></thead>\n"
            f"<tbody>\n{rows}<tr class=\"sum\"><th scope=\"row\">Sum</th><td></td><td class=\"n\">{verdicts.of:g}</td><td></td></tr>\n</tbody>\n</table>\n"
            "<p class=\"quiet\">What follows from an earlier slip is worth its points; the same slip costs once. True steps in another order are worth as much.</p>\n")  # fmt: skip


# -- what both share --------------------------------------------------------------------------------------------------------


class _Letters:
    """Symbols and lines of one scene as MathML."""

    def __init__(self, scene: Scene) -> None:
        self._scene, self._vocabulary = scene, Vocabulary.of(scene)

    def name(self, symbol: str | int) -> str:
        own = in_class_letters(str(symbol), self._scene)
        return to_mathml(Name(own, own, (0, len(own))))

    def things(self, text: str) -> str:
        """A sentence with the names of things in words."""
        return re.sub(r"[\w-]+", lambda found: thing_name(found[0]) if found[0] in self._scene.things else found[0], text)

    def line(self, text: str) -> str:
        """A line of the worked solution; one that the reader of lines does not know stays text."""
        try:
            return to_mathml(respelt(read(text, self._vocabulary).lines[0], self._scene))
        except Complaint:
            return escape(text)


def _figure(drawing: Drawing, kind: str = "") -> str:
    """A drawing as an image in the page, its text as the alternative."""
    data = base64.b64encode(drawing.svg.encode("utf-8")).decode("ascii")
    named = f' class="{kind}"' if kind else ""
    return f'<figure{named}><img src="data:image/svg+xml;base64,{data}" alt="{escape(drawing.text, quote=True)}"></figure>\n'


def _prose(text: str) -> str:
    """A sentence with its symbols' indices lowered and its powers raised."""
    lowered = re.sub(r"\b([^\W\d_]+)_([^\W_]{1,3})\b", r"<i>\1</i><sub>\2</sub>", escape(text).replace("^2", "\N{SUPERSCRIPT TWO}"))
    return re.sub(r"(?<=[( ])-(?=\d)", "\N{MINUS SIGN}", lowered)


def _points(of: float) -> str:
    return f"{of:g} point{'' if of == 1 else 's'}"
