"""What a student, a notebook or a file says is never HTML and never code in the browser: a look through every script that we ship."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from .conftest import package_files

DANGERS = {
    "eval": r"(?<![\w.])eval\s*\(",
    "Function": r"(?<![\w.])(?:new\s+)?Function\s*\(",
    "innerHTML": r"(?:inner|outer)HTML\b",
    "insertAdjacentHTML": r"insertAdjacentHTML",
    "document.write": r"document\s*\.\s*write(?:ln)?\b",
    "setHTML": r"\.setHTML(?:Unsafe)?\b|parseHTMLUnsafe",
    "createContextualFragment": r"createContextualFragment",
    "srcdoc": r"srcdoc",
    "a timer of text": r"set(?:Timeout|Interval)\s*\(\s*[\"'`]",
    "a script element": r"createElement\s*\(\s*[\"'`]script|\bh\(\s*[\"'`](?:script|iframe|object|embed|base|link|meta)[\"'`]",
    "text parsed as HTML": r"text/html",
    "a javascript: address": r"javascript:",
    "a global by name": r"\b(?:window|globalThis|self|top|parent)\s*\[(?!\s*Symbol\.for\()|\bReflect\s*\.|\.constructor\b",
    "a request": r"\bfetch\s*\(|XMLHttpRequest|WebSocket|EventSource|sendBeacon|importScripts|new\s+Worker\b",
    "a page that moves on": r"\blocation\s*(?:=|\.)|window\s*\.\s*open\b",
    "a style of text": r"cssText|\.style\s*=(?!=)",
    "a handler by name": r"setAttribute\s*\(\s*[\"'`]on",
}
# A module is fetched by a name that is written out, or that one function makes from names that are.
FETCHED = re.compile(r"(?<![\w.\"{@])import\s*\((?!\s*[\"'])")
MAY_FETCH = {"widgets/labextension/static/remoteEntry.js": "address(name) puts a written name beside its own address"}


def code_of(text: str) -> str:
    """The script without its comments."""
    return re.sub(r"/\*.*?\*/|(?<![:\"'`])//[^\n]*", "", text, flags=re.DOTALL)


def scripts() -> list[Path]:
    """Every script of the package, and of the JupyterLab extension where the clone is at hand."""
    extension = Path(__file__).resolve().parents[2] / "widgets" / "labextension"
    return sorted({path.resolve() for path in [*package_files(".js", ".mjs"), *extension.rglob("*.js")]})


@pytest.mark.parametrize("danger", DANGERS)
def test_no_script_makes_code_or_html_of_text(danger: str) -> None:
    """Each way in which a browser takes text for code or for HTML; text is set as text."""
    found = [path.name for path in scripts() if re.search(DANGERS[danger], code_of(path.read_text(encoding="utf-8")))]
    assert found == []


def test_modules_are_fetched_by_names_that_are_written_out() -> None:
    """But for one function, which puts a written name beside its own address."""
    found = {path.name for path in scripts() if FETCHED.search(code_of(path.read_text(encoding="utf-8")))}
    assert found <= {Path(name).name for name in MAY_FETCH}


def test_all_scripts_are_looked_at() -> None:
    """The widgets' and, in a clone, the extension's."""
    assert {"dom.js", "mathview.js", "verdict.js"} <= {path.name for path in scripts()}


@pytest.mark.parametrize(("danger", "code"), [
    ("eval", "x = eval(text)"), ("Function", "new Function(text)()"), ("innerHTML", "el.innerHTML = text"),
    ("innerHTML", "el.outerHTML += text"), ("insertAdjacentHTML", "el.insertAdjacentHTML('beforeend', text)"),
    ("document.write", "document.write(text)"), ("setHTML", "el.setHTMLUnsafe(text)"), ("srcdoc", "frame.srcdoc = text"),
    ("a timer of text", "setTimeout('run()', 5)"), ("a script element", "document.createElement('script')"),
    ("a script element", 'h("iframe", {})'), ("text parsed as HTML", 'parser.parseFromString(text, "text/html")'),
    ("a javascript: address", 'a.href = "javascript:run()"'), ("a handler by name", 'el.setAttribute("onclick", text)'),
    ("innerHTML", 'el["innerHTML"] = text'), ("innerHTML", "Object.assign(el, { innerHTML: text })"), ("a global by name", "window['ev' + 'al'](text)"),
    ("a global by name", "(() => {}).constructor(text)()"), ("a request", "fetch(text)"), ("a request", "navigator.sendBeacon(text, answers)"),
    ("a page that moves on", "location.href = text"), ("a page that moves on", "window.open(text)"), ("a style of text", "el.style.cssText = text"),
    ("createContextualFragment", "range.createContextualFragment(text)"),
])
def test_the_look_finds_each_danger(danger: str, code: str) -> None:
    """Each is seen in code, and not in a comment."""
    assert re.search(DANGERS[danger], code_of(code))
    assert not re.search(DANGERS[danger], code_of(f"// {code}\n/* {code} */"))


@pytest.mark.parametrize("code", ["evaluate(text)", "isFunction(text)", "h('p', {}, text)", "setTimeout(() => run(), 5)"])
def test_the_look_lets_the_harmless_pass(code: str) -> None:
    """What only looks like a danger is no finding."""
    assert not [danger for danger, pattern in DANGERS.items() if re.search(pattern, code)]
