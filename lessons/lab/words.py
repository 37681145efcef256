"""Values with their uncertainties in words, and tables for a notebook: every cell is text, escaped."""

from __future__ import annotations

import base64
import math
from collections.abc import Sequence
from html import escape


def plus_minus(value: float, sigma: float, unit: str = "") -> str:
    """Rounded to the uncertainty, which keeps two figures.

    >>> plus_minus(0.034871, 0.004615, "kg")
    '0.0349 ± 0.0046 kg'
    >>> plus_minus(9.8542, 0.1477)
    '9.85 ± 0.15'
    """
    if not (math.isfinite(value) and math.isfinite(sigma)) or sigma <= 0:
        return f"{value:.4g} {unit}".strip()
    places = max(0, 1 - math.floor(math.log10(sigma)))
    if f"{sigma:.{places}f}".lstrip("0.").replace(".", "") in ("", "100") and places:  # 0.0996 is 0.10, not 0.100
        places -= 1
    return f"{value:.{places}f} ± {sigma:.{places}f} {unit}".replace("-", "\u2212").strip()


def picture_html(svg: str, says: str) -> str:
    """A picture as an <img> whose alternative text says the same; it shows in a notebook that is not trusted, too."""
    data = base64.b64encode(svg.encode("utf-8")).decode("ascii")
    return f'<img style="max-width:100%;background:#fff" src="data:image/svg+xml;base64,{data}" alt="{escape(says, quote=True)}">'


class Page:
    """A caption, a table and lines below it: HTML in a notebook, plain text in a terminal."""

    def __init__(self, caption: str, heads: Sequence[str], rows: Sequence[Sequence[str]], lines: Sequence[str] = ()) -> None:
        self.caption, self.heads, self.rows, self.lines = caption, tuple(heads), tuple(tuple(r) for r in rows), tuple(lines)

    @property
    def text(self) -> str:
        wide = [max(len(r[k]) for r in (self.heads, *self.rows)) for k in range(len(self.heads))]
        table = ["  ".join(cell.ljust(w) for cell, w in zip(row, wide, strict=True)).rstrip() for row in (self.heads, *self.rows)] if self.heads else []
        return "\n".join([self.caption, *table, *self.lines])

    def __repr__(self) -> str:
        return self.text

    def _repr_html_(self) -> str:
        pad = 'style="text-align:start;padding:3px 10px"'
        head = "".join(f'<th scope="col" {pad}>{escape(h)}</th>' for h in self.heads)
        body = "".join(f'<tr><th scope="row" {pad}>{escape(r[0])}</th>' + "".join(f"<td {pad}>{escape(c)}</td>" for c in r[1:]) + "</tr>" for r in self.rows)
        table = f'<table><caption style="text-align:start;font-weight:600">{escape(self.caption)}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'
        below = "".join(f"<p>{escape(line)}</p>" for line in self.lines)
        return (table if self.heads else f"<p><strong>{escape(self.caption)}</strong></p>") + below
