"""The errors that plusway raises on purpose.

    ValueError
      PluswayError          what was given can't be used; str() is one line that says what to mend, and where
        UsageError          a command was called in a way that can't work
        SceneError          a scene file (plusway.autograde.scene)
        MechanicsError      a scene without one answer (plusway.autograde.mechanics)
        AnswersError        an answers file (plusway.autograde.judging)
        ...                 each part of plusway names its own

The command line turns every one of them into that line on standard error and exit code 2; anything else that
escapes is a fault of ours.
"""

from __future__ import annotations


class PluswayError(ValueError):
    """What was given can't be used. str() is one line: file, key or line, what was found, what would do.

    >>> str(PluswayError("sledge.toml: no [ask];\\n  add one"))
    'sledge.toml: no [ask]; add one'
    """

    def __str__(self) -> str:
        return " ".join(super().__str__().split())


class UsageError(PluswayError):
    """A command was called in a way that can't work."""
