"""Free practice: problems without end, the next one chosen by what the learner knows and what is shaky.

    from plusway.lessons.practice import practice
    practice()                        # in a notebook
    practice.known()                  # what is known and what is shaky
    practice.export("mine.csv")       # a copy of your file
    practice.forget()                 # deletes it
"""

from __future__ import annotations

from .session import Practice, practice

__all__ = ["Practice", "practice"]
