"""How a night went: the figures of the real log, and how much of it was really tapped."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pydantic import TypeAdapter

from service.files.bars import Bar
from service.files.stored import bar_of
from service.night.records import DrinkState
from service.store import KeptNight, Store
from solver.rush.arrivals import QUARTER_S

from .past import clock_of, night_log, replay_of

TONIGHT = "as it was"
"""What a real night is called where a policy's name would stand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimates:
    """How much of a night was tapped, and how much was worked out from other taps.

    Attributes
    ----------
    made : int
        Drinks that were made.
    estimated : int
        Of these, those whose made time is an estimate.
    by_quarter : tuple of (float or None)
        Share of estimates among the drinks made in each quarter; None where none was made.
    """

    made: int
    estimated: int
    by_quarter: tuple[float | None, ...]

    @property
    def share(self) -> float | None:
        """Share of made times that are estimates; None where nothing was made."""
        return self.estimated / self.made if self.made else None


@dataclass(frozen=True, slots=True, kw_only=True)
class NightFigures:
    """Everything about one real night.

    Attributes
    ----------
    opens, busiest : str
        Clock times: when the first quarter begins, and the busiest hour.
    clocks : tuple of str
        When each quarter of an hour begins.
    tickets, drinks, unread, still_open : int
        Unread: tickets of which nothing could be read. Still open: drinks neither made nor void.
    estimates : Estimates
    results : dict
        As one policy of a rush, of one night: no interval.
    words : mapping of str to str
        The names in it in the words of the bar.
    """

    opens: str
    busiest: str
    clocks: tuple[str, ...]
    tickets: int
    drinks: int
    unread: int
    still_open: int
    estimates: Estimates
    results: dict[str, Any]
    words: dict[str, str]


def bar_then(store: Store, bar: Bar, kept: KeptNight) -> Bar:
    """Give a bar as it was told when the last round of a night was placed."""
    if not kept.tickets:
        return bar
    house = store.house_at(bar.id, kept.tickets[-1].ticket.placed_at)
    return bar_of(house) if house is not None else bar


def night_figures(bar: Bar, kept: KeptNight, day: str) -> NightFigures:
    """Work out how a night went (`NotFound` where nothing was ordered)."""
    # What simulates is loaded with it: a service that nobody asks this starts without.
    from solver.rush.figures import figures_of  # noqa: PLC0415
    from solver.rush.results import PolicyResults, results_of  # noqa: PLC0415
    from solver.rush.study import busiest_hour  # noqa: PLC0415

    night = night_log(bar, kept, day)
    rush = replay_of(bar, kept, day)
    # More quarters than the replay's own are those of a night that went on; the clock goes on too.
    clocks = tuple(rush.scenario.clock_at(q * QUARTER_S) for q in range(night.num_quarters))
    busiest = busiest_hour(rush)
    figures = figures_of(night, busiest=busiest)
    results = results_of(TONIGHT, [figures], clocks, 1)
    drinks = [d for one in kept.tickets for d in one.drinks]
    return NightFigures(
        opens=night.doors,
        busiest=rush.scenario.clock_at(busiest.from_s),
        clocks=clocks,
        tickets=len(kept.tickets),
        drinks=sum(d.state is not DrinkState.VOID for d in drinks),
        unread=sum(not one.drinks for one in kept.tickets),
        still_open=sum(d.is_open for d in drinks),
        estimates=_estimates(bar, kept, day, night.num_quarters),
        results=TypeAdapter(PolicyResults).dump_python(results, mode="json"),
        words={use.name: _place_words(bar, use.name) for use in results.uses},
    )


def _estimates(bar: Bar, kept: KeptNight, day: str, num_quarters: int) -> Estimates:
    at = clock_of(bar, kept, day)
    made = [0] * num_quarters
    estimated = [0] * num_quarters
    for drink in (d for one in kept.tickets for d in one.drinks):
        if drink.made_at is not None and drink.state is not DrinkState.VOID:
            quarter = min(int(at.s(drink.made_at) // QUARTER_S), num_quarters - 1)
            made[quarter] += 1
            estimated[quarter] += drink.is_estimate
    return Estimates(
        made=sum(made),
        estimated=sum(estimated),
        by_quarter=tuple(_share(part, of) for part, of in zip(estimated, made, strict=True)),
    )


def _place_words(bar: Bar, name: str) -> str:
    thing, _, place = name.partition("@")
    station = bar.counter.by_station.get(place)
    return f"{thing}, {(station.name or station.id) if station else place}"


def _share(part: int, of: int) -> float | None:
    return part / of if of else None
