"""From ``threedeep demo`` to a page that lives, on a machine that has compiled nothing yet.

A page stands when ``/counter/{bar}`` answers 200; it lives when a build is on the order, and more
so when one is in a robot's hands. Until the search is ready, what a screen asks and what a till
posts is timed as well: who compiles may keep others waiting.

    python -m loadtest.cold_start --runs 3
    python -m loadtest.cold_start --runs 3 --warm      # with the kernels of an earlier start

The last line is one JSON object: medians over the runs; seconds, and milliseconds where it says ms.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from itertools import count

import httpx

PAGE = "/counter/saltmarch"
BAR = "/v1/bars/saltmarch"
PATIENCE_S = 180.0


def start(kernels: str, pace: float) -> tuple[subprocess.Popen[bytes], str]:
    """Start the demo with a folder of compiled kernels; gives it and its address."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    words = ["demo", "--port", str(port), "--pace", str(pace)]
    demo = subprocess.Popen(
        [sys.executable, "-m", "service.cli", *words],
        env=os.environ | {"NUMBA_CACHE_DIR": kernels},
        stdout=subprocess.DEVNULL,
    )
    return demo, f"http://127.0.0.1:{port}"


def time_until_told(
    stop: threading.Event, pause_s: float, ask: Callable[[], object]
) -> list[float]:
    """Ask again and again; gives how long each answer took (ms)."""
    took: list[float] = []
    while not stop.is_set():
        began = time.monotonic()
        try:
            ask()
        except httpx.TransportError:
            stop.wait(0.05)
            continue
        took.append((time.monotonic() - began) * 1000)
        stop.wait(pause_s)
    return took


def look(client: httpx.Client, *, has_page: bool) -> set[str]:
    """Tell which of the moments that are waited for have come; the page first."""
    try:
        if not has_page:
            return {"page"} if client.get(PAGE).is_success else set()
        people = client.get(f"{BAR}/build-order").json()["bartenders"]
        is_ready = client.get("/readyz").json()["search"] == "ready"
    except httpx.TransportError:
        return set()
    found = {"build": any(p["now"] or p["next"] for p in people)}
    found |= {"in_hand": any(p["now"] for p in people), "search": is_ready}
    return {name for name, has_come in found.items() if has_come}


def run(kernels: str, pace: float) -> dict[str, float]:
    """Start the demo once and give when what was there."""
    began = time.monotonic()
    demo, address = start(kernels, pace)
    came: dict[str, float] = {}
    stop, took = threading.Event(), {"screen": list[float](), "till": list[float]()}
    with httpx.Client(base_url=address, timeout=60) as client:

        def screen() -> None:
            took["screen"] = time_until_told(stop, 0.03, lambda: client.get(f"{PAGE}/clock"))

        numbers = count(1)

        def post() -> None:
            number = f"measured {next(numbers)}"
            body = {"number": number, "channel": "floor", "lines": [{"recipe": "lager-pint"}]}
            sent = client.post(f"{BAR}/tickets", json=body, headers={"Idempotency-Key": number})
            sent.raise_for_status()

        def till() -> None:
            took["till"] = time_until_told(stop, 1.0, post)

        askers = [threading.Thread(target=ask) for ask in (screen, till)]
        try:
            while "search" not in came and time.monotonic() < began + PATIENCE_S:
                for name in look(client, has_page="page" in came) - came.keys():
                    came[name] = round(time.monotonic() - began, 2)
                    if name == "page":
                        for asker in askers:
                            asker.start()
                time.sleep(0.05)
        finally:
            stop.set()
            for asker in askers:
                if asker.ident is not None:
                    asker.join()
            demo.send_signal(signal.SIGINT)
            demo.wait(30)
    for name, times in took.items():
        if len(times) > 1:
            cuts = statistics.quantiles(times, n=100, method="inclusive")
            came |= {f"{name}_p50_ms": round(cuts[49]), f"{name}_p99_ms": round(cuts[98])}
    return came


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=3, help="starts of the demo (3)")
    parser.add_argument("--pace", type=float, default=1.0, help="of the demo (1)")
    parser.add_argument("--warm", action="store_true", help="keep the kernels of a first start")
    options = parser.parse_args()
    rows: list[dict[str, float]] = []
    with tempfile.TemporaryDirectory() as kept:
        if options.warm:
            run(kept, options.pace)
        for _ in range(options.runs):
            with tempfile.TemporaryDirectory() as empty:
                rows.append(run(kept if options.warm else empty, options.pace))
            print(json.dumps(rows[-1]), flush=True)
    names = dict.fromkeys(name for row in rows for name in row)
    medians = {name: statistics.median(row[name] for row in rows if name in row) for name in names}
    print(json.dumps({"kernels": "warm" if options.warm else "none", **medians}))


if __name__ == "__main__":
    main()
