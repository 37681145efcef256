"""The answers journal, harvesting a notebook, atomic writes (effects live here, at the edge)."""

from .atomic import replacing, sweep, write_atomic
from .entries import Entry, assemble, entries_from, entry_of, merge, newest
from .errors import JournalError, NotebookError
from .harvest import OUTPUT_MIME, Harvest, harvest
from .journal import Journal, beside, entries_for
from .lock import locked
from .notebook import Notebook, parse_notebook, read_notebook

__all__ = [
    "OUTPUT_MIME",
    "Entry",
    "Harvest",
    "Journal",
    "JournalError",
    "Notebook",
    "NotebookError",
    "assemble",
    "beside",
    "entries_for",
    "entries_from",
    "entry_of",
    "harvest",
    "locked",
    "merge",
    "newest",
    "parse_notebook",
    "read_notebook",
    "replacing",
    "sweep",
    "write_atomic",
]
