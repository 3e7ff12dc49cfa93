"""A draft changes nothing but itself; what is asked at every tap is found without a walk."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from service.files import SAMPLES, read_bar
from service.night.index import index_of
from service.night.marks import counter_now, in_washer
from service.night.records import Mark, MarkKind
from service.night.state import BarState, Draft
from service.night.wells import Used
from solver.counter import Vessel

NOW = datetime(2027, 2, 12, 21, 0, tzinfo=UTC)
BAR = read_bar(SAMPLES / "bars" / "saltmarch.yaml")
STATION = BAR.counter.stations[0]
EMPTY = BarState(bar=BAR, epoch="e")


def washing(name: str, *, back_s: float, number: int = 1) -> Mark:
    return Mark(
        kind=MarkKind.WASHER,
        key=f"{name}/1/{STATION.id}/{Vessel.TIN_SET.value}",
        since=NOW,
        until=NOW + timedelta(seconds=back_s),
        number=number,
    )


def test_what_breaks_apart_leaves_the_draft_and_its_base_alone() -> None:
    draft = Draft(EMPTY, NOW)
    draft.put(washing("a", back_s=60))
    apart = draft.apart()
    apart.put(washing("b", back_s=60))
    apart.drop("mark", washing("a", back_s=60).id)
    assert [mark.key[0] for mark in draft.state.marks.values()] == ["a"]
    assert [mark.key[0] for mark in apart.state.marks.values()] == ["b"]
    assert not EMPTY.marks
    draft.take_over(apart)
    assert draft.state.marks == apart.state.marks
    assert draft.state.index == index_of(draft.state.rows)


def test_marks_of_a_draft_are_those_before_it_and_its_own() -> None:
    before = Draft(EMPTY, NOW)
    before.put(washing("a", back_s=-60), washing("b", back_s=60))
    draft = Draft(before.state, NOW)
    draft.drop("mark", washing("b", back_s=60).id)
    draft.put(washing("c", back_s=60))
    assert {mark.key[0] for mark in draft.marks_of(MarkKind.WASHER)} == {"a", "c"}
    assert [m.key[0] for m in draft.state.marks_of(MarkKind.WASHER, NOW)] == ["c"], "one lapsed"
    assert draft.marks_of(MarkKind.GAP) == []


@given(st.lists(st.tuples(st.integers(-90, 90), st.integers(1, 3)), max_size=12))
def test_no_more_is_in_the_washer_than_a_station_has(let_go: list[tuple[int, int]]) -> None:
    draft = Draft(EMPTY, NOW)
    for n, (back_s, number) in enumerate(let_go):
        draft.put(washing(f"build-{n}", back_s=back_s, number=number))
    found = in_washer(draft.state, NOW)
    has = STATION.num_vessels(Vessel.TIN_SET)
    there = sorted((back_s for back_s, number in let_go if back_s > 0 for _ in range(number)))
    # Those that went in last are the ones that are not back.
    back = [one.back_s for one in found for _ in range(one.count)]
    assert back == [float(back_s) for back_s in there[max(0, len(there) - has) :]]
    assert {one.station for one in found} <= {STATION.id}


def test_ice_used_since_a_well_was_filled() -> None:
    used = Used(made_at=[NOW, NOW + timedelta(seconds=10)], sum_kg=[0.0, 0.25, 0.75])
    assert used.since(NOW - timedelta(seconds=1)) == (0.75, 2)
    assert used.since(NOW) == (0.5, 1), "made as it was filled: before"
    assert used.since(NOW + timedelta(seconds=10)) == (0.0, 0)


def test_a_counter_is_the_same_object_for_the_same_marks() -> None:
    draft = Draft(EMPTY, NOW)
    key = f"{STATION.id}/{Vessel.TIN_SET.value}"
    draft.put(Mark(kind=MarkKind.VESSEL_OUT, key=key, since=NOW, number=1))
    one, other = counter_now(draft.state, NOW), counter_now(draft.state, NOW)
    assert one is other
    assert one.by_station[STATION.id].num_vessels(Vessel.TIN_SET) == STATION.tin_sets - 1
    glass = replace(one.glasses[0], clean=(one.glasses[0].clean or 0) + 1)
    fewer = replace(one, glasses=(glass, *one.glasses[1:]))
    assert fewer.fixed is one.fixed, "only glasses differ"
    assert one.fixed is not BAR.counter.fixed
