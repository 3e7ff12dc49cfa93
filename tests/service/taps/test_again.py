"""A drink leaves a build in hand: the others keep the stretches that finish them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from immutables import Map

from service.night.moment import snapshot_of
from service.night.records import BuildState, DrinkState, ShownBuild
from service.night.state import BarState, Draft
from service.taps import drinks, hands, placing
from solver.builds import build_id
from solver.snapshot import rail_of
from solver.tickets import Channel
from solver.work import work_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.files.bars import Bar

NOW = datetime(2027, 2, 12, 21, 0, tzinfo=UTC)


def begun(bar: Bar, *recipes: str) -> tuple[BarState, str]:
    """A bar whose only ticket is in hand as one build, and the build's id."""
    draft = Draft(BarState(bar=bar, epoch="e"), NOW)
    lines = [{"recipe": recipe} for recipe in recipes]
    placed = placing.Placed(number="1", channel=Channel.FLOOR, lines=lines)
    ticket = placing.place(draft, placed, placed_at=NOW, day="2027-02-12")
    name = build_id(ticket.drinks)
    shown = ShownBuild(id=name, person="ruth", drinks=ticket.drinks)
    draft = Draft(replace(draft.state, shown=Map({name: shown})), NOW)
    hands.start(draft, name, None)
    return draft.state, name


def titles(state: BarState, name: str, now: datetime) -> list[str]:
    """The stretches of a build in hand as its work has them."""
    snapshot = snapshot_of(state, now)
    record = state.builds[name]
    known = rail_of(snapshot).in_hand
    work = work_of(snapshot, record.person, [known[drink] for drink in record.drinks])
    assert all(stretch.index < len(work.blocks) for stretch in record.stretches)
    return [block.title for block in work.blocks]


def test_a_void_of_what_runs_alone_renumbers_the_rest(saltmarch: Bar) -> None:
    state, name = begun(saltmarch, "stout-pint", "black-coffee")
    stout, coffee = state.builds[name].drinks
    later = NOW + timedelta(seconds=30)
    draft = Draft(state, later)
    hands.made(draft, name, None, start_next=False)
    assert len(titles(draft.state, name, later)) == 3
    # Somebody is at the coffee, stretch 2, when the stout is sent back.
    begun_coffee = replace(draft.builds[name].stretches[0], index=2, ended_at=None)
    record = draft.builds[name]
    draft.put(replace(record, stretches=(*record.stretches, begun_coffee)))
    drinks.void(draft, stout, "")
    record = draft.builds[name]
    assert record.drinks == (coffee,)
    assert [stretch.index for stretch in record.stretches] == [0, 1]
    assert len(titles(draft.state, name, later)) == 2
    hands.made(draft, name, None, start_next=False)
    assert draft.drinks[coffee].state is DrinkState.MADE
    assert draft.builds[name].state is BuildState.MADE


def test_the_stretch_of_a_voided_drink_is_no_more(saltmarch: Bar) -> None:
    state, name = begun(saltmarch, "stout-pint", "black-coffee")
    stout, coffee = state.builds[name].drinks
    later = NOW + timedelta(seconds=150)
    draft = Draft(state, later)
    hands.made(draft, name, None, start_next=False)
    record = draft.builds[name]
    topping = replace(record.stretches[0], index=1, started_at=later, ended_at=None)
    draft.put(replace(record, stretches=(*record.stretches, topping)))
    drinks.void(draft, stout, "")
    assert [stretch.index for stretch in draft.builds[name].stretches] == [0]
    assert draft.builds[name].drinks == (coffee,)


def test_vessels_that_held_egg_go_to_the_washer(saltmarch: Bar) -> None:
    egg = next(r for r in saltmarch.menu.recipes if "egg-white" in {p.ingredient for p in r.pours})
    state, name = begun(saltmarch, egg.id)
    later = NOW + timedelta(seconds=60)
    draft = Draft(state, later)
    hands.made(draft, name, None, start_next=False)
    away = snapshot_of(draft.state, later).in_washer
    assert {vessel.vessel.value for vessel in away} == {"tin_set", "kit"}
    assert all(vessel.station == "well" and vessel.back_s > 0 for vessel in away)
    assert snapshot_of(draft.state, later + timedelta(minutes=10)).in_washer == ()


@pytest.mark.parametrize(
    "ending",
    [
        lambda draft, _name, drink: drinks.already_made(draft, drink),
        lambda draft, _name, drink: drinks.gone(draft, drink),
        lambda draft, _name, drink: drinks.void(draft, drink, ""),
        lambda draft, _name, drink: drinks.remake(draft, drink, "split"),
        lambda draft, name, _drink: hands.put_back(draft, name, loss=True, reason=""),
    ],
    ids=["already made", "gone", "void", "remake", "put back"],
)
def test_vessels_go_to_the_washer_however_a_build_ends(
    saltmarch: Bar, ending: Callable[[Draft, str, str], object]
) -> None:
    state, name = begun(saltmarch, "cold-harbour")
    (drink,) = state.builds[name].drinks
    later = NOW + timedelta(seconds=60)
    draft = Draft(state, later)
    ending(draft, name, drink)
    away = snapshot_of(draft.state, later).in_washer
    assert {vessel.vessel.value for vessel in away} == {"tin_set", "kit"}


def test_nothing_was_poured_and_nothing_goes_to_the_washer(saltmarch: Bar) -> None:
    state, name = begun(saltmarch, "cold-harbour")
    (drink,) = state.builds[name].drinks
    later = NOW + timedelta(seconds=2)
    draft = Draft(state, later)
    drinks.void(draft, drink, "")
    assert snapshot_of(draft.state, later).in_washer == ()


def test_the_tin_of_a_voided_egg_drink_goes_and_the_other_stays(saltmarch: Bar) -> None:
    state, name = begun(saltmarch, "cold-harbour", "weathercock")
    egg, other = state.builds[name].drinks
    later = NOW + timedelta(seconds=60)
    draft = Draft(state, later)
    drinks.void(draft, egg, "")
    away = snapshot_of(draft.state, later).in_washer
    assert [(one.vessel.value, one.count) for one in away] == [("tin_set", 1)]
    hands.made(draft, name, None, start_next=False)
    assert draft.drinks[other].state is DrinkState.MADE
    assert len(snapshot_of(draft.state, later).in_washer) == 1


def test_made_on_one_tail_leaves_the_other_to_come(saltmarch: Bar) -> None:
    state, name = begun(saltmarch, "stout-pint", "black-coffee")
    stout, coffee = state.builds[name].drinks
    draft = Draft(state, NOW + timedelta(seconds=30))
    hands.made(draft, name, None, start_next=False)
    record = draft.builds[name]
    at_coffee = replace(record.stretches[0], index=2, started_at=draft.now, ended_at=None)
    draft.put(replace(record, stretches=(*record.stretches, at_coffee)))
    hands.made(draft, name, None, start_next=False)
    assert draft.drinks[coffee].state is DrinkState.MADE
    assert draft.drinks[stout].state is DrinkState.IN_HAND
    assert draft.builds[name].state is BuildState.IN_HAND
    hands.made(draft, name, None, start_next=False)
    assert draft.drinks[stout].state is DrinkState.MADE
    assert draft.builds[name].state is BuildState.MADE


def test_made_closes_a_build_whose_last_tail_is_made_already(saltmarch: Bar) -> None:
    state, name = begun(saltmarch, "cold-harbour", "black-coffee")
    coffee = next(d.id for d in state.drinks.values() if d.name == "coffee")
    draft = Draft(state, NOW + timedelta(seconds=90))
    drinks.already_made(draft, coffee)
    hands.made(draft, name, None, start_next=False)
    assert draft.builds[name].state is BuildState.MADE
