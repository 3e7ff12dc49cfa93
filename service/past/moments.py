"""Dates and times as tills write them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

MONTHS = {
    name: number
    for number, names in enumerate(
        (
            ("jan", "january", "januar", "janvier"),
            ("feb", "february", "februar", "février"),
            ("mar", "march", "märz", "mars"),
            ("apr", "april", "avril"),
            ("may", "mai"),
            ("jun", "june", "juni", "juin"),
            ("jul", "july", "juli", "juillet"),
            ("aug", "august", "août"),
            ("sep", "sept", "september", "septembre"),
            ("oct", "october", "oktober", "okt", "octobre"),
            ("nov", "november", "novembre"),
            ("dec", "december", "dezember", "dez", "décembre"),
        ),
        start=1,
    )
    for name in names
}
_ISO_DAY = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_PACKED = re.compile(r"(\d{4})(\d{2})(\d{2})(?!\d)")
_TWO_FIRST = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})(?!\d)")
_DAY_NAME = re.compile(r"(\d{1,2})\.?[ -]([^\W\d]+)\.?,?[ -](\d{4}|\d{2})(?!\d)")
_NAME_DAY = re.compile(r"([^\W\d]+)\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})")
_WEEKDAY = re.compile(r"([^\W\d]{2,})\.?,? +")
_TIME = re.compile(
    r"(\d{1,2})(?:[:.h](\d{2}))?(?:[:.](\d{2})(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?"
    r"\s*(z|utc|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)
_BETWEEN = re.compile(r"^(?:[t,]|\s|at\b|um\b|à\b)+", re.IGNORECASE)
DAY_WORDS = "a date such as 2027-02-12, 12/02/2027, 12.02.27 or 12 Feb 2027"
TIME_WORDS = "a time such as 21:04, 21:04:10 or 9:04 PM"


class NoSuchMoment(ValueError):
    """A date or a time that cannot be read; says what was expected."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moments:
    """How the dates and times of one file are to be read.

    Attributes
    ----------
    is_day_first : bool or None
        ``03/04`` is the third of April; None where nothing told.
    zone : ZoneInfo or None
        The clock of times without an offset; None where nobody said.
    """

    is_day_first: bool | None
    zone: ZoneInfo | None

    def moment(self, day: str, clock: str) -> datetime:
        """Read a day and a time.

        Parameters
        ----------
        day : str
            With the time in it, where `clock` is empty.
        clock : str

        Raises
        ------
        NoSuchMoment
        """
        found, rest = self._day(day)
        at, offset = _clock(clock or rest)
        naive = datetime.combine(found, at)
        if offset is not None:
            return datetime.fromisoformat(f"{naive.isoformat()}{offset}")
        if self.zone is None:
            raise NoSuchMoment(
                "expected to know by which clock the times are: say it by --bar or --timezone"
            )
        return naive.replace(tzinfo=self.zone)

    def _day(self, text: str) -> tuple[date, str]:
        """Give the day at the beginning of a text and what stands behind it."""
        text = _without_weekday(text)
        found = _ISO_DAY.match(text) or _PACKED.match(text)
        if found:
            year, month, day = (int(part) for part in found.groups())
        elif found := _TWO_FIRST.match(text):
            one, two, year = (int(part) for part in found.groups())
            is_day_first = True if one > 12 else False if two > 12 else self.is_day_first
            # A point between them is the continent's way, where the day comes first.
            if is_day_first is None and "." not in found.group():
                raise NoSuchMoment(
                    f"expected a date of which the file says whether day or month comes first; "
                    f"came {text!r}: say it by --day-first or --month-first"
                )
            day, month = (two, one) if is_day_first is False else (one, two)
        elif found := _DAY_NAME.match(text):
            day, month, year = int(found[1]), MONTHS.get(found[2].casefold(), 0), int(found[3])
        elif found := _NAME_DAY.match(text):
            day, month, year = int(found[2]), MONTHS.get(found[1].casefold(), 0), int(found[3])
        else:
            raise NoSuchMoment(f"expected {DAY_WORDS}; came {text!r}")
        try:
            return date(year + 2000 if year < 100 else year, month, day), text[found.end() :]
        except ValueError:
            raise NoSuchMoment(f"expected {DAY_WORDS}; came {text!r}, no such day") from None


def _without_weekday(text: str) -> str:
    """Take the name of a day of the week, in any language, off the beginning."""
    bare = text.strip()
    found = _WEEKDAY.match(bare)
    return bare[found.end() :] if found and found[1].casefold() not in MONTHS else bare


def _clock(text: str) -> tuple[time, str | None]:
    """Give a time and its offset, such as ``+01:00``."""
    bare = _BETWEEN.sub("", text.strip())
    found = _TIME.fullmatch(bare)
    if not found or not (found[2] or found[4]):
        raise NoSuchMoment(f"expected {TIME_WORDS}; came {text.strip()!r}")
    hour, half = int(found[1]), (found[4] or "")[:1].lower()
    if half and not 1 <= hour <= 12:
        raise NoSuchMoment(f"expected {TIME_WORDS}; came {text.strip()!r}")
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    try:
        at = time(hour, int(found[2] or 0), int(found[3] or 0))
    except ValueError:
        raise NoSuchMoment(f"expected {TIME_WORDS}; came {text.strip()!r}") from None
    offset = found[5]
    if offset and offset[0] not in "+-":
        offset = "+00:00"
    return at, offset


def day_comes_first(texts: Iterable[str]) -> bool | None:
    """Find out from all dates of a file whether the day or the month comes first.

    Returns
    -------
    bool or None
        None where no date has a number above 12 in one of the two places.
    """
    for text in texts:
        found = _TWO_FIRST.match(_without_weekday(text))
        if found and max(int(found[1]), int(found[2])) > 12:
            return int(found[1]) > 12
    return None
