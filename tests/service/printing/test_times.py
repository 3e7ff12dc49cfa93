"""Times on paper: how they are written, and which moment they mean."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.night.hours import DAY_BEGINS_H
from service.printing.prints import Printed
from service.printing.profile import Profile
from service.printing.times import business_day, find_time, resolve

# Hypothesis wants bounds without a zone.
EARLIEST = datetime(2026, 1, 1)  # noqa: DTZ001
LATEST = datetime(2028, 1, 1)  # noqa: DTZ001
LONDON = ZoneInfo("Europe/London")
NEW_YORK = ZoneInfo("America/New_York")
DAY = date(2027, 2, 12)


@pytest.mark.parametrize(
    ("text", "day", "at"),
    [
        ("18:34", None, time(18, 34)),
        ("6:20 PM", None, time(18, 20)),
        ("12:05 am", None, time(0, 5)),
        ("12:05p", None, time(12, 5)),
        ("18h34", None, time(18, 34)),
        ("18:07:03", None, time(18, 7, 3)),
        ("12/02/27 18:07:03", DAY, time(18, 7, 3)),
        ("12.02.2027 18:47", DAY, time(18, 47)),
        ("2027-02-12 18:05", DAY, time(18, 5)),
        ("Fri 12 Feb 2027 18:18", DAY, time(18, 18)),
        ("Feb 12, 2027 6:18 pm", DAY, time(18, 18)),
        ("12. Februar 2027 18:18 Uhr", DAY, time(18, 18)),
        ("12/02/2027", DAY, None),
    ],
)
def test_ways_to_write_a_time(text: str, day: date | None, at: time | None) -> None:
    found, rest = find_time(f"Table 4   {text}", day_first=True)
    assert found is not None
    assert (found.day, found.at) == (day, at)
    assert rest.split() == ["Table", "4"]
    assert len(rest) == len(f"Table 4   {text}")


@pytest.mark.parametrize(
    "text",
    [
        "Table 12",
        "2 x Salt Ferry 19.00",
        "25:10",
        "18:75",
        "1:2",
        "not before 9",
        "3-107",
    ],
)
def test_what_is_no_time(text: str) -> None:
    assert find_time(text, day_first=True) == (None, text)


def test_the_order_of_day_and_month_is_the_houses_where_it_can_be_either() -> None:
    def day(text: str, *, day_first: bool) -> date | None:
        found, _ = find_time(text, day_first=day_first)
        return found.day if found else None

    assert day("03/04/2027", day_first=True) == date(2027, 4, 3)
    assert day("03/04/2027", day_first=False) == date(2027, 3, 4)
    assert day("02/13/2027", day_first=True) == date(2027, 2, 13)


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[arg-type, misc]


def clock(hour: int, minute: int, day: date | None = None) -> Printed:
    return Printed(text="", day=day, at=time(hour, minute))


@pytest.mark.parametrize(
    ("printed", "received", "zone", "moment"),
    [
        (clock(21, 4), utc(2027, 2, 12, 21, 5), LONDON, utc(2027, 2, 12, 21, 4)),
        # Printed before midnight, received after it; and tills whose clocks are ahead.
        (clock(22, 0), utc(2027, 2, 12, 21, 54), LONDON, utc(2027, 2, 12, 22, 0)),
        (clock(0, 40), utc(2027, 2, 12, 23, 59), LONDON, utc(2027, 2, 13, 0, 40)),
        (clock(23, 58), utc(2027, 2, 13, 0, 3), LONDON, utc(2027, 2, 12, 23, 58)),
        (clock(0, 1), utc(2027, 2, 12, 23, 59), LONDON, utc(2027, 2, 13, 0, 1)),
        # Summer time in London; the day there is another one than in UTC.
        (clock(0, 30), utc(2027, 7, 1, 23, 31), LONDON, utc(2027, 7, 1, 23, 30)),
        (clock(20, 0), utc(2027, 2, 13, 1, 1), NEW_YORK, utc(2027, 2, 13, 1, 0)),
        # 31 October 2027: 01:30 is there twice in London, first in summer time.
        (clock(1, 30), utc(2027, 10, 31, 0, 31), LONDON, utc(2027, 10, 31, 0, 30)),
        (clock(1, 30), utc(2027, 10, 31, 1, 31), LONDON, utc(2027, 10, 31, 1, 30)),
        # 28 March 2027: 01:30 is not there in London; a till that has not heard of it prints it.
        (clock(1, 30), utc(2027, 3, 28, 1, 31), LONDON, utc(2027, 3, 28, 1, 30)),
        # A day on the paper counts, however long ago.
        (clock(21, 4, DAY), utc(2027, 3, 1, 10, 0), LONDON, utc(2027, 2, 12, 21, 4)),
    ],
)
def test_which_moment_a_time_means(
    printed: Printed, received: datetime, zone: ZoneInfo, moment: datetime
) -> None:
    assert resolve(printed, received, zone) == moment


def test_of_two_ways_to_read_a_day_the_one_that_has_just_been_counts() -> None:
    found, _ = find_time("02/12/2027 18:04", day_first=True)
    assert found is not None
    assert (found.day, found.other_day) == (date(2027, 12, 2), DAY)
    assert resolve(found, utc(2027, 2, 12, 18, 5), LONDON) == utc(2027, 2, 12, 18, 4)
    assert resolve(found, utc(2027, 12, 2, 18, 5), LONDON) == utc(2027, 12, 2, 18, 4)


def test_without_a_clock_time_there_is_no_moment() -> None:
    assert resolve(None, utc(2027, 2, 12), LONDON) is None
    assert resolve(Printed(text="", day=DAY), utc(2027, 2, 12), LONDON) is None


@given(
    received=st.datetimes(EARLIEST, LATEST, timezones=st.just(UTC)),
    at=st.times().map(lambda found: found.replace(microsecond=0)),
    zone=st.sampled_from([LONDON, NEW_YORK, ZoneInfo("Asia/Kolkata"), ZoneInfo("Pacific/Apia")]),
)
@settings(max_examples=300, deadline=None)
def test_a_clock_time_is_of_the_nearest_day(received: datetime, at: time, zone: ZoneInfo) -> None:
    moment = resolve(Printed(text="", at=at), received, zone)
    assert moment is not None
    assert moment.utcoffset() == received.utcoffset()
    # Half a day, and an hour more where the clocks went forward or back.
    assert abs(received - moment).total_seconds() <= 13 * 3600


@pytest.mark.parametrize(
    ("moment", "day"),
    [
        (utc(2027, 2, 12, 23, 59), date(2027, 2, 12)),
        (utc(2027, 2, 13, 4, 59), date(2027, 2, 12)),
        (utc(2027, 2, 13, 5, 0), date(2027, 2, 13)),
        (utc(2027, 7, 2, 3, 59), date(2027, 7, 1)),
        (utc(2027, 7, 2, 4, 0), date(2027, 7, 2)),
    ],
)
def test_a_business_day_ends_by_the_bars_clock(moment: datetime, day: date) -> None:
    assert business_day(moment, LONDON, 5) == day


def test_a_business_day_ends_when_the_bars_own_does() -> None:
    assert Profile(name="till").business_day_ends == DAY_BEGINS_H
