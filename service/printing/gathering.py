"""An item while its lines are still coming: its name, what stands under it, what goes on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from .changes import Said, read_said
from .items import Ordered
from .lexicon import Lexicon
from .names import Names
from .paper import PaperLine
from .prints import Item, Role, Sort
from .redaction import redacted
from .words import folded, squeezed


def _is_whole(lexicon: Lexicon, text: str) -> bool:
    """Whether a text is a change that needs nothing more: all it names is known."""
    changes = [row for row in read_said(lexicon, text).changes if True not in row.values()]
    return bool(changes) and lexicon.knows(changes)


def _is_open(text: str) -> bool:
    """Whether a text begins with a bracket and no other closes it."""
    return text[:1] in "([" and not _ENDS & {*text}


_ENDS = frozenset(")]")
_BEGINS = frozenset("\"'“«([")
"""Signs that something new begins with."""
LONGEST_SAID = 200
"""Characters of a name or note over several lines."""
LONGEST_REST = 2
"""Words that are rather the rest of a name than a note, where nobody knows which."""


@dataclass(slots=True, kw_only=True)
class Under:
    """One thing said under an item: its text as far as it has come, and its lines."""

    text: str
    rows: list[int]
    doubt: str = ""


@dataclass(slots=True, kw_only=True)
class Gathered:
    """An item and its lines.

    Attributes
    ----------
    ordered : Ordered
    row : int
        Of its first line.
    sort : Sort
    is_headed : bool
        A heading over it says its sort.
    column : int
        Where its column begins.
    seat : str
    last : PaperLine
        The line that came last.
    edge : int
        The column where the name has to end: the paper's or that of the prices; 0 where nobody
        knows.
    used : int
        Columns that the name takes of a line with a price; 0 where it has the line for itself.
    is_name : callable or None
        Whether a text is the name of a drink, where somebody knows.
    """

    ordered: Ordered
    row: int
    sort: Sort
    column: int
    seat: str
    last: PaperLine
    edge: int
    name: str = ""
    used: int = 0
    is_headed: bool = False
    name_rows: list[int] = field(default_factory=list)
    under: list[Under] = field(default_factory=list)
    is_name: Callable[[str], bool] | None = None
    is_void: bool = False
    is_counted: bool = False
    void_rows: list[int] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)

    def goes_on(  # noqa: PLR0911 (each way to go on is a way out)
        self, lexicon: Lexicon, row: int, text: str, line: PaperLine
    ) -> bool:
        """Take a line as the rest of the one above, where that had no room for its first word."""
        wraps = lexicon.profile.paper.wraps
        above = self.under[-1].text if self.under else self.name
        if len(above) > LONGEST_SAID:
            return False  # Nothing that a person says on a ticket is so long.
        said = read_said(lexicon, text)
        rest = squeezed(text)
        if not self.under and self._goes_on_surely(lexicon, rest, line, said):
            self._join(row, rest, line)
            return True
        if self.under and _is_open(self.under[-1].text) and rest[-1] in _ENDS:
            # "[vodka instead of dry" and "gin]": what was opened ends here.
            self.under[-1].text += f" {rest}"
            self.under[-1].rows.append(row)
            self.last = line
            return True
        if wraps is False or not self._is_full_for(lexicon, text, line):
            return False
        if said.role is Role.ALLERGY or said.is_labelled:
            is_change = said.role is Role.CHANGE and not self._names(lexicon).is_whole(
                f"{self.name} {rest}" if self.under else self.name
            )
            what = "line above" if self.under else "name"
            doubt = f"'{redacted(rest)}' may be the rest of the {what}" if is_change else ""
            self.add(row, text, line, doubt=doubt)
            return True
        if self.under and self._is_closed(lexicon, rest):
            doubt = f"'{redacted(rest)}' may be the rest of the line above, or a note"
            self.add(row, text, line, doubt="" if rest[0] in _BEGINS else doubt)
            return True
        if self.under:
            joined = f"{self.under[-1].text} {rest}"
            if _is_whole(lexicon, self.under[-1].text) and not _is_whole(lexicon, joined):
                return False
            self.under[-1].text = joined
            self.under[-1].rows.append(row)
        else:
            if self._names(lexicon).is_whole(self.name):
                return False
            if wraps is None:
                self.doubts.append(f"'{redacted(rest)}' may be the rest of the name, or a note")
                if len(rest.split()) > LONGEST_REST:
                    return False
            self._join(row, rest, line)
        self.last = line
        return True

    def _is_closed(self, lexicon: Lexicon, rest: str) -> bool:
        """Whether what was said last is at its end: an allergy without a comma, or a new sign."""
        above = self.under[-1].text
        is_allergy = read_said(lexicon, above).role is Role.ALLERGY
        return rest[0] in _BEGINS or (is_allergy and above[-1] not in ",;/&+-:")

    def goes_on_as_name(self, lexicon: Lexicon, row: int, text: str, line: PaperLine) -> bool:
        """Take a line as the rest of a name that is known and was not yet whole."""
        names, joined = self._names(lexicon), f"{self.name} {squeezed(text)}"
        if self.under or not (names.begins(self.name) and names.is_known(joined)):
            return False
        self._join(row, squeezed(text), line)
        return True

    def _goes_on_surely(self, lexicon: Lexicon, rest: str, line: PaperLine, said: Said) -> bool:
        """Whether the name goes on for sure: as a drink's does, or as a spirit's with its mixer."""
        names = self._names(lexicon)
        joined = f"{self.name} {rest}"
        if names.begins(self.name) and (names.is_whole(joined) or names.begins(joined)):
            return True
        if names.joins(rest) and not names.is_known(self.name) and names.is_known(joined):
            return True
        is_note = said.role is Role.NOTE and not said.is_labelled and rest[:1].isalnum()
        if is_note and not names.is_settled(self.name) and names.is_settled(joined):
            return True
        is_change = said.role is Role.CHANGE and not names.is_known(joined)
        if names.is_whole(self.name) and (is_change or not self._is_full_for(lexicon, rest, line)):
            return False
        is_full = self._is_full_for(lexicon, rest, line) or self.name[-1:] in "&+/,"
        return is_full and names.is_whole(joined) and said.role is not Role.ALLERGY

    def _join(self, row: int, rest: str, line: PaperLine) -> None:
        self.name = f"{self.name} {rest}"
        self.name_rows.append(row)
        self.used = 0
        self.last = line

    def _names(self, lexicon: Lexicon) -> Names:
        return Names(lexicon=lexicon, is_name=self.is_name)

    def add(self, row: int, text: str, line: PaperLine, *, doubt: str = "") -> None:
        """Take a line as something new said under the item."""
        self.under.append(Under(text=text, rows=[row], doubt=doubt))
        self.last = line

    def add_sign(self, row: int) -> None:
        """Take a line of signs alone as the end of the one above."""
        (self.under[-1].rows if self.under else self.name_rows).append(row)

    def _is_full_for(self, lexicon: Lexicon, text: str, line: PaperLine) -> bool:
        if (self.last.is_large, self.last.is_bold) != (line.is_large, line.is_bold):
            return False
        edge = lexicon.profile.paper.width if self.under else self.edge
        scale = max(1, line.columns // max(1, len(line.text)))
        used = self.last.columns if self.under or not self.used else self.used
        return edge > 0 and used + scale * (1 + len(text.split(maxsplit=1)[0])) > edge

    def closed(self, lexicon: Lexicon) -> tuple[Item, dict[int, Role]]:
        """Give the item, and the role of each of its lines."""
        roles = {self.row: Role.ITEM, **dict.fromkeys(self.name_rows, Role.GOES_ON)}
        roles |= dict.fromkeys(self.void_rows, Role.MARK)
        changes: list[dict[str, Any]] = []
        allergies: list[str] = []
        notes: list[str] = []
        doubts = [self.ordered.doubt, self.last.doubt, *self.doubts]
        name, behind = self._names(lexicon).parted(self.name)
        unders = [self._said(lexicon, name, under.text) for under in self.under]
        for said in (*behind, *unders):
            changes += said.changes
            allergies += said.allergies
            notes += [said.note] if said.note else []
        for under, said in zip(self.under, unders, strict=True):
            doubts.append(under.doubt)
            roles[under.rows[0]] = said.role
            roles |= dict.fromkeys(under.rows[1:], Role.GOES_ON)
        item = Item(
            sort=self._sorted(lexicon, name),
            quantity=self.ordered.quantity,
            name=name,
            changes=tuple(changes),
            allergies=tuple(dict.fromkeys(allergies)),
            note="; ".join(notes),
            is_void=self.ordered.is_void or self.is_void,
            seat=self.seat,
            rows=tuple(sorted(roles)),
            doubts=tuple(dict.fromkeys(filter(None, doubts))),
        )
        return item, roles

    def _said(self, lexicon: Lexicon, name: str, text: str) -> Said:
        return self._names(lexicon).sized(name, text) or read_said(lexicon, text)

    def _sorted(self, lexicon: Lexicon, name: str) -> Sort:
        if folded(name) in lexicon.drinks:
            return Sort.DRINK
        if folded(name) in lexicon.food:
            return Sort.FOOD
        if self.ordered.sort:
            return Sort(self.ordered.sort)
        if self.is_headed or self.sort is not Sort.FOOD:
            return self.sort
        # Nothing but the menu tells dishes from drinks here.
        names = self._names(lexicon)
        if names.is_known(name):
            return Sort.DRINK
        return Sort.UNSURE if names.is_like(name) else Sort.FOOD
