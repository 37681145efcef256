"""Trees against equations -> verdicts, slips, points.

Nothing is imported until a name is asked for: a lesson opens with `judging.scheme` alone, and the judge comes with the first answer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .answers import AnswersError, check_answers
    from .paper import judge
    from .scheme import Scheme, SchemeError, load_scheme
    from .slips import SLIPS
    from .verdicts import Slip, Step, Verdicts

__all__ = [
    "SLIPS",
    "AnswersError",
    "Scheme",
    "SchemeError",
    "Slip",
    "Step",
    "Verdicts",
    "check_answers",
    "judge",
    "load_scheme",
]


def __getattr__(name: str) -> Any:
    if name in __all__:
        from . import answers, paper, scheme, slips, verdicts

        for module in (answers, paper, scheme, slips, verdicts):
            if name in vars(module):
                return vars(module)[name]
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
