"""What a snapshot carries that takes a plan to know: the fair bound, and what comes too late."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Set
from dataclasses import replace

from solver.baselines import BASELINES, by_the_ticket
from solver.goal import hard_stop_ds, made_times_ds, measures_of
from solver.snapshot import Snapshot, rail_of
from solver.timing import Engine
from solver.units import to_ds

NEAR_S = 2 * 3600.0
"""A hard stop further off than this touches nothing that is open now."""


def with_fair_bound(snapshot: Snapshot) -> Snapshot:
    """Give the snapshot with the worst time to last drink that by the ticket gives."""
    rail = rail_of(snapshot)
    if not rail.drinks or not snapshot.people_on:
        return replace(snapshot, worst_by_ticket_s=None)
    engine = Engine(replace(snapshot, worst_by_ticket_s=None), rail)
    plan = engine.plan(by_the_ticket(engine), "by the ticket")
    worst_s = measures_of(snapshot, plan).worst_s
    return replace(snapshot, worst_by_ticket_s=worst_s)


def in_time(snapshot: Snapshot, given_up: Collection[str] = ()) -> Snapshot:
    """Give the snapshot with the drinks for which no time is left before the hard stop.

    The baselines are laid; while even the best of them would make a round after the hard stop, the
    youngest such round is given up, for whoever came first is served first. What is in hand is
    never given up.

    Parameters
    ----------
    snapshot : Snapshot
    given_up : collection of str
        Drinks given up a moment ago. They stay so, but for the oldest rounds of them that fit by
        now: the baselines are laid two or three times then and not once for each round.
    """
    snapshot = replace(snapshot, too_late=())
    stop_ds = hard_stop_ds(snapshot)
    if stop_ds is None or not 0 < stop_ds <= to_ds(NEAR_S):
        return snapshot
    placed = {ticket.id: (ticket.placed_s, ticket.id) for ticket in snapshot.tickets}
    waiting = {drink.id: drink.ticket for drink in rail_of(snapshot).drinks}
    late = {ticket for drink, ticket in waiting.items() if drink in given_up}
    for oldest in sorted(late, key=lambda ticket: placed[ticket]):
        if _fewest_over(snapshot, waiting, late - {oldest}, stop_ds):
            break
        late.remove(oldest)
    while over := _fewest_over(snapshot, waiting, late, stop_ds):
        late.add(max(over, key=lambda ticket: placed[ticket]))
    return _without(snapshot, waiting, late)


def _without(snapshot: Snapshot, waiting: Mapping[str, str], late: Set[str]) -> Snapshot:
    drinks = tuple(drink for drink, ticket in waiting.items() if ticket in late)
    return replace(snapshot, too_late=drinks)


def _fewest_over(
    snapshot: Snapshot, waiting: Mapping[str, str], late: Set[str], stop_ds: int
) -> set[str]:
    """Give the rounds that would be made after the stop, by the baseline with the fewest."""
    trial = replace(_without(snapshot, waiting, late), worst_by_ticket_s=None)
    rail = rail_of(trial)
    if not rail.drinks or not trial.people_on:
        return set()
    engine = Engine(trial, rail)
    found = []
    for name, rule in BASELINES.items():
        made_ds = made_times_ds(engine.plan(rule(engine), name))
        found.append({waiting[d] for d, at in made_ds.items() if d in waiting and at > stop_ds})
    return min(found, key=len)
