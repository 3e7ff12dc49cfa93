"""A rush that is a textbook's queue: equal clerks, one-step drinks, nothing shared.

The same simulator as for a Friday, with test standards in which one step takes all the time.
"""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass, field, replace

from scipy import stats

from solver.menu import Ingredient, Kind, Menu, Method, Pour, Pouring, Recipe
from solver.rush.guests import Guests, Patience, RoundSize, SecondThoughts
from solver.rush.little import little_law_error
from solver.rush.night import Night
from solver.rush.scenario import House, Policy, Rush, Scatter, Scenario, Spread
from solver.rush.simulate import simulate
from solver.standards import Standards
from tests.solver.makers import counter, glass, only, person, station

CONFIDENCE = 0.99


@dataclass(frozen=True, kw_only=True)
class Queue:
    """A queue: clerks, arrivals a second, seconds of service and how they scatter."""

    clerks: int
    arrivals_a_s: float
    service_s: float
    scatter: Scatter = field(default_factory=lambda: Scatter(spread=Spread.EXPONENTIAL))
    hours: int = 3
    warm_up_s: int = 1800


def rush_of(queue: Queue) -> Rush:
    """Give a queue as a rush: every clerk a bartender who opens bottles."""
    names = [f"p{n + 1}" for n in range(queue.clerks)]
    menu = _menu(Method.POURED, Kind.BEER, Pouring.BOTTLE)
    bar = counter(
        stations=tuple(station(f"at-{name}") for name in names),
        people=tuple(person(name, f"at-{name}") for name in names),
        glasses=(glass("bottle", 330, clean=1_000_000),),
        taps=(),
    )
    return _rush(queue, House(id="q", counter=bar, menu=menu, standards=_only_step(queue)))


def rush_of_machines(queue: Queue) -> Rush:
    """Give a queue as a rush of coffees: every clerk a group that draws by itself.

    A counter has no more than 16 people; a machine may have as many groups as one likes.
    """
    menu = _menu(Method.COFFEE, Kind.COFFEE, Pouring.MACHINE)
    bar = counter(
        glasses=(glass("bottle", 330, clean=1_000_000),),
        coffee_groups=queue.clerks,
        coffee_grinders=1,
        taps=(),
    )
    standards = only(coffee_draw=queue.service_s)
    scattered = replace(queue, scatter=replace(queue.scatter, scatters_alone=True))
    return _rush(scattered, House(id="q", counter=bar, menu=menu, standards=standards))


def _only_step(queue: Queue) -> Standards:
    return only(bottle_open=queue.service_s)


def _menu(method: Method, kind: Kind, pours: Pouring) -> Menu:
    return Menu(
        ingredients=(Ingredient(id="it", name="it", kind=kind, pours=pours),),
        recipes=(
            Recipe(
                id="one",
                name="one",
                method=method,
                pours=(Pour(ingredient="it", amount="30 ml"),),
                glass="bottle",
            ),
        ),
    )


def _rush(queue: Queue, house: House) -> Rush:
    guests = Guests(
        drinks_an_hour=(queue.arrivals_a_s * 3600,) * (4 * queue.hours),
        sizes=(RoundSize(drinks=(1,), share_pct=100),),
        bar_top_pct=0,
        changed_pct=0,
        allergy_pct=0,
        note_pct=0,
    )
    return Rush(
        house=house,
        scenario=Scenario(
            name="a queue",
            bar="",
            doors="00:00",
            last_orders=f"{queue.hours:02d}:00",
            hard_stop="23:59",
            counted_from=f"00:{queue.warm_up_s // 60:02d}",
            guests=guests,
            patience=Patience(bar_top_s=None),
            second_thoughts=SecondThoughts(void_pct=0, swap_pct=0, one_more_pct=0),
            scatter=queue.scatter,
        ),
    )


@dataclass(frozen=True, kw_only=True)
class Interval:
    """A mean over nights with its interval."""

    mean: float
    half: float

    def holds(self, value: float) -> bool:
        """Whether a value lies in it."""
        return abs(value - self.mean) <= self.half


@dataclass(frozen=True, kw_only=True)
class Waited:
    """What came of a queue over some nights."""

    mean_s: Interval
    share: Interval


def interval_of(values: list[float], steer: list[float] | None = None) -> Interval:
    """Give the mean of nights that know nothing of each other, with a 99% interval.

    `steer` is a control variate: a figure of the same nights less its known mean. What goes along
    with it is taken out, which leaves the mean as it is and the interval narrower (Lavenberg and
    Welch 1981, Manage. Sci. 27:322-335, from memory).
    """
    free = len(values) - 1
    if steer is not None:
        slope = statistics.linear_regression(steer, values).slope
        values = [value - slope * by for value, by in zip(values, steer, strict=True)]
        free -= 1
    spread = statistics.stdev(values) / math.sqrt(len(values))
    factor = float(stats.t.ppf((1 + CONFIDENCE) / 2, free))
    return Interval(mean=statistics.mean(values), half=factor * spread)


def waited(queue: Queue, rush: Rush, seeds: range) -> Waited:
    """Simulate nights and give how long, and how often, drinks waited to be begun.

    Little's law is held against each night on the way. Nights are steered by the work that came,
    whose mean is known: arrivals times service.
    """
    means, shares, came = [], [], []
    counted_s = queue.hours * 3600 - queue.warm_up_s
    for seed in seeds:
        night = simulate(rush, seed=seed, policy=Policy.BY_THE_TICKET)
        assert night is not None
        assert little_law_error(night) == 0
        waits = waits_of(night)
        means.append(statistics.mean(waits))
        shares.append(sum(wait > 0 for wait in waits) / len(waits))
        work_s = sum(
            (drink.made_s or 0.0) - (drink.begun_s or 0.0)
            for round_ in night.counted
            for drink in round_.drinks
        )
        came.append(work_s / counted_s - queue.arrivals_a_s * queue.service_s)
    return Waited(mean_s=interval_of(means, came), share=interval_of(shares, came))


def waits_of(night: Night) -> list[float]:
    """Give how long each counted drink waited to be begun."""
    return [
        (drink.begun_s or 0.0) - drink.ordered_s
        for round_ in night.counted
        for drink in round_.drinks
    ]
