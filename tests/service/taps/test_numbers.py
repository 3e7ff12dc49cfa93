"""Numbers of a till: what is missing, what comes late, days that begin anew, 999 and then 1."""

from __future__ import annotations

import pytest

from service.taps.numbers import Counted, counted_on


@pytest.mark.parametrize(
    ("last", "count", "is_new_day", "missing", "counts_from"),
    [
        (214, 215, False, (), 215),
        (214, 216, False, ((215, 215),), 216),
        (214, 219, False, ((215, 218),), 219),
        (214, 214, False, (), None),
        (214, 200, False, (), None),
        # Another day: on from yesterday, or anew.
        (214, 215, True, (), 215),
        (214, 1, True, (), 1),
        (214, 3, True, ((1, 2),), 3),
        (214, 101, True, (), 101),
        (2, 3, True, (), 3),
        (1, 1, True, (), 1),
        # Once round.
        (999, 1, False, (), 1),
        (998, 2, False, ((999, 999), (1, 1)), 2),
        (99, 1, False, (), 1),
        (999, 1000, False, (), 1000),
        # A till that was switched off and begins anew in the same night.
        (214, 1, False, (), 1),
        (214, 2, False, ((1, 1),), 2),
        # Two tills' worth of paper later: late, not anew.
        (12, 3, False, (), None),
    ],
)
def test_what_is_missing(
    last: int,
    count: int,
    is_new_day: bool,
    missing: tuple[tuple[int, int], ...],
    counts_from: int | None,
) -> None:
    found = counted_on(last, count, is_new_day=is_new_day)
    assert found == Counted(missing=missing, last=counts_from)
