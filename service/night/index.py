"""What is asked of a night at every tap, kept beside it: no answer takes a walk through all of it.

An index says nothing that the records do not say: it is made from all of them once, and after an
action from what that action changed.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Generic, TypeVar

from immutables import Map

from .records import (
    BuildRecord,
    BuildState,
    DrinkRecord,
    DrinkState,
    Mark,
    MarkKind,
    TicketRecord,
)

_AWAY = (DrinkState.GONE, DrinkState.VOID)

FOR_GOOD = datetime.max.replace(tzinfo=UTC)
"""Until when a mark holds that only a tap takes away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """The records that an index is about, by their ids."""

    tickets: Mapping[str, TicketRecord]
    drinks: Mapping[str, DrinkRecord]
    builds: Mapping[str, BuildRecord]
    marks: Mapping[str, Mark]


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """What is found at once.

    Attributes
    ----------
    live : mapping of str to TicketRecord
        Tickets with a drink that is still to be made or is part of a build in hand.
    unread : mapping of str to TicketRecord
        Tickets with a line that nobody could read.
    made : sequence of (datetime, str)
        Since when rounds are made that are not gone, and which, in rising order.
    whole : mapping of str to sequence of float
        By channel, when rounds were placed that are made, gone ones too, in rising order.
    in_hand : mapping of str to BuildRecord
    begun : mapping of str to sequence of (datetime, str)
        By person, when their builds were begun, and which, in rising order.
    numbered : mapping of (str, str, str) to tuple of str
        Tickets by business day, till and number, in the order they came.
    lasting : mapping of MarkKind to sequence of (datetime, str)
        By kind, until when marks hold, and which, in rising order.
    washing : mapping of str to sequence of (datetime, str)
        By station and vessel, until when what was let go is in the washer, and which marks say so.
    makers : mapping of str to tuple of str
        By drink, who had it in a build.
    stamps : mapping of str to object
        By person, the same as long as nothing of theirs was made, begun or taken back.
    """

    live: Mapping[str, TicketRecord] = field(default_factory=dict)
    unread: Mapping[str, TicketRecord] = field(default_factory=dict)
    made: Sequence[tuple[datetime, str]] = ()
    whole: Mapping[str, Sequence[float]] = field(default_factory=dict)
    in_hand: Mapping[str, BuildRecord] = field(default_factory=dict)
    begun: Mapping[str, Sequence[tuple[datetime, str]]] = field(default_factory=dict)
    numbered: Map[tuple[str, str, str], tuple[str, ...]] = field(default_factory=Map)
    lasting: Mapping[MarkKind, Sequence[tuple[datetime, str]]] = field(default_factory=dict)
    washing: Mapping[str, Sequence[tuple[datetime, str]]] = field(default_factory=dict)
    makers: Map[str, tuple[str, ...]] = field(default_factory=Map)
    stamps: Mapping[str, object] = field(default_factory=dict, repr=False, compare=False)


def home_of(mark: Mark) -> str:
    """Give the station and vessel of a mark of the washer."""
    return mark.key.split("/", 2)[2]


def index_of(rows: Rows) -> Index:
    """Make the index of all records."""
    nothing = Rows(tickets={}, drinks={}, builds={}, marks={})
    return index_after(Index(), nothing, rows, rows.tickets, rows.builds, rows.marks)


def index_after(
    index: Index,
    before: Rows,
    after: Rows,
    tickets: Iterable[str],
    builds: Iterable[str],
    marks: Iterable[str],
) -> Index:
    """Give the index after some tickets (or drinks of theirs), builds and marks changed.

    Parameters
    ----------
    index : Index
        Of the records before; it stays as it is.
    before, after : Rows
    tickets, builds, marks : iterables of str
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
    for name in marks:
        at_work.mark(before.marks.get(name), after.marks.get(name))
    return at_work.done()


class _Reindexed:
    """An index that is being changed: what it shares with the old one is never touched."""

    def __init__(self, index: Index) -> None:
        self.live = dict(index.live)
        self.unread = dict(index.unread)
        self.in_hand = dict(index.in_hand)
        self.made = _Sorted(index.made)
        self.whole = _ByKey(index.whole)
        self.begun = _ByKey(index.begun)
        self.lasting = _ByKey(index.lasting)
        self.washing = _ByKey(index.washing)
        self.numbered = index.numbered
        self.makers = index.makers
        self.stamps = dict(index.stamps)

    def done(self) -> Index:
        return Index(
            live=self.live,
            unread=self.unread,
            made=self.made.rows or (),
            whole=self.whole.rows,
            in_hand=self.in_hand,
            begun=self.begun.rows,
            numbered=self.numbered,
            lasting=self.lasting.rows,
            washing=self.washing.rows,
            makers=self.makers,
            stamps=self.stamps,
        )

    def build(self, old: BuildRecord | None, new: BuildRecord | None) -> None:
        if old is not None:
            self._made_by(old, (old.person,), ())
            self.in_hand.pop(old.id, None)
            self.begun.remove(old.person, (old.stretches[0].started_at, old.id))
        if new is not None:
            self._made_by(new, (), (new.person,))
            self.begun.add(new.person, (new.stretches[0].started_at, new.id))
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
        for drink in mine:
            for person in self.makers.get(drink.id, ()) if drink.made_at is not None else ():
                self.stamps[person] = object()
        wanted = [drink for drink in mine if drink.state is not DrinkState.VOID]
        placed, is_whole = record.placed_at.timestamp(), bool(wanted) and not is_open
        here = [drink.made_at for drink in mine if drink.state not in _AWAY]
        at = [made_at for made_at in here if made_at is not None]
        since = (max(at), record.id) if at and len(at) == len(here) else None
        key = (record.business_day, record.till, record.number)
        same = self.numbered.get(key, ())
        if held is None:
            self.live.pop(record.id, None)
            self.unread.pop(record.id, None)
            if since is not None:
                self.made.remove(since)
            if is_whole:
                self.whole.remove(record.channel, placed)
            self.numbered = _with(self.numbered, key, (name for name in same if name != record.id))
            return
        if is_open or any(drink.id in held for drink in mine):
            self.live[record.id] = record
        if any(line.is_unread for line in record.lines):
            self.unread[record.id] = record
        if since is not None:
            self.made.add(since)
        if is_whole:
            self.whole.add(record.channel, placed)
        self.numbered = _with(self.numbered, key, sorted((*same, record.id)))

    def mark(self, old: Mark | None, new: Mark | None) -> None:
        if old is not None:
            row = (old.until or FOR_GOOD, old.id)
            self.lasting.remove(old.kind, row)
            if old.kind is MarkKind.WASHER:
                self.washing.remove(home_of(old), row)
        if new is not None:
            row = (new.until or FOR_GOOD, new.id)
            self.lasting.add(new.kind, row)
            if new.kind is MarkKind.WASHER:
                self.washing.add(home_of(new), row)

    def _made_by(
        self, record: BuildRecord, without: tuple[str, ...], with_: tuple[str, ...]
    ) -> None:
        """Note who has, or no longer has, the drinks of a build among theirs."""
        self.stamps[record.person] = object()
        for drink in record.drinks:
            others = [*self.makers.get(drink, ())]
            for person in without:
                others.remove(person)
            self.makers = _with(self.makers, drink, sorted((*others, *with_)))


Key = TypeVar("Key", bound=Hashable)
Row = TypeVar("Row", bound="datetime | float | tuple[datetime, str]")


def _with(
    rows: Map[Key, tuple[str, ...]], key: Key, names: Iterable[str]
) -> Map[Key, tuple[str, ...]]:
    """Give a map with some names under a key; without the key where there are none."""
    found = tuple(names)
    if found:
        return rows.set(key, found)
    return rows.delete(key) if key in rows else rows


class _Sorted(Generic[Row]):
    """Rows in rising order, copied before the first of them comes or goes."""

    def __init__(self, rows: Sequence[Row]) -> None:
        self.rows = rows
        self._own: list[Row] | None = None

    def add(self, row: Row) -> None:
        insort(self._mine(), row)

    def remove(self, row: Row) -> None:
        mine = self._mine()
        del mine[bisect_left(mine, row)]

    def _mine(self) -> list[Row]:
        if self._own is None:
            self.rows = self._own = list(self.rows)
        return self._own


class _ByKey(Generic[Key, Row]):
    """Such rows under keys; a key without rows is none."""

    def __init__(self, found: Mapping[Key, Sequence[Row]]) -> None:
        self._found = found
        self._changed: dict[Key, _Sorted[Row]] = {}

    @property
    def rows(self) -> Mapping[Key, Sequence[Row]]:
        if not self._changed:
            return self._found
        found = {**self._found, **{key: mine.rows for key, mine in self._changed.items()}}
        return {key: rows for key, rows in found.items() if rows}

    def add(self, key: Key, row: Row) -> None:
        self._of(key).add(row)

    def remove(self, key: Key, row: Row) -> None:
        self._of(key).remove(row)

    def _of(self, key: Key) -> _Sorted[Row]:
        if key not in self._changed:
            self._changed[key] = _Sorted(self._found.get(key, ()))
        return self._changed[key]
