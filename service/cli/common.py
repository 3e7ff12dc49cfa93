"""What the parts of the command share: arguments, figures in words, waiting for the search."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from solver.snapshot import Snapshot

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"  # noqa: SLF001
"""What ``add_subparsers`` gives; the library has only a private name for it."""

LARGEST_PORT = 65_535
PLANNERS = {
    "search": "best plan found by search",
    "exact": "best plan found by trying all",
    "look-ahead": "planned by looking ahead",
}


def command(
    commands: Commands, name: str, *, short: str, long: str, codes: str
) -> argparse.ArgumentParser:
    """Add one command with its help in the bar's words and its exit codes."""
    return commands.add_parser(
        name,
        help=short,
        description=long,
        epilog="exit codes:\n" + codes,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )


def port(text: str) -> int:
    """Read a port off the command line."""
    if text.isdecimal() and int(text) <= LARGEST_PORT:
        return int(text)
    said = f"expected a port from 1 to {LARGEST_PORT}, or 0 for any that is free; came {text}"
    raise argparse.ArgumentTypeError(said)


def planner_words(planner: str) -> str:
    """Say how a plan was made: ``best plan found by search``, ``planned by the ticket``."""
    return PLANNERS.get(planner, f"planned {planner}")


def clock_words(seconds: float) -> str:
    """Write seconds as minutes and seconds: ``4:05``, ``-0:20``."""
    whole = round(seconds)
    sign = "-" if whole < 0 else ""
    return f"{sign}{abs(whole) // 60}:{abs(whole) % 60:02d}"


def counted(count: int, one: str, many: str = "") -> str:
    """Say how many of something: ``1 drink``, ``2 drinks``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def with_bound(snapshot: Snapshot) -> Snapshot:
    """Give the snapshot with its bound against starving, worked out where it carries none.

    And with what comes too late for the hard stop.
    """
    from solver.planner import in_time, with_fair_bound

    if snapshot.worst_by_ticket_s is not None:
        return snapshot
    return with_fair_bound(snapshot if snapshot.too_late else in_time(snapshot))


def get_ready(snapshot: Snapshot) -> None:
    """Prepare the search, saying so where somebody watches: the first time takes a while."""
    from solver.planner import warm_up
    from solver.snapshot import rail_of

    if not rail_of(snapshot).drinks:
        return
    watched = sys.stderr.isatty()
    if watched:
        sys.stderr.write("preparing the search (some 15 s the first time) …")
        sys.stderr.flush()
    warm_up(snapshot)
    if watched:
        sys.stderr.write("\r\x1b[K")
