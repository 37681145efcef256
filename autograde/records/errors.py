"""What can go wrong with a student's files. Both say in one line what was found, where, and what to do."""

from __future__ import annotations

from ..errors import PluswayError


class NotebookError(PluswayError):
    """A file that is no notebook we can take answers from."""


class JournalError(PluswayError):
    """The journal beside a notebook can't be kept, or read, where it should be; says what to do about it."""
