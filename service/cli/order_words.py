"""A plan as a build order in the words of the bar, for a terminal."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from solver.errors import BadValue
from solver.goal import measures_of
from solver.menu import Mix
from solver.plan import Plan, PlannedBuild
from solver.snapshot import RailDrink, Snapshot, rail_of
from solver.tickets import Ticket, mix_of
from solver.work import work_of

from .common import clock_words, counted, planner_words


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One stretch of somebody's hands; the id of its build where it begins one."""

    start_s: float
    end_s: float
    words: str
    build: str = ""


def order_words(
    snapshot: Snapshot, plan: Plan, why: Mapping[str, Sequence[str]] | None = None
) -> str:
    """Write the build order, bartender by bartender, then what is set aside.

    Parameters
    ----------
    snapshot : Snapshot
    plan : Plan
    why : mapping of str to sequence of str, optional
        Lines to write under a build, by its id, and under a drink that is set aside, by its.
    """
    under = why or {}
    lines = [*_head(snapshot, plan)]
    for present in snapshot.people_on:
        rows = sorted(_rows(snapshot, plan, present.person), key=lambda r: (r.start_s, r.end_s))
        lines += ["", _station_words(snapshot, present.person)]
        if not rows:
            lines.append("    nothing for now")
        for row in rows:
            lines.append(
                f"    {clock_words(row.start_s):>6} to {clock_words(row.end_s):>5}  {row.words}"
            )
            lines += [f"{'':21}{line}" for line in under.get(row.build, ())]
    if plan.set_aside:
        owner, names = _owners(snapshot), drink_names(snapshot)
        lines += ["", "set aside"]
        for aside in plan.set_aside:
            number = owner[aside.drink].number
            lines.append(f"    {names[aside.drink]}, ticket {number}: {aside.reason}")
            lines += [f"{'':8}{line}" for line in under.get(aside.drink, ())]
    return "\n".join(lines)


def _head(snapshot: Snapshot, plan: Plan) -> Iterator[str]:
    found = measures_of(snapshot, plan)
    drinks = counted(found.num_drinks, "drink")
    yield (
        f"{snapshot.bar}: {drinks} of {counted(found.num_rounds, 'round')} in"
        f" {counted(len(plan.builds), 'build')}, {planner_words(plan.planner)}"
        f"{' (proved: no plan is better)' if plan.is_proven else ''}"
    )
    late = f", {counted(found.num_late, 'round')} past the promise" if found.num_late else ""
    yield (
        f"round done in {clock_words(found.mean_s)} in the mean, {clock_words(found.worst_s)} at"
        f" worst, counted from the ticket{late}; nothing open after {clock_words(found.clear_s)}"
    )


def _station_words(snapshot: Snapshot, person: str) -> str:
    counter = snapshot.counter
    station = counter.by_station[counter.by_person[person].station]
    beside = sum(
        counter.by_person[present.person].station == station.id for present in snapshot.people_on
    )
    name = station.name or station.id
    return f"{name} ({person})" if beside > 1 else name


def _rows(snapshot: Snapshot, plan: Plan, person: str) -> Iterator[_Row]:
    owner, rail = _owners(snapshot), rail_of(snapshot)
    mixes = {drink.id: drink for drink in (*rail.drinks, *rail.in_hand.values())}
    for build in plan.builds:
        for block in build.blocks:
            if block.person == person:
                words = _block_words(snapshot, build, block.index, mixes, owner)
                begun = "" if block.index else build.id
                yield _Row(start_s=block.start_s, end_s=block.end_s, words=words, build=begun)
    number = {ticket.id: ticket for ticket in snapshot.tickets}
    for serving in plan.servings:
        if serving.person == person:
            ticket = number[serving.ticket]
            words = f"hand over ticket {ticket.number}{_at(ticket)}, and pay"
            yield _Row(start_s=serving.start_s, end_s=serving.end_s, words=words)


def _block_words(
    snapshot: Snapshot,
    build: PlannedBuild,
    index: int,
    drinks: dict[str, RailDrink],
    owner: dict[str, Ticket],
) -> str:
    members = [drinks[drink] for drink in build.drinks]
    if index:
        tail = work_of(snapshot, build.person, members).blocks[index]
        return f"{tail.title}  ({_tickets([drink for drink, _ in tail.made], owner)})"
    said = f"{_drinks_words(members)}  ({_tickets(build.drinks, owner)})"
    said += " [in hand]" if build.is_in_hand else " [next, as shown]" if build.is_pinned else ""
    alone = next((drink for drink in members if drink.is_alone), None)
    if alone is not None:
        why = [*alone.line.allergies, *([alone.line.note] if alone.line.note else [])]
        said += f"  ALONE, in clean kit: {'; '.join(why)}"
    return said


def _tickets(drinks: Sequence[str], owner: dict[str, Ticket]) -> str:
    numbers = list(dict.fromkeys(owner[drink].number for drink in drinks))
    return f"{'ticket' if len(numbers) == 1 else 'tickets'} {', '.join(numbers)}"


def _drinks_words(drinks: Sequence[RailDrink]) -> str:
    count = Tally(_mix_words(drink.mix) for drink in drinks)
    return ", ".join(f"{many} × {name}" if many > 1 else name for name, many in count.items())


def _mix_words(mix: Mix) -> str:
    return f"{mix.name} ({', '.join(mix.changes)})" if mix.changes else mix.name


def _at(ticket: Ticket) -> str:
    return f" at {ticket.place}" if ticket.place else ""


def _owners(snapshot: Snapshot) -> dict[str, Ticket]:
    return {drink.id: ticket for ticket in snapshot.tickets for drink in ticket.drinks}


def drink_names(snapshot: Snapshot) -> dict[str, str]:
    """Name every drink of a snapshot, by id; what the menu does not know, as it was ordered."""
    found = {}
    for ticket in snapshot.tickets:
        for drink in ticket.drinks:
            line = ticket.lines[drink.line]
            try:
                found[drink.id] = mix_of(snapshot.menu, line).name
            except BadValue:
                found[drink.id] = line.recipe or line.spirit
    return found
