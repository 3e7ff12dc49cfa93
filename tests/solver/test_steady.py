"""What stays from one plan to the next, and who was passed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

from solver.counter import HouseRules
from solver.plan import Plan, PlannedBlock, PlannedBuild, Serving
from solver.steady import next_of, overtakes, shake_from_s, shifted


def build(name: str, person: str, start_s: float, *drinks: str) -> PlannedBuild:
    block = PlannedBlock(index=0, person=person, start_s=start_s, end_s=start_s + 30)
    made = tuple(start_s + 30 for _ in drinks)
    return PlannedBuild(id=name, person=person, drinks=drinks, made_s=made, blocks=(block,))


def plan(*builds: PlannedBuild) -> Plan:
    serving = Serving(ticket="t", person="ana", start_s=40, end_s=65)
    return Plan(planner="test", builds=builds, cost=1, servings=(serving,))


def test_a_plan_a_little_later() -> None:
    later = shifted(plan(build("b", "ana", 10.0, "d1")), -12.3)
    (moved,) = later.builds
    assert (moved.start_s, moved.end_s, moved.made_s) == (-2.3, 27.7, (27.7,))
    assert (later.servings[0].start_s, later.servings[0].end_s) == (27.7, 52.7)
    assert shifted(later, 12.3) == plan(build("b", "ana", 10.0, "d1"))


def test_what_is_next_is_the_first_that_waits_whole() -> None:
    shown = plan(
        build("b3", "ana", 60, "d5"),
        build("b1", "ana", 0, "d1", "d2"),
        build("b2", "ana", 30, "d3"),
        build("b4", "ben", 90, "d4"),
    )
    waiting = {"d1", "d3", "d4", "d5"}
    found = next_of(shown, waiting.__contains__)
    assert [(pin.person, pin.drinks) for pin in found] == [("ana", ("d3",)), ("ben", ("d4",))]
    assert next_of(None, waiting.__contains__) == ()


def test_later_rounds_of_the_same_channel_that_are_made_have_passed() -> None:
    rounds = {"a": ("floor", 10.0), "b": ("bar_top", 10.0), "c": ("floor", 30.0)}
    whole = {"floor": (5.0, 10.0, 20.0, 40.0)}
    assert overtakes(rounds, whole) == {"a": 2, "b": 0, "c": 1}


RULES = HouseRules(shakes_in_a_row=4, rest_s=45)


def test_arms_rest_after_so_many_shakes_in_a_row() -> None:
    # The newest first: begun, ended, shaken.
    row = [(-30.0, -10.0, 2), (-60.0, -32.0, 1), (-100.0, -62.0, 1)]
    assert shake_from_s(row, RULES) == 35.0
    assert shake_from_s(row[:2], RULES) == 0.0
    # Still at it: rested from when it ends.
    assert shake_from_s([(-5.0, 12.0, 4)], RULES) == 57.0


def test_a_row_of_shakes_is_broken_by_a_rest_or_by_something_else() -> None:
    rested = [(-30.0, -10.0, 2), (-200.0, -75.0, 4)]
    assert shake_from_s(rested, RULES) == 0.0
    assert shake_from_s([(-30.0, -10.0, 2), (-50.0, -32.0, 0), (-90.0, -52.0, 4)], RULES) == 0.0
    assert shake_from_s([(-100.0, -46.0, 9)], RULES) == 0.0
    assert shake_from_s([], RULES) == 0.0


def test_no_more_builds_are_asked_for_than_it_takes() -> None:
    def endless() -> Iterator[tuple[float, float, int]]:
        for n in count():
            yield -10.0 * n - 10, -10.0 * n, 1

    assert shake_from_s(endless(), RULES) == 45.0
