"""A plan: every open drink in exactly one build or set aside, every block with person and time."""

from __future__ import annotations

from dataclasses import dataclass

from .errors import BadValue
from .snapshot import SetAside

PLAN_FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedBlock:
    """One stretch of hands: who, from when to when (half-open), in seconds from the moment.

    `index` is the block's place in the build's work: 0 is the main block, the others finish
    what ran by itself.
    """

    index: int
    person: str
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedBuild:
    """Drinks that one person makes together.

    Attributes
    ----------
    id : str
        Hash of its drinks.
    person : str
        Its owner; a block marked ``anyone`` may carry another person.
    drinks : tuple of str
        In finishing order.
    made_s : tuple of float
        When each is made, aligned with `drinks`.
    blocks : tuple of PlannedBlock
        In the order of the build's work.
    is_in_hand, is_pinned : bool
    """

    id: str
    person: str
    drinks: tuple[str, ...]
    made_s: tuple[float, ...]
    blocks: tuple[PlannedBlock, ...]
    is_in_hand: bool = False
    is_pinned: bool = False

    def __post_init__(self) -> None:
        if not self.drinks or len(self.drinks) != len(self.made_s) or not self.blocks:
            raise BadValue("a build with drinks, a made time for each, and blocks", self.id)

    @property
    def start_s(self) -> float:
        """When its first block starts."""
        return self.blocks[0].start_s

    @property
    def end_s(self) -> float:
        """When its last block ends."""
        return max(block.end_s for block in self.blocks)


@dataclass(frozen=True, slots=True, kw_only=True)
class Serving:
    """A bar-top round handed over and paid, after its last drink, by whoever finished it."""

    ticket: str
    person: str
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """An answer to one snapshot.

    Attributes
    ----------
    planner : str
        Which planner made it: ``by the ticket``, ``by the round``, ``look-ahead``, ``inserted``,
        ``search`` or ``exact``.
    builds : tuple of PlannedBuild
        Builds in hand first, then by start.
    servings : tuple of Serving
    set_aside : tuple of SetAside
    cost : int
        The goal's value, recomputed by `verify`.
    is_proven : bool
        Whether it was proved that no plan with the same pinned builds costs less, ties aside.
    cost_with_pins : int or None
        Set where pinned builds were moved: the best cost found with them kept.
    """

    planner: str
    builds: tuple[PlannedBuild, ...]
    cost: int
    servings: tuple[Serving, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    is_proven: bool = False
    cost_with_pins: int | None = None
    format: int = PLAN_FORMAT

    def __post_init__(self) -> None:
        if self.format != PLAN_FORMAT:
            raise BadValue(f"plan format {PLAN_FORMAT}", self.format)
