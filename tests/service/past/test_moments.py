"""Dates and times as tills write them."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.past.moments import Moments, NoSuchMoment, day_comes_first

LONDON = ZoneInfo("Europe/London")
DAY_FIRST = Moments(is_day_first=True, zone=LONDON)
MONTH_FIRST = Moments(is_day_first=False, zone=LONDON)
UNKNOWN = Moments(is_day_first=None, zone=LONDON)
NINE = datetime(2027, 2, 12, 21, 4, tzinfo=UTC)

WAYS = (
    "%Y-%m-%d %H:%M",
    "%Y-%m-%dT%H:%M:%S",
    "%Y/%m/%d %H:%M",
    "%Y%m%d %H:%M",
    "%d/%m/%Y %H:%M",
    "%d/%m/%y %H:%M:%S",
    "%d.%m.%Y %H:%M",
    "%d.%m.%Y, %H.%M",
    "%d-%m-%Y %Hh%M",
    "%d %b %Y %H:%M",
    "%d-%b-%y %H:%M",
    "%B %d, %Y %H:%M",
    "%a %d %b %Y %H:%M",
    "%A, %d/%m/%Y %I:%M %p",
    "%d/%m/%Y at %I:%M%p",
)


@pytest.mark.parametrize("way", WAYS)
def test_every_way_to_write_it(way: str) -> None:
    assert DAY_FIRST.moment(NINE.strftime(way), "") == NINE


@pytest.mark.parametrize("way", ["%m/%d/%Y %I:%M %p", "%m-%d-%y %H:%M"])
def test_month_first(way: str) -> None:
    assert MONTH_FIRST.moment(NINE.strftime(way), "") == NINE


@given(
    st.integers(0, 36_158 * 24 * 60).map(
        lambda minutes: datetime(2001, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
    ),
    st.sampled_from(WAYS),
)
def test_what_is_written_is_read(moment: datetime, way: str) -> None:
    found = DAY_FIRST.moment(moment.strftime(way), "")
    assert found.replace(tzinfo=UTC) == moment


def test_day_and_time_in_two_columns() -> None:
    assert DAY_FIRST.moment("12/02/2027", "9:04 pm") == NINE


def test_an_offset_counts_more_than_the_bars_clock() -> None:
    assert UNKNOWN.moment("2027-02-12T22:04:00+01:00", "") == NINE
    assert UNKNOWN.moment("2027-02-12 21:04:00.123Z", "") == NINE


def test_summer_time_is_the_bars() -> None:
    assert DAY_FIRST.moment("12/07/2027 21:04", "").utcoffset() == timedelta(hours=1)


def test_midnight_and_noon_on_a_clock_of_twelve_hours() -> None:
    assert DAY_FIRST.moment("12/02/2027", "12:05 AM").time() == time(0, 5)
    assert DAY_FIRST.moment("12/02/2027", "12:05 PM").time() == time(12, 5)


def test_a_date_that_could_be_two_is_refused() -> None:
    with pytest.raises(NoSuchMoment, match="--day-first or --month-first"):
        UNKNOWN.moment("03/04/2027 21:00", "")
    assert UNKNOWN.moment("03.04.2027 21:00", "").date() == date(2027, 4, 3)
    assert UNKNOWN.moment("13/04/2027 21:00", "").date() == date(2027, 4, 13)


def test_one_date_tells_of_all() -> None:
    assert day_comes_first(["03/04/2027", "25/04/2027"]) is True
    assert day_comes_first(["03/04/2027 21:00", "04/25/2027 21:00"]) is False
    assert day_comes_first(["03/04/2027", "2027-04-25", ""]) is None


@pytest.mark.parametrize(
    ("day", "clock"),
    [
        ("31/02/2027", "21:00"),
        ("soon", "21:00"),
        ("", "21:00"),
        ("12/02/2027", ""),
        ("12/02/2027", "25:00"),
        ("12/02/2027", "13:00 PM"),
        ("12/02/2027", "21"),
        ("12/02/2027 21:00 or so", ""),
        ("12 Brumaire 2027", "21:00"),
    ],
)
def test_what_cannot_be_a_moment_is_said(day: str, clock: str) -> None:
    with pytest.raises(NoSuchMoment, match=r"expected a (date|time)"):
        DAY_FIRST.moment(day, clock)


@given(st.text(max_size=30), st.text(max_size=12))
def test_any_text_is_read_or_refused(day: str, clock: str) -> None:
    with suppress(NoSuchMoment):
        assert UNKNOWN.moment(day, clock).utcoffset() is not None
