"""What every process of a pool is told when it begins."""

from __future__ import annotations

import multiprocessing
import os
import threading


def end_with_parent() -> None:
    """Let a process of the pool end when the marking process has ended: a killed one can't tell it to."""
    parent = multiprocessing.parent_process()

    def follow() -> None:
        if parent is not None:
            parent.join()
            os._exit(1)

    threading.Thread(target=follow, daemon=True).start()
