"""The script that all widgets share, joined from the plain modules in `static/`, and the few lines by which each widget takes its part.

anywidget takes a single ESM text per widget, and a notebook may be offline and serve no files of ours. So the modules are joined into
one: each `import { … } from "./other.js";` is replaced by that module's own text, once, in order of need, `export` words are
dropped, and what a kind of widget exports by default gets a name (`widget_equation`). The files stay ordinary modules that a browser
or an editor can also load one by one. Two rules keep this honest, and a test holds them: imports stand on one line each, and no
two modules share a top-level name.

The joined text travels once, in a model of its own (`scripted.Script`), and is loaded once by a page: forty widgets that each carry
the text would have it sent, kept and compiled forty times over.
"""

from __future__ import annotations

import hashlib
import json
import re
from functools import cache
from importlib import resources

KINDS = ("directions", "forces", "equation", "ties", "working", "results", "sense", "closing", "slipfinder", "workedexample", "bar", "explorer")
_IMPORT = re.compile(r'^import \{[^}\n]*\} from "\./(?P<name>[a-z]+)\.js";\n', re.MULTILINE)
_SHEETS = ("theme", "frame", "verdict", "ledger", "picture", "slipfinder", "explorer", "closing", "example", "narrow")
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|let|class)\b)", re.MULTILINE)
_DEFAULT = re.compile(r"^export default ", re.MULTILINE)

# A page may hold widgets of two versions, so each script is kept by its name. What could not be loaded is tried again by the next widget.
_LOADER = """
const kind = %(kind)s, name = %(name)s;
const scripts = (globalThis[Symbol.for("plusway.scripts")] ??= new Map());
async function load(model) {
  const holder = await model.widget_manager.get_model(model.get("script").replace("IPY_MODEL_", ""));
  const address = URL.createObjectURL(new Blob([holder.get("text")], { type: "text/javascript" }));
  try {
    return await import(address);
  } finally {
    URL.revokeObjectURL(address);
  }
}
export default {
  async render(given) {
    if (!scripts.has(name)) {
      const loading = load(given.model);
      scripts.set(name, loading);
      loading.catch(() => scripts.delete(name));
    }
    return (await scripts.get(name))[kind].render(given);
  },
};
"""


def _source(name: str) -> str:
    return (resources.files(__package__) / "static" / name).read_text(encoding="utf-8")


@cache
def script() -> str:
    """The whole script: every module that a widget needs, and the style sheet."""
    done: list[str] = []
    texts: list[str] = []

    def add(name: str) -> None:
        if name in done:
            return
        done.append(name)
        source = _source(f"{name}.js")
        for found in _IMPORT.finditer(source):
            add(found["name"])
        text = _EXPORT.sub("", _IMPORT.sub("", source))
        texts.append(_DEFAULT.sub(f"export const {part(name)} = ", text))

    for kind in KINDS:
        add(kind)
    return "\n".join([*texts, _dressed()])


@cache
def script_name() -> str:
    """What tells one script from another."""
    return hashlib.sha256(script().encode("utf-8")).hexdigest()[:16]


def part(kind: str) -> str:
    """The name under which the script exports a kind of widget."""
    return f"widget_{kind}"


@cache
def esm(kind: str) -> str:
    """The module of one kind of widget: it loads the script that `model.get("script")` refers to, and renders its part of it."""
    if kind not in KINDS:
        raise KeyError(f"{kind!r} is not in KINDS")
    return _LOADER % {"kind": json.dumps(part(kind)), "name": json.dumps(script_name())}


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
