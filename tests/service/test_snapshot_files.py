"""Snapshots and plans as files, and the moments that the samples and measurements are made of."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loadtest.make_samples import samples
from loadtest.snapshots import random_snapshot
from service.files import (
    SAMPLES,
    read_bar,
    read_plan,
    read_snapshot,
    write_plan,
    write_snapshot,
)
from service.files.bars import Bar
from service.files.documents import BadFile, document_text, json_document
from service.files.schemas import SNAPSHOT
from solver.baselines import BASELINES
from solver.menu import Method
from solver.snapshot import num_open_drinks, rail_of
from solver.tickets import mix_of
from solver.timing import Engine
from solver.verify import verify

HOUSE_PATH = SAMPLES / "bars" / "saltmarch.yaml"
JARGON = re.compile(
    r"pydantic|input should|validation|https?://|dataclass|tuple|dict\b|NoneType|Traceback|<class|__"
    r"|\bstr\b|\bint\b|ctx|loc=",
    re.IGNORECASE,
)


@pytest.fixture(scope="module")
def house() -> Bar:
    return read_bar(HOUSE_PATH)


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


@pytest.mark.parametrize("name", sorted(samples()))
def test_made_samples_are_as_the_house_and_the_seeds_give_them(name: str) -> None:
    text = (SAMPLES / name).read_text(encoding="utf-8")
    assert text == samples()[name], "run: python -m loadtest.make_samples"


@pytest.mark.parametrize(
    ("name", "num_open", "num_people"),
    [("quiet", 5, 2), ("busy", 18, 3), ("three-deep", 40, 3), ("one-bartender", 12, 1)],
)
def test_a_snapshot_has_the_drinks_it_is_named_for(
    name: str, num_open: int, num_people: int
) -> None:
    snapshot = read_snapshot(SAMPLES / "snapshots" / f"{name}.json")
    assert num_open_drinks(snapshot) == num_open
    assert len(snapshot.people_on) == num_people


def test_three_deep_has_builds_in_hand_pins_and_a_shortage() -> None:
    snapshot = read_snapshot(SAMPLES / "snapshots" / "three-deep.json")
    assert len(snapshot.in_hand) == 3
    assert len(snapshot.pinned) == 3
    rail = rail_of(snapshot)
    assert len(rail.set_aside) == 1
    assert any(drink.release_ds for drink in rail.drinks)


def test_flame_night_has_four_flaming_drinks_that_may_be_made() -> None:
    snapshot = read_snapshot(SAMPLES / "snapshots" / "flame-night.json")
    assert num_open_drinks(snapshot) <= snapshot.counter.flame.off_above_open_drinks
    flaming = [d for d in rail_of(snapshot).drinks if d.mix.method is Method.FLAMED]
    assert len(flaming) == 4


@pytest.mark.parametrize("seed", range(1, 9))
def test_random_snapshots_are_plausible_and_planned_by_every_baseline(
    house: Bar, seed: int
) -> None:
    snapshot = random_snapshot(house, seed, 40, 3)
    assert snapshot == random_snapshot(house, seed, 40, 3)
    assert num_open_drinks(snapshot) == 40
    oldest_s = -min(ticket.placed_s for ticket in snapshot.tickets)
    assert 0.7 * 360 <= oldest_s <= 360
    for build in snapshot.in_hand:
        assert 10.0 <= -build.blocks[0].start_s <= 30.0
    for rule in ("by the ticket", "by the round", "look-ahead"):
        engine = Engine(snapshot)
        plan = engine.plan(BASELINES[rule](engine), rule)
        assert [broken.words for broken in verify(snapshot, plan)] == []


def test_a_snapshot_and_a_plan_come_back_from_their_files(house: Bar, tmp_path: Path) -> None:
    snapshot = random_snapshot(house, 3, 12, 2)
    write_snapshot(tmp_path / "s.json", snapshot)
    assert read_snapshot(tmp_path / "s.json") == snapshot
    engine = Engine(snapshot)
    plan = engine.plan(BASELINES["look-ahead"](engine), "look-ahead")
    write_plan(tmp_path / "p.json", plan, "s.json")
    again = read_plan(tmp_path / "p.json")
    assert again.plan == plan
    assert again.snapshot_file == "s.json"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"pace": 0.95', '"pace": 95', "person ruth, pace: expected a pace from 0.5 to 3.0"),
        ('"place": "seat', '"plaice": "seat', "came 'plaice'; did you mean place"),
        ('"format": 1', '"format": 2', "expected snapshot format 1; came 2"),
        ('"person": "tam"', '"person": "tim"', "expected people of the counter (ruth, tam"),
        ('"tills": 2', '"tills": NaN', "expected a number; came NaN"),
        ('"tills": 2', '"tills": 2, "tills": 2', "expected 'tills' once in its place; came twice"),
        ('"tills": 2', '"tills": 2 "x": 1', "this is not JSON near"),
    ],
)
def test_a_bad_snapshot_is_refused_in_words(old: str, new: str, said: str) -> None:
    text = (SAMPLES / "snapshots" / "busy.json").read_text(encoding="utf-8")
    assert old in text
    with pytest.raises(BadFile) as caught:
        json_document(SNAPSHOT, text.replace(old, new, 1), "busy.json")
    assert said in str(caught.value)
    assert not JARGON.search(str(caught.value))
    fault = caught.value.faults[0]
    if fault.line is not None:
        assert abs(fault.line - line_of(text, old)) <= 1


def test_half_a_snapshot_is_said_to_be_half() -> None:
    text = (SAMPLES / "snapshots" / "quiet.json").read_text(encoding="utf-8")
    for cut in range(1, len(text) - 2, 997):
        with pytest.raises(BadFile, match="stops in the middle"):
            json_document(SNAPSHOT, text[:cut], "quiet.json")


def test_a_snapshot_of_a_changed_bar_still_holds_every_mix(house: Bar) -> None:
    snapshot = random_snapshot(house, 5, 40, 3)
    text = document_text(SNAPSHOT, snapshot)
    again = json_document(SNAPSHOT, text, "s.json")
    for ticket in again.tickets:
        for line in ticket.lines:
            assert mix_of(again.menu, line).name
