"""A student's line -> a tree, or one clear complaint; a tree -> MathML, spoken text, plain text.

Nothing is imported until a name is asked for: a lesson opens with the vocabulary alone, and the reader comes with the first line.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .complaint import Complaint
    from .complaints import TABLE as COMPLAINTS
    from .latex import to_latex
    from .mathml import to_mathml
    from .reader import read
    from .results import read_value
    from .speech import to_speech
    from .text import to_text
    from .tree import Group, Line, Name, Node, Number, Place, Power, Product, Reading, Root, Sum, Trig
    from .vocabulary import Vocabulary

__all__ = [
    "COMPLAINTS",
    "Complaint",
    "Group",
    "Line",
    "Name",
    "Node",
    "Number",
    "Place",
    "Power",
    "Product",
    "Reading",
    "Root",
    "Sum",
    "Trig",
    "Vocabulary",
    "read",
    "read_value",
    "to_latex",
    "to_mathml",
    "to_speech",
    "to_text",
]


def __getattr__(name: str) -> Any:
    if name == "Vocabulary":
        from .vocabulary import Vocabulary

        return Vocabulary
    if name in __all__:
        from . import complaint, complaints, latex, mathml, reader, results, speech, text, tree

        for module in (complaint, latex, mathml, reader, results, speech, text, tree):
            if name in vars(module):
                return vars(module)[name]
        return complaints.TABLE
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
