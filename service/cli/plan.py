"""``threedeep plan``: says what to make next, from a snapshot."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from service.clock import SystemClock
from service.files import plan_text, read_snapshot
from solver.errors import CannotPlan, EngineFault

from .common import Commands, command, get_ready, with_bound
from .order_words import order_words

if TYPE_CHECKING:
    from solver.plan import Plan
    from solver.snapshot import Snapshot

BEST = "best"
NAMES = {
    "by-the-ticket": "by the ticket",
    "by-the-round": "by the round",
    "look-ahead": "look-ahead",
}
"""The three ways a bar works today, as they are typed and as they are said."""

SHORTEST_MS, LONGEST_MS = 1, 600_000
MOST_MOVES = 1_000_000_000

LONG = """\
Says what to make next, from a snapshot: the build order of each bartender, which drinks go
together, and what is set aside and why.

  threedeep plan sample_tickets/snapshots/three-deep.json
  threedeep plan SNAPSHOT.json --explain
  threedeep plan SNAPSHOT.json --json > PLAN.json

With --explain every build says what its drinks save by being made together, and which rounds end
sooner or later because it comes before the next one; what is set aside says what it needs.

How far the search comes is told by the clock, so that the same snapshot planned twice may give two
plans that are about as good. With --moves 2000 it is the same plan each time, on any machine.

The times follow from the pace of each bartender. Real hands are now and then quicker or slower, by
about a quarter.
"""
CODES = """\
  0  a plan was made
  1  nothing at all can be made, or no plan keeps every rule; the reasons are said
  2  the snapshot cannot be read
"""


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands,
        "plan",
        short="say what to make next, from a snapshot",
        long=LONG,
        codes=CODES,
    )
    parser.add_argument("snapshot", type=Path, metavar="SNAPSHOT.json", help="the moment to plan")
    how_long = parser.add_mutually_exclusive_group()
    how_long.add_argument(
        "--limit-ms",
        type=_limit_ms,
        default=250,
        metavar="MS",
        help="how long the search may take, in milliseconds (250)",
    )
    how_long.add_argument(
        "--moves",
        type=_moves,
        metavar="N",
        help="search by N counted moves, such as 2000, not by the clock: the same plan anywhere",
    )
    parser.add_argument(
        "--planner",
        choices=(BEST, *NAMES),
        default=BEST,
        help="the best plan that is found in time, or one of the three ways a bar works today",
    )
    parser.add_argument(
        "--explain",
        action="store_true",
        help="say of every build why these drinks together and why now, and what is missing",
    )
    parser.add_argument("--json", action="store_true", help="print the plan as JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Print a plan; 1 where nothing can be made."""
    from .why_words import nothing_text, nothing_words

    snapshot = read_snapshot(args.snapshot)
    try:
        plan = make(snapshot, args.planner, args.limit_ms, moves=args.moves)
        print(_said(snapshot, plan, args))
    except CannotPlan as error:
        print(f"{args.snapshot}: {error}", file=sys.stderr)
        if args.explain:
            print(nothing_text(snapshot) if args.json else nothing_words(snapshot))
        return 1
    except EngineFault as error:
        said = "no plan was found that keeps every rule, which is a fault of ours"
        print(f"{args.snapshot}: {said}: {error}", file=sys.stderr)
        return 1
    return 0


def _said(snapshot: Snapshot, plan: Plan, args: argparse.Namespace) -> str:
    from .why_words import explained_text, lines_under

    name = str(args.snapshot)
    if args.explain:
        whole = with_bound(snapshot)
        if args.json:
            return explained_text(whole, plan, name)
        return order_words(snapshot, plan, lines_under(whole, plan))
    return plan_text(plan, name).rstrip("\n") if args.json else order_words(snapshot, plan)


def make(snapshot: Snapshot, planner: str, limit_ms: int, *, moves: int | None = None) -> Plan:
    """Make a plan by a planner's name; with counted moves the clock is not looked at.

    Raises
    ------
    CannotPlan
        When nothing in the snapshot can be made.
    EngineFault
        When no plan was found that keeps every rule.
    """
    from solver.planner import Budget, baseline_plan, make_plan

    if planner != BEST:
        return baseline_plan(snapshot, NAMES[planner])
    whole = with_bound(snapshot)
    get_ready(whole)
    budget = Budget(limit_ms=None if moves else limit_ms, moves=moves)
    return make_plan(whole, budget, clock=SystemClock().monotonic)


def _moves(text: str) -> int:
    if text.isdecimal() and 1 <= int(text) <= MOST_MOVES:
        return int(text)
    raise argparse.ArgumentTypeError(f"expected a whole number from 1 to {MOST_MOVES}; came {text}")


def _limit_ms(text: str) -> int:
    try:
        value = int(text)
    except ValueError:
        value = 0
    if not SHORTEST_MS <= value <= LONGEST_MS:
        said = f"expected whole milliseconds from {SHORTEST_MS} to {LONGEST_MS}; came {text}"
        raise argparse.ArgumentTypeError(said)
    return value
