"""The counter, the menu, the open drinks and the builds in hand, at one moment.

The planner sees nothing else, and the snapshot can be planned anywhere. `rail_of` says which of
its drinks can be made now, by whom, and why the others are set aside. Reading order: `facts`,
`able`, `cupboard`, `rail`.
"""

from .able import is_soon_away, why_not_by
from .facts import (
    SNAPSHOT_FORMAT,
    Away,
    BlockRun,
    GlassesBack,
    InHand,
    InWasher,
    Pinned,
    Presence,
    Shortage,
    Snapshot,
    by_age,
)
from .rail import NO_TIME, Rail, RailDrink, SetAside, num_open_drinks, rail_of

__all__ = [
    "NO_TIME",
    "SNAPSHOT_FORMAT",
    "Away",
    "BlockRun",
    "GlassesBack",
    "InHand",
    "InWasher",
    "Pinned",
    "Presence",
    "Rail",
    "RailDrink",
    "SetAside",
    "Shortage",
    "Snapshot",
    "by_age",
    "is_soon_away",
    "num_open_drinks",
    "rail_of",
    "why_not_by",
]
