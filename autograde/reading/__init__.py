"""A student's line -> a tree, or one clear complaint; a tree -> MathML, spoken text, plain text."""

from .complaint import Complaint
from .reader import read
from .text import to_text
from .tree import Group, Line, Name, Node, Number, Place, Power, Product, Reading, Sum, Trig
from .vocabulary import Vocabulary

__all__ = [
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
    "to_text",
]
