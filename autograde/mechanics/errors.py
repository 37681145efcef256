"""The one complaint of mechanics: a scene that has no unique answer, said in one line that names its things."""

from __future__ import annotations

from ..errors import PluswayError


class MechanicsError(PluswayError):
    """`str()` is one line for a teacher or a student: what is not settled or contradictory, and what would do."""
