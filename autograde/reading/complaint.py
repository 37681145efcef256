"""The reader's one exception."""

from __future__ import annotations


class Complaint(ValueError):
    """A line that can't be read: `kind` is a key of the table of complaints, `says` what was expected and what to write
    instead, `at` the characters it is about."""

    def __init__(self, kind: str, says: str, at: tuple[int, int]) -> None:
        super().__init__(says)
        self.kind, self.says, self.at = kind, says, at
