"""A scene: the things that move, what pulls or pushes them, what is asked (ground floor; knows no mechanics)."""

from .classroom import as_in_class
from .data import with_data
from .error import SceneError
from .loading import load, load_text
from .model import Scene
from .scene_keys import scene_keys
from .writing import scene_toml

__all__ = ["Scene", "SceneError", "as_in_class", "load", "load_text", "scene_keys", "scene_toml", "with_data"]
