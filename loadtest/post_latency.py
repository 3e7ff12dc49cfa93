"""Ticket posted to new order visible, at a given number of open drinks, on a real server process.

A screen holds a long poll, as screens do; a till posts a round of two drinks; the time runs from
the first byte of the request until the screen holds an order with that round's drinks in builds.
Then the oldest round is voided, so that as many drinks are open as before. Posts come at random
moments: some meet a search that runs.

    python -m loadtest.post_latency --quick

The last line is one JSON object; times in milliseconds.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import queue
import random
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import httpx

from service.files import SAMPLES, read_bar

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
RUN = "import sys; from service.cli import main; sys.exit(main())"
DRINKS_A_ROUND = 2
PATIENCE_S = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """An order as it reached the screen, and when (monotonic seconds)."""

    at: float
    body: bytes


@contextmanager
def serving(limit_ms: int, bar: Path = HOUSE) -> Iterator[str]:
    """Serve a bar from an empty database; gives the address once the planner is ready."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with tempfile.TemporaryDirectory() as folder:
        words = ["serve", "--bar", str(bar), "--db", f"{folder}/night.db"]
        words += ["--port", str(port), "--limit-ms", str(limit_ms)]
        log = Path(folder, "serve.log")
        with log.open("wb") as out:
            child = subprocess.Popen([sys.executable, "-c", RUN, *words], stdout=out, stderr=out)
        try:
            address = f"http://127.0.0.1:{port}"
            _wait_until_warm(address, child, log)
            yield address
        finally:
            child.terminate()
            child.wait(10)


def _wait_until_warm(address: str, child: subprocess.Popen[bytes], log: Path) -> None:
    for _ in range(2400):
        if child.poll() is not None:
            raise SystemExit(log.read_text(encoding="utf-8"))
        try:
            if httpx.get(f"{address}/readyz", timeout=5).json()["search"] == "ready":
                return
        except httpx.TransportError:
            pass
        time.sleep(0.05)
    raise SystemExit("the planner did not get ready within two minutes")


class Screen(threading.Thread):
    """Holds a long poll for as long as it runs and notes each order with its time."""

    def __init__(self, bar: str) -> None:
        super().__init__(name="screen", daemon=True)
        self.orders: queue.Queue[Seen] = queue.Queue()
        self._url = f"{bar}/build-order?wait_s=20"
        self._is_over = threading.Event()

    def run(self) -> None:
        """Follow the order."""
        etag = ""
        with httpx.Client(timeout=40) as client:
            while not self._is_over.is_set():
                headers = {"If-None-Match": etag} if etag else {}
                answer = client.get(self._url, headers=headers)
                if answer.status_code == httpx.codes.OK:
                    self.orders.put(Seen(at=time.perf_counter(), body=answer.content))
                    etag = answer.headers["ETag"]

    def stop(self) -> None:
        """Let the thread end with its next answer."""
        self._is_over.set()


class Till:
    """Posts rounds and voids them."""

    def __init__(self, bar: str, seed: int) -> None:
        self._client = httpx.Client(timeout=PATIENCE_S)
        self._bar = bar
        self._dice = random.Random(seed)
        self._recipes = [recipe.id for recipe in read_bar(HOUSE).menu.recipes]
        self._number = 0
        self.open_rounds: deque[str] = deque()

    def post(self) -> tuple[float, float, set[str]]:
        """Post a round; gives when it was sent, when answered, and its drinks."""
        self._number += 1
        lines = [{"recipe": self._dice.choice(self._recipes)} for _ in range(DRINKS_A_ROUND)]
        channel = self._dice.choice(["bar_top", "floor"])
        body = {"number": str(self._number), "channel": channel, "lines": lines}
        headers = {"Idempotency-Key": f"post {self._number}"}
        sent = time.perf_counter()
        answer = self._client.post(f"{self._bar}/tickets", json=body, headers=headers)
        answered = time.perf_counter()
        answer.raise_for_status()
        found = answer.json()
        self.open_rounds.append(found["id"])
        aside = {row["drink"] for row in found["set_aside"]}
        return sent, answered, {drink["id"] for drink in found["drinks"]} - aside

    def void_oldest(self) -> None:
        """Take the oldest round off."""
        ticket = self.open_rounds.popleft()
        self._client.post(f"{self._bar}/tickets/{ticket}/void").raise_for_status()


def visible_at(screen: Screen, drinks: set[str], since: float) -> float:
    """Wait for the first order that has all these drinks in builds; gives its time."""
    until = since + PATIENCE_S
    while time.perf_counter() < until:
        try:
            seen = screen.orders.get(timeout=1)
        except queue.Empty:
            continue
        if seen.at > since and drinks <= planned_drinks(seen.body):
            return seen.at
    raise SystemExit(f"the drinks {sorted(drinks)} did not become visible in {PATIENCE_S:g} s")


def planned_drinks(body: bytes) -> set[str]:
    """Give every drink in a build of an order."""
    found: set[str] = set()
    for card in json.loads(body)["bartenders"]:
        cards = [*card["now"], *([card["next"]] if card["next"] else [])]
        found.update(drink["id"] for build in cards for drink in build["drinks"])
        found.update(drink for build in card["then"] for drink in build["drinks"])
    return found


def percentile(values: Sequence[float], share: float) -> float:
    """Give the value below which this share lies, of at least one value; nearest rank."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, round(share * (len(ordered) - 1)))]


def measure(*, open_drinks: int, samples: int, limit_ms: int, seed: int) -> dict[str, object]:
    """Measure, and give the figures."""
    visible, answered = [], []
    dice = random.Random(seed)
    with serving(limit_ms) as address:
        bar = f"{address}/v1/bars/saltmarch"
        till = Till(bar, seed)
        for _ in range(open_drinks // DRINKS_A_ROUND):
            till.post()
        screen = Screen(bar)
        screen.start()
        for sample in range(samples):
            time.sleep(dice.uniform(0.05, 2 * limit_ms / 1000))
            sent, back, drinks = till.post()
            visible.append((visible_at(screen, drinks, sent) - sent) * 1000)
            answered.append((back - sent) * 1000)
            till.void_oldest()
            if sys.stderr.isatty():
                print(f"\r{sample + 1} of {samples}", end="", file=sys.stderr, flush=True)
        screen.stop()
    return {
        "samples": samples,
        "open_drinks": open_drinks,
        "bartenders": len(read_bar(HOUSE).counter.people),
        "limit_ms": limit_ms,
        "visible_p50_ms": round(statistics.median(visible), 1),
        "visible_p99_ms": round(percentile(visible, 0.99), 1),
        "visible_max_ms": round(max(visible), 1),
        "answer_p50_ms": round(statistics.median(answered), 1),
        "answer_p99_ms": round(percentile(answered, 0.99), 1),
        "date": datetime.now(UTC).date().isoformat(),
        "machine": f"{platform.machine()}, {os.cpu_count()} cores",
        "python": platform.python_version(),
    }


def main() -> None:
    """Read the arguments, measure, and print the figures as one line of JSON."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--quick", action="store_true", help="60 posts instead of 300")
    parser.add_argument("--open-drinks", type=int, default=40, help="drinks open all the time (40)")
    parser.add_argument("--limit-ms", type=int, default=250, help="the server's limit (250)")
    parser.add_argument("--seed", type=int, default=1, help="which rounds are posted (1)")
    args = parser.parse_args()
    figures = measure(
        open_drinks=args.open_drinks,
        samples=60 if args.quick else 300,
        limit_ms=args.limit_ms,
        seed=args.seed,
    )
    print(json.dumps(figures))


if __name__ == "__main__":
    main()
