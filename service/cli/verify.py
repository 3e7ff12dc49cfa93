"""``threedeep verify``: judges a plan against its snapshot, rule by rule."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from service.files import read_plan, read_snapshot
from service.files.documents import BadFile, Fault, json_document
from service.files.schemas import PLAN_FILE, PlanFile

from .common import Commands, clock_words, command, counted, planner_words, with_bound

if TYPE_CHECKING:
    from solver.plan import Plan
    from solver.snapshot import Snapshot

CODES = """\
  0  the plan keeps every rule
  1  a rule is broken; each is named with its build, drinks and second
  2  the snapshot or the plan cannot be read
"""
LONG = """\
Judges a plan against its snapshot: every rule, every duration, and the goal's value, all computed
anew from the snapshot.

  threedeep verify SNAPSHOT.json PLAN.json
  threedeep plan SNAPSHOT.json --json | threedeep verify SNAPSHOT.json
  threedeep plan SNAPSHOT.json --json | threedeep verify

In the last form the snapshot is the one that the plan names in its snapshot_file. The bound against
starving is worked out where the snapshot carries none.
"""


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands,
        "verify",
        short="judge a plan against its snapshot, rule by rule",
        long=LONG,
        codes=CODES,
    )
    parser.add_argument(
        "snapshot",
        nargs="?",
        type=Path,
        metavar="SNAPSHOT.json",
        help="the snapshot; without it, the one that the plan names",
    )
    parser.add_argument(
        "plan",
        nargs="?",
        default=Path("-"),
        type=Path,
        metavar="PLAN.json",
        help="the plan; without it, or with -, it is read from standard input",
    )
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Judge; 0 where every rule is kept, else 1."""
    from solver.verify import verify

    found = _plan(args.plan)
    path = args.snapshot or _named(found)
    snapshot, plan = read_snapshot(path), found.plan
    broken = verify(with_bound(snapshot), plan)
    is_other = _is_for_another(snapshot, plan)
    if args.json:
        rows = [asdict(one) for one in broken]
        judged = {"kept": not broken, "is_for_another_snapshot": is_other, "broken": rows}
        print(json.dumps(judged, ensure_ascii=False, indent=1))
    elif is_other:
        print(
            f"this plan is for another snapshot: few of its drinks are those of {path}; give the "
            "snapshot that it was made from"
        )
    elif broken:
        for one in broken:
            print(f"{one.rule}: {one.words}")
        print(f"{counted(len(broken), 'broken rule')} in this plan ({planner_words(plan.planner)})")
    else:
        print(f"every rule kept: {_summary(snapshot, plan)}")
    return 1 if broken else 0


def _is_for_another(snapshot: Snapshot, plan: Plan) -> bool:
    """Whether most drinks of the two are not the same ones; numbers alone come every night."""
    still_open = {d.id for t in snapshot.tickets for d in t.drinks if d.made_s is None}
    named = {drink for build in plan.builds for drink in build.drinks}
    named |= {aside.drink for aside in plan.set_aside}
    return bool(named) and len(named & still_open) * 2 < len(named | still_open)


def _plan(path: Path) -> PlanFile:
    if path != Path("-"):
        return read_plan(path)
    if sys.stdin.isatty():
        raise _cannot("standard input", "expected a plan; give PLAN.json, or pipe one in")
    return json_document(PLAN_FILE, sys.stdin.read(), "standard input")


def _named(plan: PlanFile) -> Path:
    if not plan.snapshot_file:
        said = "the plan names no snapshot_file; give SNAPSHOT.json to verify"
        raise _cannot("standard input", said)
    return Path(plan.snapshot_file)


def _cannot(file: str, said: str) -> BadFile:
    return BadFile([Fault(file=file, line=None, place="", said=said)])


def _summary(snapshot: Snapshot, plan: Plan) -> str:
    from solver.goal import measures_of

    found = measures_of(snapshot, plan)
    return (
        f"{counted(found.num_drinks, 'drink')} of {counted(found.num_rounds, 'round')}"
        f" in {counted(len(plan.builds), 'build')}, {len(plan.set_aside)} set aside;"
        f" time to last drink {clock_words(found.mean_s)} in the mean,"
        f" {clock_words(found.worst_s)} at worst"
    )
