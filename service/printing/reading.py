"""A print becomes a ticket: every line on paper gets a role, and what was ordered its lines.

The lines are walked once, from the top. What stands further in than items belongs to the item
above; everything else is asked, in this order: house, item, mark, heading, head, money, and last
what stands under an item or without a quantity. What fits nothing is marked as not understood.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from solver.tickets import LARGEST_QUANTITY

from .changes import is_counted, read_said
from .gathering import Gathered
from .heads import (
    HeadLine,
    has_sign,
    is_head,
    is_said,
    joined_times,
    place_alone,
    read_below,
    read_head,
)
from .items import (
    Ordered,
    amount_in,
    columns_of,
    is_less,
    is_money,
    may_count,
    read_bare_item,
    read_item,
    read_wrapped,
    without_price,
)
from .kinds import channel_of, kind_of
from .lexicon import FACTS, Lexicon, lexicon_of
from .marks import NO_TICKET, mark_of
from .paper import PaperLine, Sheet, read_paper, unframed
from .prints import Item, Print, Printed, PrintKind, Role, Sort
from .profile import Profile, QuantityAt
from .redaction import has_card
from .showing import printed_line, shown
from .words import bare, folded, is_centred

SHORT_SIGN = 3
"""Signs alone that are the end of the line above rather than a rule: ``**``."""


def read_print(
    data: bytes,
    profile: Profile,
    *,
    begins_with: bytes = b"",
    is_name: Callable[[str], bool] | None = None,
) -> Print:
    """Read one print.

    Parameters
    ----------
    data : bytes
        As received.
    profile : Profile
        How this till prints.
    begins_with : bytes
        Settings in force from earlier prints of the same connection (`RawPrint.begins_with`).
    is_name : callable or None
        Whether a text is the name of a drink, where the menu can be asked: it settles whether a
        name goes on in the next line.
    """
    sheet = read_paper(begins_with + data, profile.paper)
    walk = _Walk(lexicon_of(profile), sheet, is_name)
    for row, line in enumerate(walk.sheet.lines):
        walk.take(row, line)
    return walk.done()


class _Walk:
    """One way down a print."""

    def __init__(
        self, lexicon: Lexicon, sheet: Sheet, is_name: Callable[[str], bool] | None
    ) -> None:
        self.lexicon, self.sheet, self.is_name = lexicon, unframed(sheet), is_name
        self.on_paper = sheet.lines
        self.roles: list[Role] = []
        self.facts: dict[str, str] = {}
        self.printed: Printed | None = None
        self.marks: list[PrintKind] = []
        self.is_aside = False
        self.goes_on: set[int] = set()
        self.values: dict[int, HeadLine] = {}
        self.section: Sort | None = None
        self.seat = ""
        self.open: list[Gathered] = []
        self.items: list[Item] = []
        self.rows_of: dict[int, list[int]] = {}
        self.notes: list[str] = []
        self.allergies: list[str] = []
        self.doubts: list[str] = list(sheet.doubts)

    def take(self, row: int, line: PaperLine) -> None:
        """Give the next line its role."""
        self.roles.append(Role.UNREAD)
        self.roles[row] = self._role(row, line)

    def _role(self, row: int, line: PaperLine) -> Role:
        text = line.text
        if line.is_code or not text:
            return Role.CODE if line.is_code else Role.BLANK
        if not any(map(str.isalnum, text)):
            if self.open and len(text.strip()) <= SHORT_SIGN and self._is_under(text):
                self._column_of(text).add_sign(row)
                return Role.GOES_ON
            self._close()
            return Role.RULE
        if row in self.goes_on:
            return Role.GOES_ON
        if self.is_aside:
            return Role.CARD if has_card(text) else Role.ASIDE
        if line.is_centred or not self._is_under(text) or self._is_by_itself(text):
            return self._at_left(row, line)
        return self._under(row, line)

    def _is_under(self, text: str) -> bool:
        """Whether a line stands further in than items, so that it belongs to the one above."""
        indent = len(text) - len(text.lstrip())
        if not self.open or indent < max(1, self.lexicon.profile.changes.indent):
            return False
        is_second = len(self.open) > 1 or self.open[-1].column > 0
        if is_second and indent >= self.lexicon.profile.items.column_at:
            return True
        return indent > self.lexicon.profile.items.indent or not self._items_in(text)

    def _is_by_itself(self, text: str) -> bool:
        """Whether a line that was centred by spaces is a heading, a mark or the house's."""
        if folded(text) in self.lexicon.own_sections:
            return True
        if not is_centred(text, self.lexicon.profile.paper.width):
            return False
        is_said = self.lexicon.section_of(text) is not None or self.lexicon.is_house(text)
        return is_said or mark_of(self.lexicon, text) is not None

    def _items_in(self, text: str) -> list[tuple[int, Ordered]]:
        found = []
        for column, part in columns_of(self.lexicon, text):
            item = read_item(self.lexicon, part)
            if item is None:
                return []
            found.append((column, item))
        return found

    def _at_left(self, row: int, line: PaperLine) -> Role:
        """Ask a line that stands by itself what it is."""
        text = line.text
        below = self.sheet.lines[row + 1] if row + 1 < len(self.sheet.lines) else PaperLine(text="")
        if self._is_table(row, line, below):
            return Role.HEAD
        if self.lexicon.is_house(text):
            return Role.HOUSE
        if (wrapped := read_wrapped(self.lexicon, line, below)) is not None:
            self._items(row, line, [(0, wrapped)])
            self.open[-1].name_rows.append(row + 1)
            self.goes_on.add(row + 1)
            return Role.ITEM
        if (role := self._head(line, only_time=True)) is not None:
            return role
        items = self._items_in(text)
        may_be_other = any(one.is_at_gap for _, one in items)
        if items and not (
            may_be_other and (is_head(self.lexicon, text) or is_money(self.lexicon, text))
        ):
            return self._items(row, line, items)
        if (kind := mark_of(self.lexicon, text)) is not None:
            return self._mark(kind, text)
        if self.open and self.open[-1].goes_on_as_name(self.lexicon, row, text, line):
            return Role.GOES_ON
        return (
            self._heading(text)
            or self._money(text)
            or self._head(line)
            or self._at_left_under(row, line)
        )

    def _is_table(self, row: int, line: PaperLine, below: PaperLine) -> bool:
        """Take a line of labels with its values in the line below, or that line."""
        if (head := self.values.get(row)) is not None:
            self._learned(head, line)
            return True
        head = None if self.items or self.open else read_below(self.lexicon, line.text, below.text)
        if head is not None:
            self.values[row + 1] = head
        return head is not None

    def _heading(self, text: str) -> Role | None:
        """Read a heading over drinks, over food or over one guest's items."""
        if (section := self.lexicon.section_of(text)) is not None:
            self._close()
            self.section = section
            return Role.SECTION
        return Role.SECTION if self._is_seat(text) else None

    def _money(self, text: str) -> Role | None:
        """Read a line of the bill or of a card."""
        role = Role.CARD if has_card(text) else Role.MONEY if is_money(self.lexicon, text) else None
        if role is Role.MONEY and not without_price(text)[1] and is_said(self.lexicon, text):
            return None
        if role is not None:
            self._close()
        return role

    def _head(self, line: PaperLine, *, only_time: bool = False) -> Role | None:
        """Read a line of the head; `only_time` for one with a time on it and nothing left over."""
        head = read_head(self.lexicon, line.text)
        if head is None or (only_time and (head.printed is None or head.leftover)):
            return None
        if self.open and head.facts == {"server": line.text.strip()}:
            return None  # Right below a drink a line without a label is no name of a person.
        if self.lexicon.takes_bare and not has_sign(self.lexicon, without_price(line.text)[0]):
            # "Bar Lemonade" may be a place or, where drinks have no quantity, a drink.
            if self.items or self.open or head.leftover:
                return None
            self.doubts.append(f"'{self._shown(line.text)}' was taken for a line of the head")
        self._close()
        self._learned(head, line)
        return Role.HEAD

    def _learned(self, head: HeadLine, line: PaperLine) -> None:
        for name, value in head.facts.items():
            before = self.facts.setdefault(name, value)
            if before != value:
                self.doubts.append(f"two {name}s: {before} and {value}")
        if head.printed is not None:
            self.printed = joined_times(self.printed, head.printed)
        if head.leftover:
            said = (
                f"'{self._shown(head.leftover)}' of '{self._shown(line.text)}' was not understood"
            )
            self.doubts.append(said)
        if line.doubt:
            self.doubts.append(f"'{self._shown(line.text)}': {line.doubt}")

    def _is_seat(self, text: str) -> bool:
        found = self.lexicon.seat.match(bare(text))
        if found is None:
            return False
        value = bare(text)[found.end() :]
        if not value or " " in value or len(value) > 4:
            return False
        self._close()
        self.seat, self.section = value, None
        return True

    def _mark(self, kind: PrintKind, text: str) -> Role:
        self._close()
        if kind in NO_TICKET:
            if not self.items:
                self.marks.append(kind)
                self.is_aside = True
                return Role.MARK
            return Role.CARD if kind is PrintKind.CARD_SLIP else Role.MARK
        if self.items and kind is PrintKind.VOID:
            said = (
                f"'{self._shown(text)}' stands after the drinks: the whole ticket or the last one?"
            )
            self.doubts.append(said)
        if kind not in self.marks:
            self.marks.append(kind)
        head = read_head(self.lexicon, text)
        if head is not None and not head.leftover:
            self._learned(head, PaperLine(text=text))
        return Role.MARK

    def _items(self, row: int, line: PaperLine, items: list[tuple[int, Ordered]]) -> Role:
        self._close()
        # Up to where a name reaches on a line that goes on with a price or a quantity.
        reach = {one.name: line.text.find(one.name) + len(one.name) for _, one in items}
        for column, ordered in items:
            # Nothing goes on from one of two columns.
            edge = self.lexicon.profile.paper.width if len(items) == 1 else 0
            is_column = ordered.room is not None and reach[ordered.name] >= len(ordered.name)
            used = reach[ordered.name] if is_column else 0
            sort = self.section or Sort(self.lexicon.profile.sections.otherwise)
            self.open.append(
                Gathered(
                    ordered=ordered,
                    row=row,
                    sort=sort,
                    is_headed=self.section is not None,
                    column=column,
                    seat=ordered.seat or self.seat,
                    last=line,
                    edge=used + (ordered.room or 0) if is_column else edge,
                    used=used,
                    name=ordered.name,
                    is_name=self.is_name,
                )
            )
        return Role.ITEM

    def _under(self, row: int, line: PaperLine) -> Role:
        """Give a line to the item above; its role is settled when the item is closed."""
        if (amount := amount_in(self.lexicon, line.text)) is not None:
            return self._amount(row, amount)
        text, price, _ = without_price(line.text)
        if is_less(price) or (price and is_money(self.lexicon, line.text)):
            return Role.MONEY
        text = text if price and self.lexicon.profile.items.prices else line.text
        at = self._column_of(line.text)
        if self.lexicon.void_word.fullmatch(bare(text)):
            at.is_void = True
            at.void_rows.append(row)
            return Role.MARK
        found = read_item(self.lexicon, text)
        if found is not None and is_counted(
            self.lexicon, text, found.name, found.quantity, many=at.ordered.quantity
        ):
            text = found.name
        elif found is not None and not found.is_bare:
            at.doubts.append(f"'{self._shown(text)}' may be an item of its own")
        if at.ordered.is_bare and not at.is_counted and may_count(line.text):
            at.doubts.append(f"'{self._shown(line.text)}' may say how many")
        if not at.goes_on(self.lexicon, row, text.strip(), line):
            at.add(row, text.strip(), line)
        if line.doubt:
            at.doubts.append(f"'{self._shown(text)}': {line.doubt}")
        return Role.NOTE

    def _amount(self, row: int, amount: int) -> Role:
        """Take how many there are of the drink in the line above."""
        at = self.open[-1]
        if at.ordered.is_bare and not at.is_counted and 1 <= amount <= LARGEST_QUANTITY:
            at.ordered = replace(at.ordered, quantity=amount, doubt="")
        elif at.ordered.quantity != amount:
            said = f"is it {at.ordered.quantity} or {amount}?"
            at.doubts.append(said)
        at.is_counted = True
        at.name_rows.append(row)
        return Role.GOES_ON

    def _column_of(self, text: str) -> Gathered:
        indent = len(text) - len(text.lstrip())
        if len(self.open) > 1:
            column_at = self.open[-1].column
            if indent < column_at:
                if column_at < len(text) and text[column_at - 1] == " ":
                    said = f"'{self._shown(text)}' may belong to either column"
                    self.open[0].doubts.append(said)
                return self.open[0]
        return self.open[-1]

    def _at_left_under(self, row: int, line: PaperLine) -> Role:
        """Read what stands as far left as items and has no quantity."""
        text = line.text.strip()
        said = read_said(self.lexicon, text)
        if said.role is Role.ALLERGY:
            if self.open and self.lexicon.profile.changes.indent == 0:
                return self._under(row, line)
            self.allergies += said.allergies
            return Role.ALLERGY
        has_quantities = self.lexicon.profile.items.quantity is not QuantityAt.NOWHERE
        if self.open and has_quantities and self.open[-1].goes_on(self.lexicon, row, text, line):
            return Role.GOES_ON
        is_labelled = said.role is Role.CHANGE or said.is_labelled
        if self.open and is_labelled:
            if self.lexicon.profile.changes.indent > 0:
                doubt = f"'{self._shown(text)}' stands as far left as the drinks"
                self.open[-1].doubts.append(doubt)
            return self._under(row, line)
        if said.role is Role.NOTE and said.is_labelled:
            self.notes.append(said.note)
            return Role.NOTE
        return self._without_quantity(row, line)

    def _without_quantity(self, row: int, line: PaperLine) -> Role:
        ordered = read_bare_item(self.lexicon, line.text)
        is_known = ordered is not None and folded(ordered.name) in (
            self.lexicon.drinks | self.lexicon.food
        )
        has_begun = bool(self.items or self.open or self.section or self.facts)
        if ordered is not None and (is_known or (self.lexicon.takes_bare and has_begun)):
            return self._items(row, line, [(0, ordered)])
        self._close()
        self.doubts.append(self._not_understood(line.text))
        return Role.UNREAD

    def _not_understood(self, text: str) -> str:
        return f"the line '{self._shown(text)}' was not understood"

    def _find_place(self) -> None:
        """Take the only line above the drinks that was not understood for the place; say so."""
        if self.facts.get("place") or "place" not in self.lexicon.profile.head.expects:
            return
        first = min((item.rows[0] for item in self.items), default=0)
        rows = [row for row in range(first) if self.roles[row] is Role.UNREAD]
        text = self.sheet.lines[rows[0]].text if len(rows) == 1 else ""
        if place := place_alone(text):
            self.facts["place"] = place
            self.roles[rows[0]] = Role.HEAD
            self.doubts.remove(self._not_understood(text))
            self.doubts.append(f"'{self._shown(text)}' was taken for the place")

    def _close(self) -> None:
        """Finish the items whose lines have all come."""
        for gathered in self.open:
            item, roles = gathered.closed(self.lexicon)
            place = len(self.items)
            self.items.append(item)
            for row, role in roles.items():
                self.roles[row] = role
                self.rows_of.setdefault(row, []).append(place)
        self.open.clear()

    def done(self) -> Print:
        """Give the print, when all lines have come."""
        self._close()
        self._find_place()
        head = self.lexicon.profile.head
        facts = {name: self.facts.get(name) or getattr(head, name).always for name in FACTS}
        read = Print(
            kind=PrintKind.UNKNOWN,
            number=facts["number"],
            till=facts["till"],
            place=facts["place"],
            seat=head.seat.always,
            server=facts["server"],
            channel=channel_of(self.lexicon, facts["place"]),
            printed=self.printed,
            items=tuple(self.items),
            note="; ".join(self.notes),
            allergies=tuple(dict.fromkeys(self.allergies)),
            doubts=tuple(dict.fromkeys(self.doubts)),
            pictures=self.sheet.pictures,
            drawer_pulses=self.sheet.drawer_pulses,
            correction_replaces=self.lexicon.profile.marks.correction_replaces,
        )
        kind, doubts = kind_of(read, self.marks, self.sheet, has_unread=Role.UNREAD in self.roles)
        if read.items:
            doubts += [f"no {name} was found on it" for name in head.expects if not facts[name]]
        lines = tuple(
            printed_line(self.lexicon, line, self.roles[row], tuple(self.rows_of.get(row, ())))
            for row, line in enumerate(self.on_paper)
        )
        return replace(read, kind=kind, lines=lines, doubts=(*read.doubts, *doubts))

    def _shown(self, text: str) -> str:
        return shown(self.lexicon, text)
