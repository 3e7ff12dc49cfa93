"""The Friday, counted against the shares it is meant to have."""

from __future__ import annotations

from collections import Counter as Tally
from itertools import islice
from pathlib import Path

import pytest
import yaml
from pydantic import TypeAdapter

from solver.errors import BadValue
from solver.menu import Menu
from solver.rush.arrivals import (
    BUSIEST_S,
    DRINKS_A_TICKET,
    DRINKS_AN_HOUR,
    QUARTER_S,
    Arrival,
    friday,
)
from solver.rush.mix import MIXED, SHARE_PCT, Sort, sort_of
from solver.tickets import Channel, mix_of

SAMPLE = Path(__file__).parents[3] / "sample_tickets" / "bars" / "saltmarch.yaml"
FIVE_HOURS_S = 20 * QUARTER_S
NIGHTS = 40


@pytest.fixture(scope="module")
def menu() -> Menu:
    raw = yaml.safe_load(SAMPLE.read_text(encoding="utf-8"))["menu"]
    return TypeAdapter(Menu).validate_python(raw)


@pytest.fixture(scope="module")
def nights(menu: Menu) -> list[list[Arrival]]:
    return [list(friday(menu, seed=seed, until_s=FIVE_HOURS_S)) for seed in range(NIGHTS)]


def test_the_table_adds_up_to_a_friday() -> None:
    assert sum(DRINKS_AN_HOUR[:20]) / 4 == 750
    # 0.22·1 + 0.40·2 + 0.14·3 + 0.13·4 + 0.08·5.5 + 0.03·9
    assert pytest.approx(2.67) == DRINKS_A_TICKET
    assert sum(SHARE_PCT.values()) == 100


def test_about_750_drinks_in_five_hours(nights: list[list[Arrival]]) -> None:
    drinks = [sum(arrival.num_drinks for arrival in night) for night in nights]
    assert sum(drinks) / NIGHTS == pytest.approx(750, rel=0.03)


def test_quarters_are_as_full_as_the_table_says(nights: list[list[Arrival]]) -> None:
    counted: Tally[int] = Tally()
    for night in nights:
        for arrival in night:
            counted[int(arrival.at_s // QUARTER_S)] += arrival.num_drinks
    for quarter in (0, 8, 13, 19):
        expected = DRINKS_AN_HOUR[quarter] / 4
        assert counted[quarter] / NIGHTS == pytest.approx(expected, rel=0.15)


def test_tickets_come_in_order_and_stay_inside(menu: Menu) -> None:
    stretch = list(friday(menu, seed=3, from_s=BUSIEST_S, until_s=BUSIEST_S + 1800))
    times = [arrival.at_s for arrival in stretch]
    assert times == sorted(times)
    assert times[0] >= BUSIEST_S
    assert times[-1] < BUSIEST_S + 1800


def test_sizes_channels_and_repeats(nights: list[list[Arrival]]) -> None:
    arrivals = [arrival for night in nights for arrival in night]
    sizes = Tally(min(arrival.num_drinks, 5) for arrival in arrivals)
    for size, share in ((1, 0.22), (2, 0.40), (3, 0.14), (4, 0.13), (5, 0.11)):
        assert sizes[size] / len(arrivals) == pytest.approx(share, abs=0.01)
    at_bar = sum(1 for arrival in arrivals if arrival.channel is Channel.BAR_TOP)
    assert at_bar / len(arrivals) == pytest.approx(0.60, abs=0.01)
    pairs = [arrival for arrival in arrivals if arrival.num_drinks == 2]
    # Two guests who want the same, even if one wants it without the peel.
    same = sum(
        1
        for pair in pairs
        if len({(line.recipe, line.spirit, line.mixer, line.measure) for line in pair.lines}) == 1
    )
    # The second repeats the first 40% of the time, and now and then by chance.
    assert 0.40 <= same / len(pairs) <= 0.48


def test_drinks_are_mixed_as_the_shares_say(menu: Menu, nights: list[list[Arrival]]) -> None:
    counted: Tally[Sort] = Tally()
    cocktails: Tally[str] = Tally()
    for night in nights:
        for line in (line for arrival in night for line in arrival.lines):
            sort = sort_of(menu, menu.by_recipe[line.recipe]) if line.recipe else Sort.BUILT
            counted[sort] += line.quantity
            if sort in MIXED:
                cocktails[line.recipe] += line.quantity
    for sort, share in SHARE_PCT.items():
        assert 100 * counted[sort] / counted.total() == pytest.approx(share, abs=1.0), sort
    five = sum(count for _, count in cocktails.most_common(5))
    assert five / cocktails.total() == pytest.approx(0.5, abs=0.05)


def test_every_line_can_be_made_of_this_menu(menu: Menu, nights: list[list[Arrival]]) -> None:
    lines = [line for night in nights for arrival in night for line in arrival.lines]
    for line in lines:
        mix_of(menu, line)
    for wish in ("changes", "allergies", "note"):
        assert any(getattr(line, wish) for line in lines), wish


def test_the_same_seed_gives_the_same_night(menu: Menu) -> None:
    def first(seed: int) -> list[Arrival]:
        return list(islice(friday(menu, seed=seed), 50))

    assert first(5) == first(5)
    assert first(5) != first(6)


def test_a_fuller_house_orders_more(menu: Menu) -> None:
    def drinks(scale: float) -> int:
        return sum(a.num_drinks for a in friday(menu, seed=2, until_s=FIVE_HOURS_S, scale=scale))

    assert drinks(2.0) == pytest.approx(2 * drinks(1.0), rel=0.1)


@pytest.mark.parametrize(
    ("from_s", "until_s", "scale"), [(10.0, 10.0, 1.0), (-1.0, 10.0, 1.0), (0.0, 10.0, 0.0)]
)
def test_what_cannot_be_is_refused(menu: Menu, from_s: float, until_s: float, scale: float) -> None:
    with pytest.raises(BadValue):
        next(friday(menu, seed=1, from_s=from_s, until_s=until_s, scale=scale))
