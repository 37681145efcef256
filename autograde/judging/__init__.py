"""Trees against equations -> verdicts, slips, points."""

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
