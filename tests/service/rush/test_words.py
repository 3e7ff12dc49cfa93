"""Figures as a manager reads them: times, shares, intervals, and whether the night holds."""

from __future__ import annotations

import csv
import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from service.rush.drawing import ACCENT
from service.rush.findings import Findings, Told, findings_text
from service.rush.report import report_html
from service.rush.strips import saved_words, what_if_bars
from service.rush.tables import tables_of, write_tables
from service.rush.text import less_words, prep_amount, sooner_words, words_of
from service.rush.verdict import short_of, verdict
from service.rush.words import (
    minutes,
    minutes_between,
    number_between,
    policy_words,
    resource_words,
    share_between,
    worked_by,
)
from solver.rush.intervals import CHANCE_ONLY, Interval
from solver.rush.prep import prep_list
from solver.rush.replications import Asked, InThisProcess, Running
from solver.rush.rota import find_rota
from solver.rush.scenario import Policy, Shift
from solver.rush.study import study
from solver.rush.what_if import what_if
from tests.solver.rush.small import small_rush

TICKET, ROUND = Policy.BY_THE_TICKET, Policy.BY_THE_ROUND


def interval(mean: float, low: float, high: float, nights: int = 20) -> Interval:
    return Interval(mean=mean, low=low, high=high, nights=nights)


@pytest.fixture(scope="module")
def told() -> Told:
    rush = small_rush(an_hour=110, shifts=(Shift(person="ruth"),))
    running = Running(runner=InThisProcess(), clock=lambda: 0.0)
    asked = Asked(nights=5)
    results = study(rush, (TICKET, ROUND), asked, running)
    assert results is not None
    findings = Findings(
        made="2027-02-12",
        version="0",
        results=results,
        what_if=what_if(rush, TICKET, asked, running),
        rota=find_rota(rush, TICKET, Asked(nights=2), running, goal=0.6),
        prep=prep_list(rush.house, results.policies[0]),
        sure=0.8,
    )
    return Told(rush=rush, findings=findings)


def test_minutes() -> None:
    assert [minutes(s) for s in (0, 59.6, 245, -20, 3600)] == [
        "0:00",
        "1:00",
        "4:05",
        "−0:20",
        "60:00",
    ]


def test_intervals_in_words() -> None:
    assert minutes_between(interval(580, 550, 610)) == "9:40 (9:10 to 10:10)"
    assert share_between(interval(0.97, 0.93, 1.01)) == "97% (93 to 100)"
    assert number_between(interval(2.1, 1.4, 12.8)) == "2.1 (1.4 to 13)"
    # No time is below nought, and so few nights have no interval worth saying.
    assert minutes_between(interval(60, -30, 150)) == "1:00 (0:00 to 2:30)"
    assert minutes_between(interval(580, 100, 900, nights=3)) == "9:40"


def test_a_difference_says_which_way_it_goes() -> None:
    sooner = less_words(interval(-155, -180, -130), interval(0.78, 0.75, 0.81))
    assert sooner == "2:35 (2:10 to 3:00) sooner, 22% (19 to 25) less"
    later = less_words(interval(60, -20, 140), interval(1.1, 0.95, 1.25))
    assert later == "1:00 (−0:20 to 2:20) later, 10% (-5 to 25) more"


def test_policies() -> None:
    assert policy_words("live") == "the planner"
    assert [worked_by(p) for p in ("live", "by the ticket")] == ["by the planner", "by the ticket"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("hands@well", "hands (service well, at the pass)"),
        ("tin_set@left", "tin sets (bar top, left)"),
        ("tap:lager", "the house lager tap"),
        ("bottle:old-reserve-rum", "the bottle of old reserve rum"),
        ("well:crushed", "the shared crushed-ice well"),
        ("right/crushed", "crushed ice (bar top, right)"),
        ("till", "the till"),
    ],
)
def test_resources(told: Told, name: str, said: str) -> None:
    assert resource_words(told, name) == said


def test_the_verdict_names_when_it_does_not_hold(told: Told) -> None:
    policy = told.findings.first
    assert short_of(policy, 0.0001) == []
    assert verdict(policy, 0.0001).startswith("It holds")
    short = short_of(policy, 0.9999)
    assert short
    assert short[0][0] in verdict(policy, 0.9999)
    assert "does not hold" in verdict(policy, 0.9999)


def test_the_words_can_be_read_aloud(told: Told) -> None:
    text = words_of(told)
    assert text.startswith("a short night, saltmarch: 5 nights, seed 1")
    for said in (
        "By the ticket:",
        "nine of ten rounds are done within",
        "On the same nights, by the ticket against by the round:",
        "What drinks wait for most",
        "What if, worked by the ticket: minutes saved a guest",
        "one more bartender: service well, at the pass",
        "The rota, worked by the ticket",
        "To be 80% sure, have ready",
    ):
        assert said in text, said
    assert " ".join(text.split()).endswith(f"An interval, in brackets, {CHANCE_ONLY}.")
    assert max(map(len, text.splitlines())) <= 100
    assert "_" not in text


def test_json_says_it_all(told: Told) -> None:
    found = json.loads(findings_text(told.findings))
    assert found["results"]["note"] == CHANCE_ONLY
    p90 = found["results"]["policies"][0]["whole"]["p90_s"]
    assert set(p90) == {"mean", "low", "high", "nights"}
    assert p90["low"] < p90["mean"] < p90["high"]
    assert found["what_if"]["rows"][0]["id"].startswith("bartender-")
    assert found["rota"]["shifts"]
    assert found["prep"][0]["by_sure"]["80"] is not None


def test_tables(told: Told, tmp_path: Path) -> None:
    files = write_tables(told, tmp_path / "tables")
    names = {path.stem for path in files}
    assert names == {*tables_of(told)} >= {"figures", "what_if", "rota", "prep", "waits"}
    for path in files:
        with path.open(encoding="utf-8", newline="") as rows:
            widths = {len(row) for row in csv.reader(rows)}
        assert len(widths) == 1, path
    with (tmp_path / "tables" / "figures.csv").open(encoding="utf-8", newline="") as rows:
        found = [
            row
            for row in csv.DictReader(rows)
            if (row["policy"], row["when"], row["channel"]) == ("by the ticket", "night", "")
        ]
    figures = [row["figure"] for row in found]
    assert len(figures) == len(set(figures))
    p90 = next(row for row in found if row["figure"] == "p90_s")
    # Three decimals: a spreadsheet needs no more, and JSON has them all.
    exact = told.findings.first.whole["p90_s"].mean
    assert float(p90["mean"]) == pytest.approx(exact, abs=0.0005)


def rows_of(told: Told, folder: Path, name: str) -> list[dict[str, str]]:
    write_tables(told, folder)
    with (folder / f"{name}.csv").open(encoding="utf-8", newline="") as rows:
        return list(csv.DictReader(rows))


def test_no_cell_has_more_digits_than_it_means(told: Told, tmp_path: Path) -> None:
    for table in tables_of(told):
        for row in rows_of(told, tmp_path, table):
            for cell in row.values():
                assert not re.search(r"\.\d{4,}$", cell), (table, cell)


def test_no_interval_of_a_count_begins_below_nought(told: Told, tmp_path: Path) -> None:
    # Some do as they are computed: symmetric, of few nights.
    queue = [q.figures.values() for policy in told.findings.results.policies for q in policy.queue]
    assert any(one.low is not None and one.low < 0 for figures in queue for one in figures)
    for table in ("figures", "queue", "resources"):
        lows = [row["low"] for row in rows_of(told, tmp_path, table)]
        assert all(float(low) >= 0 for low in lows if low), table
    assert any(float(row["low"]) < 0 for row in rows_of(told, tmp_path, "compared") if row["low"])


def test_what_is_empty_in_the_prep_list_says_why(told: Told, tmp_path: Path) -> None:
    row = rows_of(told, tmp_path, "prep")[0]
    assert row["sure_80"]
    assert row["sure_90"] == ""
    assert row["why_empty"].startswith("sure_90 takes 9 nights or more; sure_95 takes 19 nights")


def test_a_difference_adds_up_with_the_times_beside_it(told: Told) -> None:
    results = told.findings.results
    policies = []
    for policy, mean in zip(results.policies, (333.4, 382.6), strict=True):
        p90 = interval(mean, mean, mean, nights=4)
        policies.append(replace(policy, whole={**policy.whole, "p90_s": p90}))
    shown = replace(results, policies=tuple(policies))
    # 5:33 beside 6:23: fifty seconds to whoever takes one from the other.
    difference = {"p90_s": interval(-49.2, -49.2, -49.2, nights=4)}
    one = replace(results.compared[0], difference=difference)
    assert sooner_words(shown, one, "p90_s").startswith("0:50 sooner")


def test_counts_of_a_night_and_of_none(told: Told) -> None:
    first = told.findings.first
    whole = {
        **first.whole,
        "given_up": interval(0, 0, 0, nights=1),
        "sat_too_long": Interval(mean=1.0, low=None, high=None, nights=1),
        "often_overtaken": Interval(mean=4.0, low=None, high=None, nights=1),
    }
    results = replace(told.findings.results, policies=(replace(first, whole=whole),), compared=())
    text = words_of(replace(told, findings=replace(told.findings, results=results)))
    assert "no round is given up, 1 drink sits too long, 4 rounds are overtaken" in text


class Reader(HTMLParser):
    """Notes ids, what is fetched from outside, and what stays open."""

    def __init__(self) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.outside: list[str] = []
        self.svgs = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.svgs += tag == "svg"
        for name, value in attrs:
            if name == "id" and value:
                self.ids.append(value)
            is_link = name in ("src", "href", "xlink:href", "srcset", "data")
            if is_link and value and not value.startswith("#"):
                self.outside.append(value)


def test_the_report_needs_nothing_from_outside(told: Told) -> None:
    page = report_html(told)
    reader = Reader()
    reader.feed(page)
    assert reader.svgs == 7
    assert reader.outside == []
    assert "<script" not in page
    assert "@import" not in page
    assert re.findall(r"url\((?!#)", page) == []
    # On a phone a picture keeps its size and is moved sideways, by itself and by keyboard.
    assert page.count("<div class=wide tabindex=0 ") == reader.svgs
    # Of all nights together, nine of ten is another figure than the one on top: it is not said.
    spread = page[page.index("How it is spread") : page.index("What waits for what")]
    assert "9 of 10 within" not in spread
    # Two pictures share no id: a clip of one would cut the other.
    assert len(reader.ids) == len(set(reader.ids))
    assert CHANCE_ONLY in page
    assert verdict(told.findings.first) in page


def test_the_report_is_the_same_twice(told: Told) -> None:
    assert report_html(told) == report_html(told)


def test_minutes_saved() -> None:
    assert [saved_words(x) for x in (1.31, -0.24, 0.02, -0.02)] == [
        *("+1.3 min", "−0.2 min", "0.0 min", "0.0 min")
    ]


def test_a_sure_difference_of_next_to_nothing_does_not_stand_out(told: Told) -> None:
    found = told.findings.what_if
    assert found is not None
    row = replace(found.rows[0], saved_min=interval(0.03, 0.02, 0.04))
    assert row.is_clear
    picture = what_if_bars(replace(found, rows=(row,)))
    assert "hardly any" in picture
    assert ACCENT not in picture


def test_amounts() -> None:
    assert [prep_amount(x) for x in (None, 0.04, 9.96, 12.4)] == ["–", "0.0", "10.0", "12"]
