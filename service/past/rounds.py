"""Rows become tickets; what cannot is said, and nothing goes without being counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from service.files.documents import Fault
from service.files.schemas import TicketBody
from service.naming import NO_ALIASES, folded, recipes_spelled
from solver.menu import Menu
from solver.tickets import Channel, Line

from .cells import NotAQuantity, channel_in, is_taken_off, parts_of, quantity_in
from .changes import Words
from .columns import Column, Columns
from .moments import Moments, NoSuchMoment
from .table import Row, Table

TOGETHER = timedelta(seconds=90)
"""Rows of one number that are further apart are rounds of their own: a tab goes on all evening."""

INHERITED = (
    *(Column.NUMBER, Column.PLACED_AT, Column.DATE, Column.TIME, Column.PLACE, Column.SERVER),
    *(Column.TILL, Column.CHANNEL),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How rows are to be understood.

    Attributes
    ----------
    columns : Columns
    moments : Moments
    menu : Menu
        What the names are held against.
    channel : Channel
        Where rounds went that do not say.
    only_drinks : bool
        What the menu does not know is no drink and is left out, unless it is a drink's name with a
        slip; else it is a fault.
    no_drinks : frozenset of str
        Folded names that are left out in any case.
    """

    columns: Columns
    moments: Moments
    menu: Menu
    channel: Channel
    only_drinks: bool = False
    no_drinks: frozenset[str] = frozenset()


@dataclass(slots=True, kw_only=True)
class Past:
    """What came of a file. ``rows`` is the sum of `kept`, `taken_off`, `left_out` and `bad`."""

    rows: int = 0
    kept: int = 0
    taken_off: int = 0
    bad: int = 0
    unknown: int = 0
    """Those of `bad` whose drink the menu does not know."""
    left_out: Counter[str] = field(default_factory=Counter)
    channel_assumed: int = 0
    noted: int = 0
    """Lines with words that are no change the menu knows, kept as a note."""
    tickets: list[TicketBody] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


@dataclass(slots=True, kw_only=True)
class _Round:
    number: str
    placed_at: datetime
    channel: Channel
    place: str
    server: str
    till: str
    lines: list[tuple[str, Line]] = field(default_factory=list)
    """The name as it stands in the file, and the line of the ticket."""


@dataclass(slots=True, kw_only=True)
class _Unknown:
    line: int
    said: str
    count: int = 0


class Importer:
    """Goes through the rows of one file.

    Parameters
    ----------
    table : Table
    reading : Reading
    """

    def __init__(self, table: Table, reading: Reading) -> None:
        self._table = table
        self._reading = reading
        self._past = Past()
        self._words = Words(reading.menu)
        self._spelled = recipes_spelled(reading.menu, NO_ALIASES)
        self._slips: dict[str, bool] = {}
        self._rounds: list[_Round] = []
        self._last: dict[tuple[str, str], list[_Round]] = {}
        self._unknown: dict[str, _Unknown] = {}
        self._above: dict[Column, str] = {}

    def run(self, tell: Callable[[Iterator[Row]], Iterator[Row]] = iter) -> Past:
        """Read every row.

        Parameters
        ----------
        tell : callable
            Gets the rows and gives them back one by one: a progress bar.
        """
        for line, row in tell(iter(self._table.rows)):
            self._past.rows += 1
            try:
                self._take(line, row)
            except (NoSuchMoment, NotAQuantity) as error:
                self._bad(line, str(error))
        self._say_unknown()
        self._past.faults.sort(key=lambda fault: fault.line or 0)
        self._past.tickets = sorted(self._tickets(), key=lambda one: one.placed_at)
        return self._past

    def _take(self, line: int, row: Sequence[str]) -> None:
        cells = self._cells(row)
        name = cells[Column.DRINK]
        if not name:
            self._bad(
                line, "expected the name of a drink; came nothing: a total, or a row cut off?"
            )
            return
        placed_at = self._reading.moments.moment(
            cells[Column.PLACED_AT] or cells[Column.DATE],
            "" if cells[Column.PLACED_AT] else cells[Column.TIME],
        )
        quantity = quantity_in(cells[Column.QUANTITY])
        if quantity < 0:
            self._take_off(line, cells, name, -quantity)
            return
        if is_taken_off(cells[Column.STATE], self._heading(Column.STATE)):
            self._past.taken_off += 1
            return
        found = self._read(line, name, cells, quantity)
        if found is not None:
            self._past.kept += 1
            self._round_for(cells, placed_at).lines.append((name, found))

    def _cells(self, row: Sequence[str]) -> dict[Column, str]:
        """Give a row's cells; what is empty in a row of the same ticket stands in the row above."""
        columns = self._reading.columns
        cells = {column: columns.of(column, row) for column in Column}
        above, self._above = self._above, cells
        has_number = Column.NUMBER in columns.at
        is_same = has_number and cells[Column.NUMBER] in ("", above.get(Column.NUMBER, ""))
        if above and is_same:
            for column in INHERITED:
                cells[column] = cells[column] or above[column]
        return cells

    def _read(
        self, line: int, name: str, cells: Mapping[Column, str], quantity: int
    ) -> Line | None:
        record = self._words.line(
            name,
            quantity,
            changes=parts_of(cells[Column.CHANGES]),
            allergies=parts_of(cells[Column.ALLERGIES]),
            note=cells[Column.NOTE],
        )
        if record.line is not None:
            self._past.noted += bool(record.line.note)
            return record.line
        # What is a drink but for a few letters would go without a word: somebody has to say.
        is_slip = self._reading.only_drinks and self._is_slip(name)
        if (self._reading.only_drinks and not is_slip) or folded(name) in self._reading.no_drinks:
            self._past.left_out[name] += 1
            return None
        near = f"; did you mean {' or '.join(record.nearest)}?" if record.nearest else ""
        near += f" If it is no drink: --no-drink '{name}'" if is_slip else ""
        self._unknown.setdefault(name, _Unknown(line=line, said=record.unread + near)).count += 1
        self._past.bad += 1
        self._past.unknown += 1
        return None

    def _is_slip(self, name: str) -> bool:
        if name not in self._slips:
            self._slips[name] = self._spelled.is_slip(name)
        return self._slips[name]

    def _round_for(self, cells: Mapping[Column, str], placed_at: datetime) -> _Round:
        number = cells[Column.NUMBER]
        apart = TOGETHER if number else timedelta()
        rounds = self._last.setdefault(_key(cells), [])
        for one in reversed(rounds[-2:]):
            if abs(one.placed_at - placed_at) <= apart:
                return one
        place = cells[Column.PLACE]
        channel = channel_in(cells[Column.CHANNEL], place, self._heading(Column.PLACE))
        if channel is None:
            self._past.channel_assumed += 1
        made = _Round(
            number=number or str(len(self._rounds) + 1),
            placed_at=placed_at,
            channel=channel or self._reading.channel,
            place=place,
            server=cells[Column.SERVER],
            till=cells[Column.TILL],
        )
        rounds.append(made)
        self._rounds.append(made)
        return made

    def _take_off(self, line: int, cells: Mapping[Column, str], name: str, many: int) -> None:
        """Take drinks off the newest round of that number that has them."""
        for one in reversed(self._last.get(_key(cells), [])):
            for index, (called, ordered) in enumerate(one.lines):
                if called.casefold() != name.casefold() or ordered.quantity < many:
                    continue
                self._past.taken_off += 1
                if ordered.quantity > many:
                    left = replace(ordered, quantity=ordered.quantity - many)
                    one.lines[index] = (called, left)
                    return
                del one.lines[index]
                # The row that ordered it is in no ticket any more either.
                self._past.kept -= 1
                self._past.taken_off += 1
                return
        if name in self._past.left_out:
            self._past.left_out[name] += 1
        elif name in self._unknown:
            self._unknown[name].count += 1
            self._past.bad += 1
        else:
            number = cells[Column.NUMBER] or "without a number"
            self._bad(
                line,
                f"expected a row above that orders {many} {name} on ticket {number}, to take it "
                "off again; there is none",
            )

    def _tickets(self) -> Iterator[TicketBody]:
        for one in self._rounds:
            if one.lines:
                yield TicketBody(
                    number=one.number,
                    channel=one.channel,
                    placed_at=one.placed_at.astimezone(UTC),
                    lines=tuple(line for _, line in one.lines),
                    place=one.place,
                    server=one.server,
                    till=one.till,
                )

    def _heading(self, column: Column) -> str:
        position = self._reading.columns.at.get(column)
        return self._table.headings[position] if position is not None else ""

    def _bad(self, line: int, said: str) -> None:
        self._past.bad += 1
        self._fault(line, said)

    def _fault(self, line: int, said: str) -> None:
        self._past.faults.append(Fault(file=self._table.file, line=line, place="", said=said))

    def _say_unknown(self) -> None:
        """Say each name that the menu does not know once, with how often it stands there."""
        for found in self._unknown.values():
            more = f" (and {found.count - 1} more rows)" if found.count > 1 else ""
            self._fault(found.line, f"{found.said}{more}")


def _key(cells: Mapping[Column, str]) -> tuple[str, str]:
    """Give what tells the tickets of one till apart, as long as the evening goes on."""
    number = cells[Column.NUMBER]
    return cells[Column.TILL], number or f"{cells[Column.PLACE]}, {cells[Column.SERVER]}"
