"""The answers journal, harvesting a notebook, atomic writes (effects live here, at the edge)."""
