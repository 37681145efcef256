"""The lab: a real two-mass machine on a bench, from planning the masses to g and to what the pulley does. Needs SciPy (`plusway[lab]`).

    from plusway.lessons.lab import fell, fitted, measured, plan
    plan([(0.240, 0.260), (0.200, 0.300)], distance=1.20)
    data = measured("invented-runs")      # or the name of your own CSV file
    fitted(data)
"""

from __future__ import annotations

from .bench import fell, fitted, measured, plan

__all__ = ["fell", "fitted", "measured", "plan"]
