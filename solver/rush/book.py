"""What a bar knows by heart: mixes, who may make them where, and the work of a build.

Everything here follows from the house alone and is looked up again and again in one night, so
each answer is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from solver.counter import Counter
from solver.menu import GarnishWork, Ice, Ingredient, Mix, Pour
from solver.snapshot import Presence, RailDrink, Snapshot, rail_of
from solver.tickets import Channel, Drink, Line, Ticket, mix_of
from solver.work import Work, work_of

from .scenario import House
from .script import Scripted, scripted

NO_PIECE = (GarnishWork.GRATED, GarnishWork.DROPS)
TOP_SHARE = 0.5
LEAST_TOP_ML = 20.0
"""What a top pours: so much of the glass is liquid in the end, for the ice and the rim; common
practice, an estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ware:
    """One drink as work sees it: `sort` is its mix and whether it is made alone, as a number."""

    sort: int
    channel: Channel
    by_ice: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class May:
    """Who may make a drink (people of the counter, in its order), or why nobody may."""

    people: tuple[str, ...]
    reason: str = ""


class Book:
    """Answers about a house, kept for as long as a night lasts.

    Parameters
    ----------
    house : House
    """

    def __init__(self, house: House) -> None:
        self._house = house
        self._sorts: dict[Line, tuple[Mix, int]] = {}
        self._known: dict[tuple[Mix, bool], int] = {}
        self._by_sort: list[tuple[Mix, Line]] = []
        self._may: dict[tuple[object, ...], May] = {}
        self._work: dict[tuple[object, ...], tuple[Work, Scripted]] = {}
        self._wares: dict[tuple[object, ...], RailDrink] = {}
        self._ingredients = {
            word: one.id for one in house.menu.ingredients for word in (one.id, one.name.lower())
        }

    def sort_of(self, line: Line) -> tuple[Mix, int]:
        """Give a line's mix, and the number of its sort."""
        found = self._sorts.get(line)
        if found is None:
            mix = mix_of(self._house.menu, line)
            sort = self._known.setdefault((mix, line.is_alone), len(self._by_sort))
            if sort == len(self._by_sort):
                self._by_sort.append((mix, line))
            found = self._sorts[line] = (self._by_sort[sort][0], sort)
        return found

    def who_may(
        self, line: Line, channel: Channel, counter: Counter, version: int, on: tuple[str, ...]
    ) -> May:
        """Say who of those on the floor may make a drink; glasses and bottles aside.

        Parameters
        ----------
        line : Line
        channel : Channel
        counter : Counter
            As it is now; `version` tells it from what it was before.
        version : int
        on : tuple of str
        """
        key = (line, channel, version, on)
        found = self._may.get(key)
        if found is None:
            found = self._may[key] = self._asked(line, channel, counter, on)
        return found

    def _asked(self, line: Line, channel: Channel, counter: Counter, on: tuple[str, ...]) -> May:
        """Ask the snapshot's own rule, of a rail with this drink alone and every glass clean."""
        ticket = Ticket(
            id="t",
            number="t",
            channel=channel,
            placed_s=0.0,
            promise_s=600,
            lines=(line,),
            drinks=(Drink(id="d"),),
        )
        glasses = tuple(replace(g, clean=1, chilled=1) for g in counter.glasses)
        snapshot = replace(
            self.empty_snapshot(replace(counter, glasses=glasses)),
            people_on=tuple(Presence(person=name) for name in on),
            tickets=(ticket,),
        )
        rail = rail_of(snapshot)
        if rail.drinks:
            return May(people=rail.drinks[0].people)
        return May(people=(), reason=rail.set_aside[0].reason)

    def empty_snapshot(self, counter: Counter) -> Snapshot:
        """Give a snapshot of this house in which nothing is open."""
        return Snapshot(
            bar=self._house.id,
            menu=self._house.menu,
            standards=self._house.standards,
            counter=counter,
            people_on=(),
            tickets=(),
        )

    def work(
        self, person: str, counter: Counter, version: int, wares: Sequence[Ware]
    ) -> tuple[Work, Scripted]:
        """Give the work of a build and its scripts; positions stand for the drinks' ids."""
        key = (counter.by_person[person].station, version, *wares)
        found = self._work.get(key)
        if found is None:
            drinks = [self._rail_drink(n, ware) for n, ware in enumerate(wares)]
            work = work_of(self.empty_snapshot(counter), person, drinks)
            found = self._work[key] = (work, scripted(work))
        return found

    def _rail_drink(self, position: int, ware: Ware) -> RailDrink:
        mix, line = self._by_sort[ware.sort]
        return RailDrink(
            id=str(position),
            ticket="t",
            channel=ware.channel,
            mix=replace(mix, chill_by_ice=True) if ware.by_ice else mix,
            line=line,
            is_alone=line.is_alone,
            release_ds=0,
            people=(),
        )

    def poured(self, mix: Mix) -> list[tuple[str, float, float]]:
        """Give what one drink takes: ingredient, millilitres, and pieces where it is counted.

        A garnish is one piece, by its name unless it is an ingredient of the menu; what is grated
        or dripped on is none.
        """
        menu = self._house.menu
        found = [
            (pour.ingredient, *self._amount(mix, pour, menu.ingredient(pour.ingredient)))
            for pour in mix.pours
        ]
        for garnish in mix.garnishes:
            if garnish.work not in NO_PIECE:
                name = self._ingredients.get(garnish.name.lower(), garnish.name)
                found.append((name, 0.0, 1.0))
        return found

    def _amount(self, mix: Mix, pour: Pour, ingredient: Ingredient) -> tuple[float, float]:
        amount = pour.measured
        if amount.is_top:
            glass = self._house.counter.by_glass.get(mix.glass)
            room_ml = TOP_SHARE * glass.volume_ml if glass else 0.0
            return max(LEAST_TOP_ML, room_ml - mix.liquid_ml), 0.0
        if amount.is_counted:
            return amount.quantity * ingredient.piece_ml, amount.quantity
        return amount.ml, 0.0


def ices_of(mix: Mix) -> tuple[Ice, ...]:
    """Give the ice that one drink takes: to mix with, and to serve on."""
    return tuple(ice for ice in (mix.ice, mix.serve_ice) if ice is not Ice.NONE)
