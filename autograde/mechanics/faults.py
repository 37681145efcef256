"""What in a scene file is the likely reason why something has no one value: the strand, rope or given acceleration at fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..scene.error import Path, key_path, listed
from ..scene.model import Scene, Strand
from .errors import MechanicsError
from .outcome import OFF
from .system import System


def located(scene: Scene, path: Path, says: str) -> MechanicsError:
    """The complaint with the file and the key where to mend it: "two.toml: ropes[0].pulls: …"."""
    return MechanicsError(": ".join(part for part in (scene.file, key_path(path), says) if part))


def likely(system: System, choice: Mapping[str, str] | None = None) -> tuple[Path, str] | None:
    """The key at fault and why, the surest reason first; None where the scene's links are as links should be.

    choice: the regime that was found, where there is one.
    """
    for reasons in (cancelling(system.scene), _given(system), _alone(system), _slack(system, choice or {}), _apart(system)):
        for reason in reasons:
            return reason
    return None


def _links(scene: Scene) -> Iterator[tuple[Path, str, str, tuple[Strand, ...]]]:
    """(key, "rope" or "contact", its symbol, its strands) of every link that the file lists."""
    for n, rope in enumerate(scene.ropes):
        yield ("ropes", n, "pulls"), "rope", rope.symbol, rope.pulls
    for n, contact in enumerate(scene.contacts):
        yield ("contacts", n, "pushes"), "contact", contact.symbol, contact.pushes


def cancelling(scene: Scene) -> Iterator[tuple[Path, str]]:
    """Links that pull or push one thing both ways."""
    for path, kind, symbol, strands in _links(scene):
        for one in strands:
            for two in strands:
                if one.thing == two.thing and one.direction != two.direction and one.radius == two.radius:
                    does = "pulls" if kind == "rope" else "pushes"
                    says = f"{kind} {symbol} {does} {one.thing} {one.direction} and {two.direction}, which cancels; leave one of the two out"
                    yield path, says


def _given(system: System) -> Iterator[tuple[Path, str]]:
    """Given accelerations of all that a rope or contact joins, under which it can't keep its length."""
    links = {k.symbol: k for k in system.links if not k.dry}
    told = {r.symbol for r in system.scene.ropes if r.hauled}
    for path, kind, symbol, _ in _links(system.scene):
        link = links[symbol]
        if len(link.row) < 2 or symbol in told or not all(t in system.prescribed for t in link.row):
            continue
        rate = link.along(system.prescribed)
        if rate:
            how = "would go slack" if rate > 0 else "would have to stretch"
            if kind == "contact":
                how = "would part" if rate > 0 else "would be pressed into each other"
            cure = "turn one of them round or give one only"
            cure += "; write hauled = true where the rope is reeled in or out" if kind == "rope" else ""
            yield path, f"the accelerations given for {listed(link.row)} contradict {kind} {symbol}, which {how}; {cure}"


def _alone(system: System) -> Iterator[tuple[Path, str]]:
    """Links that touch one thing only, so that they hold it where it is."""
    links = {k.symbol: k for k in system.links}
    for path, kind, symbol, strands in _links(system.scene):
        things = list(dict.fromkeys(s.thing for s in strands))
        if len(things) > 1 or links[symbol].hauled or things[0] in system.prescribed:
            continue
        key, does = ("pulls", "pulls") if kind == "rope" else ("pushes", "pushes")
        what = "has a single strand" if len(strands) == 1 else f"has all its strands on {things[0]}"
        yield path, (f"{kind} {symbol} {what}, so nothing is tied to {things[0]}, which stays where it is; list in {key} "
                     f"what else the {kind} {does}, each with its direction")


def _slack(system: System, choice: Mapping[str, str]) -> Iterator[tuple[Path, str]]:
    for path, kind, symbol, strands in _links(system.scene):
        if choice.get(symbol) != OFF:
            continue
        what = "goes slack" if kind == "rope" else "parts"
        listing = ", ".join(f"{s.thing} {s.direction}" for s in strands)
        says = f"{kind} {symbol} ({listing}) {what}, so it ties nothing; look whether each is the way in which the {kind} "
        says += "pulls that thing" if kind == "rope" else "pushes that thing"
        wheel = next((s for s in strands if s.thing in system.scene.wheels), None)
        other = next((o for _, _, o, rows in _links(system.scene) if o != symbol and wheel and any(
            (s.thing, s.direction) == (wheel.thing, wheel.direction) for s in rows)), None)
        if wheel is not None and other is not None:
            says += f" ({other} turns {wheel.thing} {wheel.direction} too)"
        yield path, says


def _apart(system: System) -> Iterator[tuple[Path, str]]:
    """Things that no rope, contact or rolling joins to the first one."""
    things = system.scene.things
    near = [k for k in system.links if k.kind in ("rope", "contact", "rolling") or len(k.row) > 1]
    seen, wave = set[str](), {things[0]}
    while wave:
        seen |= wave
        wave = {t for k in near if wave & k.row.keys() for t in k.row} - seen
    left = [t for t in things if t not in seen]
    if left:
        yield ("ropes",), (f"nothing ties {listed(left)} to {listed(t for t in things if t in seen)}; "
                           "list them together in the pulls of a rope or the pushes of a contact")
