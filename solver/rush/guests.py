"""Who comes to a rush, as a scenario tells it: how many, in what rounds, and how patient.

Times are clock times of the night as text, ``"22:10"``; `Scenario.at_s` counts them from the
opening of the doors, past midnight too.

Source: the numbers that stand as usual here are common practice, no measurement; how often a
guest changes a drink, names an allergy, leaves a note or changes their mind is from memory.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from solver.errors import BadValue

from .arrivals import (
    BAR_TOP,
    CHANGED,
    DRINKS_AN_HOUR,
    SAME_AS_FIRST,
    SIZES,
    WITH_ALLERGY,
    WITH_NOTE,
)
from .mix import SHARE_PCT, Sort

LARGEST_ROUND = 30
MOST_AN_HOUR = 5000.0
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSize:
    """How many drinks a round has, and in how many of 100 rounds.

    Attributes
    ----------
    drinks : tuple of int
        Each as likely as the others.
    share_pct : float
    """

    drinks: tuple[int, ...]
    share_pct: float

    def __post_init__(self) -> None:
        if not self.drinks or not all(1 <= count <= LARGEST_ROUND for count in self.drinks):
            raise BadValue(f"rounds of 1 to {LARGEST_ROUND} drinks", self.drinks)
        if self.share_pct < 0:
            raise BadValue("a share of 0 or more", self.share_pct)


USUAL_SIZES: tuple[RoundSize, ...] = tuple(
    RoundSize(drinks=drinks, share_pct=pct) for drinks, pct in SIZES
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crowd:
    """A group that comes at once: a train that empties, a show that ends.

    Attributes
    ----------
    at : str
        When the first of them order, such as ``"22:10"``.
    rounds : int
        How many rounds they order.
    over_s : float
        Within how many seconds from `at`, each moment as likely as the others.
    bar_top_pct : float
        Of their rounds, how many of 100 are ordered across the bar.
    name : str
        What a report calls them.
    """

    at: str
    rounds: int
    over_s: float = 240.0
    bar_top_pct: float = 80.0
    name: str = "a crowd"

    def __post_init__(self) -> None:
        if not 1 <= self.rounds <= 1000:
            raise BadValue("a crowd of 1 to 1000 rounds", self.rounds)
        if not 0 <= self.over_s <= 7200 or not 0 <= self.bar_top_pct <= 100:
            raise BadValue(
                "over_s from 0 to 7200, bar_top_pct from 0 to 100", (self.over_s, self.bar_top_pct)
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Guests:
    """Who comes, when, and what they order.

    Rounds arrive as a Poisson process whose rate changes by the quarter of an hour, and the
    crowds come on top of it.

    Attributes
    ----------
    drinks_an_hour : tuple of float
        By quarter of an hour from the opening of the doors; nobody after the last one.
    scale : float
        How much fuller than that; 1.0 as it stands, 0 for crowds only.
    crowds : tuple of Crowd
    sizes : tuple of RoundSize
    bar_top_pct : float
        Of 100 rounds, how many are ordered across the bar.
    mix_pct : mapping of Sort to float
        Weights of the kinds of drink; a kind that the menu lacks is left out.
    recipe_weight : mapping of str to float
        How much more often than usual a recipe is asked for; 0 for never. A recipe not named
        here has 1.
    same_as_first_pct : float
        How often a further drink of a round repeats its first.
    changed_pct, allergy_pct, note_pct : float
        Of 100 drinks, how many have a change, a noted allergy, a note.
    """

    drinks_an_hour: tuple[float, ...] = DRINKS_AN_HOUR
    scale: float = 1.0
    crowds: tuple[Crowd, ...] = ()
    sizes: tuple[RoundSize, ...] = USUAL_SIZES
    bar_top_pct: float = 100 * BAR_TOP
    mix_pct: Mapping[Sort, float] = field(default_factory=lambda: dict(SHARE_PCT))
    recipe_weight: Mapping[str, float] = field(default_factory=dict)
    same_as_first_pct: float = 100 * SAME_AS_FIRST
    changed_pct: float = 100 * CHANGED
    allergy_pct: float = 100 * WITH_ALLERGY
    note_pct: float = 100 * WITH_NOTE

    def __post_init__(self) -> None:
        for rate in self.drinks_an_hour:
            if not 0 <= rate <= MOST_AN_HOUR:
                raise BadValue(f"0 to {MOST_AN_HOUR:g} drinks an hour in every quarter", rate)
        if not 0 <= self.scale <= 20:
            raise BadValue("a scale from 0 to 20", self.scale)
        if sum(size.share_pct for size in self.sizes) <= 0:
            raise BadValue("sizes of rounds with shares above 0", self.sizes)
        for name in ("bar_top_pct", "same_as_first_pct", "changed_pct", "allergy_pct", "note_pct"):
            if not 0 <= getattr(self, name) <= 100:
                raise BadValue(f"{name} from 0 to 100", getattr(self, name))
        if min((*self.mix_pct.values(), *self.recipe_weight.values()), default=0) < 0:
            raise BadValue("weights of 0 or more", (self.mix_pct, self.recipe_weight))


@dataclass(frozen=True, slots=True, kw_only=True)
class Replay:
    """Past tickets once more, instead of guests that are drawn.

    Attributes
    ----------
    tickets : str
        The file of past tickets, JSON lines or CSV, seen from the scenario's file.
    scale : float
        1 for all of them; 0.8 leaves a fifth out; 1.3 brings three of ten a second time, within
        two minutes of the first.
    day : str
        Where the file has several evenings, the day on which the doors opened for this one, such
        as ``"2027-02-12"``; empty where it has one.
    """

    tickets: str
    scale: float = 1.0
    day: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.scale <= 10:
            raise BadValue("a scale above 0, at most 10", self.scale)
        if self.day and not _DAY.fullmatch(self.day):
            raise BadValue("a day, such as 2027-02-12", self.day)


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """When guests give up who see nobody at their round.

    A round is given up when this much time has passed since it was placed and none of its drinks
    has been begun: it is void. Guests of a round that somebody works on stay.

    Attributes
    ----------
    bar_top_s, floor_s : tuple of (float, float) or None
        Least and most seconds, each moment between as likely; None where nobody gives up.
    """

    bar_top_s: tuple[float, float] | None = (480.0, 600.0)
    floor_s: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        for stretch in (self.bar_top_s, self.floor_s):
            if stretch is not None and not 0 < stretch[0] <= stretch[1]:
                raise BadValue("a patience of least and most seconds", stretch)


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondThoughts:
    """What guests do to a round after it was placed.

    Attributes
    ----------
    void_pct : float
        Of 100 drinks, how many are taken back. One that is in hand by then is made in vain.
    swap_pct : float
        Of 100 drinks, how many become another drink; one that is in hand is binned as well.
    one_more_pct : float
        Of 100 rounds, how many get one more drink on the same ticket.
    after_s : tuple of (float, float)
        Least and most seconds after placing.
    """

    void_pct: float = 1.0
    swap_pct: float = 1.0
    one_more_pct: float = 1.5
    after_s: tuple[float, float] = (20.0, 180.0)

    def __post_init__(self) -> None:
        for name in ("void_pct", "swap_pct", "one_more_pct"):
            if not 0 <= getattr(self, name) <= 100:
                raise BadValue(f"{name} from 0 to 100", getattr(self, name))
        if not 0 <= self.after_s[0] <= self.after_s[1]:
            raise BadValue("after_s of least and most seconds", self.after_s)
