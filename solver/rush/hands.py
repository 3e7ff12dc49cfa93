"""How evenly hands work: no step takes its standard, and the tap on the screen comes late.

Source: common practice, no measurement: step times are lognormal with a coefficient of
variation of 0.25 to 0.30, a tap takes 1.5 s. How often a tap is forgotten is from memory.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable
from dataclasses import dataclass, field

from solver.errors import BadValue

VARIATION = 0.28
TAP_S = 1.5
FORGOTTEN = 0.05
FORGOTTEN_S = (8.0, 20.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """One pair of hands, repeatable by its seed.

    Attributes
    ----------
    seed : int
    variation : float
        Coefficient of variation of one step; 0 for a machine.
    """

    seed: int
    variation: float = VARIATION
    _rng: random.Random = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not 0 <= self.variation <= 1:
            raise BadValue("a coefficient of variation from 0 to 1", self.variation)
        object.__setattr__(self, "_rng", random.Random(self.seed))

    def takes_s(self, steps_s: Iterable[float]) -> float:
        """Give the seconds these steps take this time; their mean is the sum of the standards."""
        return sum(step_s * self._factor() for step_s in steps_s)

    def taps_after_s(self) -> float:
        """Give the seconds from the last hand's turn until the tap."""
        late_s = self._rng.uniform(*FORGOTTEN_S) if self._rng.random() < FORGOTTEN else 0.0
        return TAP_S * self._factor() + late_s

    def _factor(self) -> float:
        # A lognormal of mean 1: the mean of exp(N(mu, sigma)) is exp(mu + sigma²/2).
        spread = math.log1p(self.variation**2)
        return self._rng.lognormvariate(-spread / 2, math.sqrt(spread))
