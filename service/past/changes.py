"""What was done to a drink, in the words of a till: ``no egg white; double``.

Read as it is off paper, so that a bar's past and its evening mean the same by the same words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from service.naming import NO_ALIASES
from service.night.records import LineRecord
from service.printing.changes import read_said
from service.printing.lexicon import lexicon_of
from service.printing.prints import Item, Print, PrintKind, Sort
from service.printing.profile import Changes, Profile
from service.taps.on_paper import line_of
from solver.menu import Menu

PAPER = Print(kind=PrintKind.DRINKS)


class Words:
    """Reads the names, changes and notes of a till's table.

    Parameters
    ----------
    menu : Menu
    """

    def __init__(self, menu: Menu) -> None:
        self._menu = menu
        names = [row.name for row in menu.ingredients]
        names += [garnish.name for recipe in menu.recipes for garnish in recipe.garnishes]
        changes = Changes(ingredients=tuple(dict.fromkeys(names)))
        self._lexicon = lexicon_of(Profile(name="past", changes=changes))
        # A year of evenings says the same few hundred things.
        self._known: dict[tuple[object, ...], LineRecord] = {}

    def line(
        self,
        name: str,
        quantity: int,
        *,
        changes: Iterable[str] = (),
        allergies: Sequence[str] = (),
        note: str = "",
    ) -> LineRecord:
        """Read one line of a ticket; the record says why where the menu does not know its drink.

        Parameters
        ----------
        name : str
        quantity : int
        changes : iterable of str
            One thing each; what is no change becomes a part of the note.
        allergies : sequence of str
        note : str
        """
        changes = tuple(changes)
        key = (name, quantity, changes, tuple(allergies), note)
        if key in self._known:
            return self._known[key]
        said = [read_said(self._lexicon, part) for part in changes]
        notes = [note, *(one.note for one in said)]
        item = Item(
            sort=Sort.DRINK,
            quantity=quantity,
            name=name,
            changes=tuple(change for one in said for change in one.changes),
            allergies=(*allergies, *(what for one in said for what in one.allergies)),
            note="; ".join(filter(None, notes)),
        )
        self._known[key] = line_of(self._menu, NO_ALIASES, "line", item, PAPER)
        return self._known[key]
