"""Who is on the floor when, in quarters of an hour from the doors, and how to have fewer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from .arrivals import QUARTER_S
from .changes import barbacks_of
from .scenario import Barback, Rush, Shift

LEAST_SHIFT = 12
"""Quarters; nobody comes for less than three hours. Common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One person's time on the floor, half-open; barbacks have no name."""

    person: str
    since: int
    until: int

    @property
    def quarters(self) -> int:
        """How long it is."""
        return self.until - self.since


@dataclass(frozen=True, slots=True, kw_only=True)
class Staff:
    """Everyone of a night.

    Attributes
    ----------
    turns, barbacks : tuple of Turn
    """

    turns: tuple[Turn, ...]
    barbacks: tuple[Turn, ...]

    @property
    def quarters(self) -> int:
        """Quarters of an hour of all hands."""
        return sum(turn.quarters for turn in (*self.turns, *self.barbacks))


Cut = tuple[Turn, Turn | None]
"""One shift, and what is left of it; None where it is left out."""


def everybody(rush: Rush) -> Staff:
    """Give the staff that the scenario has."""
    return Staff(
        turns=tuple(_turn(rush, one.person, one.since, one.until) for one in rush.shifts),
        barbacks=tuple(_turn(rush, "", one.since, one.until) for one in barbacks_of(rush)),
    )


def with_staff(rush: Rush, staff: Staff) -> Rush:
    """Give the rush with these shifts; breaks stay where the scenario has them in a shift."""
    scenario = rush.scenario
    known = {shift.person: shift for shift in rush.shifts}
    shifts = []
    for turn in staff.turns:
        shift = known.get(turn.person, Shift(person=turn.person))
        kept = tuple(
            rest
            for rest in shift.breaks
            if turn.since <= scenario.at_s(rest.at) / QUARTER_S < turn.until
        )
        since, until = _clocks(rush, turn)
        shifts.append(replace(shift, since=since, until=until, breaks=kept))
    barbacks = [
        Barback(since=since, until=until)
        for since, until in (_clocks(rush, turn) for turn in staff.barbacks)
    ]
    told = replace(scenario, shifts=tuple(shifts), barbacks=tuple(barbacks))
    return replace(rush, scenario=told)


def shorter(
    staff: Staff, step: int, quarters: int, *, leaves_out: bool
) -> Iterator[tuple[Cut, Staff]]:
    """Give every staff with one shift shorter by a step, and the cut, the fewest hands first.

    Somebody is at the bar in every quarter of all of them.

    Parameters
    ----------
    staff : Staff
    step, quarters : int
        By how many quarters, and how many the night has.
    leaves_out : bool
        Whether a whole shift may be left out as well.
    """
    found: list[tuple[Cut, Staff]] = []
    for rows, name in ((staff.turns, "turns"), (staff.barbacks, "barbacks")):
        for i, turn in enumerate(rows):
            before, after = rows[:i], rows[i + 1 :]
            cuts = (
                replace(turn, since=turn.since + step),
                replace(turn, until=turn.until - step),
            )
            found += [
                ((turn, cut), replace(staff, **{name: (*before, cut, *after)}))
                for cut in cuts
                if cut.quarters >= LEAST_SHIFT
            ]
            if leaves_out:
                found.append(((turn, None), replace(staff, **{name: (*before, *after)})))
    there = [(cut, one) for cut, one in found if min(counts(one.turns, quarters)) >= 1]
    yield from sorted(there, key=lambda row: row[1].quarters)


def counts(turns: Sequence[Turn], quarters: int) -> tuple[int, ...]:
    """Give how many are on the floor in each quarter."""
    return tuple(
        sum(turn.since <= quarter < turn.until for turn in turns) for quarter in range(quarters)
    )


def _turn(rush: Rush, person: str, since: str, until: str) -> Turn:
    scenario = rush.scenario
    until_s = scenario.at_s(until) if until else scenario.hard_stop_s
    return Turn(
        person=person,
        since=int(scenario.since_s(since) // QUARTER_S),
        until=min(-int(-until_s // QUARTER_S), scenario.num_quarters),
    )


def _clocks(rush: Rush, turn: Turn) -> tuple[str, str]:
    """Give start and end as clock times; empty for the doors, and for when all is done."""
    clock_at = rush.scenario.clock_at
    is_to_the_end = turn.until >= rush.scenario.num_quarters
    return (
        clock_at(turn.since * QUARTER_S) if turn.since else "",
        "" if is_to_the_end else clock_at(turn.until * QUARTER_S),
    )
