"""A submission laid out afresh from the released cells."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

import nbformat
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plusway.autograde.marking.layout import laid_out


def cell(name: str, kind: str = "code", solution: bool = False, **more: Any) -> dict[str, Any]:
    meta = {"nbgrader": {"grade_id": name, "grade": True, "solution": solution, "locked": not solution}}
    return {"cell_type": kind, "id": f"id-{name}", "metadata": meta, "source": f"released {name}",
            **({"outputs": [], "execution_count": None} if kind == "code" else {}), **more}


RELEASED = {"nbformat": 4, "nbformat_minor": 5, "metadata": {},
            "cells": [cell("a"), cell("free", "markdown", solution=True), cell("b")]}


def note(source: str, kind: str = "markdown") -> dict[str, Any]:
    return {"cell_type": kind, "id": "theirs", "metadata": {}, "source": source}


def sources(notebook: dict[str, Any]) -> list[str]:
    return [c["source"] for c in notebook["cells"]]


def test_released_cells_come_back_in_their_order_and_wording() -> None:
    """Whatever the student made of them."""
    theirs = copy.deepcopy(RELEASED["cells"])
    random.Random(1).shuffle(theirs)
    for c in theirs:
        c["source"] = "changed"
        c["cell_type"] = "raw"
    assert sources(laid_out(RELEASED, {"cells": theirs})) == ["released a", "changed", "released b"]


def test_a_free_answer_is_kept() -> None:
    """A teacher may ask for an essay in the same notebook."""
    theirs = {"cells": [cell("free", "markdown", source=["my ", "essay"])]}
    assert sources(laid_out(RELEASED, theirs)) == ["released a", "my essay", "released b"]


def test_notes_stand_where_they_stood_as_code_that_nobody_runs() -> None:
    """Between the same cells, and never rendered as HTML."""
    theirs = {"cells": [note("top"), cell("a"), note("<script>1</script>"), cell("b"), note("end")]}
    out = laid_out(RELEASED, theirs)
    assert sources(out) == ["top", "released a", "<script>1</script>", "released free", "released b", "end"]
    assert {c["cell_type"] for c in out["cells"] if c["id"].startswith("note-")} == {"code"}


def test_outputs_are_gone() -> None:
    """Of released cells and of the student's own."""
    theirs = {"cells": [cell("a", outputs=[{"output_type": "stream"}]), note("x")]}
    assert not any(c.get("outputs") for c in laid_out(RELEASED, theirs)["cells"])


def test_neither_input_is_changed() -> None:
    """The release serves the next student too."""
    before = json.dumps(RELEASED)
    laid_out(RELEASED, {"cells": [note("x")]})
    assert json.dumps(RELEASED) == before


ANY = st.recursive(st.none() | st.booleans() | st.integers() | st.text(max_size=5),
                   lambda inner: st.lists(inner, max_size=3) | st.dictionaries(
                       st.sampled_from(["cells", "cell_type", "metadata", "nbgrader", "grade_id", "source", "id"]), inner,
                       max_size=4), max_leaves=20)


@given(st.lists(ANY, max_size=5))
def test_any_cells_at_all_come_to_a_valid_notebook(cells: Any) -> None:
    """Whatever is handed in, nbformat accepts what comes out."""
    nbformat.validate(nbformat.from_dict(laid_out(RELEASED, {"cells": cells})), relax_add_props=True)


@pytest.mark.parametrize("submitted", [{}, {"cells": None}, {"cells": {"a": 1}}, {"cells": "x"}], ids=repr)
def test_no_cells_are_no_trouble(submitted: dict[str, Any]) -> None:
    """The released notebook, empty."""
    assert sources(laid_out(RELEASED, submitted)) == ["released a", "released free", "released b"]
