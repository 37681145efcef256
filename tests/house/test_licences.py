"""What plusway brings along when it is installed: nothing that it does not use, and nothing whose licence asks for more than ours.

Read from the metadata of what is installed here; the words of the licences are those of the packages themselves.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator, Mapping
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

EXTRAS = ("cluster", "lab", "print")
# Declared, and not imported by name: why they are needed all the same.
NOT_IMPORTED = {
    "notebook": "plusway learn serves Notebook 7's pages too",
    "tomli": "in the place of tomllib on Python 3.10",
}
IMPORTED_AS = {"distributed": {"distributed", "dask"}}

PERMISSIVE = re.compile(r"\b(BSD|MIT|Apache|ISC|PSF|Python Software Foundation|Zlib|Unlicense|CC0|0BSD|HPND|Matplotlib|MPL|Mozilla Public|"
                        r"Historical Permission|Public Domain|Zope Public|ZPL|Academic Free|Bitstream Vera|Boost|CNRI)\b", re.IGNORECASE)
# These ask that what is built with them be given away under their own terms.
STRONG = re.compile(r"\b(A?GPL|General Public License|SSPL|Commons Clause|Business Source|EUPL|CC[- ]BY[- ]NC|Proprietary)\b", re.IGNORECASE)
# A library used as it is, not built in; each looked at by a person.
LOOKED_AT = {
    "pyphen": "offered under GPL, LGPL or MPL: taken under MPL 1.1",
}


def needed(name: str, extras: tuple[str, ...], seen: dict[str, metadata.Distribution]) -> None:
    """Everything that installing `name` installs here, by normalised name."""
    for line in metadata.requires(name) or ():
        requirement = Requirement(line)
        marker = requirement.marker
        if marker is not None and not any(marker.evaluate({"extra": extra}) for extra in ("", *extras)):
            continue
        known = re.sub(r"[-_.]+", "-", requirement.name).lower()
        if known not in seen:
            seen[known] = metadata.distribution(requirement.name)
            needed(requirement.name, tuple(requirement.extras), seen)


@pytest.fixture(scope="module")
def installed() -> Mapping[str, metadata.Distribution]:
    found: dict[str, metadata.Distribution] = {}
    needed("plusway", EXTRAS, found)
    return found


def licences(distribution: metadata.Distribution) -> Iterator[str]:
    """What a package says of its licence; a text of many lines by its first."""
    meta = distribution.metadata
    for key in ("License-Expression", "License"):
        said = (meta.get(key) or "").strip()
        if said and said.upper() != "UNKNOWN":
            yield said.splitlines()[0]
    yield from (line.split(" :: ")[-1] for line in meta.get_all("Classifier") or () if line.startswith("License ::"))


def test_every_licence_lets_us_be_under_ours(installed: Mapping[str, metadata.Distribution]) -> None:
    """BSD-3-Clause itself is compatible with permissive and with file-by-file licences, not with stronger ones."""
    odd = {}
    for name, distribution in installed.items():
        said = list(dict.fromkeys(licences(distribution)))
        text = "; ".join(said)
        if name not in LOOKED_AT and (not PERMISSIVE.search(text) or STRONG.search(text)):
            odd[name] = said
    assert odd == {}


def test_what_we_need_is_looked_through_whole(installed: Mapping[str, metadata.Distribution]) -> None:
    """Also what our dependencies need in their turn."""
    assert {"jupyterlab", "nbgrader", "tornado", "numpy", "sqlalchemy"} <= set(installed)


def test_ours_is_the_licence_that_the_readme_names() -> None:
    """BSD-3-Clause, in the metadata too."""
    meta = metadata.metadata("plusway")
    assert "BSD-3-Clause" in (meta.get("License-Expression") or meta.get("License") or "")


def test_nothing_is_declared_that_is_not_used(trees: Mapping[str, ast.Module], root: Path) -> None:
    """Every dependency, and every one of the extras for users, is imported somewhere in the package."""
    imported = set()
    for tree in trees.values():
        for node in ast.walk(tree):
            if isinstance(node, ast.Import):
                imported |= {a.name.split(".")[0] for a in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level:
                imported.add((node.module or "").split(".")[0])
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    ours = [*project["dependencies"], *(line for extra in EXTRAS for line in project["optional-dependencies"][extra])]
    declared = {Requirement(line).name.lower() for line in ours}
    unused = {name for name in declared if not IMPORTED_AS.get(name, {name.replace("-", "_")}) & imported}
    assert unused <= set(NOT_IMPORTED)
    assert declared >= {"nbgrader", "anywidget", "distributed", "scipy", "weasyprint"}


@pytest.mark.parametrize(("said", "fine"), [
    ("BSD-3-Clause", True), ("MIT License", True), ("Apache-2.0 OR BSD-2-Clause", True), ("Mozilla Public License 2.0 (MPL 2.0)", True),
    ("GPL-3.0-only", False), ("GNU Affero General Public License v3", False), ("Other/Proprietary License", False), ("", False)])
def test_a_licence_is_told_by_its_words(said: str, fine: bool) -> None:
    """What counts as permissive and what does not."""
    assert bool(PERMISSIVE.search(said) and not STRONG.search(said)) is fine
