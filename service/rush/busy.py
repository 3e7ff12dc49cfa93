"""Whether this machine has other work to do: a rush steps behind it, and takes longer."""

from __future__ import annotations

import os

BUSY_FROM = 1.5
"""Programs that want a core, by core, from which it is said."""


def busy_words(load: float, cores: int) -> str:
    """Say that a machine is busy; empty where it is not.

    Parameters
    ----------
    load : float
        Programs that want a core, on average of a minute.
    cores : int
    """
    if load < BUSY_FROM * cores:
        return ""
    on = "one core" if cores == 1 else f"{cores} cores"
    return f"this machine has much else to do (load {load:.0f} on {on}), so it takes longer"


def busy_here() -> str:
    """Say that this machine is busy; empty where it is not, or does not know."""
    if not hasattr(os, "getloadavg"):
        return ""
    return busy_words(os.getloadavg()[0], os.cpu_count() or 1)
