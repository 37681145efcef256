"""A fingerprint of what a scene says, for records: the same digest, the same problem with the same figures."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from fractions import Fraction
from typing import Any

from .model import Scene

# Words around the problem may be mended without making it another problem.
_LEFT_OUT = ("name", "title", "story", "topic", "symbols", "digest")


def digest_of(scene: Scene) -> str:
    """SHA-256 (hex) of the canonical content: all but name, title, story and topic."""
    content = {k: v for k, v in asdict(scene).items() if k not in _LEFT_OUT}
    content["letters"] = sorted(scene.symbols)
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, separators=(",", ":"), default=_plain)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _plain(value: Any) -> str:
    if isinstance(value, Fraction):
        return str(value)
    raise TypeError(f"no canonical form for {type(value).__name__}")
