"""A problem in a folder of its own, as a kernel beside a notebook has it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from plusway.widgets import Problem
from plusway.widgets.problem import forget_all


@pytest.fixture
def notebook(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Path]:
    """notebook(settings={…}, entries=[…]) writes a notebook with that metadata.plusway and makes it this kernel's own."""

    def make(name: str = "lesson.ipynb", **plusway: Any) -> Path:
        path = tmp_path / name
        metadata = {"plusway": plusway} if plusway else {}
        path.write_text(json.dumps({"nbformat": 4, "nbformat_minor": 5, "cells": [], "metadata": metadata}), encoding="utf-8")
        monkeypatch.setenv("JPY_SESSION_NAME", str(path))
        return path

    make()
    return make


@pytest.fixture
def new_kernel() -> Callable[[], None]:
    """Forget all that lives in memory, as a restarted kernel has."""
    forget_all()
    return forget_all


@pytest.fixture
def problem(notebook: Callable[..., Path], new_kernel: Callable[[], None]) -> Problem:
    """The two hanging bodies of "feed-sack", nothing answered yet."""
    return Problem("feed-sack", id="feed-sack")


@pytest.fixture
def ask() -> Callable[..., dict[str, Any]]:
    """ask(widget, "commit", item=…, value=…) sends a message as a browser does and returns the answer."""

    def send(widget: Any, kind: str, **rest: Any) -> dict[str, Any]:
        answer = widget.reply_to({"kind": kind, "id": 7, **rest})
        assert answer is not None
        assert answer["id"] == 7
        return dict(answer)

    return send
