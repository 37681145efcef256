"""What is known and what is shaky, as a table with bars and words: colour is never the only sign."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from .choice import ON_ITS_WAY, Standing
from .skills import SKILLS


def word_for(standing: Standing) -> str:
    """One of: nothing to go by yet, shaky, on its way, known."""
    if not standing.seen:
        return "nothing to go by yet"
    return "known" if standing.mastered else "on its way" if standing.p >= ON_ITS_WAY else "shaky"


def known_html(standings: Mapping[str, Standing]) -> str:
    """The table as HTML: skill, word, a bar with its percentage, how often it was seen."""
    rows = "".join(_row(standings[name]) for name in SKILLS)
    return (
        '<table style="border-collapse:collapse;max-width:56rem">'
        '<caption style="text-align:start;font-weight:600;padding:4px 8px">What you know so far</caption>'
        f"<thead><tr>{''.join(_head(h) for h in ('Skill', 'So far', 'Chance that you know it', 'Times seen'))}</tr></thead>"
        f"<tbody>{rows}</tbody></table>"
        '<p style="max-width:56rem;padding:0 8px">Only your first try at each line counts, and a right line after a hint counts for less. It is an '
        "estimate, not a mark.</p>"
    )


def known_text(standings: Mapping[str, Standing]) -> str:
    """The same as lines of plain text."""
    wide = max(len(skill.label) for skill in SKILLS.values())
    return "\n".join(
        f"{SKILLS[name].label:<{wide}}  {word_for(s):<20}  {_percent(s) if s.seen else '':>5}  seen {s.seen}" for name, s in ((n, standings[n]) for n in SKILLS)
    )


def _head(text: str) -> str:
    return f'<th scope="col" style="text-align:start;padding:4px 8px;border-bottom:1px solid currentColor">{escape(text)}</th>'


def _row(s: Standing) -> str:
    cell = 'style="padding:4px 8px;text-align:start"'
    bar = _bar(s.p) + f" {_percent(s)}" if s.seen else "–"
    return (
        f'<tr><th scope="row" style="padding:4px 8px;text-align:start;font-weight:400">{escape(SKILLS[s.skill].label)}</th>'
        f"<td {cell}>{word_for(s)}</td><td {cell}>{bar}</td><td {cell}>{s.seen}</td></tr>"
    )


def _bar(p: float) -> str:
    """A bar in the colour of the text, in a frame; the number beside it says the same."""
    return (
        '<svg width="122" height="14" viewBox="0 0 122 14" aria-hidden="true" style="vertical-align:-2px">'
        f'<rect x="1" y="1" width="{120 * p:.1f}" height="12" fill="currentColor" opacity="0.75"/>'
        '<rect x="1" y="1" width="120" height="12" fill="none" stroke="currentColor"/></svg>'
    )


def _percent(s: Standing) -> str:
    # The model is never certain; 100 % would say that it is.
    return f"{min(max(round(100 * s.p), 1), 99)} %"
