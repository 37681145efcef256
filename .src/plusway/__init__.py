"""plusway: guided lessons in the mechanics of connected bodies; for every body, first decide which way is plus."""

__version__ = "0.1.0"
