"""Explore a scene: sliders for its data, and a curve of the accelerations and tensions over one of them, once it has been predicted.

    from plusway.lessons.explore import explore
    explore("feed-sack")

Predicting first is the point: neither curve nor values are shown for a datum before a prediction has been committed.
"""

from __future__ import annotations

import base64
import math
import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from ..autograde.errors import PluswayError, UsageError
from ..autograde.reading.greek import GREEK
from ..autograde.scene.data import with_data
from ..autograde.scene.model import Scene, Symbol
from ..autograde.scene.words import DIRECTION_LABELS, thing_name
from . import catalogue

if TYPE_CHECKING:
    from ..widgets.explorer import Explorer

GROWS, SHRINKS, SAME, TURNS = "grow", "shrink", "stay the same", "change in another way (a jump, a bend, a turn)"
DOES = {GROWS: "grows", SHRINKS: "shrinks", SAME: "stays the same", TURNS: "changes in another way (a jump, a bend, a turn)"}
OPTIONS = tuple(DOES)
STEPS = 100
_BARE = re.compile(r"\b(?:alpha|theta|phi)\b")
_SAYS = {
    "mass": "mass of the {}", "wheel_mass": "mass of the {}", "angle": "angle of the slope", "force_angle": "angle of the pull or push on the {}",
    "mu_k": "coefficient of kinetic friction of the {}", "mu_s": "coefficient of static friction of the {}", "radius": "radius of the {}",
    "strand_radius": "radius at which a rope pulls the {}", "inertia": "rotational inertia of the {}", "drag": "friction torque in the bearing of the {}",
    "outside": "given force on the {}", "gravity": "acceleration of free fall", "acceleration": "given acceleration of the {}",
}  # fmt: skip


def explore(scene: str | Scene) -> Explorer:
    """The sliders of a scene: the name of one that ships, the path of a scene file, or a Scene. SceneError as `catalogue.find`."""
    from ..widgets.explorer import Explorer

    return Explorer(Exploration(scene if isinstance(scene, Scene) else catalogue.find(scene)))


class Exploration:
    """The state behind the sliders: the data as they are set, the datum on the axis, and the predictions that were committed."""

    def __init__(self, scene: Scene) -> None:
        from ..autograde.mechanics.agreeing import agreeing_directions

        self._original, self.scene = scene, scene
        self._positive = agreeing_directions(scene)
        # g comes last: nobody begins with another planet.
        self.data = {s.name: s for s in sorted(scene.symbols.values(), key=lambda s: s.kind == "gravity") if _slides(s)}
        if not self.data:
            raise UsageError(f"{scene.name}: this scene has no data to move")
        self.datum = next(iter(self.data))
        self.predicted: dict[str, dict[str, str]] = {}
        self._swept: tuple[Scene, str, Mapping[str, Sequence[float]]] | None = None  # the last curves: four questions ask for them
        self.notice = self._says = ""

    def set(self, values: Mapping[str, Any]) -> None:
        """Other data. PluswayError for what is no datum or no number within its range; data that don't fit together are told and not taken."""
        texts = {}
        for name, value in values.items():
            if name not in self.data or isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
                raise UsageError(f"{name!s:.30}: there is no such datum, or {value!r:.30} is no value for it")
            low, high = _range(self._original.symbols[name])
            texts[name] = _written(min(max(float(value), low), high), self._original, name)
        self.notice = self._says = ""
        try:
            self.scene = with_data(self.scene, texts)
        except PluswayError as error:
            self.notice = f"These data don't fit together, so the last ones stay: {error}"
            return
        if self.datum in self.predicted:
            self._says = ", ".join(self._values())

    def about(self, datum: str) -> None:
        """Put another datum on the axis."""
        if datum not in self.data:
            raise UsageError(f"{datum:.30}: there is no such datum; there are {', '.join(self.data)}")
        self.datum, self.notice, self._says = datum, "", ""

    def predict(self, choices: Mapping[str, Any]) -> None:
        """Commit a prediction for the datum on the axis: {symbol: one of OPTIONS}, one for each symbol that is asked about."""
        asked = self.asked()
        open_ones = [s for s in asked if choices.get(s) not in OPTIONS]
        if open_ones:
            self.notice = f"Predict first: what will {' and '.join(open_ones)} do?"
            return
        self.predicted[self.datum] = {s: str(choices[s]) for s in asked}
        self.notice, self._says = "", " ".join(self._verdicts(self._sweep_curves()))

    def asked(self) -> tuple[str, ...]:
        """What a prediction is about: the first acceleration, and each tension and contact force, for what two ropes do differently is the point."""
        found = self._sweep_curves()
        forces = [n for n in found if n in self.scene.symbols and self.scene.symbols[n].kind in ("tension", "contact")]
        return tuple([n for n in found if n not in forces][:1] + forces)

    def shown(self) -> dict[str, Any]:
        """All that the widget shows, Greek letters as letters."""
        told = self._told()
        letters = {k: _in_greek(told[k]) for k in ("notice", "says", "prompt", "text")}
        return told | letters | {k: [_in_greek(line) for line in told[k]] for k in ("verdicts", "values")}

    def _told(self) -> dict[str, Any]:
        known = self.datum in self.predicted
        out: dict[str, Any] = {
            "heading": f"Explore: {self.scene.title}", "story": self._original.story.strip(), "fields": [self._field(n) for n in self.data],
            "choices": list(self.data), "datum": self.datum, "notice": self.notice, "says": self.notice or self._says, "questions": [],
            "prompt": f"Predict: when {self.datum} grows and all else stays as it is set,", "verdicts": [], "values": [], "picture": "", "text": "",
        }  # fmt: skip
        try:
            if not known:
                out["questions"] = [{"symbol": s, "options": list(OPTIONS)} for s in self.asked()]
                return out
            drawing = self._drawing()
            picture = base64.b64encode(drawing.svg.encode("utf-8")).decode("ascii")
            out |= {
                "verdicts": [*self._verdicts(self._sweep_curves()), self._plus()], "values": self._values(),
                "picture": f"data:image/svg+xml;base64,{picture}", "text": drawing.text,
            }  # fmt: skip
        except PluswayError as error:
            out["notice"] = str(error)
        return out

    def _field(self, name: str) -> dict[str, Any]:
        symbol, given = self._original.symbols[name], self.scene.symbols[name].given
        from ..widgets.drawing.words import pretty_unit

        low, high = _range(symbol)
        assert given is not None
        return {"name": name, "says": _called(symbol, self.scene), "unit": pretty_unit(given.unit), "low": low, "high": high,
                "step": _step(low, high), "value": float(given.text.replace(",", "."))}  # fmt: skip

    def _sweep_curves(self) -> Mapping[str, Sequence[float]]:
        from ..widgets.drawing.sweep import sweep

        if self._swept is None or self._swept[0] is not self.scene or self._swept[1] != self.datum:
            low, high = _range(self._original.symbols[self.datum])
            self._swept = self.scene, self.datum, sweep(self.scene, self.datum, low, high, self._positive).curves
        return self._swept[2]

    def _drawing(self) -> Any:
        from ..widgets.drawing import draw_dependence

        low, high = _range(self._original.symbols[self.datum])
        return draw_dependence(self.scene, self.datum, low, high, self._positive)

    def _verdicts(self, curves: Mapping[str, Sequence[float]]) -> list[str]:
        out = []
        for symbol, guess in self.predicted.get(self.datum, {}).items():
            if symbol not in curves:
                continue
            does = trend(curves[symbol])
            lead = "As you predicted: when" if does == guess else f"You predicted that {symbol} would {guess}. When"
            out.append(f"{lead} {self.datum} grows, {symbol} {DOES[does]}.")
        return out

    def _plus(self) -> str:
        ways = ", ".join(f"{thing_name(thing)} {DIRECTION_LABELS[way]}" for thing, way in self._positive.items())
        return f"Counted as plus: {ways}."

    def _values(self) -> list[str]:
        from ..autograde.mechanics import derive
        from ..autograde.mechanics.wording import rounded
        from ..widgets.drawing.words import pretty_unit

        values = derive(self.scene, self._positive).values
        units = {s: self.scene.symbols[s].unit if s in self.scene.symbols else "m/s^2" for s in self.asked()}
        return [f"{s} = {rounded(values[s])} {pretty_unit(unit)}" for s, unit in units.items() if s in values]


def trend(values: Sequence[float]) -> str:
    """What a curve does from its first value to its last, in one of OPTIONS; gaps (NaN) and jumps count as another way."""
    known = [v for v in values if math.isfinite(v)]
    if not known:
        return TURNS
    span = max(known) - min(known)
    near = 1e-6 * max(1.0, *(abs(v) for v in known))
    if span <= near:
        return SAME
    steps = [b - a for a, b in pairwise(known)]
    if max(map(abs, steps)) > span / 2 and len(known) > 20:
        return TURNS
    flat = sum(abs(s) <= near / 10 for s in steps)
    if flat > len(steps) / 10:
        return TURNS
    return GROWS if min(steps) >= -near else SHRINKS if max(steps) <= near else TURNS


def _slides(symbol: Symbol) -> bool:
    return symbol.given is not None and symbol.kind in _SAYS and symbol.given.value != 0


def _in_greek(says: str) -> str:
    """ "when theta grows" -> "when θ grows"; what has an index is lowered by the widget."""
    return _BARE.sub(lambda found: GREEK[found[0]], says)


def _called(symbol: Symbol, scene: Scene) -> str:
    """ "mass of the sack" """
    says, thing = _SAYS[symbol.kind], thing_name(symbol.thing or "")
    if symbol.kind == "angle" and len(scene.bodies) > 1 and thing:
        return f"{says} under the {thing}"
    return (says.replace("force", "torque") if symbol.unit == "N m" and symbol.kind == "outside" else says).format(thing)


def _range(symbol: Symbol) -> tuple[float, float]:
    """Low and high of a slider, in the datum's own unit."""
    assert symbol.given is not None
    fixed = {"angle": (1.0, 89.0), "force_angle": (-60.0, 80.0), "mu_k": (0.0, 1.0), "mu_s": (0.0, 1.2), "gravity": (1.6, 25.0)}
    here = float(symbol.given.text.replace(",", "."))
    low, high = fixed.get(symbol.kind, (here / 10, here * 3))
    return (low, high) if low <= high else (high, low)


def _step(low: float, high: float) -> float:
    """A round step that cuts the range into about a hundred."""
    rough = (high - low) / STEPS
    power = 10.0 ** math.floor(math.log10(rough))
    return float(f"{max(f * power for f in (1, 2, 5) if f * power <= rough * 1.0001):.6g}")


def _written(value: float, scene: Scene, name: str) -> str:
    given = scene.symbols[name].given
    assert given is not None
    number = f"{value:.6f}".rstrip("0").rstrip(".")
    return f"{number.replace('.', ',') if scene.decimal_comma else number} {given.unit}".strip()
