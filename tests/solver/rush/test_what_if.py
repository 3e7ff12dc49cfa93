"""What if, on short real nights: the ranking, its pairs, and what helps a bar that is short."""

from __future__ import annotations

import pytest

from solver.rush.intervals import CHANCE_ONLY
from solver.rush.replications import Asked, InThisProcess, Running
from solver.rush.scenario import Policy, Shift
from solver.rush.what_if import WhatIf, what_if

from .small import small_rush

NIGHTS = 5


@pytest.fixture(scope="module")
def found() -> WhatIf:
    # One of three bartenders, and a rush for two.
    rush = small_rush(an_hour=110, shifts=(Shift(person="ruth"),))
    running = Running(runner=InThisProcess(), clock=lambda: 0.0)
    ranked = what_if(rush, Policy.BY_THE_TICKET, Asked(nights=NIGHTS), running)
    assert ranked is not None
    return ranked


def test_the_largest_saving_comes_first(found: WhatIf) -> None:
    saved = [row.saved_min.mean for row in found.rows]
    assert saved == sorted(saved, reverse=True)


def test_hands_help_a_bar_that_is_short_of_hands(found: WhatIf) -> None:
    assert found.rows[0].id.startswith("bartender-")
    assert found.rows[0].is_clear
    assert found.rows[0].saved_min.mean > 0.3 * found.guest_min.mean
    assert found.rows[0].within_promise.mean > 0


def test_what_nothing_waits_for_saves_nothing(found: WhatIf) -> None:
    tins = next(row for row in found.rows if row.id == "tins")
    assert abs(tins.saved_min.mean) < 0.05 * found.guest_min.mean


def test_every_row_is_of_the_same_nights(found: WhatIf) -> None:
    assert {row.saved_min.nights for row in found.rows} == {NIGHTS}
    assert found.guest_min.nights == NIGHTS


def test_the_words_beside_it(found: WhatIf) -> None:
    assert found.note.startswith(CHANCE_ONLY)
    assert "the best of many looks a little better" in found.note


def test_stopped_before_a_night() -> None:
    stopped = Running(runner=InThisProcess(), clock=lambda: 0.0, should_stop=lambda: True)
    assert what_if(small_rush(), Policy.BY_THE_TICKET, Asked(nights=2), stopped) is None
