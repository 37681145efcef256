"""A student's line -> a tree, or one clear complaint; a tree -> MathML, spoken text, plain text."""

from .complaint import Complaint
from .complaints import TABLE as COMPLAINTS
from .latex import to_latex
from .mathml import to_mathml
from .reader import read
from .results import read_value
from .speech import to_speech
from .text import to_text
from .tree import Group, Line, Name, Node, Number, Place, Power, Product, Reading, Sum, Trig
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
