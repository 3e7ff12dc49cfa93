"""Random numbers and acceptance in whole numbers, so that a seed gives the same search anywhere."""

from __future__ import annotations

import math

import numpy as np

from solver.timing.arrays import Ints
from solver.timing.compiling import inner

MODULUS = 2_147_483_647
MULTIPLIER = 48_271
"""Source: Park and Miller, Commun. ACM 36(7), 1993 ("minimal standard", revised multiplier)."""

PATIENCE: Ints = np.array(
    [round(-1024 * math.log((i + 0.5) / 1024)) for i in range(1024)], dtype=np.int64
)
"""-1024·ln(u) for 1,024 even steps of u: worse by up to temperature·entry/1024 is accepted."""


def first_state(seed: int) -> Ints:
    """Give the generator's state for a seed; small seeds are spread out first."""
    return np.array([(seed * 2_654_435_761 + 97) % (MODULUS - 1) + 1], dtype=np.int64)


@inner
def draw(state: Ints, below: int) -> int:
    """Give a number from 0 to `below` - 1."""
    state[0] = state[0] * MULTIPLIER % MODULUS
    return int(state[0] >> 3) % below


@inner
def accepts(state: Ints, patience: Ints, worse_by: int, temperature: int) -> bool:
    """Whether a plan that is worse by so much is taken at this temperature (Metropolis)."""
    if worse_by <= 0:
        return True
    return bool(worse_by * 1024 <= temperature * patience[draw(state, 1024)])
