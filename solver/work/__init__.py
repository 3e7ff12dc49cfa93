"""Work content: the seconds of a build, from its mixes, its batch and the time standards.

A build is worked in blocks. Block 0 reads the build, starts what runs alone, gathers and
measures bottle by bottle, agitates in waves (each wave strained before the next) and finishes
glass by glass in finishing order; rinsing comes last. Each load that ran alone (a stout that
settles, a coffee that draws, a blender, a chilling glass, warming mugs) is finished in a block
of its own, a tail. Between block 0 and its tails the person works on other builds.

All times here are base times at pace 1.0 in deciseconds; a person's pace is applied once, with
`units.paced_ds`, when blocks are laid on the clock.

Source: the shape is common practice; every number comes from the time standards.

Reading order: `steps`, `resources`, `times`, `set_ups`, `known` (what was worked out before),
`layout`.
"""

from .known import needs_of, times_of, trips_of
from .layout import serving_ds, wash_ds, work_of
from .resources import (
    BLENDER,
    COFFEE_GRINDER,
    COFFEE_GROUP,
    FLAME,
    SETTLING_PLACE,
    TILL,
    bottle_resource,
    capacities,
    tap_resource,
    vessel_resource,
    well_resource,
)
from .set_ups import setups, trips
from .steps import Block, Hold, Step, StepKind, Work
from .times import LoadTimes, load_times

__all__ = [
    "BLENDER",
    "COFFEE_GRINDER",
    "COFFEE_GROUP",
    "FLAME",
    "SETTLING_PLACE",
    "TILL",
    "Block",
    "Hold",
    "LoadTimes",
    "Step",
    "StepKind",
    "Work",
    "bottle_resource",
    "capacities",
    "load_times",
    "needs_of",
    "serving_ds",
    "setups",
    "tap_resource",
    "times_of",
    "trips",
    "trips_of",
    "vessel_resource",
    "wash_ds",
    "well_resource",
    "work_of",
]
