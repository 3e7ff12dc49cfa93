"""Sums by quarter of an hour, things held, counts over time."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import simpy
from hypothesis import given
from hypothesis import strategies as st

from solver.rush.tally import QUARTER_MS, Steps, Stuff, Tally


def test_a_stretch_is_shared_out_over_its_quarters() -> None:
    tally = Tally(3)
    tally.add(QUARTER_MS - 1000, QUARTER_MS + 2000, 2)
    assert tally.seconds == (2.0, 4.0, 0.0)


def test_what_comes_after_the_last_quarter_is_in_the_last() -> None:
    tally = Tally(2)
    tally.add(QUARTER_MS, 10 * QUARTER_MS)
    assert tally.seconds == (0.0, 9 * QUARTER_MS / 1000)


@given(st.lists(st.tuples(st.integers(0, 10**7), st.integers(0, 10**6)), max_size=20))
def test_nothing_is_lost(stretches: list[tuple[int, int]]) -> None:
    tally = Tally(5)
    for begin, length in stretches:
        tally.add(begin, begin + length)
    assert round(1000 * sum(tally.seconds)) == sum(length for _, length in stretches)


def test_stuff_is_held_first_come_first_served() -> None:
    env = simpy.Environment()
    stuff = Stuff(env, "tap:lager", 1, 4)
    got: list[tuple[str, float]] = []

    def wants(name: str, at: int, length: int) -> Generator[simpy.Event, Any, None]:
        yield env.timeout(at)
        request = stuff.ask()
        yield request
        got.append((name, env.now))
        stuff.begin_use()
        yield env.timeout(length)
        stuff.end_use()
        stuff.give(request)

    for name, at, length in (("a", 0, 500), ("b", 100, 300), ("c", 200, 100)):
        env.process(wants(name, at, length))
    env.run()
    stuff.close()
    assert got == [("a", 0), ("b", 500), ("c", 800)]
    assert stuff.num_free == 1
    assert stuff.most == 1
    assert stuff.tally.seconds[0] == 0.9


def test_a_request_that_is_given_up_holds_nobody_up() -> None:
    env = simpy.Environment()
    stuff = Stuff(env, "tap:lager", 1, 4)
    first, second = stuff.ask(), stuff.ask()
    assert stuff.num_free == -1
    stuff.give(second)
    stuff.give(first)
    assert stuff.num_free == 1


def test_steps_of_one_moment_are_one_step() -> None:
    steps = Steps()
    for at_ms, by in ((1000, 1), (1000, 1), (3000, -1)):
        steps.add(at_ms, by)
    assert steps.seconds == ((0.0, 0), (1.0, 2), (3.0, 1))
    assert steps.now == 1
