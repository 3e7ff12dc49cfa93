"""Prints over the real print port at 50 a second, until they stand on the build order.

A real server process of the sample house takes prints of one generated till over TCP, a connection
a print, while a screen holds a long poll and bar hands keep the rail near 40 open drinks. From the
last byte of a ticket sent until the screen holds an order on which all of its drinks stand is the
time measured; what the screen does with the order then is not. Before that, prints of every
generated till are read with a profile learned from three of each; and after it, every ticket the
server has is held against what was printed.

    python -m loadtest.prints --quick

The last line is one JSON object. Its figures are on **generated prints**, not on a real till's:
`lines_right_pct`, `lost` and `wrong_unmarked` are defined in `loadtest/printed/scoring.py`.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import statistics
import sys
import time
from datetime import UTC, datetime

from loadtest.post_latency import percentile
from loadtest.printed import (
    FIRST_LAYOUTS,
    SETS,
    Layout,
    samples,
    tickets,
)
from loadtest.printed.orders import house
from loadtest.printed.scoring import Score, score
from loadtest.printed.till import Night, night
from service.printing.learning import learn
from service.printing.reading import read_print

LAYOUTS = tuple(layout for layouts in SETS for layout in layouts)
SENT_LAYOUT = "galley"
KEPT_MS = 100


def read_all(layouts: tuple[Layout, ...], each: int) -> Score:
    """Read prints of every till with its learned profile."""
    total = Score()
    for layout in layouts:
        taught = learn([one.data for one in samples(layout)], name=layout.name, menu=house().menu)
        for one in tickets(layout, each, seed=3):
            total.add(score(one, read_print(one.data, taught.profile)))
    return total


def figures(found: Score, sent: Night, rate: float, limit_ms: int) -> dict[str, object]:
    """Put the figures together."""
    times = [1000 * one for one in sent.on_order_s]
    return {
        "prints": found.prints + sent.prints,
        "lines_right_pct": round(found.right_pct, 3),
        "lost": found.lost + len(sent.lost),
        "wrong_unmarked": found.wrong_unmarked + len(sent.wrong),
        "prints_per_s": round(sent.prints / sent.took_s, 1),
        "on_order_p99_ms": round(percentile(times, 0.99), 1),
        "on_order_p50_ms": round(statistics.median(times), 1),
        "on_order_max_ms": round(max(times), 1),
        "is_kept": percentile(times, 0.99) <= KEPT_MS,
        "tickets_timed": len(times),
        "tickets_unseen": sent.num_unseen,
        "prints_sent": sent.prints,
        "asked_per_s": rate,
        "lines": found.lines,
        "drinks_named_pct": round(100 * found.named / found.drinks, 1),
        "open_drinks_p50": statistics.median(sent.open_drinks),
        "open_drinks_max": max(sent.open_drinks),
        "taps_per_s": round(sent.taps_per_s, 1),
        "client_cpu_pct": round(sent.client_cpu_pct),
        "limit_ms": limit_ms,
        "on": "generated prints",
        "date": datetime.now(UTC).date().isoformat(),
        "machine": f"{platform.machine()}, {os.cpu_count()} cores",
        "python": platform.python_version(),
    }


def main() -> None:
    """Read the arguments, measure, and print the figures as one line of JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--quick", action="store_true", help="under a minute")
    parser.add_argument("--rate", type=float, default=50.0, help="prints a second (50)")
    parser.add_argument("--limit-ms", type=int, default=250, help="the server's limit (250)")
    parser.add_argument("--seed", type=int, default=1, help="which prints are sent (1)")
    args = parser.parse_args()
    found = read_all(LAYOUTS, 5 if args.quick else 100)
    for words in found.failures[:20]:
        print(words, file=sys.stderr)
    layout = next(one for one in FIRST_LAYOUTS if one.name == SENT_LAYOUT)
    began = time.monotonic()
    sent = night(
        layout,
        rate=args.rate,
        seconds=15 if args.quick else 120,
        limit_ms=args.limit_ms,
        seed=args.seed,
    )
    for words in (*sent.lost, *sent.wrong):
        print(words, file=sys.stderr)
    print(f"{time.monotonic() - began:.0f} s with the server", file=sys.stderr)
    print(json.dumps(figures(found, sent, args.rate, args.limit_ms)))


if __name__ == "__main__":
    main()
