"""What somebody's hands do next, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from .night import PlanningLog
from .records import BuildNow, DrinkNow, PersonNow


@dataclass(frozen=True, slots=True)
class Make:
    """Begin a build of these drinks, in finishing order."""

    drinks: tuple[DrinkNow, ...]


@dataclass(frozen=True, slots=True)
class Finish:
    """Finish what ran by itself: a block of a build in hand."""

    build: BuildNow
    index: int


@dataclass(frozen=True, slots=True)
class Stand:
    """Nothing yet: look again with the next change, or at a time at the latest.

    `instead_of` is a drink that waits although these hands are free: what is next is somebody
    else's by the order, or comes later; None where nothing waits that these hands may make.
    """

    until_ms: int | None = None
    instead_of: DrinkNow | None = None


Next = Make | Finish | Stand


class BuildOrder(Protocol):
    """Says what is next: a rule that bartenders have in their heads, or a screen."""

    def next_for(self, person: PersonNow) -> Next:
        """Say what somebody whose hands are free does next."""
        ...

    def log(self) -> PlanningLog:
        """Say what planning took."""
        ...
