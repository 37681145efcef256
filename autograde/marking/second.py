"""Of several files that one student handed in for one assignment, which one counts.

A file that can be marked goes before one that can't, the file with the assignment's own name (ps1.ipynb, which is the only one that
nbgrader takes) before any other, and then the one that was changed last.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from pathlib import PurePosixPath

from .marked import Marked

Key = tuple[str, str, tuple[str, ...]]


def seconds(notebooks: Iterable[Marked], changed: Callable[[str], float]) -> dict[str, str]:
    """{file: the file that counts in its place} for every second file. changed: when a file was changed last; it is asked only
    where there is more than one."""
    groups: dict[Key, list[tuple[bool, bool, str]]] = defaultdict(list)
    for marked in notebooks:
        own = PurePosixPath(marked.file).stem == marked.assignment
        groups[_key(marked)].append((not marked.error, own, marked.file))
    out: dict[str, str] = {}
    for group in groups.values():
        if len(group) > 1:
            *_, counted = max(group, key=lambda one: (one[0], one[1], changed(one[2]), one[2]))
            out.update({file: counted for *_, file in group if file != counted})
    return out


def _key(marked: Marked) -> Key:
    """Whose it is, and of what; where no assignment is named, notebooks about other problems are other work."""
    return marked.student, marked.assignment, () if marked.assignment else (*(p.problem for p in marked.counting), marked.error and marked.file)
