"""A till that prints at a server, hands that make what is ordered, and a screen that looks on."""

from __future__ import annotations

import json
import socket
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from http.client import HTTPConnection
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

import httpx
import yaml

from loadtest.post_latency import serving
from service.naming import folded
from service.printing.learning import learn, profile_text

from .layout import Layout
from .orders import HOUSE, house
from .roll import Roll, samples
from .truth import Kind, Print

OPEN_DRINKS = 40
SLACK = 6
MOST_DRINKS = 1
"""On a ticket: fifty drinks a second are a hundred times what the hands of a bar can make."""
PATIENCE_S = 10.0


@dataclass(slots=True, kw_only=True)
class Night:
    """What came of it.

    Attributes
    ----------
    prints : int
        Sent.
    took_s : float
        From the first to the last.
    on_order_s : list of float
        For each ticket, from its last byte sent until all its drinks stood on an order.
    open_drinks : list of int
        Drinks still to be made, on each order that the screen got.
    taps_per_s, client_cpu_pct : float
        Taps of the hands; what this side of the test took of one core while it sent.
    num_unseen : int
        Tickets that no order the screen got had whole: made, voided or changed in between.
    lost, wrong : list of str
        Tickets that the server has not, or not as they were printed, in words.
    """

    prints: int = 0
    took_s: float = 0.0
    on_order_s: list[float] = field(default_factory=list)
    open_drinks: list[int] = field(default_factory=list)
    taps_per_s: float = 0.0
    client_cpu_pct: float = 0.0
    num_unseen: int = 0
    lost: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


class Asking:
    """Asks the service over one connection, as lightly as can be: both share the machine."""

    def __init__(self, bar: str) -> None:
        parts = urlsplit(bar)
        self._line = HTTPConnection(parts.netloc, timeout=30)
        self._path = parts.path

    def __enter__(self) -> Asking:
        return self

    def __exit__(self, *_: object) -> None:
        self._line.close()

    def get(self, path: str, etag: str) -> tuple[int, str, bytes]:
        """Give the status, the ETag and the body."""
        self._line.request("GET", self._path + path, headers={"If-None-Match": etag})
        answer = self._line.getresponse()
        return answer.status, answer.headers.get("ETag", ""), answer.read()

    def post(self, path: str, body: dict[str, Any]) -> None:
        """Tap something; what is refused because the order has moved on is let be."""
        headers = {"Content-Type": "application/json"}
        self._line.request("POST", self._path + path, json.dumps(body), headers)
        self._line.getresponse().read()


class Screen(threading.Thread):
    """Follows the order, and notes when each ticket's drinks stand on it.

    They do when its round is there with its drinks in builds or set aside, or with the time at
    which the last is made: of a bartender's queue the order shows the first 21 builds only.
    """

    def __init__(self, bar: str) -> None:
        super().__init__(name="screen", daemon=True)
        self.seen_at: dict[str, float] = {}
        self.open_drinks: list[int] = []
        self.order: dict[str, Any] = {}
        self.is_over = threading.Event()
        self._bar = bar

    def run(self) -> None:
        """Follow."""
        etag = ""
        with Asking(self._bar) as client:
            while not self.is_over.is_set():
                status, found, body = client.get("/build-order?wait_s=5", etag)
                if status != httpx.codes.OK:
                    continue
                at = time.perf_counter()
                etag = found
                self._look(json.loads(body), at)

    def _look(self, order: dict[str, Any], at: float) -> None:
        here = standing(order)
        of_ticket: dict[str, int] = {}
        for drink in here:
            ticket = drink.rpartition("-d")[0]
            of_ticket[ticket] = of_ticket.get(ticket, 0) + 1
        for row in order["rounds"]:
            number = row["number"]
            if number in self.seen_at:
                continue
            is_shown = of_ticket.get(row["ticket"], 0) + row["num_made"] >= row["num_drinks"]
            if is_shown or row["done_by"] is not None:
                self.seen_at[number] = at
        self.open_drinks.append(len(here))
        self.order = order


def standing(order: dict[str, Any]) -> set[str]:
    """Give the ids of all drinks that stand on an order: in builds, or aside with a reason."""
    found = {row["drink"] for row in order["set_aside"]}
    return found.union(*(in_builds(card) for card in order["bartenders"]))


def in_builds(card: dict[str, Any]) -> set[str]:
    """Give the ids of the drinks in one bartender's builds."""
    builds = [*card["now"], *([card["next"]] if card["next"] else [])]
    found = {drink["id"] for build in builds for drink in build["drinks"]}
    return found.union(*(build["drinks"] for build in card["then"]))


class Hands(threading.Thread):
    """Keeps the rail short: says of the longest queue that it is made, as far as is too much.

    No bar makes fifty drinks a second, so no way to clear a rail at this rate is a bar's own. By
    made taps it would take forty a second, a plan each, and the taps would be what is measured;
    "caught up" is the tap for several builds at once, and as many drinks are closed by it.
    """

    def __init__(self, bar: str, screen: Screen) -> None:
        super().__init__(name="hands", daemon=True)
        self.num_taps = 0
        self._bar = bar
        self._screen = screen
        self._revision = -1

    def run(self) -> None:
        """Work until the screen is over."""
        with Asking(self._bar) as client:
            while not self._screen.is_over.is_set():
                order = self._screen.order
                if not order or order["revision"] == self._revision:
                    time.sleep(0.01)
                    continue
                self._revision = order["revision"]
                excess = len(standing(order)) - OPEN_DRINKS
                if excess > 0:
                    self._make(client, order, excess)

    def _make(self, client: Asking, order: dict[str, Any], excess: int) -> None:
        card, last = max(order["bartenders"], key=lambda one: len(in_builds(one))), ""
        for build in card["then"]:
            excess -= len(build["drinks"])
            last = build["id"]
            if excess < -SLACK:
                break
        if last:
            self._tap(client, "/caught-up", {"bartender": card["id"], "up_to": last})
        for row in order["set_aside"][:2]:
            # What needs a person's word: here the guest is told that it cannot be.
            self._tap(client, f"/drinks/{row['drink']}/void", {"reason": "asked"})

    def _tap(self, client: Asking, path: str, body: dict[str, Any]) -> None:
        client.post(path, body)
        self.num_taps += 1


def night(layout: Layout, *, rate: float, seconds: float, limit_ms: int, seed: int) -> Night:
    """Send prints at a rate for some seconds.

    Parameters
    ----------
    layout : Layout
    rate : float
        Prints a second.
    seconds : float
    limit_ms : int
        The server's limit for a searched plan.
    seed : int
        Which prints.
    """
    now = datetime.now(ZoneInfo(house().timezone))
    roll = Roll(
        layout=layout,
        seed=seed,
        at=now,
        apart=timedelta(seconds=1 / rate),
        number=1001,
        most_drinks=MOST_DRINKS,
    )
    prints = [roll.next_print() for _ in range(round(rate * seconds))]
    with _house_that_prints(layout) as (file, port), serving(limit_ms, file) as address:
        bar = f"{address}/v1/bars/{house().id}"
        screen = Screen(bar)
        hands = Hands(bar, screen)
        for thread in (screen, hands):
            thread.start()
        began_s = time.process_time()
        found, sent_at = _send(prints, port, rate)
        found.client_cpu_pct = 100 * (time.process_time() - began_s) / found.took_s
        found.taps_per_s = hands.num_taps / found.took_s
        _settle(prints, screen, bar)
        screen.is_over.set()
        for thread in (screen, hands):
            thread.join(PATIENCE_S)
        found.open_drinks = screen.open_drinks
        for one in prints:
            if one.number in screen.seen_at and one.kind is Kind.TICKET:
                found.on_order_s.append(screen.seen_at[one.number] - sent_at[one.number])
            elif one.kind is Kind.TICKET:
                found.num_unseen += 1
        hold(found, prints, bar)
    return found


@contextmanager
def _house_that_prints(layout: Layout) -> Iterator[tuple[Path, int]]:
    """Give the house's file with a print port, and its profile beside it, learned from three."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with tempfile.TemporaryDirectory() as folder:
        taught = learn([one.data for one in samples(layout)], name=layout.name, menu=house().menu)
        Path(folder, "till.yaml").write_text(profile_text(taught), encoding="utf-8")
        told = yaml.safe_load(HOUSE.read_text(encoding="utf-8"))
        told["prints"] = {"listen": port, "profile_file": "till.yaml"}
        file = Path(folder, "house.yaml")
        file.write_text(yaml.safe_dump(told, allow_unicode=True), encoding="utf-8")
        yield file, port


def _send(prints: list[Print], port: int, rate: float) -> tuple[Night, dict[str, float]]:
    sent_at: dict[str, float] = {}
    began = time.perf_counter()
    for place, one in enumerate(prints):
        wait_s = began + place / rate - time.perf_counter()
        if wait_s > 0:
            time.sleep(wait_s)
        with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE_S) as line:
            line.sendall(one.data)
            if one.kind is Kind.TICKET:
                sent_at[one.number] = time.perf_counter()
    return Night(prints=len(prints), took_s=time.perf_counter() - began), sent_at


def _settle(prints: list[Print], screen: Screen, bar: str) -> None:
    """Wait until every print was taken in and the last tickets stand on the order.

    What is only late is not lost: it is waited for as long as anything comes at all.
    """
    until, num = time.perf_counter() + PATIENCE_S, -1
    while num < len(prints) and time.perf_counter() < until:
        now = sum(1 for _ in _prints(bar))
        if now > num:
            until, num = time.perf_counter() + PATIENCE_S, now
        time.sleep(0.5)
    wanted = {one.number for one in prints if one.kind is Kind.TICKET}
    until = time.perf_counter() + 1
    while wanted - screen.seen_at.keys() and time.perf_counter() < until:
        time.sleep(0.05)


def hold(found: Night, prints: list[Print], bar: str) -> None:
    """Hold what became of every print against what was printed."""
    kept = list(_prints(bar))
    if len(kept) < len(prints):
        found.lost.append(f"{len(prints)} prints were sent, the server has {len(kept)}")
    there: dict[str, list[str]] = {}
    for row in kept:
        if row["became"] == "ticket":
            there.setdefault(row["number"], []).append(row["ticket"])
    changed = {one.number for one in prints if one.kind in (Kind.VOID, Kind.CORRECTION)}
    with httpx.Client(timeout=30) as client:
        for one in prints:
            if one.kind is not Kind.TICKET:
                continue
            ids = there.get(one.number, [])
            if not ids:
                found.lost.append(f"ticket {one.number} is not there")
            elif len(ids) > 1:
                found.wrong.append(f"ticket {one.number} is there {len(ids)} times")
            elif one.number not in changed:
                _hold_ticket(found, one, client.get(f"{bar}/tickets/{ids[0]}").json())


def _hold_ticket(found: Night, one: Print, ticket: dict[str, Any]) -> None:
    came = [(folded(row["came"]["recipe"]), row["quantity"]) for row in ticket["lines"]]
    ordered = [(folded(drink.printed), drink.quantity) for drink in one.drinks]
    said = f"ticket {one.number}: {ordered} were printed, {came} came"
    if len(came) < len(ordered):
        found.lost.append(said)
    elif came != ordered and not ticket["unread"]:
        found.wrong.append(said)


def _prints(bar: str) -> Iterator[dict[str, Any]]:
    """Give every print the server has, newest first."""
    query = {"limit": "200"}
    with httpx.Client(timeout=30) as client:
        while True:
            answer = client.get(f"{bar}/prints", params=query)
            answer.raise_for_status()
            page = answer.json()
            yield from page["prints"]
            if not page["next_before"]:
                return
            query["before"] = page["next_before"]
