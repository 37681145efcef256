"""A fingerprint of what a scene says, for records: the same digest, the same problem with the same figures."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from fractions import Fraction
from typing import Any

from .model import Scene

# Words around the problem may be mended without making it another problem.
_LEFT_OUT = ("name", "title", "story", "topic", "symbols", "digest", "file")


def digest_of(scene: Scene) -> str:
    """SHA-256 (hex) of the canonical content: all but name, title, story, topic and file."""
    content = _pruned({k: v for k, v in asdict(scene).items() if k not in _LEFT_OUT})
    content["letters"] = sorted(scene.symbols)
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, separators=(",", ":"), default=_plain)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _pruned(value: Any) -> Any:
    """Without what is missing, false or empty, so that a key added to the scene file changes no old scene's digest."""
    if isinstance(value, dict):
        kept = {k: _pruned(v) for k, v in value.items()}
        return {k: v for k, v in kept.items() if v is not None and v is not False and v not in ({}, [], "")}
    if isinstance(value, (list, tuple)):
        return [_pruned(v) for v in value]
    return value


def _plain(value: Any) -> str:
    if isinstance(value, Fraction):
        return str(value)
    raise TypeError(f"no canonical form for {type(value).__name__}")
