"""The fewest facts to put right, so that a drink can be made.

What has to be put right is found by deletion: everything is put right but one fact, and where the
drink still cannot be made, that fact is one of them. Where those are not enough (a second person
would do as well as the first), the fewest of the others are tried on top, the easiest first.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from solver.errors import BadValue
from solver.snapshot import Snapshot, rail_of

from .facts import Fact, find, mend
from .in_the_way import facts_about


@dataclass(frozen=True, slots=True, kw_only=True)
class Mending:
    """What to put right for one drink that is set aside.

    Attributes
    ----------
    drink, ticket, reason : str
        The drink, its ticket's id, and why it is set aside.
    facts : tuple of Fact
        No fewer would do; empty where nothing that is known of would.
    """

    drink: str
    ticket: str
    reason: str
    facts: tuple[Fact, ...]


def mendings(snapshot: Snapshot) -> tuple[Mending, ...]:
    """Say for every drink that is set aside what to put right, oldest round first."""
    return tuple(
        Mending(
            drink=aside.drink,
            ticket=find(snapshot, aside.drink)[0].id,
            reason=aside.reason,
            facts=fewest_facts(snapshot, aside.drink),
        )
        for aside in rail_of(snapshot).set_aside
    )


def smallest_mending(snapshot: Snapshot) -> Mending | None:
    """Say what to put right so that anything at all can be made: the fewest facts there are.

    None where something can be made as it is, where nothing is ordered, and where no fact that is
    known of would help.
    """
    if rail_of(snapshot).drinks:
        return None
    found = [one for one in mendings(snapshot) if one.facts]
    return min(found, key=lambda one: len(one.facts), default=None)


def fewest_facts(snapshot: Snapshot, drink_id: str) -> tuple[Fact, ...]:
    """Give the fewest facts to put right, so that a drink can be made.

    Of as few, those that are easier to put right; empty where the drink can be made as it is, or
    where putting everything right would not help.

    Raises
    ------
    BadValue
        When the snapshot has no such drink, or it is made or in hand.
    """
    _, drink = find(snapshot, drink_id)
    if drink.made_s is not None or any(drink_id in one.drinks for one in snapshot.in_hand):
        raise BadValue("a drink that waits", drink_id)
    facts = facts_about(snapshot, drink_id)
    if _can_be_made(snapshot, drink_id) or not _can_be_made(mend(snapshot, facts), drink_id):
        return ()
    must = [
        fact
        for fact in facts
        if not _can_be_made(mend(snapshot, [o for o in facts if o is not fact]), drink_id)
    ]
    others = [fact for fact in facts if fact not in must]
    for size in range(len(others) + 1):
        for few in combinations(others, size):
            if _can_be_made(mend(snapshot, [*must, *few]), drink_id):
                return tuple(fact for fact in facts if fact in must or fact in few)
    return facts


def _can_be_made(snapshot: Snapshot, drink_id: str) -> bool:
    return any(drink.id == drink_id for drink in rail_of(snapshot).drinks)
