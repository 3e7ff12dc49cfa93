"""What was worked out is found again by identity, and never for another object."""

from __future__ import annotations

from solver.kept import Kept
from solver.menu import Mix
from solver.snapshot import rail_of
from solver.tickets import chilled_by_ice, mix_of
from solver.work import work_of
from tests.solver.makers import counter, snapshot, station, ticket


class Thing:
    """Equal to every other one."""

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Thing)

    __hash__ = None  # type: ignore[assignment]


def test_equal_is_not_the_same() -> None:
    kept: Kept[list[int]] = Kept(list)
    one, other = Thing(), Thing()
    kept.of(one, other).append(1)
    assert kept.of(one, other) == [1]
    assert kept.of(other, one) == []


def test_what_is_kept_holds_its_objects() -> None:
    """A new object must not be taken for one that is gone and had its identity."""
    kept: Kept[list[int]] = Kept(list, most=50)
    for number in range(50):
        found = kept.of(Thing())
        assert found == []
        found.append(number)


def test_of_more_than_the_most_the_first_is_forgotten() -> None:
    kept: Kept[list[int]] = Kept(list, most=2)
    things = [Thing() for _ in range(3)]
    for thing in things:
        kept.of(thing).append(1)
    assert [kept.of(thing) for thing in things[1:]] == [[1], [1]]
    assert kept.of(things[0]) == []


def test_a_menu_gives_equal_mixes_as_one() -> None:
    snap = snapshot(ticket("a", "sour", "sour"), ticket("b", "sour"))
    mixes = [drink.mix for drink in rail_of(snap).drinks]
    assert all(mix is mixes[0] for mix in mixes)
    assert rail_of(snap).drinks[0].mix is mixes[0]


def test_a_mix_chilled_by_ice_is_one_too_and_is_another() -> None:
    snap = snapshot(ticket("a", "sour"))
    mix: Mix = mix_of(snap.menu, snap.tickets[0].lines[0])
    cold = chilled_by_ice(snap.menu, mix)
    assert cold is chilled_by_ice(snap.menu, mix)
    assert cold.chill_by_ice
    assert cold != mix


def test_work_is_of_the_counter_it_is_asked_for() -> None:
    """The same drinks by the same person take a walk more where the station is not at the pass."""
    near = snapshot(ticket("a", "sour", "tall"), counter=counter(1))
    away = counter(1, stations=(station("one", at_pass=not near.counter.stations[0].at_pass),))
    far = snapshot(*near.tickets, counter=away)
    drinks = rail_of(near).drinks
    works = [work_of(snap, "ana", drinks) for snap in (near, far, near, far)]
    assert works[0] is works[2]
    assert works[1] is works[3]
    walk_ds = near.standards["walk_pass"]
    assert abs(works[0].blocks[0].base_ds - works[1].blocks[0].base_ds) == 2 * walk_ds
