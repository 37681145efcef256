"""How symbols are spelled: one letter or a Greek name, with a subscript after "_"."""

from __future__ import annotations

import re

GREEK: dict[str, str] = {
    "α": "alpha", "β": "beta", "γ": "gamma", "δ": "delta", "ε": "epsilon", "ζ": "zeta", "η": "eta", "θ": "theta",
    "ϑ": "theta", "ι": "iota", "κ": "kappa", "λ": "lambda", "μ": "mu", "µ": "mu", "ν": "nu", "ξ": "xi", "π": "pi",
    "ρ": "rho", "σ": "sigma", "τ": "tau", "υ": "upsilon", "φ": "phi", "ϕ": "phi", "χ": "chi", "ψ": "psi", "ω": "omega",
}  # fmt: skip

_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_NAMES = sorted(set(GREEK.values()), key=len, reverse=True)
_BASE = "(?:" + "|".join(_NAMES) + "|[A-Za-z])"
_SYMBOL = re.compile(rf"({_BASE})((?:_[A-Za-z0-9]{{1,8}}){{0,2}})")
_JOINED = re.compile(rf"({_BASE})([0-9]{{1,3}})")


def canonical(written: str) -> str | None:
    """The canonical name of a symbol: "T1", "T₁", "T_{1}" -> "T_1", "μ_k" -> "mu_k"; None where it isn't one."""
    text = written.strip()
    if len(text) > 40:
        return None
    for letter, name in GREEK.items():
        text = text.replace(letter, name)
    low = re.sub(r"([₀-₉]+)", r"_\1", text).replace("__", "_").translate(_SUBSCRIPTS)
    low = low.replace("\\", "").replace("{", "").replace("}", "")
    joined = _JOINED.fullmatch(low)
    if joined:
        low = f"{joined[1]}_{joined[2]}"
    return low if _SYMBOL.fullmatch(low) else None


def base(name: str) -> str:
    """The letter of a symbol without its subscript."""
    return name.split("_", 1)[0]
