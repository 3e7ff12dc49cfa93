"""``threedeep demo``: the sample house on its Friday, live on this machine."""

from __future__ import annotations

import argparse
import asyncio
import sys

from .common import Commands, command, port

CODES = """\
  0  stopped by Ctrl-C, or after --minutes
  2  no port is free, or an argument cannot be
"""
LONG = """\
The sample house on its Friday, live on this machine: guests come by themselves and robots make
the drinks, until you tap at a station yourself. Nothing is kept.
"""


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands, "demo", short="a house on its Friday, live, by itself", long=LONG, codes=CODES
    )
    parser.add_argument(
        "--pace",
        type=_pace,
        default=1.0,
        metavar="TIMES",
        help="speed, from 0.5 to 10: at 2, everything goes twice as fast (1)",
    )
    parser.add_argument(
        "--port", type=port, default=8000, help="the next free one where it is taken (8000)"
    )
    parser.add_argument("--seed", type=int, default=1, help="which Friday it is (1)")
    parser.add_argument(
        "--minutes", type=float, default=None, help="stop by itself after so many (never)"
    )
    parser.add_argument("--open", action="store_true", help="open the page in a browser")
    parser.set_defaults(run=run)


def _pace(text: str) -> float:
    try:
        pace = float(text)
    except ValueError:
        pace = 0.0
    if not 0.5 <= pace <= 10:
        raise argparse.ArgumentTypeError(f"expected a pace from 0.5 to 10; came {text!r}")
    return pace


def run(args: argparse.Namespace) -> int:
    """Run the demo and give the exit code."""
    # Heavy: the service, and with it the search.
    from service.demo.run import Options
    from service.demo.run import run as run_demo

    options = Options(
        pace=args.pace,
        port=args.port,
        seed=args.seed,
        minutes=args.minutes,
        opens_browser=args.open,
    )

    def tell(line: str) -> None:
        print(line, flush=True)

    try:
        asyncio.run(run_demo(options, tell))
    except OSError as error:
        print(error, file=sys.stderr)
        return 2
    return 0
