"""What a teacher can set for a lesson; kept in the notebook's metadata (`plusway.settings`) or given to `Problem(…, settings=…)`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields
from typing import Any

from ..autograde.errors import PluswayError
from ..autograde.languages import LANGUAGES
from ..autograde.method import STEPS
from ..autograde.scene.classroom import KINDS
from ..autograde.scene.letters import canonical


class SettingsError(PluswayError):
    """A setting that can't be used: its name, what was found and what would do."""


@dataclass(frozen=True)
class Settings:
    """verdicts: "at once" or "after marking" (then an answer is only kept). hints: may hints be asked for.
    worked: steps that are shown worked out, for fading. notation: letters of the class for weight, normal, friction and inertia, over
    the scene's own. decimal_comma: whether numbers are written 2,5; None: as the scene (or the language) has it. language: of numbers,
    a key of LANGUAGES; "": none is chosen. The last three count for the marking too (`autograde/scene/classroom.py`).
    """

    verdicts: str = "at once"
    hints: bool = True
    worked: tuple[str, ...] = ()
    notation: Mapping[str, str] = field(default_factory=dict)
    decimal_comma: bool | None = None
    language: str = ""

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
    if key == "notation":
        return _letters(value)
    if key == "language":
        if value not in ("", *LANGUAGES):
            raise SettingsError(f"settings: language: found {value!r:.40}; one of {', '.join(LANGUAGES)} would do")
        return value
    if key == "decimal_comma" and value is None:
        return value
    if not isinstance(value, bool):
        raise SettingsError(f"settings: {key}: found {value!r:.40}; true or false would do")
    return value


def _letters(value: Any) -> dict[str, str]:
    if not isinstance(value, Mapping) or not all(kind in KINDS for kind in value):
        raise SettingsError(f"settings: notation: found {value!r:.60}; letters for some of {', '.join(KINDS)} would do, such as {{\"weight\": \"F_g\"}}")
    for kind, letter in value.items():
        if not isinstance(letter, str) or (letter != "mg" and canonical(letter) is None):
            raise SettingsError(f"settings: notation: {kind}: found {letter!r:.40}; one letter would do, with a subscript after _ (W, F_g), or mg")
    return {kind: letter if letter == "mg" else str(canonical(letter)) for kind, letter in value.items()}
