"""Notebooks that are no lesson of steps: practice, exploring, the lab. Each is built from a page of Markdown in `guided/pages`.

A page is what it looks like: text as it stands, and each block fenced as ```python a code cell; ```python run makes it the page's own,
which JupyterLab runs by itself where it knows the code as harmless, and of which only the output is shown; ```python start is run by itself
in the same way and stays its reader's, to see and to change. `python -m plusway.lessons.course` builds them with the lessons; the same page
gives the same bytes.
"""

from __future__ import annotations

import hashlib
import re
import uuid
from pathlib import Path

import nbformat
from nbformat.notebooknode import NotebookNode
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from ..autograde.errors import PluswayError
from .notebook import FORMAT, NAMESPACE

PAGES = Path(__file__).parent / "guided" / "pages"

_CODE = re.compile(r"^```python( run| start)?\n(.*?)^```\n", re.MULTILINE | re.DOTALL)


class PageError(PluswayError):
    """A page that no notebook can be built from: file, what was found, what would do."""


def page(path: Path) -> NotebookNode:
    """The notebook of the page at `path`. Raises PageError.

    Its cells are ordinary code that the reader starts, unless the fence says `run` or `start`.
    """
    text = path.read_text(encoding="utf-8")
    title = re.match(r"# ([^\n]+)\n", text)
    if title is None:
        raise PageError(f"{path.name}: expected a line '# title' at the top")
    cells: list[NotebookNode] = []
    locked = {"editable": False, "deletable": False}
    parts = _CODE.split(text)
    for n, (part, run, code) in enumerate(zip(parts[::3], [*parts[1::3], None], [*parts[2::3], None], strict=True)):
        place = 2 * n
        if part.strip():
            cells.append(new_markdown_cell(_unwrap(part), id=_id(path.stem, place), metadata=locked))
        if code is not None:
            mark = {"plusway": {"page": path.stem}} if run else {}
            own = {**locked, "jupyter": {"source_hidden": True}, **mark} if run == " run" else mark
            cells.append(new_code_cell(code.strip("\n"), id=_id(path.stem, place + 1), metadata=own))
    if "```" in _CODE.sub("", text):
        raise PageError(f"{path.name}: a fence ``` that is no block of ```python; close it, or write it as one")
    if not any(cell.cell_type == "code" for cell in cells):
        raise PageError(f"{path.name}: there is no block of ```python in it")
    notebook: NotebookNode = new_notebook(cells=cells, metadata={
        "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
        "plusway": {
            "format": FORMAT, "id": uuid.uuid5(NAMESPACE, f"page\0{path.stem}").hex, "title": title[1].strip(), "assignment": None,
            "student": None, "seed": None, "settings": {}, "problems": {}, "answers": {}, "entries": [],
        },
    })
    nbformat.validate(notebook)
    return notebook


def _unwrap(text: str) -> str:
    """Paragraphs as single lines, as a notebook shows them."""
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in text.strip().split("\n\n"))


def _id(name: str, place: int) -> str:
    return hashlib.sha256(f"{name} {place}".encode()).hexdigest()[:16]
