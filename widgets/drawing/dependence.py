"""How accelerations and tensions depend on one datum, as curves with the changes of behaviour and the limits marked."""

from __future__ import annotations

import math
from collections.abc import Mapping

from ...autograde.scene.model import Scene
from .canvas import letters, plain
from .ink import INK, SMALL, SOFT, own_settings
from .motion import signed
from .plots import curves, stacked
from .record import Drawing
from .sweep import Sweep, sweep
from .words import pretty_unit


def draw_dependence(scene: Scene, datum: str, low: float | None = None, high: float | None = None, positive: Mapping[str, str] | None = None) -> Drawing:
    """How the accelerations, and the forces of ropes and contacts, depend on one datum (its symbol, "m_1").

    low, high: the range, in the datum's own unit; left out, one that tells much. positive: left out, the way in which each thing
    moves with the given data. UsageError as `sweep`.
    """
    found = sweep(scene, datum, low, high, positive)
    motions = [n for n in found.curves if not _is_force(scene, n)]
    groups = [g for g in (motions, [n for n in found.curves if n not in motions]) if g]
    with own_settings():
        figure, axes = stacked(max(len(groups), 1), each=2.6)
        for one, names in zip(axes, groups, strict=False):
            curves(one, [(letters(n), found.at, found.curves[n]) for n in names])
            _marks(one, found, names)
            what = "acceleration" if names is motions else "force"
            one.set_ylabel(f"{what}, {pretty_unit(found.units[names[0]])}", fontsize=SMALL)
        unit = found.datum.given.unit if found.datum.given else ""
        axes[-1].set_xlabel(letters(datum) + (f", {plain(pretty_unit(unit))}" if unit not in ("", "1") else ""), fontsize=SMALL, math_fontfamily="stix")
        axes[-1].set_xlim(found.at[0], found.at[-1])
        _numbers(axes[0], found)
    return Drawing(figure, f"{datum} in {scene.title or scene.name}", dependence_text(scene, found))


def _is_force(scene: Scene, name: str) -> bool:
    return name in scene.symbols and scene.symbols[name].kind in ("tension", "contact")


def _marks(axes: object, found: Sweep, names: list[str]) -> None:
    """The scene's own value as dots, changes of behaviour as upright lines, the limit for a large datum as a level one."""
    from matplotlib.axes import Axes

    assert isinstance(axes, Axes)
    low, high = axes.get_ylim()
    axes.axhline(0, color=SOFT, linewidth=0.9, zorder=2)
    if found.here in found.at:
        k = found.at.index(found.here)
        axes.plot([found.here] * len(names), [found.curves[n][k] for n in names], marker="o", markersize=5.5, color=INK, markerfacecolor="white", linestyle="none", zorder=5)
    for at in changes(found):
        axes.axvline(at, color=SOFT, linewidth=1.0, linestyle=(0, (2, 3)), zorder=2)
    for name in names:
        far = found.limits.get(name, (None, None))[1]
        if far is not None and math.isfinite(far) and abs(far) > 1e-9 and len(names) == 1:
            axes.axhline(far, color=SOFT, linewidth=1.1, linestyle=(0, (7, 4)), zorder=2)
            low, high = min(low, far - 0.06 * (high - low)), max(high, far + 0.06 * (high - low))
            axes.annotate(f"{letters(found.datum.name)} very large: {signed(far)}", (0.0, far), xycoords=("axes fraction", "data"), xytext=(5, -3 if far > 0 else 3), textcoords="offset points", va="top" if far > 0 else "bottom", fontsize=SMALL - 1, color=SOFT, math_fontfamily="stix")
    axes.set_ylim(low, high)


def _numbers(axes: object, found: Sweep) -> None:
    """A number at the top of each upright line, which the text explains."""
    from matplotlib.axes import Axes

    assert isinstance(axes, Axes)
    for at in changes(found):
        axes.annotate(signed(at), (at, 1.0), xycoords=("data", "axes fraction"), xytext=(0, 3), textcoords="offset points", ha="center", fontsize=SMALL - 1, color=SOFT)


def changes(found: Sweep) -> list[float]:
    """Where the behaviour changes, each value once."""
    return list(dict.fromkeys(s.low for s in found.stretches[1:]))


def dependence_text(scene: Scene, found: Sweep) -> str:
    """What the curves show: how the scene behaves from value to value, the ends of each curve, its zeros and its limits."""
    name, given = found.datum.name, found.datum.given
    own = pretty_unit(given.unit) if given and given.unit not in ("", "1") else ""
    unit = own if own in ("", "°") else f" {own}"
    said = [f"{', '.join(found.curves) or 'Nothing'} for {name} from {signed(found.at[0])} to {signed(found.at[-1])}{unit}; the scene itself has {signed(found.here)}{unit}."]
    for s in found.stretches:
        where = f"At {name} = {signed(s.low)}{unit}" if signed(s.low) == signed(s.high) else f"From {signed(s.low)} to {signed(s.high)}{unit}"
        said.append(f"{where}: {s.says}.")
    for n, ys in found.curves.items():
        u = pretty_unit(found.units[n])
        known = [(x, y) for x, y in zip(found.at, ys, strict=True) if math.isfinite(y)]
        if known:
            said.append(f"{n} goes from {signed(known[0][1])} {u} to {signed(known[-1][1])} {u}.")
        zeros = [x for x, y in known if y == 0]
        if zeros and not _is_force(scene, n):
            said.append(f"{n} = 0 at {name} = {signed(zeros[0])}{unit}." if zeros[-1] - zeros[0] < 1e-3 * (found.at[-1] - found.at[0]) else f"{n} = 0 from {name} = {signed(zeros[0])} to {signed(zeros[-1])}{unit}.")
        near, far = found.limits.get(n, (None, None))
        if near is not None:
            said.append(f"Limit for {name} close to 0: {n} = {signed(near)} {u}.")
        if far is not None:
            said.append(f"Limit for {name} very large: {n} = {signed(far)} {u}.")
    return " ".join(said)


