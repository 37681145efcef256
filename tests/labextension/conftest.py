"""Lessons to open in a real JupyterLab or Notebook 7, and a stand-in for the widgets of a step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from ..conftest import ask_server, kernel_of, on_disk

OWN = {"plusway": {"role": "lesson"}}

# What `static/messages.js` of the widgets promises about a widget's root, and nothing else of a widget.
STAND_IN = """
([step, item, state]) => {
  const cells = [...document.querySelectorAll('.jp-CodeCell')];
  const cell = cells.find((one) => one.textContent.includes(step === 'equations' ? 'problem.equation(' : `problem.${step}(`));
  cell.querySelector('.jp-Cell-outputWrapper')?.remove(); // the real widget, which would say a state of its own
  let root = cell.querySelector(':scope > .plusway');
  if (!root) {
    root = document.createElement('div');
    root.className = 'plusway';
    root.innerHTML = '<input data-lm-suppress-shortcuts="true" aria-label="line">';
    cell.append(root);
  }
  Object.assign(root.dataset, {problem: 'feed-sack', step, item: item ?? '', lesson: 'l1', state});
  root.dispatchEvent(new CustomEvent('plusway:state', {bubbles: true, composed: true, detail: {}}));
  return root;
}
"""


@dataclass
class Desk:
    """A lesson that is open in a browser, and its file."""

    page: Any
    file: Path
    address: str
    token: str
    cells: int  # code cells

    def open(self) -> Desk:
        self.page.goto(self.address)
        self.page.wait_for_selector(".jp-Notebook .jp-Cell")
        self.page.wait_for_function("() => globalThis.plusway?.restore !== undefined")
        return self

    def started(self) -> Desk:
        """Wait until the lesson's first cell has been run."""
        self.page.wait_for_function(
            "() => [...document.querySelectorAll('.jp-CodeCell')].some((cell) => cell.textContent.includes('Problem(')"
            " && /\\[\\d+\\]/.test(cell.querySelector('.jp-InputPrompt')?.textContent ?? ''))"
        )
        return self

    def ran(self) -> Desk:
        """Wait until the last of the usual lesson's cells has been run."""
        self.page.wait_for_function(  # the page draws its cells one after the other: its last may not be the lesson's yet
            "(cells) => { const prompts = [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')];"
            " return prompts.length >= cells && /\\[\\d+\\]/.test(prompts.at(-1).textContent)"
            " && document.querySelector('.jp-OutputArea-child[data-old]') === null; }",
            arg=self.cells,
        )
        return self

    def forget_run(self) -> None:
        """Mark what the cells show now, so that `ran` waits until a next run has replaced all of it."""
        self.page.evaluate("() => document.querySelectorAll('.jp-OutputArea-child').forEach((one) => (one.dataset.old = ''))")

    def clean(self) -> Desk:
        """Wait until the page has nothing left to save."""
        self.page.wait_for_function("() => document.querySelector('.lm-TabBar-tab.lm-mod-current.jp-mod-dirty') === null")
        return self

    def show(self, step: str, item: str | None = None, state: str = "blank") -> None:
        """Let the stand-in of a step say its state."""
        self.page.evaluate(STAND_IN, [step, item, state])

    def commit(self, n: int, step: str, item: str | None, value: Any, but: dict[str, Any] | None = None) -> None:
        """Commit an answer as a widget does; `but`: what is otherwise about its record."""
        record = {"format": 1, "id": f"c{n}", "when": f"2024-01-01T00:00:{n:02}Z", "n": n, "problem": "feed-sack",
                  "step": step, "item": item, "value": value, "hints": 0, "lesson": "l1"} | (but or {})  # fmt: skip
        self.page.evaluate(
            f"async ([at, record]) => {{ const root = ({STAND_IN})(at);"
            "root.dispatchEvent(new CustomEvent('plusway:commit', {bubbles: true, composed: true, detail: {record}})); }",
            [[step if step in ("directions", "equations") else "directions", None, "some"], record],
        )

    def metadata(self) -> dict[str, Any]:
        """`metadata.plusway` as the file on disk has it now."""
        return dict(on_disk(self.file)["metadata"]["plusway"])

    def saved(self, holds: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        """`metadata.plusway` on disk once it `holds`; what is there, if it doesn't in 15 seconds."""
        for _ in range(150):
            if holds(found := self.metadata()):
                return found
            self.page.wait_for_timeout(100)
        return self.metadata()

    def prompts(self) -> list[str]:
        """The execution counts of the code cells in order, "" for a cell that has not been run."""
        # Not the inner text: JupyterLab lets the page skip drawing the cells that are out of sight, and then it is empty.
        found = self.page.locator(".jp-CodeCell .jp-InputPrompt").all_text_contents()
        return [text.strip("[]: \xa0") for text in found]

    def kept_counts(self) -> list[int | None]:
        """The execution counts of the code cells as the file on disk has them now."""
        cells = on_disk(self.file)["cells"]
        return [cell["execution_count"] for cell in cells if cell["cell_type"] == "code"]

    def ask(self, method: str, what: str) -> Any:
        """Ask the server's own interface."""
        return ask_server(self.address, self.token, f"api/{what}", method)

    def kernel(self) -> dict[str, Any]:
        """The running kernel of this lesson."""
        return kernel_of(self.address, self.token, self.file)


def written(file: Path, *cells: Any, **metadata: Any) -> Path:
    """A small lesson: one cell of the reader's own, then the lesson's cells (these of a usual lesson unless given)."""
    file.parent.mkdir(parents=True, exist_ok=True)
    usual = ['from plusway.widgets import Problem\nproblem = Problem("feed-sack")', "problem.directions()",
             'problem.equation("sack")', "problem.working()"]  # fmt: skip
    notebook = new_notebook(
        cells=[
            new_markdown_cell("# A lesson for the tests"),
            new_code_cell("mine = 1"),
            *(cells or [new_code_cell(source, metadata=OWN) for source in usual]),
        ],
        metadata={
            "plusway": {"id": "l1", "problems": {"feed-sack": {"scene": "feed-sack"}}, **metadata},
            "kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"},
        },
    )
    nbformat.write(notebook, file)
    return file


@pytest.fixture
def desk(lab: Any, page: Any) -> Callable[..., Desk]:
    """desk("lab" or "notebook", *cells, **metadata): a fresh lesson in a folder of its own, not open yet."""

    def make(front: str = "lab", *cells: Any, **metadata: Any) -> Desk:
        file = written(lab.fresh() / "lesson.ipynb", *cells, **metadata)
        parts = urlsplit(lab.url)
        path = quote(f"{file.parent.name}/lesson.ipynb")
        where = f"notebooks/{path}" if front == "notebook" else f"lab/workspaces/{file.parent.name}/tree/{path}"
        codes = sum(cell.cell_type == "code" for cell in nbformat.read(file, as_version=4).cells)
        return Desk(page, file, f"{parts.scheme}://{parts.netloc}/{where}?token={lab.token}", lab.token, codes)

    return make


@pytest.fixture
def write_lesson() -> Callable[..., Path]:
    """write_lesson(file, *cells, **metadata) writes a small lesson."""
    return written


@pytest.fixture
def own_cell() -> Callable[[str], Any]:
    """own_cell(source): a code cell that is marked as the lesson's own."""
    return lambda source: new_code_cell(source, metadata=OWN)
