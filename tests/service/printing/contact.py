"""A till whose names are known, and profiles taught from three tickets."""

from __future__ import annotations

from collections.abc import Sequence

from service.printing.learning import Proposal, learn
from service.printing.profile import Changes, Items, Profile
from solver.menu import Menu

from .tickets import bytes_of

RULE = "-" * 42
NAMED = Profile(
    name="till",
    items=Items(drinks=("Salt Ferry", "Slate Roof")),
    changes=Changes(ingredients=("lime juice", "dry gin", "tequila", "tonic", "soda", "egg white")),
)


def taught(menu: Menu, *tickets: Sequence[str]) -> Proposal:
    """Learn a profile from tickets, each given by its lines."""
    return learn([bytes_of(*rows) for rows in tickets], name="till", menu=menu)
