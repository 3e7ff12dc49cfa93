"""Things worked out once for what does not change, and found again by identity.

A menu, a counter and the time standards stay the same objects from one snapshot of a bar to the
next; to ask whether they are equal would take longer than the work that is saved.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Generic, TypeVar

Found = TypeVar("Found")


class Kept(Generic[Found]):
    """One thing for each combination of objects asked for lately.

    Parameters
    ----------
    make : callable
        Makes the thing for a combination that is new.
    most : int
        Combinations kept; where there are more, the one kept longest is forgotten.
    """

    def __init__(self, make: Callable[[], Found], *, most: int = 8) -> None:
        self._make = make
        self._most = most
        self._found: dict[tuple[int, ...], tuple[tuple[object, ...], Found]] = {}

    def of(self, *objects: object) -> Found:
        """Give the thing for these objects, which must never change."""
        key = tuple(map(id, objects))
        entry = self._found.get(key)
        if entry is None:
            if len(self._found) >= self._most:
                # Another thread may have made room, or taken it, in the same moment.
                with suppress(RuntimeError, StopIteration):
                    self._found.pop(next(iter(self._found)), None)
            # The objects are held, so that no other one gets the identity of one of them.
            entry = self._found[key] = (objects, self._make())
        return entry[1]
