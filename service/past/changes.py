"""What was done to a drink, in the words of a till: ``no egg white; double``."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


def changes_in(parts: Iterable[str]) -> tuple[list[dict[str, Any]], list[str]]:
    """Tell changes from notes.

    Returns
    -------
    list of dict, list of str
        Changes as a ticket's line has them, with the till's words for ingredients; and what is no
        change, word for word.
    """
    return [], list(parts)
