"""What must follow when a snapshot changes in a way whose effect is known.

Source: none but reason. A proven optimum of the sum is the optimum whatever the planner did, so
it has to double with all times, ignore names, and never grow with help or with less to do.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.snapshot import Presence, Snapshot
from tests.outside.bar import solve
from tests.solver.families import small
from tests.solver.makers import counter, person

CASES = [("shared", seed) for seed in range(4)] + [("flame", 1), ("flame", 2), ("urgent", 2)]


def twice_as_slow(snap: Snapshot) -> Snapshot:
    """Everything that takes, took or may take time, twice."""
    rows = {n: replace(row, seconds=2 * row.seconds) for n, row in snap.standards.rows.items()}
    recipes = tuple(
        replace(recipe, hold_limit_s=2 * recipe.hold_limit_s) for recipe in snap.menu.recipes
    )
    return replace(
        snap,
        standards=replace(snap.standards, rows=rows),
        menu=replace(snap.menu, recipes=recipes),
        tickets=tuple(
            replace(one, placed_s=2 * one.placed_s, promise_s=2 * one.promise_s)
            for one in snap.tickets
        ),
    )


def renamed(snap: Snapshot) -> Snapshot:
    """Rounds, drinks and people under names that sort the other way round."""

    def other(name: str) -> str:
        return "".join(chr(ord("z") - ord(sign) + ord("a")) for sign in name if sign.isalpha())

    tickets = tuple(
        replace(
            one,
            id=other(one.id),
            drinks=tuple(
                replace(drink, id=f"{other(one.id)}{9 - n}") for n, drink in enumerate(one.drinks)
            ),
        )
        for one in reversed(snap.tickets)
    )
    people = tuple(replace(who, id=other(who.id)) for who in snap.counter.people)
    return replace(
        snap,
        tickets=tickets,
        counter=replace(snap.counter, people=people),
        people_on=tuple(replace(on, person=other(on.person)) for on in snap.people_on),
    )


def with_help(snap: Snapshot) -> Snapshot:
    """One more bartender, at a station like the others."""
    more = counter(3).stations[2]
    return replace(
        snap,
        counter=replace(
            snap.counter,
            stations=(*snap.counter.stations, more),
            people=(*snap.counter.people, person("cleo", more.id)),
        ),
        people_on=(*snap.people_on, Presence(person="cleo")),
    )


@pytest.mark.parametrize(("kind", "seed"), CASES)
def test_twice_as_slow_costs_twice_as_much(kind: str, seed: int) -> None:
    snap = small(kind, seed)
    assert solve(twice_as_slow(snap)).total_s == 2 * solve(snap).total_s


@pytest.mark.parametrize(("kind", "seed"), [*CASES, ("people", 1), ("contention", 1)])
def test_names_do_not_matter(kind: str, seed: int) -> None:
    snap = small(kind, seed)
    assert solve(renamed(snap)).total_s == solve(snap).total_s


@pytest.mark.parametrize(("kind", "seed"), [*CASES, ("people", 2), ("contention", 3)])
def test_one_more_bartender_never_costs(kind: str, seed: int) -> None:
    snap = small(kind, seed)
    assert solve(with_help(snap)).total_s <= solve(snap).total_s


@pytest.mark.parametrize(("kind", "seed"), [*CASES, ("people", 3), ("bar top", 1)])
def test_one_drink_less_never_costs(kind: str, seed: int) -> None:
    snap = small(kind, seed)
    whole = solve(snap).total_s
    for at, one in enumerate(snap.tickets):
        fewer = replace(one, drinks=one.drinks[1:])
        tickets = (*snap.tickets[:at], *([fewer] if fewer.drinks else []), *snap.tickets[at + 1 :])
        if tickets:
            assert solve(replace(snap, tickets=tickets)).total_s <= whole
