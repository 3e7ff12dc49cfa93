"""What an action answers: a sentence for the person who tapped, and what it touched."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterable
from dataclasses import dataclass

from service.errors import NotFound, did_you_mean
from service.night.records import DrinkRecord
from service.night.state import Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """The outcome of one tap.

    Attributes
    ----------
    words : str
        What was done, as a bartender would say it.
    build, started : str
        Build the tap was about, and the one that began with it; empty for none.
    drinks : tuple of str
        Drinks that it touched, or that somebody should look at now.
    """

    words: str
    build: str = ""
    started: str = ""
    drinks: tuple[str, ...] = ()


def names_of(drinks: Iterable[DrinkRecord]) -> str:
    """Say what drinks are: "2 × Harbour Sour, Gin and tonic"."""
    counts = Tally(drink.name for drink in drinks)
    return ", ".join(f"{count} × {name}" if count > 1 else name for name, count in counts.items())


def person_of(draft: Draft, wanted: str) -> str:
    """Give a bartender's id, or say 404 with those of the counter."""
    known = draft.bar.counter.by_person
    if wanted not in known:
        raise NotFound(
            f"expected a bartender of the counter ({', '.join(known)}); came {wanted!r}"
            f"{did_you_mean(wanted, known)}"
        )
    return wanted


def station_words(draft: Draft, person: str) -> str:
    """Say where somebody stands; people appear by station, not by name."""
    counter = draft.bar.counter
    if person not in counter.by_person:
        return person
    station = counter.by_station[counter.by_person[person].station]
    return station.name or station.id
