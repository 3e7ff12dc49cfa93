"""What a build's work consists of: steps, blocks, and what is held meanwhile."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from solver.builds import (
    Load,
)


class StepKind(StrEnum):
    """What a step is, in the words of the trade."""

    READ = "read"
    GLASS = "glass"
    CHILL = "chill"
    RIM = "rim"
    GATHER = "gather"
    MEASURE = "measure"
    MUDDLE = "muddle"
    ICE = "ice"
    AGITATE = "agitate"
    STRAIN = "strain"
    TOP = "top"
    GARNISH = "garnish"
    COAT = "coat"
    POUR = "pour"
    FLAME = "flame"
    RINSE = "rinse"
    HAND_OVER = "hand_over"


HANDS_OF: dict[StepKind, int] = {
    StepKind.READ: 1,
    StepKind.GLASS: 1,
    StepKind.CHILL: 1,
    StepKind.GATHER: 1,
    StepKind.ICE: 1,
    StepKind.TOP: 1,
    StepKind.GARNISH: 1,
    StepKind.POUR: 1,
    StepKind.HAND_OVER: 1,
}
"""Hands that a step of a kind takes; two where nothing is said. Source: common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A timed part of a build.

    Attributes
    ----------
    kind : StepKind
    ds : int
        Base time at pace 1.0.
    what : str
        What it is about.
    hands : int
        Hands that each vessel or glass of it takes: 2, 1, or 0 for what runs by itself. Two that
        take one hand each are done at once where `layout` says so: two plain shakes, two stirs,
        two taps.
    """

    kind: StepKind
    ds: int
    what: str = ""
    hands: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One stretch of hands.

    Attributes
    ----------
    index : int
        0 for the main block; 1, 2, … for tails.
    title : str
        What it does: ``"make"`` or what finishes, such as ``"top the stout"``.
    base_ds : int
        Hands at pace 1.0.
    steps : tuple of Step
        They add up to `base_ds`.
    made : tuple of (str, int)
        Drinks made in it and when, from the block's start at pace 1.0.
    anchor_base_ds, alone_ds : int
        A tail starts no sooner than the start of block 0 + paced anchor + `alone_ds`; what runs
        alone does not know the person's pace.
    window_ds : int or None
        A tail starts no later than that anchor + `window_ds`; None for no hard limit.
    is_anyones : bool
        Any person on the floor may do it, not only the build's owner.
    alone : Step or None
        What ran by itself before a tail: it takes no hand.
    """

    index: int
    title: str
    base_ds: int
    steps: tuple[Step, ...]
    made: tuple[tuple[str, int], ...]
    anchor_base_ds: int = 0
    alone_ds: int = 0
    window_ds: int | None = None
    is_anyones: bool = False
    alone: Step | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A vessel or shared equipment held for a stretch of a build.

    From the start of block `from_block` + paced `from_base_ds` until the start of block
    `to_block` + paced `to_base_ds` + `extra_ds` (a machine or a washer, which has no pace).
    """

    resource: str
    units: int
    from_block: int
    from_base_ds: int
    to_block: int
    to_base_ds: int
    extra_ds: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """The whole work of one build for one person's station."""

    loads: tuple[Load, ...]
    blocks: tuple[Block, ...]
    holds: tuple[Hold, ...]
