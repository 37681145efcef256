"""The class report: figures from the marking, pictures with words that say the same, one HTML page."""

from .gather import Report, gather
from .page import page

__all__ = ["Report", "gather", "page"]
