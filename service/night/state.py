"""A bar at this moment, in memory, and the draft in which one action changes it.

`BarState` is never changed in place: an action works on a `Draft`, and only when all of it is
kept by the store does the draft's state become the bar's. An action that fails leaves nothing.
Records stand in maps that share what did not change: an action costs what it changes, however
long the night is.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from operator import itemgetter
from typing import TypeVar

from immutables import Map

from service.errors import NotFound
from service.files.bars import Bar

from .index import Index, Rows, index_after, index_of
from .prints import PrintRecord
from .records import (
    BuildRecord,
    BuildState,
    Changed,
    DrinkRecord,
    Mark,
    MarkKind,
    OrderRecord,
    Record,
    ShownBuild,
    TicketRecord,
    WrittenText,
    kind_of,
    write,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BarState:
    """Everything a bar's screens and plans are made from."""

    bar: Bar
    epoch: str
    tickets: Map[str, TicketRecord] = field(default_factory=Map)
    drinks: Map[str, DrinkRecord] = field(default_factory=Map)
    builds: Map[str, BuildRecord] = field(default_factory=Map)
    marks: Map[str, Mark] = field(default_factory=Map)
    shown: Map[str, ShownBuild] = field(default_factory=Map)
    order: OrderRecord | None = None
    version: int = 0
    """Counts the actions since the start; a plan found for another version is out of date."""
    known_index: Index | None = field(default=None, repr=False, compare=False)

    @property
    def rows(self) -> Rows:
        """The records that the index is about."""
        return Rows(tickets=self.tickets, drinks=self.drinks, builds=self.builds, marks=self.marks)

    @property
    def index(self) -> Index:
        """What is found without a walk through the night; made when it is first asked for."""
        found = self.known_index
        if found is None:
            found = index_of(self.rows)
            object.__setattr__(self, "known_index", found)
        return found

    @property
    def revision(self) -> int:
        """The revision of the order last shown; 0 before there was one."""
        return self.order.revision if self.order else 0

    def in_hand(self) -> list[BuildRecord]:
        """Give the builds in hand, in the order they were begun."""
        return _in_order(self.index.in_hand.values())

    def drinks_of(self, ticket: TicketRecord) -> list[DrinkRecord]:
        """Give the drinks of a ticket in the order of its lines, void ones too."""
        return [self.drinks[drink] for drink in ticket.drinks]

    def marks_of(self, kind: MarkKind, now: datetime) -> list[Mark]:
        """Give the marks of a kind that have not lapsed, oldest first."""
        lasting = self.index.lasting.get(kind, ())
        lapsed = bisect_right(lasting, now, key=itemgetter(0))
        found = [self.marks[name] for _, name in lasting[lapsed:]]
        return sorted(found, key=lambda mark: (mark.since, mark.key))

    def open_tickets(self) -> Iterator[TicketRecord]:
        """Give tickets with a drink still to be made, oldest first."""
        for ticket in self.live_tickets():
            if any(self.drinks[drink].is_open for drink in ticket.drinks):
                yield ticket

    def live_tickets(self) -> list[TicketRecord]:
        """Give tickets with a drink still to be made or part of a build in hand, oldest first."""
        return sorted(self.index.live.values(), key=lambda t: (t.placed_at, t.id))

    def unread_tickets(self) -> list[TicketRecord]:
        """Give tickets with a line that nobody could read, oldest first."""
        return sorted(self.index.unread.values(), key=lambda t: (t.placed_at, t.id))


_Row = TypeVar("_Row")


class Draft:
    """One action at work on a bar's state.

    Parameters
    ----------
    state : BarState
        As it is; never touched.
    now : datetime
        The moment of the action.
    """

    def __init__(self, state: BarState, now: datetime) -> None:
        self.base = state
        self.now = now
        self.bar = state.bar
        self.tickets, self.drinks = state.tickets, state.drinks
        self.builds, self.marks = state.builds, state.marks
        self.texts: list[WrittenText] = []
        self.prints: list[PrintRecord] = []
        self._put: dict[tuple[str, str], Record] = {}
        self._dropped: dict[tuple[str, str], None] = {}

    def apart(self) -> Draft:
        """Give a draft that begins where this one is: what breaks in it leaves this one alone."""
        other = Draft(self.base, self.now)
        other.bar = self.bar
        other.tickets, other.drinks = self.tickets, self.drinks
        other.builds, other.marks = self.builds, self.marks
        other.prints = list(self.prints)
        other._put, other._dropped = dict(self._put), dict(self._dropped)
        return other

    def take_over(self, other: Draft) -> None:
        """Take what another draft, begun from this one, has changed; that one is at its end."""
        self.bar = other.bar
        self.tickets, self.drinks = other.tickets, other.drinks
        self.builds, self.marks = other.builds, other.marks
        self.prints = other.prints
        self._put, self._dropped = other._put, other._dropped

    @property
    def state(self) -> BarState:
        """The state with this draft's changes."""
        return replace(
            self.base,
            bar=self.bar,
            tickets=self.tickets,
            drinks=self.drinks,
            builds=self.builds,
            marks=self.marks,
            version=self.base.version + 1,
            known_index=self._index(),
        )

    def _index(self) -> Index:
        """Give the index with this draft's changes."""
        tickets: dict[str, None] = {}
        builds, marks = [], []
        for kind, name in (*self._put, *self._dropped):
            if kind == "ticket":
                tickets[name] = None
            elif kind == "build":
                builds.append(name)
            elif kind == "mark":
                marks.append(name)
            elif kind == "drink":
                for rows in (self.drinks, self.base.drinks):
                    if name in rows:
                        tickets[rows[name].ticket] = None
        after = Rows(tickets=self.tickets, drinks=self.drinks, builds=self.builds, marks=self.marks)
        return index_after(self.base.index, self.base.rows, after, tickets, builds, marks)

    def numbered(self, day: str, till: str, number: str) -> list[TicketRecord]:
        """Give the tickets of a business day, till and number, in the order they came."""
        key = (day, till, number)
        names = dict.fromkeys(self.base.index.numbered.get(key, ()))
        names |= dict.fromkeys(name for kind, name in self._put if kind == "ticket")
        found = [self.tickets[name] for name in names if name in self.tickets]
        mine = [t for t in found if (t.business_day, t.till, t.number) == key]
        return sorted(mine, key=lambda ticket: ticket.id)

    @property
    def put_records(self) -> list[Record]:
        """Records that are new or changed."""
        return list(self._put.values())

    @property
    def dropped(self) -> list[tuple[str, str]]:
        """Kind and id of records that are no more."""
        return list(self._dropped)

    def put(self, *records: Record) -> None:
        """Set records, new ones or in place of those with their ids."""
        for record in records:
            kind = kind_of(record)
            self._set(kind, self.rows(kind).set(record.id, record))
            self._put[kind, record.id] = record
            self._dropped.pop((kind, record.id), None)

    def drop(self, kind: str, record_id: str) -> None:
        """Take a record away, if it is there."""
        if record_id in self.rows(kind):
            self._set(kind, self.rows(kind).delete(record_id))
            self._put.pop((kind, record_id), None)
            self._dropped[kind, record_id] = None

    def changed(self) -> tuple[Changed, ...]:
        """Give every changed record before and after."""
        return tuple(
            Changed(
                kind=kind,
                id=record_id,
                before=self._written(_rows_of(self.base, kind), record_id),
                after=self._written(self.rows(kind), record_id),
            )
            for kind, record_id in [*self._put, *self._dropped]
        )

    def ticket(self, ticket_id: str) -> TicketRecord:
        """Look a ticket up."""
        return self._look("ticket", self.tickets, ticket_id, "it may be of an earlier day")

    def drink(self, drink_id: str) -> DrinkRecord:
        """Look a drink up."""
        return self._look("drink", self.drinks, drink_id, "read the build order anew")

    def ticket_of(self, drink: DrinkRecord) -> TicketRecord:
        """Give the ticket a drink belongs to."""
        return self.tickets[drink.ticket]

    def marks_of(self, kind: MarkKind) -> list[Mark]:
        """Give the marks of a kind, lapsed or not."""
        names = dict.fromkeys(name for _, name in self.base.index.lasting.get(kind, ()))
        names |= dict.fromkeys(name for what, name in self._put if what == "mark")
        found = [self.marks[name] for name in names if name in self.marks]
        return [mark for mark in found if mark.kind is kind]

    def mark(self, kind: MarkKind, key: str) -> Mark | None:
        """Give a mark, lapsed or not."""
        return self.marks.get(f"{kind.value} {key}")

    def _look(self, what: str, rows: Mapping[str, _Row], wanted: str, hint: str) -> _Row:
        try:
            return rows[wanted]
        except KeyError:
            raise NotFound(
                f"expected the id of a {what} of {self.bar.id}; came {wanted!r}; {hint}"
            ) from None

    def in_hand(self) -> list[BuildRecord]:
        """Give the builds in hand, in the order they were begun."""
        names = dict.fromkeys(self.base.index.in_hand)
        names |= dict.fromkeys(name for kind, name in self._put if kind == "build")
        found = [self.builds[name] for name in names if name in self.builds]
        return _in_order(build for build in found if build.state is BuildState.IN_HAND)

    def rows(self, kind: str) -> Map[str, Record]:
        """Give the records of a kind, by their ids; `put` and `drop` change them."""
        return _rows_of(self, kind)

    def _set(self, kind: str, rows: Map[str, Record]) -> None:
        setattr(self, f"{kind}s", rows)

    @staticmethod
    def _written(rows: Mapping[str, Record], record_id: str) -> str | None:
        record = rows.get(record_id)
        return None if record is None else write(record)


def _rows_of(of: BarState | Draft, kind: str) -> Map[str, Record]:
    found: dict[str, Map[str, Record]] = {
        "ticket": of.tickets,
        "drink": of.drinks,
        "build": of.builds,
        "mark": of.marks,
    }
    return found[kind]


def _in_order(builds: Iterable[BuildRecord]) -> list[BuildRecord]:
    return sorted(builds, key=lambda build: (build.stretches[0].started_at, build.id))


def state_from(bar: Bar, epoch: str, records: Iterable[Record]) -> BarState:
    """Put a state together from the records a store kept."""
    rows: dict[str, dict[str, Record]] = {"ticket": {}, "drink": {}, "build": {}, "mark": {}}
    for record in records:
        rows[kind_of(record)][record.id] = record
    return BarState(
        bar=bar,
        epoch=epoch,
        tickets=Map({k: v for k, v in rows["ticket"].items() if isinstance(v, TicketRecord)}),
        drinks=Map({k: v for k, v in rows["drink"].items() if isinstance(v, DrinkRecord)}),
        builds=Map({k: v for k, v in rows["build"].items() if isinstance(v, BuildRecord)}),
        marks=Map({k: v for k, v in rows["mark"].items() if isinstance(v, Mark)}),
    )


def without_old(state: BarState, before: datetime) -> tuple[BarState, list[tuple[str, str]]]:
    """Give a state without what nobody needs at hand any more.

    Closed tickets placed before a time go with their drinks and builds; the store keeps them.
    Marks that lapsed before it are no more: their kinds and ids are given, to be dropped there.
    """
    held = {drink for build in state.in_hand() for drink in build.drinks}
    old = {
        ticket.id
        for ticket in state.tickets.values()
        if ticket.placed_at < before
        and not any(state.drinks[drink].is_open or drink in held for drink in ticket.drinks)
        and not any(line.is_unread for line in ticket.lines)
    }
    lapsed = {
        mark.id
        for mark in state.marks.values()
        # Glasses that came back still count, until somebody counts anew.
        if mark.until is not None
        and mark.until < before
        and mark.kind is not MarkKind.GLASSES_WASHING
    }
    if not old and not lapsed:
        return state, []
    drinks = Map({k: v for k, v in state.drinks.items() if v.ticket not in old})
    new = replace(
        state,
        tickets=Map({k: v for k, v in state.tickets.items() if k not in old}),
        drinks=drinks,
        builds=Map({k: v for k, v in state.builds.items() if any(d in drinks for d in v.drinks)}),
        shown=Map({k: v for k, v in state.shown.items() if any(d in drinks for d in v.drinks)}),
        marks=Map({k: v for k, v in state.marks.items() if k not in lapsed}),
        known_index=None,
    )
    return new, [("mark", mark) for mark in sorted(lapsed)]
