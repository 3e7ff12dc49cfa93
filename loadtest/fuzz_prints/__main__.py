"""Guided fuzzing of the reader for as long as is asked.

    python -m loadtest.fuzz_prints --seconds 60

The last line is one JSON object. What does not hold is said with its bytes; the code is then 1.
"""

from __future__ import annotations

import argparse
import json
import sys
import time

from loadtest.printed import FIRST_LAYOUTS, samples

from .claims import hold
from .guided import Guided, time_limit

SLOW_S = 5.0
"""No input of a few thousand bytes may take so long."""


def main() -> int:
    """Fuzz; 0 when everything held."""
    parser = argparse.ArgumentParser(description="Guided fuzzing of the reader of prints.")
    parser.add_argument("--seconds", type=float, default=60, help="how long (60)")
    parser.add_argument("--seed", type=int, default=1, help="where it begins (1)")
    args = parser.parse_args()
    real = [one.data for layout in FIRST_LAYOUTS for one in samples(layout)]
    run = Guided(claim=hold, seeds=[data for data in real if len(data) < 4000], seed=args.seed)
    until = time.monotonic() + args.seconds
    slowest_s, failed = 0.0, ""
    while time.monotonic() < until and not failed:
        began = time.monotonic()
        try:
            with time_limit(SLOW_S):
                run.step()
        except Exception as error:  # noqa: BLE001 (whatever it is, it is a finding)
            failed = f"{type(error).__name__}: {error}"
            print(f"{failed}\n{run.last!r}", file=sys.stderr)
        slowest_s = max(slowest_s, time.monotonic() - began)
    figures = {
        "tried": run.num_tried,
        "lines_reached": len(run.reached),
        "slowest_s": round(slowest_s, 3),
        "failed": failed,
        "seed": args.seed,
    }
    print(json.dumps(figures))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
