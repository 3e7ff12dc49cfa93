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


@pytest.mark.parametrize(
    ("text", "said"),
    [
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
