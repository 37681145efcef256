"""Greek letters by name, and the characters that are only another way of typing a plain one."""

from __future__ import annotations

import unicodedata

GREEK: dict[str, str] = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "eta": "η", "theta": "θ", "kappa": "κ",
    "lambda": "λ", "mu": "μ", "phi": "φ", "psi": "ψ", "rho": "ρ", "sigma": "σ", "tau": "τ", "omega": "ω",
}  # fmt: skip

SUBSCRIPT: dict[str, str] = {
    **dict(zip("0123456789", "₀₁₂₃₄₅₆₇₈₉", strict=True)),
    **dict(zip("aehijklmnoprstuvx", "ₐₑₕᵢⱼₖₗₘₙₒₚᵣₛₜᵤᵥₓ", strict=True)),
}

SUPERSCRIPT: dict[str, str] = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True))

_SAME: dict[str, str] = {
    **dict.fromkeys("−–—‐‑‒﹣⁻", "-"),
    **dict.fromkeys("·⋅∙•×✕✖∗⋆", "*"),
    **dict.fromkeys("÷∕⁄", "/"),
    **dict.fromkeys("≃≅≈∼", "≈"),
    **dict.fromkeys("⇒⟹", "⇒"),
    **dict.fromkeys("⟶→➔➜", "→"),
    **dict.fromkeys("≦⩽", "≤"),
    **dict.fromkeys("≧⩾", "≥"),
    **dict.fromkeys("º˚", "°"),
    **dict.fromkeys("’‘′`´", "'"),
    **dict.fromkeys("\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\t\u200b\u200c\u200d\u2060\ufeff\u2061\u2062\u2064", " "),
    "\u2063": " ",
    # Letters of other keyboards that look just like Latin ones.
    **dict(zip("АВЕКМНОРСТХаеорсх", "ABEKMHOPCTXaeopcx", strict=True)),
    **dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧο", "ABEZHIKMNOPTYXo", strict=True)),
    "µ": "μ", "ϑ": "θ", "ϕ": "φ", "ϵ": "ε", "ɑ": "α", "∂": "∂", "，": ",", "ℊ": "g", "ℎ": "h",
}  # fmt: skip


def _folding() -> dict[int, str]:
    """Every character that folds to exactly one plain one, so that places stay those of the text as typed."""
    table = {ord(k): v for k, v in _SAME.items()}
    # Full-width forms, and the mathematical italics that formula editors paste.
    for code in (*range(0xFF01, 0xFF5F), *range(0x1D400, 0x1D800)):
        plain = unicodedata.normalize("NFKC", chr(code))
        if len(plain) == 1 and plain != chr(code):
            table[code] = _SAME.get(plain, plain)
    return table


FOLDING = _folding()


def fold(text: str) -> str:
    """The text with look-alikes made plain; as long as it was, so that places stay true."""
    return text if text.isascii() and "\t" not in text else text.translate(FOLDING)
