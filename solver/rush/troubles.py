"""What goes wrong on a night, by the clock: bottles, kegs, glass in ice, people called away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.counter import Counter
from solver.errors import BadValue
from solver.menu import Ice, Menu

SHARED = "shared"
"""Stands for a station where the well belongs to none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunsOut:
    """An ingredient that is out from a time on.

    Attributes
    ----------
    ingredient, at : str
    back_after_s : float or None
        Somebody fetches it, and it is here after so many seconds; None for an 86.
    """

    ingredient: str
    at: str
    back_after_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KegBlown:
    """A keg that is empty: nothing from this tap until a barback has changed it.

    Attributes
    ----------
    tap, at : str
        The draught ingredient, and when.
    change_s : float
        What changing it takes; without a barback the first free bartender does it.
    """

    tap: str
    at: str
    change_s: float = 240.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassInWell:
    """Glass in an ice well: out at once, emptied, melted, wiped and filled anew.

    Attributes
    ----------
    station : str
        Whose well; ``shared`` for one that belongs to none.
    ice : Ice
    at : str
    out_s : float
        How long it is out.
    """

    station: str
    at: str
    ice: Ice = Ice.CUBED
    out_s: float = 900.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CalledAway:
    """A bartender who leaves the floor, as soon after `at` as the hands are free."""

    person: str
    at: str
    for_s: float = 600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Troubles:
    """Everything that goes wrong.

    Attributes
    ----------
    runs_out : tuple of RunsOut
    kegs_blown : tuple of KegBlown
    glass_in_wells : tuple of GlassInWell
    called_away : tuple of CalledAway
    """

    runs_out: tuple[RunsOut, ...] = ()
    kegs_blown: tuple[KegBlown, ...] = ()
    glass_in_wells: tuple[GlassInWell, ...] = ()
    called_away: tuple[CalledAway, ...] = ()

    @property
    def times(self) -> list[tuple[str, str]]:
        """What happens, in words, and the clock time that is named for it."""
        return [
            *((f"{out.ingredient} to run out", out.at) for out in self.runs_out),
            *((f"a keg of {keg.tap} to blow", keg.at) for keg in self.kegs_blown),
            *((f"glass in a well ({one.station})", one.at) for one in self.glass_in_wells),
            *((f"{away.person} to be called away", away.at) for away in self.called_away),
        ]

    def check(self, counter: Counter, menu: Menu, people: Sequence[str]) -> None:
        """Hold what is named here against the bar.

        Raises
        ------
        BadValue
        """
        for out in self.runs_out:
            if out.ingredient not in menu.by_ingredient:
                raise BadValue("an ingredient of the menu that runs out", out.ingredient)
        for keg in self.kegs_blown:
            if keg.tap not in counter.taps:
                raise BadValue(f"a keg of {', '.join(counter.taps) or 'no tap'}", keg.tap)
        for glass in self.glass_in_wells:
            if glass.ice not in wells_of(counter, glass.station):
                raise BadValue(f"a well of {glass.ice.value} ice there", glass.station)
        for away in self.called_away:
            if away.person not in people:
                raise BadValue(f"one of {', '.join(people)} called away", away.person)


def wells_of(counter: Counter, station: str) -> tuple[Ice, ...]:
    """Give the ices of a station's wells, or of the shared ones; none where nobody knows it."""
    if station == SHARED:
        return tuple(well.ice for well in counter.shared_wells)
    found = counter.by_station.get(station)
    return tuple(well.ice for well in found.wells) if found else ()
