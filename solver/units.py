"""Amounts as a bar writes them, and time as the planner counts it.

An amount is a short text, ``"50 ml"``, ``"3/4 oz"``, ``"2 dash"``, ``"top"``. Volumes become
millilitres; counted things (dashes, leaves, pieces) keep their count and have a volume only
where one is usual. Time inside the planner is a whole number of deciseconds.

Source: US fluid ounce = 231 in³ / 128 = 29.573 529 562 5 mL (exact, NIST SP 811 appendix B);
teaspoon 5 mL, tablespoon 15 mL (NIST SP 430). Bar spoon, dash, and the old measures (wine glass
of 2 fl oz, pony of half a wine glass, jigger): common practice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import lru_cache

from .errors import BadValue

US_FL_OZ_ML = 29.5735295625

ML_PER_UNIT: dict[str, float] = {
    "ml": 1.0,
    "cl": 10.0,
    "oz": US_FL_OZ_ML,
    "dash": 0.9,
    "bar spoon": 4.0,
    "teaspoon": 5.0,
    "tablespoon": 15.0,
    "wine glass": 2 * US_FL_OZ_ML,
    "pony": US_FL_OZ_ML,
    "jigger": 1.5 * US_FL_OZ_ML,
    "tumbler": 8 * US_FL_OZ_ML,
}
"""Millilitres in one of each unit that is a volume."""

COUNTED_UNITS: tuple[str, ...] = ("piece", "leaf")
"""Units that are counted; what they add to the liquid is the ingredient's ``piece_ml``."""

TOP = "top"
"""Fill what is left of the glass."""

OTHER_SPELLINGS: dict[str, str] = {
    "mls": "ml",
    "dashes": "dash",
    "bar spoons": "bar spoon",
    "barspoon": "bar spoon",
    "barspoons": "bar spoon",
    "teaspoons": "teaspoon",
    "tsp": "teaspoon",
    "tablespoons": "tablespoon",
    "tbsp": "tablespoon",
    "pieces": "piece",
    "leaves": "leaf",
    "wine glasses": "wine glass",
    "ponies": "pony",
    "jiggers": "jigger",
    "tumblers": "tumbler",
    "fl oz": "oz",
}

_FRACTION = r"\d{1,6}/[1-9]\d{0,5}"
_AMOUNT = re.compile(
    rf"^(?P<number>\d{{1,6}} {_FRACTION}|{_FRACTION}|\d{{1,6}}(?:\.\d{{1,9}})?)"
    r"\s*(?P<unit>[a-z][a-z ]*)$"
)
LARGEST_AMOUNT = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """How much of one ingredient goes into one drink.

    Attributes
    ----------
    quantity : float
        In `unit`; 0 for ``top``.
    unit : str
        A key of `ML_PER_UNIT`, one of `COUNTED_UNITS`, or ``"top"``.
    """

    quantity: float
    unit: str

    @property
    def ml(self) -> float:
        """Millilitres; 0 for counted things and for a top, whose volume others know."""
        return self.quantity * ML_PER_UNIT.get(self.unit, 0.0)

    @property
    def is_counted(self) -> bool:
        """Whether the amount is a number of things rather than a volume."""
        return self.unit in COUNTED_UNITS

    @property
    def is_top(self) -> bool:
        """Whether the amount is whatever the glass still holds."""
        return self.unit == TOP


@lru_cache(maxsize=4096)
def parse_amount(text: str) -> Amount:
    """Read an amount such as ``"22.5 ml"``, ``"1 1/2 oz"``, ``"3 dashes"`` or ``"top"``.

    Raises
    ------
    BadValue
        When there is no number, an unknown unit, or an amount no glass could take.
    """
    units = ", ".join([*ML_PER_UNIT, *COUNTED_UNITS, TOP])
    words = " ".join(str(text).lower().split())
    if words == TOP:
        return Amount(quantity=0.0, unit=TOP)
    match = _AMOUNT.match(words)
    if match is None:
        raise BadValue("an amount such as '50 ml', '2 dash' or 'top'", text)
    unit = OTHER_SPELLINGS.get(match["unit"].strip(), match["unit"].strip())
    if unit not in ML_PER_UNIT and unit not in COUNTED_UNITS:
        near = get_close_matches(unit, [*ML_PER_UNIT, *COUNTED_UNITS, *OTHER_SPELLINGS], n=1)
        meant = f"did you mean '{match['number']} {near[0]}'?" if near else ""
        hint = meant or "write a number, a space and one of these units"
        raise BadValue(f"a unit of {units}", text, hint)
    quantity = float(sum(Fraction(part) for part in match["number"].split()))
    if not 0 < quantity <= LARGEST_AMOUNT:
        raise BadValue(f"an amount above 0 and up to {LARGEST_AMOUNT}", text)
    return Amount(quantity=quantity, unit=unit)


DS_PER_S = 10
"""Deciseconds in a second: the planner's unit of time."""


def to_ds(seconds: float) -> int:
    """Seconds to whole deciseconds, to the nearest."""
    return round(seconds * DS_PER_S)


def to_s(deciseconds: int) -> float:
    """Deciseconds to seconds, a multiple of 0.1."""
    return deciseconds / DS_PER_S


def paced_ds(base_ds: int, pace_pct: int) -> int:
    """Deciseconds a person of this pace takes for work of `base_ds`, rounded up once.

    Parameters
    ----------
    base_ds : int
        Work at pace 1.0.
    pace_pct : int
        The person's pace in hundredths: 100 is the standard, 140 a new hand, 85 a fast one.
    """
    return -(-base_ds * pace_pct // 100)


DAY_S = 24 * 3600
_TIME_OF_DAY = re.compile(r"^([01]?\d|2[0-3]):([0-5]\d)$")


def time_of_day_s(text: str) -> int:
    """Give a time of day as seconds after midnight.

    Parameters
    ----------
    text : str
        Hours and minutes on the house's clock, ``"22:30"``.

    Raises
    ------
    BadValue
        When it is not a time of day.
    """
    found = _TIME_OF_DAY.match(text.strip())
    if found is None:
        raise BadValue("a time of day such as 22:30", text)
    return int(found[1]) * 3600 + int(found[2]) * 60


def hours_s(text: str) -> tuple[int, int]:
    """Give a stretch of a night as seconds after midnight; what ends past midnight goes past a day.

    Parameters
    ----------
    text : str
        From and until, ``"18:00-02:00"``.

    Raises
    ------
    BadValue
        When it is not two times of day, or both are the same.
    """
    begins, dash, ends = text.partition("-")
    if not dash:
        raise BadValue("two times of day such as 18:00-02:00", text)
    from_s, until_s = time_of_day_s(begins), time_of_day_s(ends)
    if from_s == until_s:
        raise BadValue("two different times of day", text)
    return from_s, until_s if until_s > from_s else until_s + DAY_S
