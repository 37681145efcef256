"""Practice, exploring and the lab as notebooks: built from their pages, and run from top to bottom in a real kernel."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import nbformat
import pytest

from plusway.autograde.judging.slipfinding import NOT_PLANTED, NoSlip
from plusway.autograde.judging.slips import SLIPS
from plusway.lessons.course import NOTEBOOKS
from plusway.lessons.pages import PAGES, PageError, page
from plusway.widgets.slipfinder import kind_of, number_of

ALL = sorted(PAGES.glob("*.md"))


@pytest.mark.parametrize("source", ALL, ids=lambda path: path.stem)
def test_the_notebook_that_ships_is_built_from_its_page(source: Path) -> None:
    """Byte for byte: `python -m plusway.lessons.course` was run after the last change."""
    built = nbformat.writes(page(source)) + "\n"
    assert (NOTEBOOKS / f"{source.stem}.ipynb").read_text(encoding="utf-8") == built


@pytest.mark.parametrize("source", ALL, ids=lambda path: path.stem)
def test_no_cell_is_run_by_itself_but_what_opens_a_page(source: Path) -> None:
    """Only cells that show practice, sliders, a slip to find, or the lab's first tables carry the mark; but for the lab's, which are
    their reader's to change, they are locked and folded. Any other code of a page is started by its reader. None holds outputs."""
    for cell in page(source).cells:
        marked = cell.cell_type == "code" and "plusway" in cell.metadata
        theirs = marked and re.search(r"^(data = )?(plan|measured)\(", cell.source, re.MULTILINE) is not None
        assert not marked or theirs or re.search(r"^(practice\(\)|explore\(\"[\w-]+\"\)|\w+\.find_slip\(.*\))$", cell.source, re.MULTILINE)
        locked = marked and not theirs
        assert not locked or (cell.metadata["editable"], cell.metadata["deletable"]) == (False, False)
        assert not theirs or "editable" not in cell.metadata
        assert bool(cell.metadata.get("jupyter", {}).get("source_hidden")) is locked
        assert not cell.get("outputs")


@pytest.mark.parametrize("path", sorted(NOTEBOOKS.glob("*.ipynb")), ids=lambda path: path.stem)
def test_no_notebook_names_the_slip_that_is_to_be_found(path: Path) -> None:
    """Neither in the code of the cell nor in its heading: a number stands for the kind, which tells its reader nothing."""
    for cell in nbformat.read(path, as_version=4).cells:
        if "find_slip(" in cell.source:
            assert not [kind for kind in SLIPS if kind in cell.source]


def test_each_kind_of_slip_has_a_number_of_its_own() -> None:
    """A number stands for one kind and no other; one that stands for none says so."""
    kinds = [kind for kind in SLIPS if kind not in NOT_PLANTED]
    assert [kind_of(number_of(kind)) for kind in kinds] == kinds
    with pytest.raises(NoSlip, match="1 stands for no kind of slip"):
        kind_of(1)


@pytest.mark.parametrize(("name", "code"), [("90-free-practice", "practice()"), ("91-explore", 'explore("feed-sack")'), ("92-lab", "fitted(data)")])
def test_a_page_says_what_to_press(name: str, code: str) -> None:
    """Its code is there, and the text says how to run it."""
    cells = page(PAGES / f"{name}.md").cells
    assert any(code in c.source for c in cells if c.cell_type == "code")
    assert any("Shift+Enter" in c.source for c in cells if c.cell_type == "markdown")


@pytest.mark.parametrize("name", ["90-free-practice", "92-lab"])
def test_a_page_about_loads_says_take_care(name: str) -> None:
    """It defers to the rules of the place and to the person in charge, and says that its data are invented."""
    text = " ".join((PAGES / f"{name}.md").read_text(encoding="utf-8").split())
    assert "**Take care.**" in text
    assert "person in charge" in text
    assert "invented" in text


@pytest.mark.parametrize(
    ("text", "says"),
    [("Hello\n", "expected a line '# title'"), ("# T\n\nwords\n", "no block of ```python"), ("# T\n\n```python\n1\n```\n\n```sh\nls\n```\n", "a fence ```")],
)
def test_a_page_that_cannot_be_built_says_what_to_mend(tmp_path: Path, text: str, says: str) -> None:
    """File, what was found, what would do."""
    path = tmp_path / "x.md"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(PageError, match=f"x.md: .*{re.escape(says)}"):
        page(path)


@pytest.mark.slow
@pytest.mark.parametrize("source", ALL, ids=lambda path: path.stem)
def test_a_page_runs_from_top_to_bottom(source: Path, tmp_path: Path) -> None:
    """In a kernel of its own, in a folder of its own: no error, nothing on standard error, and something shown by each cell."""
    from nbclient import NotebookClient

    shutil.copy(NOTEBOOKS / f"{source.stem}.ipynb", tmp_path)
    notebook = nbformat.read(tmp_path / f"{source.stem}.ipynb", as_version=4)
    NotebookClient(notebook, timeout=240, resources={"metadata": {"path": str(tmp_path)}}).execute()
    for cell in notebook.cells:
        if cell.cell_type == "code":
            assert cell.outputs, cell.source
            assert not [o for o in cell.outputs if o.get("name") == "stderr"], cell.source
            told = [o["data"].get("text/plain", "") for o in cell.outputs if "data" in o]
            assert not [t for t in told if "can't be read" in t or "no such file" in t]
    if source.stem == "90-free-practice":
        assert (tmp_path / "plusway-practice.json").is_file()
