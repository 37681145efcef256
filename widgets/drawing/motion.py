"""Position, speed and energy over time, as curves."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from ...autograde.mechanics.setup import Setup
from ...autograde.mechanics.wording import rounded
from ...autograde.scene.words import DIRECTION_LABELS, thing_name
from .canvas import plain
from .course import Course, course_of
from .ink import SMALL, SOFT, own_settings
from .plots import curves, stacked
from .record import Drawing

_POINTS = 121


def draw_motion(setup: Setup, duration: float | None = None) -> Drawing:
    """Position, speed and energy over time, from the start that the scene gives or from rest.

    Along the positive directions of the Setup, positions from where each thing starts. duration in s; left out: until the distance
    asked for is covered, else a time in which there is something to see. ValueError for a duration that is not above zero.
    """
    if duration is not None and not 0 < duration < 1e6:
        raise ValueError(f"a duration is a time above 0 s, not {duration:g} s")
    course = course_of(setup, duration)
    times = [course.end * k / (_POINTS - 1) for k in range(_POINTS)]
    bodies = list(setup.scene.bodies)
    with own_settings():
        figure, (top, middle, bottom) = stacked(3)
        curves(top, [(plain(thing_name(b)), times, [course.at(t).position(b, t) for t in times]) for b in bodies])
        curves(middle, [(plain(thing_name(b)), times, [course.at(t).speed(b, t) for t in times]) for b in bodies])
        energies = _energies(course)
        curves(bottom, [(name, times, [of(t) for t in times]) for name, of in energies])
        for axes, what in ((top, "position, m"), (middle, "velocity, m/s"), (bottom, "energy, J")):
            axes.set_ylabel(what, fontsize=SMALL)
            axes.axhline(0, color=SOFT, linewidth=0.9, zorder=2)
            axes.set_xlim(0, course.end)
            for phase in course.phases[1:]:
                axes.axvline(phase.start, color=SOFT, linewidth=1.0, linestyle=(0, (2, 3)), zorder=2)
        bottom.set_xlabel("time, s", fontsize=SMALL)
    return Drawing(figure, f"Motion: {setup.scene.title or setup.scene.name}", motion_text(setup, course))


def _energies(course: Course) -> list[tuple[str, Callable[[float], float]]]:
    """The kinds of energy that there are, with the sum that stays what it was."""
    def height(t: float) -> float:
        return course.energy(t).height

    def friction(t: float) -> float:
        return course.energy(t).friction

    def supplied(t: float) -> float:
        return course.energy(t).supplied

    samples = [course.energy(course.end * k / 8) for k in range(9)]
    size = max((abs(x) for e in samples for x in (e.kinetic, e.height)), default=0.0) or 1.0
    out: list[tuple[str, Callable[[float], float]]] = [("kinetic", lambda t: course.energy(t).kinetic)]
    if any(abs(e.height) > 1e-9 * size for e in samples):
        out.append(("of height", height))
    if any(abs(e.friction) > 1e-9 * size for e in samples):
        out.append(("heat of friction", friction))
    if any(abs(e.supplied) > 1e-9 * size for e in samples):
        out.append(("supplied from outside", supplied))
    else:
        out.append(("sum", lambda t: course.energy(t).kinetic + course.energy(t).height + course.energy(t).friction))
    return out


def motion_text(setup: Setup, course: Course) -> str:
    """What the curves show: for each body its acceleration, and where and how fast it is at the end; the energies there."""
    if not course.moves:
        return f"Nothing moves: positions and speeds stay 0 for the {signed(course.end)} s shown, and no energy changes."
    said = []
    for body in setup.scene.bodies:
        first, last = course.phases[0], course.phases[-1]
        way, speed = last.position(body, course.end), last.speed(body, course.end)
        begin = f"starts with {signed(first.v[body])} m/s" if first.v[body] else "starts from rest"
        phases = " and then ".join(f"{signed(p.a[body])} m/s²" for p in course.phases)
        said.append(f"{thing_name(body).capitalize()} ({DIRECTION_LABELS[setup.positive[body]]} is positive): {begin}, accelerates with {phases}, "
                    f"and after {signed(course.end)} s is at {signed(way)} m with {signed(speed)} m/s.")
    said += [f"{s[0].upper()}{s[1:]}." for s in course.stops]
    energy = course.energy(course.end)
    parts = [f"{name} {signed(of(course.end))} J" for name, of in _energies(course)]
    start = course.energy(0.0).kinetic
    said.append(f"Energy at the end: {', '.join(parts)}" + (f"; kinetic at the start {signed(start)} J" if start else "") + ".")
    if abs(energy.supplied) < 1e-9 * (abs(energy.kinetic) + abs(energy.height) + 1e-12):
        said.append("The sum of all kinds stays the same.")
    if setup.scene.wheels:
        said.append("Wheels are in the energies, and have no curve of their own.")
    return " ".join(said)


def signed(value: float) -> str:
    """A number rounded to three figures, with a true minus sign; what is only float noise counts as 0."""
    return rounded(Fraction(value if abs(value) > 1e-9 else 0)).replace("-", "\N{MINUS SIGN}")
