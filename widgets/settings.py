"""What a teacher can set for a lesson; kept in the notebook's metadata (`plusway.settings`) or given to `Problem(…, settings=…)`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any

from ..autograde.errors import PluswayError
from .messages import STEPS


class SettingsError(PluswayError):
    """A setting that can't be used: its name, what was found and what would do."""


@dataclass(frozen=True)
class Settings:
    """verdicts: "at once" or "after marking" (then an answer is only kept). hints: may hints be asked for.
    worked: steps that are shown worked out, for fading. Notation and decimal comma belong to the scene.
    """

    verdicts: str = "at once"
    hints: bool = True
    worked: tuple[str, ...] = ()

    @property
    def at_once(self) -> bool:
        return self.verdicts == "at once"

    def to_json(self) -> dict[str, Any]:
        return {**asdict(self), "worked": list(self.worked)}


def settings_from(stored: Mapping[str, Any], given: Mapping[str, Any]) -> Settings:
    """Settings from the notebook's metadata and, stronger, from `Problem(…, settings=…)`.

    The metadata hold settings of other parts too (scheme, numbers), so an unknown key there is no error; one that is given is.
    Raises SettingsError.
    """
    known = [f.name for f in fields(Settings)]
    for key in given:
        if key not in known:
            raise SettingsError(f"settings: {key!s:.40}: there is no such setting; there are {', '.join(known)}")
    values = {**{k: v for k, v in stored.items() if k in known}, **given}
    return Settings(**{key: _checked(key, value) for key, value in values.items()})


def _checked(key: str, value: Any) -> Any:
    if key == "verdicts":
        if value not in ("at once", "after marking"):
            raise SettingsError(f'settings: verdicts: found {value!r:.40}; "at once" or "after marking" would do')
        return value
    if key == "worked":
        if not isinstance(value, (list, tuple)) or not all(step in STEPS for step in value):
            raise SettingsError(f"settings: worked: found {value!r:.60}; a list of steps would do, out of {', '.join(STEPS)}")
        return tuple(value)
    if not isinstance(value, bool):
        raise SettingsError(f"settings: {key}: found {value!r:.40}; true or false would do")
    return value
