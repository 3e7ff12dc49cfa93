"""The goal: one integer formula that says which of two plans is better.

For every round, its weight times (time to last drink, plus what it takes past each of some shares
of its promise); a price on every second that a made drink sits beyond its hold limit, one on every
glass for which the pass has no room, and, where a line waits, one on every second of hands: who
comes next waits for them too. Ties are broken by when nothing is open. The manager may put the
worst round, or an empty rail, first.

The slopes are ours: a second late counts four, one far too late eight, so that nobody's wait is
bought with another's. No source; the settings are the house's.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .counter import HouseRules, PutFirst
from .errors import BadValue
from .menu import Menu
from .plan import Plan
from .snapshot import Rail, Snapshot, by_age, rail_of
from .tickets import Channel, Line, mix_of
from .units import DS_PER_S, to_ds, to_s

LATE_STEPS_PCT = (50, 75, 100, 125, 150, 175, 200)
"""Past each of these shares of the promise, a further second costs one more.

They begin before the promise, or the last places in the line are paid for with first ones.
"""

TIE = 1 << 18
"""One unit of the goal against deciseconds of the tie-breaker; 7 hours fit below it."""

FIRST = 64
"""Weight of what the manager puts first against the mean cost of a round."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTimes:
    """What the goal sees of one round; deciseconds from the snapshot's moment.

    Attributes
    ----------
    ticket : str
    placed_ds : int
        0 or less.
    promise_ds, weight : int
    made : tuple of (int, int)
        For each of its drinks, when it is made and its hold limit.
    is_floor : bool
        Its drinks stand on the pass until the last of them is made.
    """

    ticket: str
    placed_ds: int
    promise_ds: int
    weight: int
    made: tuple[tuple[int, int], ...]
    is_floor: bool = False

    @property
    def last_ds(self) -> int:
        """When its last drink is made."""
        return max(made for made, _ in self.made)

    @property
    def time_to_last_ds(self) -> int:
        """Time to last drink, from its placing."""
        return self.last_ds - self.placed_ds

    @property
    def sat_ds(self) -> int:
        """How long its drinks sit past their hold limits, all together."""
        last = self.last_ds
        return sum(max(0, last - made - hold) for made, hold in self.made)


def round_cost(times: RoundTimes, sit_price: int) -> int:
    """Give one round's part of the goal: weight·(T + Σ max(0, T − step·promise)) + price·sat."""
    waited = times.time_to_last_ds
    late = sum(max(0, waited - times.promise_ds * pct // 100) for pct in LATE_STEPS_PCT)
    return times.weight * (waited + late) + sit_price * times.sat_ds


def num_crowded(rounds: Iterable[RoundTimes], pass_room: int) -> int:
    """Count the glasses too many on the pass, each time a floor drink is made.

    Σ over floor drinks i of max(0, standing(made_i) - room), where standing(t) counts the floor
    drinks with made <= t < last drink of their round: a whole round is carried away.
    """
    since, until = [], []
    for times in rounds:
        if times.is_floor:
            since += [made for made, _ in times.made]
            until += [times.last_ds] * len(times.made)
    since.sort()
    until.sort()
    # Nothing leaves before it came: who stands is who came by then, less who left by then.
    standing = (bisect_right(since, at) - bisect_right(until, at) for at in since)
    return sum(max(0, num - pass_room) for num in standing)


def next_line_pct(snapshot: Snapshot) -> int:
    """Give how long the next line will be, in percent of this one; none comes after last orders."""
    last_orders_s = snapshot.last_orders_s
    is_over = last_orders_s is not None and last_orders_s <= 0
    return 0 if is_over else snapshot.counter.rules.next_line_pct


def hands_price(snapshot: Snapshot, num_rounds: int) -> int:
    """Give what a second of hands costs; a second of one round's time to last drink costs 1.

    A second more of one person's hands is a second later for their share of the next line. While
    there are no more rounds than people, nobody waits for hands. Whole seconds, rounded down.
    """
    num_people = max(1, len(snapshot.people_on))
    return next_line_pct(snapshot) * max(0, num_rounds - num_people) // (100 * num_people)


def cost_of(rules: HouseRules, rounds: Iterable[RoundTimes], hands_cost: int) -> int:
    """Give the goal's value for a whole plan; smaller is better.

    Parameters
    ----------
    rules : HouseRules
        Its `put_first`, `sit_price`, `pass_room` and `pass_price`.
    rounds : iterable of RoundTimes
        Every round with a drink that is open or made.
    hands_cost : int
        Hands of all builds still to begin (`work_ds_of`) times their price (`hands_price`).
    """
    every = tuple(rounds)
    if not every:
        return 0
    total = sum(round_cost(times, rules.sit_price) for times in every)
    if rules.pass_room:
        total += rules.pass_price * DS_PER_S * num_crowded(every, rules.pass_room)
    total += hands_cost
    clear_ds = max(0, *(times.last_ds for times in every))
    if rules.put_first is PutFirst.WORST:
        total = FIRST * max(times.time_to_last_ds for times in every) + total // len(every)
    elif rules.put_first is PutFirst.CLEAR:
        total = FIRST * clear_ds + total // len(every)
    return total * TIE + min(clear_ds, TIE - 1)


USUAL_HOLD_S = 210
"""How long a made drink may sit whose recipe has left the menu since."""


def hold_limit_ds(menu: Menu, line: Line) -> int:
    """Give how long the drinks of a line may sit, in deciseconds."""
    try:
        return to_ds(mix_of(menu, line).hold_limit_s)
    except BadValue:
        return to_ds(USUAL_HOLD_S)


def rounds_of(snapshot: Snapshot, rail: Rail, made_ds: Mapping[str, int]) -> list[RoundTimes]:
    """Gather the rounds of a snapshot for given made times.

    Parameters
    ----------
    snapshot : Snapshot
    rail : Rail
        Of the same snapshot; drinks it sets aside do not count.
    made_ds : mapping of str to int
        Made time of every drink planned or in hand, in deciseconds from the moment.

    Returns
    -------
    list of RoundTimes
        Oldest first; rounds whose every drink is set aside or long made are left out.
    """
    aside = {entry.drink for entry in rail.set_aside}
    found = []
    for ticket in by_age(snapshot):
        made = []
        for drink in ticket.drinks:
            if drink.id in aside:
                continue
            at = to_ds(drink.made_s) if drink.made_s is not None else made_ds[drink.id]
            made.append((at, hold_limit_ds(snapshot.menu, ticket.lines[drink.line])))
        if any(drink.id in made_ds for drink in ticket.drinks):
            found.append(
                RoundTimes(
                    ticket=ticket.id,
                    placed_ds=to_ds(ticket.placed_s),
                    promise_ds=to_ds(ticket.promise_s),
                    weight=ticket.weight,
                    made=tuple(made),
                    is_floor=ticket.channel is Channel.FLOOR,
                )
            )
    return found


def made_times_ds(plan: Plan) -> dict[str, int]:
    """Give every drink's made time in a plan, in deciseconds from the moment."""
    return {
        drink: to_ds(at)
        for build in plan.builds
        for drink, at in zip(build.drinks, build.made_s, strict=True)
    }


def work_ds_of(plan: Plan) -> int:
    """Give the hands that all builds of a plan take which are still to begin, in deciseconds."""
    return sum(
        to_ds(block.end_s) - to_ds(block.start_s)
        for build in plan.builds
        if not build.is_in_hand
        for block in build.blocks
    )


def worst_allowed_ds(snapshot: Snapshot, promise_ds: int) -> int | None:
    """Give the longest time to last drink a round may have, so that nobody starves.

    The larger of its promise and the worst by the ticket plus the house's slack; None where the
    snapshot carries no bound.
    """
    if snapshot.worst_by_ticket_s is None:
        return None
    slack_pct = 100 + snapshot.counter.rules.fair_slack_pct
    return max(promise_ds, to_ds(snapshot.worst_by_ticket_s) * slack_pct // 100)


def hard_stop_ds(snapshot: Snapshot) -> int | None:
    """Give when nothing may be made any more; None where nothing ends service."""
    return None if snapshot.hard_stop_s is None else to_ds(snapshot.hard_stop_s)


def urgent_tickets(snapshot: Snapshot) -> frozenset[str]:
    """Give the rounds that go first: overtaken too often, or old past a share of their promise."""
    rules = snapshot.counter.rules
    return frozenset(
        ticket.id
        for ticket in snapshot.tickets
        if not ticket.is_on_hold
        and (
            ticket.overtaken >= rules.overtakes_allowed
            or -ticket.placed_s * 100 >= ticket.promise_s * rules.urgent_at_pct
        )
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """A plan in figures a person reads; seconds.

    `mean_s` and `worst_s` are times to last drink from each round's placing, `mean_from_now_s`
    counts from the snapshot's moment (what has passed is nobody's doing); `clear_s` is when
    nothing is open; `sat_s` is sitting past hold limits; `num_late` rounds past their promise.
    """

    num_rounds: int
    num_drinks: int
    mean_s: float
    mean_from_now_s: float
    worst_s: float
    clear_s: float
    sat_s: float
    num_late: int


def measures_of(snapshot: Snapshot, plan: Plan) -> Measures:
    """Measure a plan against its snapshot."""
    made_ds = made_times_ds(plan)
    rounds = rounds_of(snapshot, rail_of(snapshot), made_ds)
    count = max(1, len(rounds))
    return Measures(
        num_rounds=len(rounds),
        num_drinks=len(made_ds),
        mean_s=round(to_s(sum(r.time_to_last_ds for r in rounds)) / count, 1),
        mean_from_now_s=round(to_s(sum(max(0, r.last_ds) for r in rounds)) / count, 1),
        worst_s=to_s(max((r.time_to_last_ds for r in rounds), default=0)),
        clear_s=to_s(max((r.last_ds for r in rounds), default=0)),
        sat_s=to_s(sum(r.sat_ds for r in rounds)),
        num_late=sum(r.time_to_last_ds > r.promise_ds for r in rounds),
    )
