"""One ES module text for each kind of step, joined from the plain modules in `static/`.

anywidget takes a single ESM text per widget, and a notebook may be offline and serve no files of ours. So the modules are joined when
the class is made: each `import { … } from "./other.js";` is replaced by that module's own text, once, in order of need, and its
`export` words are dropped. The files stay ordinary modules that a browser or an editor can also load one by one. Two rules keep this
honest, and a test holds them: imports stand on one line each, and no two modules share a top-level name.
"""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache
from importlib import resources

_IMPORT = re.compile(r'^import \{[^}\n]*\} from "\./(?P<name>[a-z]+)\.js";\n', re.MULTILINE)
_SHEETS = ("theme", "frame", "verdict", "ledger", "picture", "slipfinder", "explorer", "closing", "example", "narrow")
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|let|class)\b)", re.MULTILINE)


def _source(name: str) -> str:
    return (resources.files(__package__) / "static" / name).read_text(encoding="utf-8")


@cache
def esm(step: str) -> str:
    """The whole module of one step ("equation"), with everything that it imports."""
    done: list[str] = []
    texts: list[str] = []

    def add(name: str, top: bool) -> None:
        if name in done:
            return
        done.append(name)
        source = _source(f"{name}.js")
        for found in _IMPORT.finditer(source):
            add(found["name"], False)
        text = _IMPORT.sub("", source)
        texts.append(text if top else _EXPORT.sub("", text))

    add(step, True)
    return "\n".join([*texts, _dressed()])


@cache
def _dressed() -> str:
    """Lines that put the style sheet into the page, once for all widgets of whatever kind: a sheet for each of them would be matched as
    many times over, and set anew by each of forty widgets."""
    sheet = css()
    name = hashlib.sha256(sheet.encode("utf-8")).hexdigest()[:16]
    return f"""
if (!document.head.querySelector('style[data-plusway="{name}"]')) {{
  const sheet = document.createElement("style");
  sheet.dataset.plusway = "{name}";
  sheet.textContent = {json.dumps(sheet)};
  document.head.append(sheet);
}}
"""


@cache
def css() -> str:
    """The one style sheet that all steps share, in the order of `_SHEETS`: later rules are stronger."""
    return "\n".join(_source(f"{name}.css") for name in _SHEETS)
