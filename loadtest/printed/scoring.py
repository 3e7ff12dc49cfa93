"""Holds what was read off generated prints against what a person would read.

Three counts, each over printed lines with ink on them or over what was ordered:

**Right.** A line is right when the reader gave it the role a person would, and what it says is as a
person reads it: of a drink its name and how many; of a change what goes out and what comes in; of
an allergy what it is; of a note its words; of the head every fact on it. The rest of a line that
did not fit is right when the line above is, and so is a line with its amount. A dish is right when
it is called food, and what stands under it when it belongs to it; a mark when the print's kind is
right; everything else (names of the house, headings, rules, prices, totals) when nothing was taken
off it. On a print that is no ticket
every line is right if the print was told apart, and none else. A line that was split or doubled is
wrong.

**Lost.** A drink, a change, an allergy or a note that stands on the paper of a ticket or of a
correction, of which nothing reaches a person: its line was taken for the house's, for money, for
food, for part of the head; or its print was said to be none for the bar.

**Wrong without a mark.** A drink that the bar would make other than the paper says (another drink,
another number of them, other changes, allergies or notes), or would make though it was not ordered
or once more, a void that is not seen as one, or a ticket whose number or place is wrong: and
neither the print, nor the line, nor the tray of unread lines says that something is unsure. Names
are held against the menu as the bar does it, so that "made other" means the recipe. Words that
became a note are shown loudly and so are marked, but only if they are there: a note about something
else excuses nothing. A till that the paper does not name is wrong too: voids are found by it.

Marks are not free. **Asked** are prints of tickets, corrections, voids and reprints on which a
person has to look at something; **for nothing**, those of them on which every line was right.
**Misrouted** are tickets that go over the bar where the paper says a table, or the other way round.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher

from service.naming import NO_ALIASES, folded
from service.night.records import LineRecord
from service.printing.prints import Item, PrintedLine, PrintKind, Sort
from service.printing.prints import Print as Read
from service.printing.prints import Role as Given
from service.taps.on_paper import line_of
from solver.tickets import Channel, Line

from .orders import house
from .truth import Drink, Inked, Kind, Print, Role

KINDS = {
    Kind.TICKET: {PrintKind.DRINKS},
    Kind.REPRINT: {PrintKind.REPRINT},
    Kind.VOID: {PrintKind.VOID},
    Kind.CORRECTION: {PrintKind.CORRECTION},
    Kind.NO_DRINKS: {
        *(PrintKind.NO_DRINKS, PrintKind.TEST, PrintKind.DRAWER, PrintKind.REPORT),
        *(PrintKind.CARD_SLIP, PrintKind.EMPTY),
    },
    Kind.PICTURE: {PrintKind.PICTURE},
}
NOTHING_TAKEN = {
    *(Given.RULE, Given.HEAD, Given.SECTION, Given.MARK, Given.MONEY, Given.HOUSE, Given.CARD),
    *(Given.CODE, Given.ASIDE),
}
ORDERED = {Role.DRINK, Role.CHANGE, Role.ALLERGY, Role.NOTE}
MAY_GO_ON = {Given.GOES_ON, Given.CHANGE, Given.ALLERGY, Given.NOTE}
OF_THE_ONE_ABOVE = {Role.GOES_ON, Role.AMOUNT}
FOR_A_PERSON = {PrintKind.DRINKS, PrintKind.CORRECTION, PrintKind.UNKNOWN}
"""Kinds of which every line reaches somebody."""


@dataclass(slots=True, kw_only=True)
class Score:
    """What was counted, over any number of prints.

    Attributes
    ----------
    prints, lines, right, lost, wrong_unmarked : int
    asked, for_nothing, misrouted : int
    drinks, named : int
        Drinks on tickets, and how many of them the menu knew by the name on the paper, so that
        nobody had to be asked.
    marked : int
        Drinks that were not read as they stand there, or not known, and were marked.
    failures : list of str
        What was not right, in words, for whoever mends the reader.
    """

    prints: int = 0
    lines: int = 0
    right: int = 0
    lost: int = 0
    wrong_unmarked: int = 0
    asked: int = 0
    for_nothing: int = 0
    misrouted: int = 0
    drinks: int = 0
    named: int = 0
    marked: int = 0
    failures: list[str] = field(default_factory=list)
    by_role: Counter[str] = field(default_factory=Counter)

    @property
    def right_pct(self) -> float:
        """Lines that are right, in percent."""
        return 100 * self.right / self.lines if self.lines else 100.0

    def add(self, other: Score) -> None:
        """Count another's too."""
        for name in ("prints", "lines", "right", "lost", "wrong_unmarked"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        for name in ("drinks", "named", "marked", "asked", "for_nothing", "misrouted"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.failures += other.failures
        self.by_role += other.by_role


def score(truth: Print, read: Read) -> Score:
    """Hold one print against its truth."""
    return _Held(truth, read).score()


class _Held:
    def __init__(self, truth: Print, read: Read) -> None:
        self.truth, self.read = truth, read
        self.found = Score(prints=1, lines=len(truth.inked))
        self.is_kind = read.kind in KINDS[truth.kind]
        rows = [row for row, line in enumerate(read.lines) if _is_inked(line)]
        self.row_of = _aligned(truth.inked, [(row, read.lines[row]) for row in rows])
        self.drink_of = _owners(truth.inked)

    def score(self) -> Score:
        above = False
        for place, inked in enumerate(self.truth.inked):
            is_right = self._is_right(place, inked) and (
                inked.role not in OF_THE_ONE_ABOVE or above
            )
            above = is_right
            self.found.right += is_right
            if not is_right:
                self._said(f"{inked.role.value} '{inked.text}' was read as {self._how(place)}")
                self.found.by_role[inked.role.value] += 1
            if inked.role in ORDERED and self._is_lost(place, inked):
                self.found.lost += 1
                self._said(f"LOST: {inked.role.value} '{inked.text}'")
        self._judge()
        self._count_marks()
        return self.found

    # ---- Lines ------------------------------------------------------------------------------

    def _is_right(self, place: int, inked: Inked) -> bool:
        line = self._line(place)
        if line is None:
            return False
        if self.truth.kind is Kind.NO_DRINKS and inked.role is not Role.FOOD:
            return self.is_kind and not self._makes(line)
        match inked.role:
            case Role.HEAD:
                return line.role is Given.HEAD and self._is_head(inked)
            case Role.DRINK | Role.CHANGE | Role.ALLERGY | Role.NOTE:
                return self._is_ordered(place, inked, line)
            case Role.GOES_ON | Role.AMOUNT:
                may = MAY_GO_ON if inked.role is Role.GOES_ON else {*Given} - {Given.UNREAD}
                return line.role in may and (bool(line.items) or inked.role is Role.AMOUNT)
            case Role.FOOD:
                return bool(line.items) and not self._makes(line)
            case Role.MARK:
                return line.role is Given.MARK and self.is_kind
        return line.role in NOTHING_TAKEN and not line.items

    def _is_ordered(self, place: int, inked: Inked, line: PrintedLine) -> bool:
        drink = self.truth.drinks[self.drink_of[place]]
        item = self._item(line)
        if item is None or item.sort is Sort.FOOD:
            return False
        match inked.role:
            case Role.DRINK:
                is_named = folded(item.name) == folded(drink.printed)
                return line.role is Given.ITEM and is_named and item.quantity == inked.quantity
            case Role.CHANGE:
                words = self._change_words(place, drink)
                return line.role is Given.CHANGE and words in _changes_in(item)
            case Role.ALLERGY:
                named = {folded(word) for word in item.allergies}
                return line.role is Given.ALLERGY and named == set(map(folded, drink.allergies))
        return line.role is Given.NOTE and folded(drink.note) in folded(item.note)

    def _change_words(self, place: int, drink: Drink) -> tuple[str, str, str]:
        """Give the change of a line: they stand in the order of the drink's."""
        before = sum(
            inked.role is Role.CHANGE and self.drink_of[other] == self.drink_of[place]
            for other, inked in enumerate(self.truth.inked[:place])
        )
        return _change_of(drink.changes[before])

    def _is_head(self, inked: Inked) -> bool:
        read = self.read
        for name, value in inked.facts:
            match name:
                case "time":
                    at = read.printed.at if read.printed else None
                    if at is None or f"{at:%H:%M}" != value:
                        return False
                case "date":
                    if read.printed is None or str(read.printed.day) != value:
                        return False
                case "place":
                    if not self._is_place(value):
                        return False
                case _:
                    if folded(getattr(read, name)) != folded(value):
                        return False
        return True

    def _is_place(self, value: str) -> bool:
        return folded(self.read.place) == folded(value)

    # ---- Lost -------------------------------------------------------------------------------

    def _is_lost(self, place: int, inked: Inked) -> bool:
        if self.truth.kind not in (Kind.TICKET, Kind.CORRECTION):
            return False
        if self.read.kind not in FOR_A_PERSON and not self.read.doubts:
            return True
        line = self._line(place)
        if line is None:
            return True
        if line.role is Given.UNREAD:
            return not self.read.doubts
        if line.role in NOTHING_TAKEN:
            return True
        item = self._item(line)
        if item is None:
            whole = folded(f"{self.read.note} {' '.join(self.read.allergies)}")
            return inked.role is Role.DRINK or not whole
        return item.sort is Sort.FOOD

    # ---- What the bar would make ------------------------------------------------------------

    def _judge(self) -> None:
        if not self.is_kind and not self.read.doubts:
            makes = any(self._record(item).line is not None for item in self.read.drinks)
            is_made = self.read.kind is PrintKind.DRINKS and makes
            if is_made or self.truth.kind is Kind.VOID:
                self._wrong(f"a {self.truth.says} was taken for {self.read.kind.value}")
            return
        if self.truth.kind in (Kind.NO_DRINKS, Kind.PICTURE):
            return
        if not self.read.doubts:
            if folded(self.read.number) != folded(self.truth.number):
                self._wrong(f"number {self.truth.number} was read as '{self.read.number}'")
            if not self._is_place(self.truth.place):
                self._wrong(f"place {self.truth.place} was read as '{self.read.place}'")
            if self.read.till and not self.truth.till:
                self._wrong(f"till '{self.read.till}' is nowhere on the paper")
        if self.truth.kind in (Kind.TICKET, Kind.CORRECTION):
            self._judge_drinks()

    def _judge_drinks(self) -> None:
        taken: set[int] = set()
        for place, inked in enumerate(self.truth.inked):
            if inked.role is not Role.DRINK:
                continue
            drink = self.truth.drinks[self.drink_of[place]]
            line = self._line(place)
            index = line.items[0] if line is not None and line.items else None
            self.found.drinks += 1
            if index is None or index in taken:
                continue  # Lost, or marked as unread; counted as such above.
            taken.add(index)
            self._judge_drink(drink, self.read.items[index], self._words_of_changes(place, drink))
        for index, item in enumerate(self.read.items):
            if index in taken or item.sort is not Sort.DRINK or item.doubts or self.read.doubts:
                continue
            if self._record(item).line is not None:
                self._wrong(f"{item.quantity} {item.name} was not ordered")

    def _words_of_changes(self, place: int, drink: Drink) -> set[str]:
        """Give the words of a drink's lines that are no part of its name or a note."""
        printed = (
            one.text
            for other, one in enumerate(self.truth.inked)
            if self.drink_of[other] == self.drink_of[place]
            and one.role in (Role.DRINK, Role.CHANGE, Role.GOES_ON)
        )
        return set(_words(" ".join(printed))) - set(_words(drink.printed))

    def _judge_drink(self, drink: Drink, item: Item, of_changes: set[str]) -> None:
        record = self._record(item)
        line = record.line
        is_marked = bool(item.doubts or self.read.doubts or item.sort is Sort.UNSURE)
        if line is None:
            self.found.marked += 1
            if drink.is_whole and not is_marked:
                self._said(f"not known to the menu: '{item.name}' ({record.unread})")
            return
        is_drink = drink.what == _what_of(line)
        self.found.named += is_drink
        wrong = [] if is_drink else [f"drink {_what_of(line)} instead of {drink.what}"]
        if line.quantity != drink.quantity or item.is_void:
            wrong.append(f"{line.quantity} instead of {drink.quantity}")
        ordered, came = {*map(_change_of, drink.changes)}, {*_changes_in(item)}
        if line.spirit:
            came.discard(("double", "", ""))  # Its measure, which was held above.
        # What became a note is shown loudly, and its drink made alone: that is a mark.
        note = f"{item.note} {self.read.note}"
        said = folded(note)
        if came - ordered or not all(
            _is_said(change, note, of_changes) for change in ordered - came
        ):
            wrong.append(f"changes {_changes_in(item)} instead of {drink.changes}")
        allergies = {*map(folded, item.allergies)}
        if not all(word in allergies or word in said for word in map(folded, drink.allergies)):
            wrong.append(f"allergies {item.allergies} instead of {drink.allergies}")
        if drink.note and folded(drink.note) not in folded(f"{item.note} {self.read.note}"):
            wrong.append(f"note '{item.note}' instead of '{drink.note}'")
        if wrong and is_marked:
            self.found.marked += 1
        elif wrong:
            self._wrong(f"{drink.printed}: {'; '.join(wrong)}")

    def _count_marks(self) -> None:
        """Count what a person is asked, and whether there was anything to ask."""
        if self.truth.kind in (Kind.NO_DRINKS, Kind.PICTURE):
            return
        if self.read.channel is not None:
            is_floor = self.read.channel is Channel.FLOOR
            self.found.misrouted += is_floor != self.truth.is_floor
        is_asked = self.read.doubts or any(
            item.doubts or item.sort is Sort.UNSURE for item in self.read.items
        )
        if is_asked:
            self.found.asked += 1
            self.found.for_nothing += self.found.right == self.found.lines

    def _record(self, item: Item) -> LineRecord:
        return line_of(house().menu, NO_ALIASES, "line", item, self.read)

    def _makes(self, line: PrintedLine) -> bool:
        return any(self.read.items[one].sort is not Sort.FOOD for one in line.items)

    # ---- Helpers ----------------------------------------------------------------------------

    def _line(self, place: int) -> PrintedLine | None:
        row = self.row_of.get(place)
        return None if row is None else self.read.lines[row]

    def _item(self, line: PrintedLine) -> Item | None:
        return self.read.items[line.items[0]] if line.items else None

    def _how(self, place: int) -> str:
        line = self._line(place)
        if line is None:
            return "nothing: no such line"
        item = self._item(line)
        return f"{line.role.value} of {item}" if item else f"{line.role.value} ({self.read.kind})"

    def _wrong(self, said: str) -> None:
        self.found.wrong_unmarked += 1
        self._said(f"WRONG, NO MARK: {said}")

    def _said(self, words: str) -> None:
        self.found.failures.append(f"{self.truth.layout} {self.truth.number}: {words}")


def _is_inked(line: PrintedLine) -> bool:
    return bool(line.text.strip()) and line.role is not Given.CODE


def _plain(text: str) -> str:
    return " ".join(text.split())


def _aligned(inked: Sequence[Inked], rows: Sequence[tuple[int, PrintedLine]]) -> dict[int, int]:
    """Give for each inked line the row it was read as, where its text came out the same."""
    there = [_plain(one.text) for one in inked]
    here = [_plain(line.text) for _, line in rows]
    blocks = SequenceMatcher(None, there, here, autojunk=False).get_matching_blocks()
    return {a + k: rows[b + k][0] for a, b, size in blocks for k in range(size)}


def _owners(inked: Sequence[Inked]) -> dict[int, int]:
    """Give for each line which drink it belongs to, counted in the order of the paper."""
    owners: dict[int, int] = {}
    drink = -1
    for place, one in enumerate(inked):
        drink += one.role is Role.DRINK
        owners[place] = drink
    return owners


def _change_of(change: tuple[str, str, str]) -> tuple[str, str, str]:
    menu = house().menu
    way, *names = change
    called = (menu.by_ingredient[n].name if n in menu.by_ingredient else n for n in names)
    out, into = map(folded, called)
    return way, out, into


def _is_said(change: tuple[str, str, str], note: str, of_changes: set[str]) -> bool:
    """Whether a note says a change: its ingredients, or where it has none its words."""
    names = [name for name in change[1:] if name]
    if names:
        return all(name in folded(note) for name in names)
    return bool(of_changes.intersection(_words(note)))


def _words(text: str) -> list[str]:
    return [folded(word) for word in re.findall(r"[^\W\d_]{2,}", text)]


def _changes_in(item: Item) -> list[tuple[str, str, str]]:
    found = []
    for change in item.changes:
        match change:
            case {"leave_out": out}:
                found.append(("leave_out", folded(out), ""))
            case {"swap": {"take_out": out, "put_in": into}}:
                found.append(("swap", folded(out), folded(into)))
            case {"add": {"ingredient": into}}:
                found.append(("add", "", folded(into)))
            case _:
                found += [(way, "", "") for way in change]
    return found


def _what_of(line: Line) -> tuple[str, str, str, str]:
    measure = line.measure.value if line.spirit else ""
    return line.recipe, line.spirit, line.mixer, measure
