"""Vessels, equipment and bottles by name, and how many of each there are."""

from __future__ import annotations

from solver.counter import Counter, Vessel
from solver.menu import (
    Ice,
)

BLENDER, COFFEE_GROUP, COFFEE_GRINDER = "blender", "coffee_group", "coffee_grinder"
SETTLING_PLACE, TILL, FLAME = "settling_place", "till", "flame"


def vessel_resource(home: str, vessel: Vessel) -> str:
    """Name the vessels of one kind at one station."""
    return f"{vessel.value}@{home}"


def tap_resource(ingredient: str) -> str:
    """Name a tap by what it pours."""
    return f"tap:{ingredient}"


def bottle_resource(ingredient: str) -> str:
    """Name the only open bottle of an ingredient."""
    return f"bottle:{ingredient}"


def well_resource(ice: Ice) -> str:
    """Name a shared ice well by its ice."""
    return f"well:{ice.value}"


def capacities(counter: Counter) -> dict[str, int]:
    """Give every resource of a counter and how many may be held at once.

    One flame at a time in the whole bar, whatever the counter says.
    """
    found = {
        vessel_resource(station.id, vessel): station.num_vessels(vessel)
        for station in counter.stations
        for vessel in Vessel
    }
    found |= {
        BLENDER: counter.blenders,
        COFFEE_GROUP: counter.coffee_groups,
        COFFEE_GRINDER: counter.coffee_grinders,
        SETTLING_PLACE: counter.settling_places,
        TILL: counter.tills,
        FLAME: 1,
    }
    found |= {tap_resource(tap): 1 for tap in counter.taps}
    found |= {bottle_resource(ingredient): 1 for ingredient in counter.one_bottle}
    found |= {well_resource(well.ice): well.scoops_at_once for well in counter.shared_wells}
    return found
