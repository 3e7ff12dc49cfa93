"""What sharing saves, held against the work content itself."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from solver.explain import together
from solver.menu import Ice
from solver.snapshot import Snapshot
from solver.units import paced_ds, to_s
from solver.work import work_of
from tests.solver.makers import (
    counter,
    drinks_of,
    on_rail,
    only,
    person,
    snapshot,
    station,
    ticket,
)

BUILDS = [
    ("sour", "sour"),
    ("sour", "rye sour", "tall"),
    ("stirred", "stirred", "sour"),
    ("foam", "foam"),
    ("stout", "coffee"),
    ("lager", "ale", "wine"),
    ("frozen", "tall"),
]


def hands_s(snap: Snapshot, ids: Sequence[str]) -> float:
    """Hands of one build of ana's, stretch by stretch at her pace."""
    pace = snap.counter.by_person["ana"].pace_pct
    blocks = work_of(snap, "ana", on_rail(snap, *ids)).blocks
    return to_s(sum(paced_ds(block.base_ds, pace) for block in blocks))


@pytest.mark.parametrize("names", BUILDS)
@pytest.mark.parametrize("pace", [1.0, 1.2])
def test_figures_are_those_of_the_work(names: tuple[str, ...], pace: float) -> None:
    snap = snapshot(ticket("a", *names), counter=counter(people=(person(pace=pace),)))
    ids = drinks_of(snap)
    found = together(snap, "ana", on_rail(snap, *ids))
    assert found.together_s == hands_s(snap, ids)
    assert found.apart_s == pytest.approx(sum(hands_s(snap, [one]) for one in ids))
    assert found.saved_s == pytest.approx(found.apart_s - found.together_s)


@pytest.mark.parametrize("names", BUILDS)
def test_parts_add_up(names: tuple[str, ...]) -> None:
    """At pace 1.0 nothing is rounded."""
    snap = snapshot(ticket("a", *names))
    found = together(snap, "ana", on_rail(snap, *drinks_of(snap)))
    assert sum(part.saved_s for part in found.parts) == pytest.approx(found.saved_s)
    assert all(part.saved_s for part in found.parts)


def test_a_drink_on_its_own_saves_nothing() -> None:
    snap = snapshot(ticket("a", "sour"))
    found = together(snap, "ana", on_rail(snap, "a1"))
    assert (found.saved_s, found.parts) == (0, ())


def test_each_part_by_hand() -> None:
    """Two sours in one tin are read, reached for, shaken and rinsed once; splitting it costs."""
    rows = only(
        read_build=2,
        read_drink=1,
        reach_speed_rail=2,
        shake=11,
        rinse=4,
        strain=3,
        split_tin=1.5,
    )
    snap = snapshot(ticket("a", "sour", "sour"), standards=rows)
    found = together(snap, "ana", on_rail(snap, "a1", "a2"))
    parts = {part.what: part.saved_s for part in found.parts}
    assert parts == {
        "shaking": 11,
        "reaching": 3 * 2,
        "rinsing": 4,
        "reading": 2,
        "straining": -2 * 1.5,
    }
    assert [part.what for part in found.parts] == [*parts], "largest first"
    assert found.saved_s == 20


def test_one_trip_to_the_shared_well() -> None:
    at = counter(stations=(station(wells=()),), shared_wells=station().wells)
    snap = snapshot(
        ticket("a", "tall", "tall"), counter=at, standards=only(shared_well_trip=8, scoop=2)
    )
    assert at.shared_well(Ice.CUBED) is not None
    found = together(snap, "ana", on_rail(snap, "a1", "a2"))
    assert [(part.what, part.saved_s) for part in found.parts] == [("trips to ice", 8)]


def test_methods_mixed_in_a_build_are_named_together() -> None:
    snap = snapshot(ticket("a", "sour", "sour", "stirred"), standards=only(shake=11, stir_cubed=28))
    found = together(snap, "ana", on_rail(snap, "a1", "a2", "a3"))
    assert [(part.what, part.saved_s) for part in found.parts] == [("shaking and stirring", 11)]
