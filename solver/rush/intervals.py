"""What chance leaves open: intervals over nights that differ by their seeds alone.

The datum is one figure of one whole night: its mean, its own p90, the difference of two policies
that met the same guests. Nights are independent, so Student's t holds for their mean however
much the rounds of one night hang together.

Source: Student, "The probable error of a mean", Biometrika 6, 1908; Stein, "A two-sample test for
a linear hypothesis whose power is independent of the variance", Ann. Math. Statist. 16, 1945.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from scipy.special import stdtrit

from solver.errors import BadValue

CONFIDENCE = 0.95
CHANCE_ONLY = "covers chance from night to night, not time standards that are wrong for your house"
"""Stands beside every interval that is shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A mean over nights and where it may truly lie.

    Attributes
    ----------
    mean : float
    low, high : float or None
        Ends of the interval; None where fewer than two nights say nothing about chance.
    nights : int
        How many nights it is made from.
    """

    mean: float
    low: float | None
    high: float | None
    nights: int

    @property
    def half_width(self) -> float | None:
        """Half the distance between the ends; None where there is none."""
        return None if self.low is None or self.high is None else (self.high - self.low) / 2

    def holds(self, value: float) -> bool:
        """Whether a value lies in the interval; never where there is none."""
        return self.low is not None and self.high is not None and self.low <= value <= self.high


def t_interval(
    values: Sequence[float], *, pilot: int | None = None, confidence: float = CONFIDENCE
) -> Interval:
    """Give the mean of nights with its interval: mean ± t(p - 1) · s(p) / √n.

    Parameters
    ----------
    values : sequence of float
        One figure a night, in the order of the nights.
    pilot : int or None
        How many first nights the scatter s(p) is taken from; None for all. After a run whose
        length was chosen from its first nights, these alone keep the interval honest (Stein).
    confidence : float

    Raises
    ------
    BadValue
        When there is no night.
    """
    if not values:
        raise BadValue("the figure of one night or more", values)
    mean = math.fsum(values) / len(values)
    first = values[:pilot]
    if len(first) < 2:
        return Interval(mean=mean, low=None, high=None, nights=len(values))
    half = _t(len(first), confidence) * _scatter(first) / math.sqrt(len(values))
    return Interval(mean=mean, low=mean - half, high=mean + half, nights=len(values))


def paired_difference(
    ours: Sequence[float | None], theirs: Sequence[float | None], *, pilot: int | None = None
) -> Interval | None:
    """Give ours minus theirs, night by night on common random numbers.

    Parameters
    ----------
    ours, theirs : sequence of float or None
        The same nights in the same order; a night in which either has no figure is left out.
    pilot : int or None
        As in `t_interval`.

    Raises
    ------
    BadValue
        When the two have not the same number of nights.
    """
    return _paired(((a - b) for a, b in _pairs(ours, theirs)), pilot)


def paired_ratio(
    ours: Sequence[float | None], theirs: Sequence[float | None], *, pilot: int | None = None
) -> Interval | None:
    """Give ours over theirs, night by night: the geometric mean of the nights' own ratios.

    The interval is that of the mean logarithm, taken back. A night in which either is not above 0
    has no ratio and is left out.

    Parameters
    ----------
    ours, theirs, pilot
        As in `paired_difference`.
    """
    pairs = [(a, b) for a, b in _pairs(ours, theirs) if a > 0 and b > 0]
    found = _paired((math.log(a / b) for a, b in pairs), pilot)
    if found is None:
        return None
    return Interval(
        mean=math.exp(found.mean),
        low=None if found.low is None else math.exp(found.low),
        high=None if found.high is None else math.exp(found.high),
        nights=found.nights,
    )


def nights_needed(pilot: Sequence[float], *, within: float, confidence: float = CONFIDENCE) -> int:
    """Give how many nights make the interval as narrow as asked, by Stein's rule.

    N = max(p, ⌈(t(p - 1) · s(p) / within)²⌉ ); with `t_interval(..., pilot=p)` over these N nights
    the interval is that narrow and covers as often as it says (exactly for normal figures), since
    the mean of all nights does not depend on the scatter of the first.

    Parameters
    ----------
    pilot : sequence of float
        The figures of the first nights, two or more.
    within : float
        Wanted half width, in the figure's unit, above 0.
    confidence : float

    Raises
    ------
    BadValue
        When there are fewer than two nights or the width is not above 0.
    """
    if len(pilot) < 2:
        raise BadValue("two first nights or more", len(pilot))
    if not within > 0:
        raise BadValue("a width above 0", within)
    wanted = (_t(len(pilot), confidence) * _scatter(pilot) / within) ** 2
    return max(len(pilot), math.ceil(wanted))


def _paired(values: Iterable[float], pilot: int | None) -> Interval | None:
    kept = list(values)
    return t_interval(kept, pilot=pilot) if kept else None


def _pairs(
    ours: Sequence[float | None], theirs: Sequence[float | None]
) -> list[tuple[float, float]]:
    if len(ours) != len(theirs):
        raise BadValue("the same nights of both", (len(ours), len(theirs)))
    both = zip(ours, theirs, strict=True)
    return [(a, b) for a, b in both if a is not None and b is not None]


def _t(num_values: int, confidence: float) -> float:
    return float(stdtrit(num_values - 1, 0.5 + confidence / 2))


def _scatter(values: Sequence[float]) -> float:
    """Standard deviation of single nights, from n - 1."""
    mean = math.fsum(values) / len(values)
    return math.sqrt(math.fsum((v - mean) ** 2 for v in values) / (len(values) - 1))
