"""What is asked of a night at every tap, kept beside it: no answer takes a walk through all of it.

An index says nothing that the records do not say: it is made from all of them once, and after an
action from what that action changed.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from .records import BuildRecord, BuildState, DrinkRecord, DrinkState, TicketRecord

_AWAY = (DrinkState.GONE, DrinkState.VOID)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """The records that an index is about, by their ids."""

    tickets: Mapping[str, TicketRecord]
    drinks: Mapping[str, DrinkRecord]
    builds: Mapping[str, BuildRecord]


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """What is found at once.

    Attributes
    ----------
    live : mapping of str to TicketRecord
        Tickets with a drink that is still to be made or is part of a build in hand.
    unread : mapping of str to TicketRecord
        Tickets with a line that nobody could read.
    made : mapping of str to datetime
        Rounds that are made and not gone, and since when.
    whole : mapping of str to sequence of float
        By channel, when rounds were placed that are made, gone ones too, in rising order.
    in_hand : mapping of str to BuildRecord
    begun : mapping of str to sequence of (datetime, str)
        By person, when their builds were begun, and which, in rising order.
    numbered : mapping of (str, str, str) to tuple of str
        Tickets by business day, till and number, in the order they came.
    """

    live: Mapping[str, TicketRecord] = field(default_factory=dict)
    unread: Mapping[str, TicketRecord] = field(default_factory=dict)
    made: Mapping[str, datetime] = field(default_factory=dict)
    whole: Mapping[str, Sequence[float]] = field(default_factory=dict)
    in_hand: Mapping[str, BuildRecord] = field(default_factory=dict)
    begun: Mapping[str, Sequence[tuple[datetime, str]]] = field(default_factory=dict)
    numbered: Mapping[tuple[str, str, str], tuple[str, ...]] = field(default_factory=dict)


def index_of(rows: Rows) -> Index:
    """Make the index of all records."""
    return index_after(
        Index(), Rows(tickets={}, drinks={}, builds={}), rows, rows.tickets, rows.builds
    )


def index_after(
    index: Index, before: Rows, after: Rows, tickets: Iterable[str], builds: Iterable[str]
) -> Index:
    """Give the index after some tickets (or drinks of theirs) and builds changed.

    Parameters
    ----------
    index : Index
        Of the records before; it stays as it is.
    before, after : Rows
    tickets, builds : iterables of str
        Ids of what changed, came or went.
    """
    at_work = _Reindexed(index)
    changed = dict.fromkeys(tickets)
    for name in builds:
        old, new = before.builds.get(name), after.builds.get(name)
        at_work.build(old, new)
        for record in (old, new):
            for drink in record.drinks if record else ():
                known = after.drinks.get(drink) or before.drinks.get(drink)
                if known is not None:
                    changed[known.ticket] = None
    held = {drink for build in at_work.in_hand.values() for drink in build.drinks}
    for name in changed:
        at_work.ticket(before.tickets.get(name), before.drinks, None)
        at_work.ticket(after.tickets.get(name), after.drinks, held)
    return at_work.done()


class _Reindexed:
    """An index that is being changed: what it shares with the old one is copied first."""

    def __init__(self, index: Index) -> None:
        self.live = dict(index.live)
        self.unread = dict(index.unread)
        self.made = dict(index.made)
        self.whole = {channel: list(placed) for channel, placed in index.whole.items()}
        self.in_hand = dict(index.in_hand)
        self.begun = dict(index.begun)
        self.numbered = dict(index.numbered)

    def done(self) -> Index:
        return Index(
            live=self.live,
            unread=self.unread,
            made=self.made,
            whole={channel: placed for channel, placed in self.whole.items() if placed},
            in_hand=self.in_hand,
            begun={person: mine for person, mine in self.begun.items() if mine},
            numbered=self.numbered,
        )

    def build(self, old: BuildRecord | None, new: BuildRecord | None) -> None:
        if old is not None:
            self.in_hand.pop(old.id, None)
            self._begun(old.person).remove((old.stretches[0].started_at, old.id))
        if new is not None:
            insort(self._begun(new.person), (new.stretches[0].started_at, new.id))
            if new.state is BuildState.IN_HAND:
                self.in_hand[new.id] = new

    def ticket(
        self,
        record: TicketRecord | None,
        drinks: Mapping[str, DrinkRecord],
        held: set[str] | None,
    ) -> None:
        """Put a ticket in, or take it out as it was before (`held` None)."""
        if record is None:
            return
        # In the midst of an action a ticket may be there before its drinks are.
        mine = [drinks[name] for name in record.drinks if name in drinks]
        is_open = any(drink.is_open for drink in mine)
        wanted = [drink for drink in mine if drink.state is not DrinkState.VOID]
        placed, is_whole = record.placed_at.timestamp(), bool(wanted) and not is_open
        whole = self.whole.setdefault(record.channel, [])
        key = (record.business_day, record.till, record.number)
        same = self.numbered.get(key, ())
        if held is None:
            self.live.pop(record.id, None)
            self.unread.pop(record.id, None)
            self.made.pop(record.id, None)
            if is_whole:
                del whole[bisect_left(whole, placed)]
            self.numbered[key] = tuple(name for name in same if name != record.id)
            if not self.numbered[key]:
                del self.numbered[key]
            return
        if is_open or any(drink.id in held for drink in mine):
            self.live[record.id] = record
        if any(line.is_unread for line in record.lines):
            self.unread[record.id] = record
        here = [drink.made_at for drink in mine if drink.state not in _AWAY]
        made = [at for at in here if at is not None]
        if here and len(made) == len(here):
            self.made[record.id] = max(made)
        if is_whole:
            insort(whole, placed)
        self.numbered[key] = tuple(sorted((*same, record.id)))

    def _begun(self, person: str) -> list[tuple[datetime, str]]:
        mine = self.begun[person] = list(self.begun.get(person, ()))
        return mine
