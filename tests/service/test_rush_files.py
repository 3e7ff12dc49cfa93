"""Rushes as files: the published ones, and what is said of one that cannot be used."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.files import SAMPLES, read_rush
from service.files.documents import BadFile

RUSHES = sorted((SAMPLES / "rushes").glob("*.yaml"))
BAR = SAMPLES / "bars" / "saltmarch.yaml"


def written(folder: Path, text: str) -> Path:
    path = folder / "night.yaml"
    path.write_text(f"name: a night\nbar: {BAR}\n{text}", encoding="utf-8")
    return path


def test_three_rushes_are_published() -> None:
    assert [path.stem for path in RUSHES] == ["friday", "last-train", "short-handed"]


@pytest.mark.parametrize("path", RUSHES, ids=lambda path: path.stem)
def test_a_published_rush_can_be_read(path: Path) -> None:
    rush = read_rush(path)
    assert rush.house.name == "Saltmarch House"
    assert rush.scenario.last_orders_s < rush.scenario.hard_stop_s


def test_past_tickets_are_counted_from_the_doors_by_the_bars_own_clock(tmp_path: Path) -> None:
    line = {"recipe": "weathercock", "quantity": 2}
    ticket = {"number": "1", "channel": "floor", "lines": [line]}
    # Summer time in London: half past eight there.
    early = {**ticket, "placed_at": "2026-07-02T19:30:00Z"}
    late = {**ticket, "number": "2", "placed_at": "2026-07-02T23:10:00Z"}
    rows = "\n".join(json.dumps(row) for row in (late, early))
    (tmp_path / "past.jsonl").write_text(rows, encoding="utf-8")
    path = written(tmp_path, "doors: '19:00'\nreplay: {tickets: past.jsonl, scale: 1.0}\n")
    rush = read_rush(path)
    assert [arrival.at_s for arrival in rush.past] == [1.5 * 3600, 5 * 3600 + 600]
    assert rush.past[0].num_drinks == 2


def past_tickets(folder: Path, *placed: str) -> None:
    line = {"recipe": "weathercock", "quantity": 2}
    rows = [
        {"number": str(n), "channel": "floor", "lines": [line], "placed_at": at}
        for n, at in enumerate(placed)
    ]
    (folder / "past.jsonl").write_text("\n".join(map(json.dumps, rows)), encoding="utf-8")


TWO_EVENINGS = (
    *("2026-07-02T13:00:00Z", "2026-07-02T19:30:00Z", "2026-07-02T23:10:00Z"),
    "2026-07-09T20:00:00Z",
)


def test_tickets_of_several_evenings_are_never_one_night(tmp_path: Path) -> None:
    past_tickets(tmp_path, *TWO_EVENINGS)
    with pytest.raises(BadFile) as caught:
        read_rush(written(tmp_path, "replay: {tickets: past.jsonl}\n"))
    assert str(caught.value).endswith(
        "line 3: replay: expected the tickets of one evening; came 2 evenings: 2026-07-02 "
        "(2 tickets), 2026-07-09 (1 ticket); say which: replay: {tickets: past.jsonl, "
        "day: 2026-07-02}"
    )


def test_one_evening_is_chosen_and_what_is_left_out_is_said(tmp_path: Path) -> None:
    past_tickets(tmp_path, *TWO_EVENINGS)
    said: list[str] = []
    path = written(tmp_path, "replay: {tickets: past.jsonl, day: 2026-07-02}\n")
    # Ten past midnight, and by the bar's own clock: of the evening before.
    assert [one.at_s for one in read_rush(path, tell=said.append).past] == [5400, 18600]
    (words,) = said
    assert words.endswith(
        "2 of 4 tickets are replayed (2026-07-02); left out: 1 of other evenings, "
        "1 outside 19:00 to 00:30"
    )


def test_an_evening_that_there_is_not(tmp_path: Path) -> None:
    past_tickets(tmp_path, *TWO_EVENINGS)
    with pytest.raises(BadFile, match=r"2026-07-02 .2 tickets., .*; came '?2026-07-03"):
        read_rush(written(tmp_path, "replay: {tickets: past.jsonl, day: 2026-07-03}\n"))


def test_many_evenings_are_not_all_listed(tmp_path: Path) -> None:
    past_tickets(tmp_path, *(f"2026-07-{day:02}T20:00:00Z" for day in range(1, 31)))
    with pytest.raises(BadFile, match=r"came 30 evenings: .* … and 24 more; say which"):
        read_rush(written(tmp_path, "replay: {tickets: past.jsonl}\n"))


def test_a_till_s_own_export_is_sent_to_the_import(tmp_path: Path) -> None:
    path = written(tmp_path, f"replay: {{tickets: {SAMPLES / 'past.csv'}}}\n")
    with pytest.raises(BadFile, match="`threedeep tickets import`"):
        read_rush(path)


def test_a_bar_is_no_scenario() -> None:
    with pytest.raises(BadFile) as caught:
        read_rush(BAR)
    (fault,) = caught.value.faults
    assert fault.said.startswith("expected a scenario, such as sample_tickets/rushes/friday.yaml")


@pytest.mark.parametrize(
    ("quarters", "said"),
    [
        ([90] * 17, "17 quarters; 19:00 to 00:30 has 22: nobody comes after 23:15"),
        ([90] * 23, "23 quarters; 19:00 to 00:30 has 22: what stands for later is left out"),
        ([90] * 22, ""),
        ([*[90] * 22, 0, 0], ""),
    ],
)
def test_quarters_that_are_not_those_of_the_night_are_said(
    tmp_path: Path, quarters: list[int], said: str
) -> None:
    told: list[str] = []
    read_rush(written(tmp_path, f"guests: {{drinks_an_hour: {quarters}}}\n"), tell=told.append)
    assert len(told) == bool(said)
    assert said in "".join(told)


@pytest.mark.parametrize("path", RUSHES, ids=lambda path: path.stem)
def test_nothing_has_to_be_said_of_a_published_rush(path: Path) -> None:
    told: list[str] = []
    read_rush(path, tell=told.append)
    assert told == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "guests: {drinks_an_hour: [90, -50, 90]}\n",
            "line 3: guests, drinks_an_hour, quarter 2: expected 0 to 5000 drinks an hour in "
            "every quarter; came -50",
        ),
        ("guests: {drinks_an_hour: [500000]}\n", "quarter 1: expected 0 to 5000 drinks"),
        ("guests: {drinks_an_hour: [0]}\n", "guests: expected somebody to come"),
        ("guests: {drinks_an_hour: []}\n", "came nobody all night"),
        ("replay: past.jsonl\n", "write replay: {tickets: past.jsonl}"),
        (
            "troubles: {kegs_blown: [{tap: lager, at: '12:20'}]}\n",
            "a keg of lager to blow between 19:00 and 01:15, which are this night; came '12:20'",
        ),
        (
            "shifts: [{person: tam, breaks: [{at: '17:00'}]}]\n",
            "a break of tam between 19:00 and 01:15, which are this night; came '17:00'",
        ),
        (
            "shifts: [{person: tam, since: '23:00', until: '22:00'}]\n",
            "line 3: shift 1 (tam), until: expected tam to leave after coming at 23:00; "
            "came '22:00'",
        ),
        ("doors: 7 pm\n", "expected a time of the night such as 22:10; came '7 pm'"),
        ("dors: '19:00'\n", "line 3: dors: expected only names that are known here"),
        ("shifts: [{person: nobody}]\n", "expected people of the counter"),
        ("replay: {tickets: none.jsonl}\n", "there is no such file"),
        ("troubles: {kegs_blown: [{tap: mead, at: '22:10'}]}\n", "a keg of lager, pale-ale, stout"),
    ],
)
def test_what_is_wrong_is_said_with_its_file(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(BadFile) as caught:
        read_rush(written(tmp_path, text))
    assert said in str(caught.value)
