"""The letters of a class: W_1 where the scene has no notation of its own, F_g1 where it writes F_g for a weight."""

from __future__ import annotations

from .model import Scene


def class_letter(scene: Scene, name: str) -> str:
    """A symbol of the scene as its class writes it; what is no symbol, and what has no letter of its own, as it is."""
    symbol = scene.symbols.get(name)
    own = scene.notation.get(symbol.kind) if symbol else None
    if not own:
        return name
    if symbol is not None and own == "mg":  # no letter of its own: the product
        return f"{scene.symbol_of('mass', symbol.thing) or 'm'} g"
    index = name.rpartition("_")[2] if "_" in name else ""
    return f"{own}{'' if '_' in own or not index else '_'}{index if index.isdigit() else ''}"
