"""``threedeep rush``: simulates a night many times and says whether it holds."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from .common import Commands, command

if TYPE_CHECKING:
    from service.rush.findings import Told

POLICIES = {
    "planner": "live",
    "look-ahead": "look-ahead",
    "by-the-round": "by the round",
    "by-the-ticket": "by the ticket",
}
"""Who says what is made next, as it is typed and as results call it."""

LONG = """\
Simulates a night many times over and says whether it holds: how long rounds wait for their last
drink, by the clock; what is busiest; what everything waits for. The same nights are worked by each
policy that is named, so that a difference is theirs and not the guests'.

  threedeep rush sample_tickets/rushes/friday.yaml
  threedeep rush SCENARIO.yaml --policy planner --policy look-ahead --until-within 15
  threedeep rush SCENARIO.yaml --policy look-ahead --what-if --rota --prep 0.9 --html friday.html

Every figure is a mean over nights with its 95% interval. It covers chance from night to night, not
time standards that are wrong for your house.
"""
CODES = """\
  0    the nights were run
  1    they were run, and the answer is no: no rota keeps the promise, or a plan broke a rule
  2    the scenario cannot be read, the cluster cannot be used, or a file cannot be written; what is
       wrong is said
  130  ended by Ctrl-C; what the whole nights say is printed, if there were any
"""
FEWEST_JOBS, MOST_JOBS = 1, 512


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands,
        "rush",
        short="simulate a night many times and say whether it holds",
        long=LONG,
        codes=CODES,
    )
    parser.add_argument(
        "scenario", type=Path, metavar="SCENARIO.yaml", help="the night to simulate"
    )
    _add_nights(parser)
    _add_questions(parser)
    _add_outputs(parser)
    _add_workers(parser)
    parser.set_defaults(run=run)


def _add_nights(parser: argparse.ArgumentParser) -> None:
    nights = parser.add_argument_group("which nights")
    nights.add_argument(
        "--policy",
        action="append",
        choices=tuple(POLICIES),
        default=[],
        help="who says what is made next; may be given more than once, and the first is compared "
        "with the others (planner and look-ahead)",
    )
    nights.add_argument(
        "--nights",
        type=_nights,
        default=None,
        metavar="N",
        help="how many nights (20); with --until-within, how many before it is known how many more "
        "are needed",
    )
    nights.add_argument(
        "--until-within",
        type=_seconds,
        default=None,
        metavar="S",
        help="run on until the interval of the time that nine of ten rounds keep is at most this "
        "many seconds to either side; with several policies, that of their difference",
    )
    nights.add_argument(
        "--minutes",
        type=_seconds,
        default=None,
        metavar="M",
        help="stop after so many minutes with the nights that are done (never)",
    )
    nights.add_argument(
        "--seed", type=_seed, default=1, help="which nights: the same seed, the same nights (1)"
    )


def _add_questions(parser: argparse.ArgumentParser) -> None:
    asked = parser.add_argument_group("what else to find out, by the first policy")
    asked.add_argument(
        "--what-if",
        action="store_true",
        help="rank single changes (one more bartender, a shorter menu, …) by the minutes they save "
        "a guest",
    )
    asked.add_argument(
        "--rota",
        action="store_true",
        help="find the fewest bartenders and barbacks, by quarter of an hour, that keep 90%% of "
        "the rounds as promised",
    )
    asked.add_argument(
        "--prep",
        type=_sure,
        nargs="?",
        const=0.9,
        default=None,
        metavar="SURE",
        help="the prep list, by how sure you want to be, such as 0.9 for nine nights of ten (0.9)",
    )


def _add_outputs(parser: argparse.ArgumentParser) -> None:
    outputs = parser.add_argument_group("how it is told")
    outputs.add_argument("--json", action="store_true", help="print JSON instead of words")
    outputs.add_argument(
        "--csv", type=Path, metavar="DIR", help="also write tables into this folder"
    )
    outputs.add_argument(
        "--html", type=Path, metavar="FILE", help="also write a report with pictures, in one file"
    )


def _add_workers(parser: argparse.ArgumentParser) -> None:
    workers = parser.add_argument_group("who works it out")
    workers.add_argument(
        "--jobs",
        type=_jobs,
        default=None,
        metavar="N",
        help="nights at a time on this machine (as many as it has cores)",
    )
    workers.add_argument(
        "--cluster",
        metavar="ADDRESS",
        help="run the nights on a Dask cluster, by its scheduler's address such as "
        "tcp://10.0.0.5:8786",
    )


def run(args: argparse.Namespace) -> int:
    """Run the nights and tell what came out."""
    # Heavy: the simulator, and with it the search.
    from service.files import read_rush
    from service.rush.cluster import ClusterTrouble
    from service.rush.pool import WorkersLost
    from service.rush.run import Interrupted, Wanted, find_out
    from service.rush.targets import CannotWrite, check_targets
    from solver.rush.replications import PILOT, Asked
    from solver.rush.scenario import Policy

    rush = read_rush(args.scenario, tell=lambda said: print(said, file=sys.stderr))
    names = dict.fromkeys(args.policy or ("planner", "look-ahead"))
    wanted = Wanted(
        policies=tuple(Policy(POLICIES[name]) for name in names),
        asked=Asked(
            nights=args.nights or PILOT,
            within=args.until_within,
            time_s=None if args.minutes is None else 60 * args.minutes,
            seed=args.seed,
        ),
        what_if=args.what_if,
        rota=args.rota,
        sure=args.prep,
        jobs=args.jobs,
        cluster=args.cluster,
    )
    try:
        check_targets(args.html, args.csv)
        with Interrupted() as interrupted:
            told = find_out(rush, wanted, interrupted)
        if told is None:
            print("not one night was whole", file=sys.stderr)
            return 130 if interrupted() else 1
        tell(told, args)
    except (CannotWrite, ClusterTrouble, WorkersLost, OSError) as error:
        print(error, file=sys.stderr)
        return 2
    if interrupted():
        return 130
    return 0 if is_well(told) else 1


def tell(told: Told, args: argparse.Namespace) -> None:
    """Print and write what was found, in every form that was asked for.

    It is printed first: whatever becomes of the files, the nights were not in vain.

    Raises
    ------
    CannotWrite
    """
    from service.rush.findings import findings_text
    from service.rush.report import report_html
    from service.rush.tables import write_tables
    from service.rush.targets import CannotWrite, not_written
    from service.rush.text import words_of

    if args.json:
        sys.stdout.write(findings_text(told.findings))
    else:
        print(words_of(told))
    sys.stdout.flush()
    try:
        if args.html:
            args.html.write_text(report_html(told), encoding="utf-8")
        if args.csv:
            write_tables(told, args.csv)
    except OSError as error:
        raise CannotWrite(f"{error.filename or args.html}: {not_written(error)}") from None


def is_well(told: Told) -> bool:
    """Whether what was asked for was found, and no plan broke a rule."""
    findings = told.findings
    broken = any(policy.broken for policy in findings.results.policies)
    broken |= findings.what_if is not None and bool(findings.what_if.broken)
    return not broken and (findings.rota is None or findings.rota.is_found)


def _nights(text: str) -> int:
    if text.isdecimal() and 1 <= int(text) <= 10_000:
        return int(text)
    raise argparse.ArgumentTypeError(f"expected 1 to 10000 nights; came {text}")


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0 < value <= 100_000:
        raise argparse.ArgumentTypeError(f"expected a number above 0; came {text}")
    return value


def _seed(text: str) -> int:
    if text.isdecimal() and int(text) < 2**32:
        return int(text)
    raise argparse.ArgumentTypeError(f"expected a whole number from 0 to 4294967295; came {text}")


def _sure(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0 < value < 1:
        said = f"expected how sure, above 0 and below 1, such as 0.9; came {text}"
        if 1 < value < 100:
            said += f"; write {value / 100:g} for {value:g}%"
        raise argparse.ArgumentTypeError(said)
    return value


def _jobs(text: str) -> int:
    if text.isdecimal() and FEWEST_JOBS <= int(text) <= MOST_JOBS:
        return int(text)
    said = f"expected {FEWEST_JOBS} to {MOST_JOBS} nights at a time; came {text}"
    raise argparse.ArgumentTypeError(said)
