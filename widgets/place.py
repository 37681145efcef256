"""Where the lesson lives: the notebook's path and the `plusway` part of its metadata, found from inside the kernel.

A kernel is not told its notebook by any standard. Jupyter Server gives the path in JPY_SESSION_NAME; where that is missing (another
front end, a plain Python) the working folder and the problem's own id must do.
"""

from __future__ import annotations

import json
import os
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

MOST_LOOKED_AT = 100  # notebooks in the working folder


_TRIES = 5
_PAUSE = 0.1  # s


@dataclass(frozen=True)
class Place:
    """The notebook's path (whether or not the file exists), and its `metadata.plusway`, {} where there is none."""

    notebook: Path
    metadata: dict[str, Any] = field(default_factory=dict)

    @property
    def lesson(self) -> str:
        """The notebook's id, else its stem."""
        return str(self.metadata.get("id") or self.notebook.stem)


def find_place(problem: str) -> Place:
    """The notebook that this kernel serves. Where nobody says: the only one in the working folder that has this problem (so
    nbgrader's own `validate` and `autograde` find the answers), else one of the problem's name."""
    name = os.environ.get("JPY_SESSION_NAME", "")
    # The name is a path for a notebook and anything at all for a console; only a notebook's is of use.
    if not name.endswith(".ipynb"):
        return _only_notebook_with(problem)
    path = Path(name)
    if not path.is_absolute():
        path = Path.cwd() / path.name
    return Place(path, read_metadata(path))


def _only_notebook_with(problem: str) -> Place:
    """The one notebook in the working folder whose record has this problem. Where there are more (a copy beside it), nobody can say
    whose answers are meant; but the problem itself is taken from them where all have the very same, with the same numbers."""
    near = sorted(path for path in Path.cwd().glob("*.ipynb") if path.is_file())[:MOST_LOOKED_AT]
    found = [(path, record) for path in near if problem in ((record := read_metadata(path)).get("problems") or ())]
    if len(found) == 1:
        return Place(*found[0])
    told = [{"problems": _of_its_scene(problem, record["problems"]), **{key: record[key] for key in ("settings", "seed") if key in record}}
            for _, record in found if isinstance(record["problems"], dict)]
    same = len(told) == len(found) > 1 and all(one == told[0] for one in told)
    return Place(Path.cwd() / f"{problem}.ipynb", told[0] if same else {})


def _of_its_scene(problem: str, problems: dict[str, Any]) -> dict[str, Any]:
    """The problem with those of the same scene beside it: whose numbers it has depends on them."""
    scenes = {name: one.get("scene") or name for name, one in problems.items() if isinstance(one, dict)}
    return {name: one for name, one in problems.items() if name == problem or (name in scenes and scenes[name] == scenes.get(problem))}


def read_metadata(path: Path) -> dict[str, Any]:
    """`metadata.plusway` of the notebook at `path`; {} where the file or the part is missing or broken, for the journal still counts."""
    for left in range(_TRIES, 0, -1):
        try:
            notebook = json.loads(path.read_text(encoding="utf-8"))
            found = notebook["metadata"]["plusway"]
        except ValueError:
            # Jupyter Server saves a notebook in place, so a file that is being saved can be met half written.
            if left > 1:
                time.sleep(_PAUSE)
            continue
        except (OSError, KeyError, TypeError, RecursionError):
            return {}
        return found if isinstance(found, dict) else {}
    return {}
