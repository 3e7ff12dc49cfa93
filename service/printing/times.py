"""Times on paper: found in a line, and resolved to a moment by the bar's own clock."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from .prints import Printed

_HALF = r"(?: ?(?P<half>[ap])\.?(?:m\.?)?(?![^\W\d_]))?(?: ?(?:uhr|hrs?|h)(?![^\W_]))?"
_CLOCK = re.compile(
    r"(?<!\d)(?<!\d[:.,])(?P<hour>[0-2]?\d)(?::| ?h ?)(?P<minute>[0-5]\d)(?::(?P<second>[0-5]\d))?"
    rf"{_HALF}(?![\d:])",
    re.IGNORECASE,
)
_MILITARY = re.compile(
    r"(?<!\d)(?<!\d[:.,])(?P<hour>[0-2]\d)(?P<minute>[0-5]\d)(?P<second>)(?P<half>) ?(?:hrs?|uhr|h)"
    r"(?![^\W_])",
    re.IGNORECASE,
)
_DOTTED_CLOCK = re.compile(
    r"(?<!\d)(?<!\d[:.,])(?P<hour>[0-2]?\d)\.(?P<minute>[0-5]\d)(?:\.(?P<second>[0-5]\d))?"
    rf"{_HALF}(?![\d:.,])",
    re.IGNORECASE,
)
"""``18.04``: an amount of money looks like that too, so it counts only where a time is due."""
_NUMBERS = re.compile(
    r"(?<!\d)(?<!\d[./:,-])(?P<one>\d{1,4})(?P<mark>\. |[./-])(?P<two>\d{1,2})(?P=mark)"
    r"(?P<three>\d{2,4})(?![\d/-])"
)
"""Some tongues write a space behind each point: ``12. 2. 2027``."""
_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "jan january januar januari janvier enero gennaio janeiro ene",
            "feb february februar februari fev febrero febbraio fevereiro",
            "mar march mrz märz mars marzo maart mrt março marts",
            "apr april avr abril abr aprile avril",
            "may mai mayo maggio maj mei maio",
            "jun june juni juin junio giugno giu junho",
            "jul july juli juillet julio luglio lug julho",
            "aug august aout août agosto augustus augusti",
            "sep sept september septiembre settembre setembro septembre",
            "oct october okt oktober octobre octubre ottobre ott outubro",
            "nov november noviembre novembre novembro",
            "dec december dez dezember diciembre dicembre dic dezembro desember décembre",
        ),
        start=1,
    )
    for name in names.split()
}
_MONTH = "|".join(sorted(_MONTHS, key=len, reverse=True))
_NAMED = re.compile(
    rf"(?<!\d)(?<!\d[:.,])(?:(?P<day>\d{{1,2}})(?:\.|st|nd|rd|th)?[ /-]?(?P<month>{_MONTH})"
    rf"(?![^\W\d_])\.?,?|(?<![^\W_])(?P<month2>{_MONTH})\.? ?(?P<day2>\d{{1,2}}),?)"
    rf"(?:[ /-]?'?(?P<year>\d{{4}}|\d{{2}}(?![\d:.h])))?(?![\d])",
    re.IGNORECASE,
)
_DIGIT = re.compile(r"\d")
_LETTERS = re.compile(r"[^\W\d_]+")
_WEEK = (("mo",), ("tu", "di"), ("we", "mi"), ("th", "do"), ("fr",), ("sa",), ("su", "so"))
_WEEKDAY = re.compile(
    r"(?<![^\W_])(?:mon|tue|tues|wed|thu|thur|thurs|fri|sat|sun|mo|di|mi|do|fr|sa|so"
    r"|monday|tuesday|wednesday|thursday|friday|saturday|sunday)(?![^\W_])[.,]?",
    re.IGNORECASE,
)


def find_time(text: str, *, day_first: bool, is_due: bool = False) -> tuple[Printed | None, str]:
    """Find a time, a day or both in a line.

    Parameters
    ----------
    text : str
    day_first : bool
        ``03/04`` is the third of April.
    is_due : bool
        A time is expected here, so that ``18.04`` is one and no amount of money; beside a whole
        date it is one anyway.

    Returns
    -------
    tuple of (Printed or None, str)
        What was found, and the line with it blanked out, as long as before.
    """
    if not _DIGIT.search(text):
        return None, text
    day, other_day, day_span, is_whole = _find_day(text, day_first=day_first)
    rest = text if day_span is None else _blanked(text, day_span)
    at, spans = None, []
    clocks = (_CLOCK, _MILITARY, _DOTTED_CLOCK)
    for pattern in clocks if is_due or day_span else clocks[:2]:
        if (found := pattern.search(rest)) and (at := _clock(found)) is not None:
            spans.append(found.span())
            break
    if not is_whole and at is None:
        # A day and a month alone may be anything: "2 Mar", "May 12".
        day_span = None
    if day_span is not None:
        spans.append(day_span)
        # "do" and "so" are weekdays only right before a day.
        week = (m for m in _WEEKDAY.finditer(text) if 0 <= day_span[0] - m.end() <= 1)
        spans += [m.span() for m in week if _may_be_day(m.group(), day, other_day)]
    elif spans:
        # A weekday right before the time: "Fri 18:04".
        spans += [m.span() for m in _WEEKDAY.finditer(text) if 0 <= spans[0][0] - m.end() <= 1]
    if not spans:
        return None, text
    said = " ".join(text[a:b].strip() for a, b in sorted(spans))
    rest = text
    for span in spans:
        rest = _blanked(rest, span)
    other_day = None if other_day == day else other_day
    return Printed(text=said, day=day, at=at, other_day=other_day), rest


def _may_be_day(word: str, day: date | None, other: date | None) -> bool:
    """Whether a weekday is this day's: "Mo 12.02.2027" names a person, for that was a Friday."""
    number = next(n for n, names in enumerate(_WEEK) if word.casefold().startswith(names))
    return day is None or number in {one.weekday() for one in (day, other) if one is not None}


def _find_day(
    text: str, *, day_first: bool
) -> tuple[date | None, date | None, tuple[int, int] | None, bool]:
    """Find a day: it, what it is read the other way, where it stands, whether it has its year."""
    if found := _NUMBERS.search(text):
        day = _day(found, day_first=day_first)
        if day is not None:
            return day, _day(found, day_first=not day_first), found.span(), True
    if not _MONTHS.keys().isdisjoint(_LETTERS.findall(text.lower())):
        for found in _NAMED.finditer(text):
            if found["year"] is None:
                return None, None, found.span(), False
            if (day := _named_day(found)) is not None:
                return day, None, found.span(), True
    return None, None, None, False


def _blanked(text: str, span: tuple[int, int]) -> str:
    start, end = span
    return text[:start] + " " * (end - start) + text[end:]


def resolve(
    printed: Printed | None,
    received: datetime,
    zone: ZoneInfo,
) -> datetime | None:
    """Give the moment a print speaks of, aware, in UTC.

    A clock time without a day, or with one that can be read two ways, is the nearest such moment to
    `received`: so 23:58 that comes at 00:03 was yesterday, and 22:00 that comes at 21:54 is this
    evening's, by a clock that is ahead. Where the clocks go back and the hour is there twice, the
    same holds.

    Parameters
    ----------
    printed : Printed or None
    received : datetime
        Aware.
    zone : ZoneInfo
        The bar's.

    Returns
    -------
    datetime or None
        None where the paper has no clock time.
    """
    if printed is None or printed.at is None:
        return None
    here = received.astimezone(zone).date()
    days = [here + timedelta(days=n) for n in (-1, 0, 1)]
    if printed.day is not None:
        days = [printed.day, *([printed.other_day] if printed.other_day else [])]
    could = {
        datetime.combine(day, printed.at.replace(fold=fold), tzinfo=zone).astimezone(UTC)
        for day in days
        for fold in (0, 1)
    }
    # As near on either side, it has been.
    return min(could, key=lambda moment: (abs(received - moment), moment))


def business_day(moment: datetime, zone: ZoneInfo, ends_hour: int) -> date:
    """Give the business day of a moment: before the hour at which a day ends, it is yesterday's.

    Parameters
    ----------
    moment : datetime
        Aware.
    zone : ZoneInfo
    ends_hour : int
    """
    here = moment.astimezone(zone)
    return here.date() - timedelta(days=1) if here.hour < ends_hour else here.date()


def day_order(texts: Iterable[str]) -> bool | None:
    """Tell from days in figures whether the day stands before the month.

    Returns
    -------
    bool or None
        None where every one of them can be read both ways, or there is none.
    """
    for text in texts:
        found = _NUMBERS.search(text)
        if found and len(found["one"]) <= 2:
            one, two = int(found["one"]), int(found["two"])
            if 12 < one <= 31 and two <= 12:
                return True
            if 12 < two <= 31 and one <= 12:
                return False
    return None


def _clock(found: re.Match[str]) -> time | None:
    hour, half = int(found["hour"]), (found["half"] or "").lower()
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    if hour > 23:
        return None
    return time(hour, int(found["minute"]), int(found["second"] or 0))


def _day(found: re.Match[str], *, day_first: bool) -> date | None:
    one, two, three = int(found["one"]), int(found["two"]), int(found["three"])
    if len(found["one"]) == 4:
        return _date(one, two, three)
    if len(found["one"]) > 2 or len(found["three"]) == 3:
        return None
    year = three if three > 99 else 2000 + three
    first, second = (two, one) if day_first else (one, two)
    # 02/13 can only be read one way.
    return _date(year, first, second) or _date(year, second, first)


def _named_day(found: re.Match[str]) -> date | None:
    month = _MONTHS.get((found["month"] or found["month2"]).lower())
    if month is None:
        return None
    year = int(found["year"])
    return _date(year if year > 99 else 2000 + year, month, int(found["day"] or found["day2"]))


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day) if 2000 <= year <= 2099 else None
    except ValueError:
        return None
