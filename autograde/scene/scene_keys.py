"""Every key that a scene file may have, and the sentence that explains it: for help, README and messages."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from pydantic import BaseModel

from .document import SceneTable


def scene_keys() -> dict[str, str]:
    """Key path -> one sentence, in the order of the file: {"bodies.NAME.mass": "Mass, like …", "ropes[].symbol": …}."""
    return dict(_walk(SceneTable, ""))


def _walk(model: type[BaseModel], above: str) -> Iterator[tuple[str, str]]:
    for name, field in model.model_fields.items():
        path = f"{above}{name}"
        yield path, field.description or ""
        below = _table_in(field.annotation)
        if below is not None:
            middle = ".NAME." if name in ("bodies", "wheels") else "[]." if name in _LISTS else "."
            yield from _walk(below, path + middle)


_LISTS = ("ropes", "contacts", "rolling", "forces")


def table_at(path: tuple[str, ...]) -> type[BaseModel] | None:
    """The table that stands at a key path such as ("bodies", "sack", "friction")."""
    model: type[BaseModel] | None = SceneTable
    skip = False
    for part in path:
        if skip:  # the name of a body, the place in a list
            skip = False
            continue
        field = model.model_fields.get(part) if model else None
        if field is None:
            return None
        skip = model is SceneTable and part in ("bodies", "wheels", *_LISTS)
        model = _table_in(field.annotation)
    return model


def _table_in(annotation: Any) -> type[BaseModel] | None:
    """The table class inside an annotation such as dict[Name, BodyTable] or AskTable | None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in get_args(annotation):
        found = _table_in(inner)
        if found is not None:
            return found
    return None
