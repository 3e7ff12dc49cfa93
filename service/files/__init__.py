"""Bars, tickets, snapshots, plans and rushes as documents, every fault said in words and by line.

Reading order: `marked` (text with its lines), `documents` (faults), `bars` (what a bar is and what
is wrong with one), `schemas` (what may stand in a document), `kinds` and `translate` (what a
validation found), `looks` (what one fault would hide), `on_disk`, `tickets`, `rushes`, `bodies`
(the same over HTTP), `stored` (the same in the store).
"""

from .on_disk import (
    SAMPLES,
    bar_from_yaml,
    bar_to_yaml,
    plan_text,
    read_bar,
    read_plan,
    read_profile,
    read_snapshot,
    read_standards,
    write_plan,
    write_snapshot,
)
from .rushes import read_rush

__all__ = [
    "SAMPLES",
    "bar_from_yaml",
    "bar_to_yaml",
    "plan_text",
    "read_bar",
    "read_plan",
    "read_profile",
    "read_rush",
    "read_snapshot",
    "read_standards",
    "write_plan",
    "write_snapshot",
]
