"""A worked solution as plain text and as Markdown with LaTeX."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..scene.model import Scene
from .steps import WorkedLine, WorkedStep

_GREEK = ("alpha", "beta", "gamma", "delta", "theta", "phi", "mu", "tau", "omega")
_SPECIAL = re.compile(r"([\\`*_{}\[\]<>$#|])")


def as_text(scene: Scene, steps: Sequence[WorkedStep]) -> str:
    """One paragraph per step; lines are indented, a thing's equation has its name in front."""
    out = [scene.title or scene.name]
    if scene.story:
        out.append(scene.story)
    for step in steps:
        out.append("")
        if step.title:
            out.append(step.title)
        if step.says:
            out.append(step.says)
        wide = max((len(x.thing or "") for x in step.lines), default=0)
        out += ["    " + (f"{x.thing + ':':<{wide + 1}} " if x.thing else "") + x.with_unit for x in step.lines]
    return "\n".join(out) + "\n"


def as_markdown(scene: Scene, steps: Sequence[WorkedStep]) -> str:
    """Headings per step, mathematics in dollar signs."""
    out = [f"# {_plain(scene.title or scene.name)}"]
    if scene.story:
        out += ["", _plain(scene.story)]
    for step in steps:
        if step.title:
            out += ["", f"## {_plain(step.title)}"]
        if step.says:
            out += ["", _plain(step.says)]
        out.append("")
        out += [f"- {_line(x)}" for x in step.lines]
    return "\n".join(out) + "\n"


def _plain(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", text)


def _line(line: WorkedLine) -> str:
    if line.kind == "words":
        return _plain(line.text)
    spaced = line.unit.replace(" ", r"\,")
    unit = rf"\ \mathrm{{{spaced}}}" if spaced and spaced != "1" else ""
    name = f"{_plain(line.thing)}: " if line.thing else ""
    return f"{name}${latex(line.text)}{unit}$"


def latex(text: str) -> str:
    """A line of ours in LaTeX.

    >>> latex("m_1 g sin(theta) - 0.2 mu_k => 2*T")
    'm_{1} g \\\\sin(\\\\theta) - 0.2 \\\\mu_{k} \\\\Rightarrow 2 \\\\cdot T'
    """
    out = re.sub(r"_([A-Za-z0-9]+(?:_[A-Za-z0-9]+)*)", lambda m: "_{" + m[1].replace("_", ",") + "}", text)
    out = re.sub(r"\b(sin|cos|tan)\(", r"\\\1(", out)
    out = re.sub(rf"(?<![A-Za-z\\])({'|'.join(_GREEK)})(?![A-Za-z])", r"\\\1", out)
    out = out.replace("=>", r"\Rightarrow").replace("*", r" \cdot ")
    return out.replace("<=", r"\le ").replace(">=", r"\ge ")
