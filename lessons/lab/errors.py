"""What can be wrong with measurements."""

from __future__ import annotations

from ...autograde.errors import PluswayError


class LabError(PluswayError):
    """Measurements that can't be used: file and line, what was found, what would do."""
