"""What a manager asks of a rush becomes one, or is refused in words, each with its place."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from service.errors import BadTicket, pointer
from service.files.bars import Bar, Finding
from service.files.rushes import house_of
from service.files.schemas import RUSH_FILE
from service.files.translate import findings_of, from_bad_value
from solver.errors import BadValue
from solver.rush.scenario import Policy, Rush, Scenario

MOST_DRINKS = 6000
"""Drinks expected in one night; the fullest Friday of a large bar is a few thousand."""

MOST_PEOPLE = 16
USUAL = "a usual Friday"


@dataclass(frozen=True, slots=True, kw_only=True)
class RushAsked:
    """What was asked.

    Attributes
    ----------
    scenario : dict
        What differs from a usual Friday, as it was told.
    policies : tuple of Policy
    nights : int
    within_s : float or None
        Wanted half width of the interval of time to last drink.
    limit_s : float
        Seconds it may take, all parts together.
    seed : int
    what_if, rota : Policy or None
        The way of working by which single changes are ranked, or a rota is looked for.
    """

    scenario: dict[str, Any] = field(default_factory=dict)
    policies: tuple[Policy, ...] = (Policy.LIVE, Policy.LOOK_AHEAD)
    nights: int = 20
    within_s: float | None = None
    limit_s: float = 300.0
    seed: int = 1
    what_if: Policy | None = None
    rota: Policy | None = None


def told_rush(bar: Bar, asked: RushAsked) -> Rush:
    """Give the rush that was asked for, in this bar as it is told now.

    Raises
    ------
    BadTicket
        With every finding and its path.
    """
    told = {"name": USUAL, **asked.scenario, "bar": bar.id}
    if told.get("replay") is not None:
        raise _refused(
            Finding(
                at=("scenario", "replay"),
                expected="the business day of a night that this service kept, as 'night'",
                came="a file",
            )
        )
    try:
        scenario = RUSH_FILE.validate_python(told)
    except ValidationError as error:
        found = findings_of(error, RUSH_FILE, told)
        raise _refused(*(_below(finding) for finding in found)) from None
    try:
        rush = Rush(house=house_of(bar), scenario=scenario)
    except BadValue as error:
        raise _refused(_below(from_bad_value(error, (), told))) from None
    _refuse_sizes(rush)
    return rush


def usual(bar: Bar) -> dict[str, Any]:
    """Give a usual Friday of a bar, everything written out: what a form begins with."""
    found: dict[str, Any] = RUSH_FILE.dump_python(Scenario(name=USUAL, bar=bar.id), mode="json")
    del found["bar"]
    return found


def _refuse_sizes(rush: Rush) -> None:
    scenario = rush.scenario
    guests = scenario.guests
    a_round = _drinks_a_round(scenario)
    drinks = guests.scale * sum(guests.drinks_an_hour) / 4
    drinks += a_round * sum(crowd.rounds for crowd in guests.crowds)
    if not 0 < drinks <= MOST_DRINKS:
        expected = f"1 to {MOST_DRINKS} drinks in a night"
        came = f"about {drinks:.0f}"
        raise _refused(Finding(at=("scenario", "guests"), expected=expected, came=came))
    people = len(rush.house.counter.people) + len(scenario.more_people)
    if people > MOST_PEOPLE:
        expected = f"at most {MOST_PEOPLE} bartenders"
        raise _refused(Finding(at=("scenario", "more_people"), expected=expected, came=str(people)))


def _drinks_a_round(scenario: Scenario) -> float:
    sizes = scenario.guests.sizes
    shares = sum(size.share_pct for size in sizes)
    return sum(s.share_pct * sum(s.drinks) / len(s.drinks) for s in sizes) / shares


def _below(finding: Finding) -> Finding:
    return Finding(
        at=("scenario", *finding.at),
        expected=finding.expected,
        came=finding.came,
        hint=finding.hint,
    )


def _refused(*found: Finding) -> BadTicket:
    first = found[0]
    more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
    return BadTicket(
        f"{pointer(first.at)}: {first.words}{more}",
        errors=[{"path": pointer(one.at), "detail": one.words} for one in found],
    )
