"""Rules on rounds and their order: serving, fairness, what was promised as next, the cost."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterator

from solver.builds import why_not_here
from solver.goal import (
    TIE,
    RoundTimes,
    cost_of,
    hands_price,
    rounds_of,
    urgent_tickets,
    work_ds_of,
    worst_allowed_ds,
)
from solver.plan import Serving
from solver.snapshot import Pinned, RailDrink, is_soon_away
from solver.tickets import Channel, Ticket
from solver.units import paced_ds, to_ds, to_s
from solver.work import serving_ds, work_of

from .broken import Broken
from .builds import why_not_shared
from .case import Case, Made, all_tenths, times_of


def check_order(case: Case) -> Iterator[Broken]:
    """Find rounds that are served wrongly or starve, overtaken ones, moved pins, a wrong cost."""
    if not all(all_tenths(times_of(made.build)) for made in case.builds):
        return
    made_ds = {
        drink: to_ds(at_s)
        for made in case.builds
        for drink, at_s in zip(made.build.drinks, made.build.made_s, strict=True)
    }
    yield from _servings(case, made_ds)
    yield from _overtaking(case)
    yield from _pinned(case)
    # Without every drink's time there are no rounds to count; the rule on drinks has said so.
    expected = {*case.waiting, *case.rail.in_hand}
    if expected <= made_ds.keys():
        rounds = rounds_of(case.snapshot, case.rail, made_ds)
        yield from _starving(case, rounds)
        hands_cost = hands_price(case.snapshot, len(rounds)) * work_ds_of(case.plan)
        right = cost_of(case.snapshot.counter.rules, rounds, hands_cost)
        if case.plan.cost != right:
            yield case.broken("cost", f"it is {right}, not {case.plan.cost}")


def _servings(case: Case, made_ds: dict[str, int]) -> Iterator[Broken]:
    num_served = Tally(one.ticket for one in case.plan.servings)
    for ticket in case.snapshot.tickets:
        due = _is_due(case, ticket, made_ds)
        if num_served[ticket.id] == due or (not due and _is_all_made(case, ticket)):
            continue
        what = f"round {ticket.number} is served {num_served[ticket.id]} times, not {int(due)}"
        yield case.broken("serving", what, drinks=case.drinks_of(ticket.id))
    starts = _starts_of(case) if case.plan.servings else {}
    for one in case.plan.servings:
        found = case.tickets.get(one.ticket)
        if found is None:
            yield case.broken("serving", f"there is no ticket {one.ticket!r}")
        elif not all_tenths((one.start_s, one.end_s)):
            what = f"round {found.number} is served at a time that is not a multiple of 0.1 s"
            yield case.broken("time", what, drinks=case.drinks_of(one.ticket))
        else:
            begun = starts.get(one.person, [])
            yield from _one_serving(case, one, found, made_ds, begun)


def _is_due(case: Case, ticket: Ticket, made_ds: dict[str, int]) -> bool:
    """Whether a round has to be served in this plan: over the bar, whole, and not made before."""
    aside = {entry.drink for entry in case.rail.set_aside}
    ids = [drink.id for drink in ticket.drinks]
    return (
        ticket.channel is Channel.BAR_TOP
        and case.snapshot.counter.tills > 0
        and any(drink in made_ds and drink not in case.recorded_ds for drink in ids)
        and not any(drink in aside for drink in ids)
    )


def _is_all_made(case: Case, ticket: Ticket) -> bool:
    """Whether a bar-top round was made before the moment.

    Its build may be in hand for another round's sake, so a serving of it is neither asked for
    nor refused.
    """
    return (
        ticket.channel is Channel.BAR_TOP
        and case.snapshot.counter.tills > 0
        and all(drink.id in case.recorded_ds for drink in ticket.drinks)
    )


def _starts_of(case: Case) -> dict[str, list[tuple[int, str]]]:
    """Give when each person starts their planned builds, and which."""
    found: dict[str, list[tuple[int, str]]] = {}
    for made in case.planned:
        start = (to_ds(made.build.start_s), made.build.id)
        found.setdefault(made.build.person, []).append(start)
    return found


def _one_serving(
    case: Case,
    one: Serving,
    ticket: Ticket,
    made_ds: dict[str, int],
    begun: list[tuple[int, str]],
) -> Iterator[Broken]:
    ids = case.drinks_of(ticket.id)
    start_ds = to_ds(one.start_s)

    def wrong(what: str) -> Broken:
        return case.broken("serving", f"round {ticket.number} {what}", drinks=ids, at_ds=start_ds)

    if one.person not in case.people:
        yield wrong(f"is served by {one.person!r}, and there is nobody of that name")
        return
    lasts_ds = paced_ds(serving_ds(case.snapshot), case.people[one.person].pace_pct)
    if to_ds(one.end_s) - start_ds != lasts_ds:
        yield wrong(f"takes {one.person} {to_s(lasts_ds):g} s to serve")
    finished = {drink: made_ds[drink] for drink in ids if drink in made_ds}
    last_ds = max((*finished.values(), *(case.recorded_ds.get(drink, 0) for drink in ids), 0))
    free_ds = max(last_ds, case.from_ds.get(one.person, 0))
    if start_ds < free_ds:
        yield wrong(f"can be served from {to_s(free_ds):g} s on")
    for begun_ds, build in begun:
        if last_ds <= begun_ds < start_ds:
            yield wrong(f"waits while {one.person} starts build {build}")
    last = max(finished.values(), default=0)
    who = {case.maker_of(drink) for drink, at_ds in finished.items() if at_ds == last}
    if who.isdisjoint(case.from_ds) and one.person in case.from_ds:
        return
    if finished and one.person not in who:
        yield wrong(f"is served by {one.person} and was finished by {' or '.join(sorted(who))}")


def _overtaking(case: Case) -> Iterator[Broken]:
    """Nobody starts other work who could start a drink of a round that goes first.

    A drink whose bottle or glass is on its way holds nobody up before it is here, and one that
    somebody sees as next is theirs.
    """
    first = urgent_tickets(case.snapshot)
    starts_ds = {
        drink: to_ds(made.build.start_s)
        for made in case.planned
        if not _is_real_pin(case, made)
        for drink in made.build.drinks
    }
    urgent = [d for d in case.rail.drinks if d.ticket in first and d.id in starts_ds]
    for made in case.planned:
        build, start_ds = made.build, to_ds(made.build.start_s)
        if _is_real_pin(case, made) or any(drink.ticket in first for drink in made.drinks):
            continue
        passed = [
            drink
            for drink in urgent
            if build.person in drink.people
            and _ready_ds(case, drink, build.person) <= start_ds < starts_ds[drink.id]
        ]
        if passed:
            what = f"{build.person} could start {case.said([passed[0].id])} first"
            yield case.broken("overtaking", what, build=build, at_ds=start_ds)


def _ready_ds(case: Case, drink: RailDrink, person: str) -> int:
    """When a person could start a drink: its bottle and glass are here, and their arms rested."""
    rested_ds = case.shake_from_ds.get(person, 0) if drink.mix.is_shaken else 0
    return max(drink.release_ds, rested_ds)


def _is_real_pin(case: Case, made: Made) -> bool:
    """Whether a build is marked as pinned and somebody does see it as next."""
    build = made.build
    return build.is_pinned and any(_is_of(pin, made) for pin in case.snapshot.pinned)


def _is_of(pin: Pinned, made: Made) -> bool:
    return pin.person == made.build.person and sorted(pin.drinks) == sorted(made.build.drinks)


def _pinned(case: Case) -> Iterator[Broken]:
    for made in case.builds:
        if made.build.is_pinned and not _is_real_pin(case, made):
            yield case.broken("pinned", "nobody sees it as next", build=made.build)
    if _gains_enough(case):
        return
    taken: set[str] = set()
    for pin in case.snapshot.pinned:
        if taken.isdisjoint(pin.drinks) and _is_possible(case, pin):
            taken.update(pin.drinks)
            yield from _one_pin(case, pin)


def _gains_enough(case: Case) -> bool:
    """Whether the plan is better than the best one with the pins by more than the margin."""
    kept = case.plan.cost_with_pins
    if kept is None:
        return False
    margin_pct = case.snapshot.counter.rules.steady_margin_pct
    return case.plan.cost // TIE * 100 < kept // TIE * (100 - margin_pct)


def _is_possible(case: Case, pin: Pinned) -> bool:
    """Whether what was shown as next can still be made so, now.

    A void, an 86, a bottle on its way, a person or a vessel that is gone makes it impossible.
    """
    drinks = tuple(case.waiting[drink] for drink in pin.drinks if drink in case.waiting)
    if not drinks or len(drinks) < len(pin.drinks) or why_not_shared(case, drinks):
        return False
    if any(
        pin.person not in drink.people or _ready_ds(case, drink, pin.person) > 0 for drink in drinks
    ):
        return False
    stays = all(pin.person in drink.stays for drink in drinks)
    if is_soon_away(case.snapshot, pin.person, stays=stays):
        return False
    counter = case.snapshot.counter
    station = counter.by_station[case.people[pin.person].station]
    loads = work_of(case.snapshot, pin.person, drinks).loads
    is_alone = any(drink.is_alone for drink in drinks)
    return not why_not_here(counter, station, loads, is_alone=is_alone)


def _one_pin(case: Case, pin: Pinned) -> Iterator[Broken]:
    made = next((made for made in case.planned if _is_of(pin, made)), None)
    if made is None or not made.build.is_pinned:
        what = f"{pin.person} sees it as next, and the plan has it otherwise"
        yield case.broken("pinned", what, drinks=pin.drinks)
        return
    mine = (other.build for other in case.planned if other.build.person == pin.person)
    earliest = min(mine, key=lambda build: build.start_s)
    if earliest.start_s < made.build.start_s:
        what = f"{pin.person} sees it as next, and build {earliest.id} comes before it"
        yield case.broken("pinned", what, build=made.build, at_ds=to_ds(made.build.start_s))


def _starving(case: Case, rounds: list[RoundTimes]) -> Iterator[Broken]:
    """No round takes longer than is allowed, but for what was in hand already."""
    for times in rounds:
        allowed_ds = worst_allowed_ds(case.snapshot, times.promise_ds)
        if allowed_ds is None:
            return
        last_ds = times.placed_ds + allowed_ds
        late = [
            drink
            for made in case.planned
            for drink, at_s in zip(made.build.drinks, made.build.made_s, strict=True)
            if drink in case.waiting
            and case.waiting[drink].ticket == times.ticket
            and to_ds(at_s) > last_ds
        ]
        if late:
            number = case.tickets[times.ticket].number
            what = f"round {number} may take until {to_s(last_ds):g} s"
            yield case.broken("starving", what, drinks=late, at_ds=times.last_ds)
