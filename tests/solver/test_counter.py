"""People, stations, equipment and house rules."""

from __future__ import annotations

from typing import Any

import pytest

from solver.counter import HouseRules, Person, Vessel, Well
from solver.errors import BadValue
from solver.menu import Ice
from tests.solver.makers import GLASSES, counter, glass, person, station


def test_vessels_are_a_stations_own_unless_it_shares() -> None:
    at = counter(2, stations=(station("one"), station("two", shared_with="one")))
    assert at.vessel_home("one") == "one"
    assert at.vessel_home("two") == "one"


@pytest.mark.parametrize(
    ("vessel", "count"),
    [
        (Vessel.TIN_SET, 1),
        (Vessel.MIXING_GLASS, 2),
        (Vessel.JAR, 3),
        (Vessel.MUGS, 4),
        (Vessel.KIT, 5),
    ],
)
def test_each_vessel_is_counted(vessel: Vessel, count: int) -> None:
    here = station(tin_sets=1, mixing_glasses=2, jars=3, mugs=4, kits=5)
    assert here.num_vessels(vessel) == count


def test_ice_at_the_hand_and_away() -> None:
    at = counter(
        stations=(station(wells=(Well(ice=Ice.CUBED),)),),
        shared_wells=(Well(ice=Ice.CRUSHED, scoops_at_once=2),),
    )
    here = at.by_station["one"]
    assert here.has_ice(Ice.CUBED)
    assert here.has_ice(Ice.NONE)
    assert not here.has_ice(Ice.CRUSHED)
    well = at.shared_well(Ice.CRUSHED)
    assert well is not None
    assert well.scoops_at_once == 2
    assert at.shared_well(Ice.BLOCK) is None


def test_pace_in_hundredths() -> None:
    assert Person(id="a", station="one", pace=0.85).pace_pct == 85
    assert Person(id="a", station="one", pace=1.15).pace_pct == 115


@pytest.mark.parametrize("pace", [0.4, 3.1])
def test_a_pace_nobody_has(pace: float) -> None:
    with pytest.raises(BadValue, match=r"pace from 0\.5 to 3\.0"):
        person(pace=pace)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"people": ()}, "add one"),
        ({"people": (person(), person())}, "every person id once"),
        ({"people": (person(at="cellar"),)}, "stations are one"),
        ({"stations": (station(shared_with="cellar"),)}, "shared_with"),
        ({"stations": (station(), station())}, "every station id once"),
        ({"glasses": (*GLASSES, GLASSES[0])}, "every glass id once"),
    ],
)
def test_a_counter_that_cannot_be_says_why(changes: dict[str, Any], said: str) -> None:
    with pytest.raises(BadValue, match=said):
        counter(**changes)


def test_numbers_out_of_range() -> None:
    with pytest.raises(BadValue, match="tin_sets from 0 to 40"):
        station(tin_sets=41)
    with pytest.raises(BadValue, match="landing mat"):
        station(mat=0)
    with pytest.raises(BadValue, match="20 to 5000 ml"):
        glass("thimble", 10)
    with pytest.raises(BadValue, match="no fewer than 0"):
        glass("coupe", 180, clean=-1)


@pytest.mark.parametrize(
    "changes",
    [
        {"drinks_per_build": 0},
        {"drinks_per_build": 7},
        {"same_mix_per_build": 9},
        {"mixes_per_build": 5},
        {"wash_for": ("dust",)},
    ],
)
def test_house_rules_that_cannot_be(changes: dict[str, Any]) -> None:
    with pytest.raises(BadValue, match="expected"):
        HouseRules(**changes)
