"""How a till says a drink, a change, an allergy: one set of words a layout."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from .orders import Item, Order, house
from .truth import Drink

Case = Callable[[str], str]


def as_is(text: str) -> str:
    """Leave the letters as they are."""
    return text


def titled(text: str) -> str:
    """Give every word a capital, leaving what follows an apostrophe alone."""
    return " ".join(word[:1].upper() + word[1:] for word in text.split(" "))


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """The words of one till.

    Attributes
    ----------
    ways : dict of str to str
        How each change is said; ``{out}`` and ``{into}`` stand for what goes out and what comes in.
    case : callable
        What is done to the letters of drinks and changes.
    allergy : str
        With ``{}`` for what it is.
    note : str
        With ``{}`` for its text.
    single, double : str
        A spirit and a mixer.
    name_room : int
        A name is cut off after so many characters; 0 where it is wrapped or fits.
    """

    ways: dict[str, str] = field(default_factory=dict)
    case: Case = as_is
    allergy: str = "ALLERGY: {}"
    note: str = "{}"
    single: str = "{spirit} & {mixer}"
    double: str = "double {spirit} & {mixer}"
    name_room: int = 0

    def name(self, item: Item) -> str:
        """Write a drink's name whole."""
        if item.recipe is not None:
            return self.case(item.recipe.name)
        form = self.double if item.measure == "double" else self.single
        return self.case(form.format(spirit=_called(item.spirit), mixer=_called(item.mixer)))

    def on_paper(self, item: Item) -> str:
        """Write a drink's name as far as there is room."""
        name = self.name(item)
        return name[: self.name_room].rstrip() if self.name_room else name

    def change(self, change: tuple[str, str, str]) -> str:
        """Write one change."""
        way, out, into = change
        form = {**WAYS, **self.ways}[way]
        return self.case(form.format(out=_called(out), into=_called(into)))

    def allergies(self, item: Item) -> str:
        """Write what a guest must not have."""
        return self.allergy.format(self.case(", ".join(item.allergies)))

    def drinks(self, order: Order) -> tuple[Drink, ...]:
        """Say what a person would read of the drinks."""
        return tuple(
            Drink(
                recipe=item.recipe.id if item.recipe else "",
                spirit=item.spirit,
                mixer=item.mixer,
                measure=item.measure,
                quantity=item.quantity,
                printed=self.on_paper(item),
                is_whole=self.on_paper(item) == self.name(item),
                changes=tuple(item.changes),
                allergies=tuple(item.allergies),
                note=item.note,
            )
            for item in order.drinks
        )


WAYS = {
    "leave_out": "no {out}",
    "swap": "sub {into} for {out}",
    "add": "+ {into}",
    "double": "double",
    "on_the_rocks": "on the rocks",
    "straight_up": "straight up",
    "no_ice": "no ice",
}


def _called(name: str) -> str:
    """Give the name of an ingredient, or the word itself: a garnish."""
    known = house().menu.by_ingredient
    return known[name].name if name in known else name
