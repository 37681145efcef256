"""The report's pictures as SVG text. matplotlib is imported when the first one is drawn; the page says the same in words."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ...autograde.method import PER_THING, in_a_sentence, step_title
from ...autograde.scene.words import thing_name

if TYPE_CHECKING:
    from matplotlib.figure import Figure

INK, BAR, SOFT = "#1d2733", "#3f6a8a", "#b9652b"
SHOWN = 12  # kinds of slip
LONGEST_TITLE = 30  # characters of a title in a picture


def marks_picture(tenths: Sequence[int]) -> str:
    """How many notebooks got how many of the points."""
    figure = _figure(3.0)
    axes = figure.subplots()
    axes.bar([10 * place + 5 for place in range(10)], tenths, width=9, color=BAR)
    axes.set_xlabel("points, % of all")
    axes.set_ylabel("notebooks")
    axes.set_xticks(range(0, 101, 20))
    axes.yaxis.set_major_locator(_whole())
    return _svg(figure)


def steps_picture(steps: Sequence[Mapping[str, Any]], titles: Mapping[str, str]) -> str:
    """For each step what part of its points the class got, and how well it tells strong from weak."""
    names = [step_name(step, titles, LONGEST_TITLE) for step in steps]
    figure = _figure(0.9 + 0.32 * len(steps))
    axes = figure.subplots()
    places = range(len(steps))
    axes.barh(places, [100 * step["success"] for step in steps], color=BAR, height=0.62)
    for place, step in enumerate(steps):
        if step["discrimination"] is not None:
            axes.plot(100 * step["discrimination"], place, marker="D", color=SOFT, markersize=6,
                      markeredgecolor="white", linestyle="none")
    axes.set_yticks(places, names)
    axes.invert_yaxis()
    least = min((step["discrimination"] or 0.0 for step in steps), default=0.0)
    axes.axvline(0, color=INK, linewidth=0.8)
    axes.set_xlim(min(0, 100 * least - 4), 102)
    figure.supxlabel("bar: points got, in %; diamond: 100 times the discrimination", fontsize="medium", color=INK)
    return _svg(figure)


def slips_picture(kinds: Mapping[str, int]) -> str:
    """How many notebooks have each kind of slip."""
    shown = list(kinds.items())[:SHOWN]
    figure = _figure(0.9 + 0.32 * len(shown))
    axes = figure.subplots()
    axes.barh(range(len(shown)), [n for _, n in shown], color=BAR, height=0.62)
    axes.set_yticks(range(len(shown)), [kind for kind, _ in shown])
    axes.invert_yaxis()
    axes.xaxis.set_major_locator(_whole())
    axes.set_xlabel("notebooks")
    return _svg(figure)


def step_name(step: Mapping[str, Any], titles: Mapping[str, str], longest: int = 200) -> str:
    """Where something stands in words. titles: {problem: title}; of one problem alone the title goes without saying, and problems of the same
    title are told apart by their names.

    >>> sack = {"problem": "feed-sack", "step": "equations", "item": "sack"}
    >>> step_name(sack, {"feed-sack": "Feed sack"}), step_name(sack, {"feed-sack": "Feed sack", "mine-cart": "Mine cart"})
    ('equation for the sack', 'Feed sack: equation for the sack')
    """
    name, item = str(step["step"]), step["item"]
    said = in_a_sentence(step_title(name, thing_name(str(item)) if item and name in PER_THING else ""))
    if item not in (None, "") and name not in PER_THING:
        said += f", {item + 1 if isinstance(item, int) else item}"
    if len(titles) < 2:
        return said
    title = titles.get(step["problem"]) or str(step["problem"])
    if list(titles.values()).count(title) > 1:
        title = f"{title} ({step['problem']})"
    return f"{title if len(title) <= longest else title[:longest - 1].rstrip() + '…'}: {said}"


def _whole() -> Any:
    from matplotlib.ticker import MaxNLocator

    return MaxNLocator(integer=True)


def _figure(height: float) -> Figure:
    from matplotlib.figure import Figure

    return Figure(figsize=(8.4, height), layout="constrained", facecolor="white")


def _svg(figure: Figure) -> str:
    """The picture as an <svg> element: text stays text, and the same data give the same picture."""
    import matplotlib

    for axes in figure.axes:
        axes.spines[["top", "right"]].set_visible(False)
        axes.tick_params(colors=INK)
    raw = io.StringIO()
    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": "plusway", "font.family": "sans-serif"}):
        figure.savefig(raw, format="svg", metadata={"Date": None, "Creator": None})
    text = raw.getvalue()
    return re.sub(r"<metadata>.*?</metadata>", "", text[text.index("<svg"):], flags=re.DOTALL)
