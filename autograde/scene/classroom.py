"""A scene as one class writes it: letters and decimal mark from the settings of a lesson, over those of the scene's own file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from ..languages import LANGUAGES
from .error import SceneError, Trouble, key_path
from .loading import complete
from .model import Scene

KINDS = ("weight", "normal", "friction", "inertia")
"""What a class may have letters of its own for."""


def as_in_class(scene: Scene, settings: Mapping[str, Any], where: str = "settings") -> Scene:
    """The scene with `notation` {kind: letter} and `decimal_comma` of the settings; where only a `language` is set, with its decimal mark.

    Raises SceneError for letters that are another symbol's. Settings that say nothing of the kind leave the scene as it is.
    """
    own = settings.get("notation")
    notation = {**scene.notation, **{k: v for k, v in own.items() if k in KINDS}} if isinstance(own, Mapping) else scene.notation
    comma = settings.get("decimal_comma")
    if not isinstance(comma, bool):
        language = LANGUAGES.get(str(settings.get("language") or ""))
        comma = language.decimal_comma if language else scene.decimal_comma
    if (notation, comma) == (scene.notation, scene.decimal_comma):
        return scene
    try:
        return complete(replace(scene, notation=notation, decimal_comma=comma))
    except Trouble as trouble:
        raise SceneError(where, key_path(trouble.path), trouble.says) from None
