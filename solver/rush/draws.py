"""Chance, by name: every draw of a night is a function of the seed and of what it is for.

Draws do not come one after the other from one generator, but each from its own key: "the third
ticket's patience", "how long the shake of drink t0003.2 takes". So two policies, or two
scenarios, that are given the same seed see the same guests and the same hands, whatever happens
in between and in whatever order (common random numbers).
"""

from __future__ import annotations

import hashlib
import math
import random
from statistics import NormalDist

from .scenario import Scatter, Spread

_BITS = 53
_NORMAL = NormalDist()


class Draws:
    """Everything that is left to chance in one night.

    Parameters
    ----------
    seed : int
    """

    def __init__(self, seed: int) -> None:
        self.seed = seed
        self._key = hashlib.blake2b(str(seed).encode(), digest_size=16).digest()

    def share(self, *what: str | int) -> float:
        """Give a number between 0 and 1, ends excluded, each as likely."""
        return ((self._bits(what) >> (64 - _BITS)) + 0.5) / (1 << _BITS)

    def happens(self, pct: float, *what: str | int) -> bool:
        """Say whether something happens that does so in `pct` of 100 cases."""
        return pct > 0 and self.share(*what) * 100 < pct

    def between(self, least: float, most: float, *what: str | int) -> float:
        """Give a number from `least` to `most`, each as likely."""
        return least + (most - least) * self.share(*what)

    def factor(self, scatter: Scatter, *what: str | int) -> float:
        """Give how much longer than its standard a step takes; 1 on average."""
        match scatter.spread:
            case Spread.NONE:
                return 1.0
            case Spread.EXPONENTIAL:
                return -math.log(self.share(*what))
            case Spread.ERLANG:
                stages = range(scatter.stages)
                return -sum(math.log(self.share(*what, n)) for n in stages) / scatter.stages
            case _:
                # A lognormal of mean 1: the mean of exp(N(mu, sigma)) is exp(mu + sigma²/2).
                spread = math.log1p(scatter.variation**2)
                away = _NORMAL.inv_cdf(self.share(*what))
                return math.exp(math.sqrt(spread) * away - spread / 2)

    def generator(self, *what: str | int) -> random.Random:
        """Give a generator of its own, for what takes many draws in a fixed order."""
        return random.Random(self._bits(what))

    def _bits(self, what: tuple[str | int, ...]) -> int:
        text = "\x1f".join(map(str, what)).encode()
        return int.from_bytes(hashlib.blake2b(text, digest_size=8, key=self._key).digest())
