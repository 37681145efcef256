"""What a drawing is: the same thing as SVG, as PNG and in words."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from functools import cached_property
from html import escape
from typing import TYPE_CHECKING

from .ink import own_settings

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True)
class Drawing:
    """A drawing. `title` is one line, `text` says all that the picture shows; both go into the SVG.

    `svg` is a complete SVG document (role="img", named by its <title>, described by its <desc>), the same bytes for the
    same input. `png` is at 192 dots per inch, twice the size on screen.
    """

    figure: Figure
    title: str
    text: str

    @cached_property
    def svg(self) -> str:
        """The drawing as an SVG document."""
        raw = io.StringIO()
        with own_settings():
            self.figure.savefig(raw, format="svg", metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
        text = re.sub(r"\s*<metadata>.*?</metadata>", "", raw.getvalue(), flags=re.DOTALL)
        title, said = escape(_printable(self.title), quote=False), escape(_printable(self.text), quote=False)
        # aria-label and not aria-labelledby: several drawings on one page would share their ids.
        name = escape(_printable(self.title), quote=True)
        head = f'<svg role="img" aria-label="{name}" '
        return re.sub(
            r"<svg ([^>]*)>", lambda m: f"{head}{m[1]}>\n <title>{title}</title>\n <desc>{said}</desc>", text, count=1
        )

    @cached_property
    def png(self) -> bytes:
        """The drawing as the bytes of a PNG file."""
        raw = io.BytesIO()
        with own_settings():
            self.figure.savefig(raw, format="png", dpi=192, metadata={"Software": None, "Title": _latin(self.title), "Description": _latin(self.text)})
        return raw.getvalue()

    def _repr_svg_(self) -> str:
        return self.svg


def _printable(text: str) -> str:
    """Characters that XML can't hold (control characters) made visible."""
    return "".join(
        c if c in "\n\t" or (c.isprintable() and c not in "\ufffe\uffff") or c == "\u00a0" else "\ufffd" for c in text
    )


def _latin(text: str) -> str:
    """PNG's text is Latin-1."""
    return _printable(text).encode("latin-1", "replace").decode("latin-1")
