"""One night of a rush, simulated: the engine is SimPy, the hands work block by block."""

from __future__ import annotations

from collections.abc import Callable

from .night import Night
from .scenario import Policy, Rush

Clock = Callable[[], float]


def simulate(
    rush: Rush,
    *,
    seed: int,
    policy: Policy = Policy.LIVE,
    clock: Clock = lambda: 0.0,
    go_on: Callable[[float], bool] = lambda _share: True,
) -> Night | None:
    """Simulate one night.

    Parameters
    ----------
    rush : Rush
    seed : int
        The same night for the same rush, policy and seed, on every machine. Two policies, or two
        scenarios, with the same seed see the same guests and the same hands.
    policy : Policy
    clock : callable
        Monotonic seconds, only to say what planning took.
    go_on : callable
        Called with the share of the night that is over, 0 to 1, some times a second; a False
        answer stops the night.

    Returns
    -------
    Night or None
        None where `go_on` stopped it.
    """
    raise NotImplementedError
