"""A real service in a process of its own, and bars with one bartender, one for each test."""

from __future__ import annotations

import itertools
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import httpx
import pytest
import yaml

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).resolve().parents[2]
HOUSE = ROOT / "sample_tickets" / "bars" / "saltmarch.yaml"
START_WITHIN_S = 60
BARTENDER = "ruth"
# The one station where everything on the menu can be made.
ONE_PAIR_OF_HANDS = {"id": BARTENDER, "station": "left", "trained_for_flame": True}


class Counter:
    """One bar of a running service, and the few things that these tests ask of it."""

    def __init__(self, service: Service, bar: str) -> None:
        self.service = service
        self.bar = bar
        self.whole = f"{service.address}/counter/{bar}"
        self.page = f"{self.whole}?bartender={BARTENDER}"
        self._numbers = itertools.count(214)
        self._at = f"/v1/bars/{bar}"

    def order(self) -> dict[str, Any]:
        """The build order."""
        answer = self.service.client.get(f"{self._at}/build-order")
        answer.raise_for_status()
        return dict(answer.json())

    def ruth(self) -> dict[str, Any]:
        """What the one bartender has."""
        return dict(self.order()["bartenders"][0])

    def ticket_known(self, ticket: str) -> dict[str, Any]:
        """What the service knows of a ticket, by its id."""
        answer = self.service.client.get(f"{self._at}/tickets/{ticket}")
        answer.raise_for_status()
        return dict(answer.json())

    def ticket(self, *lines: dict[str, Any]) -> str:
        """Post a ticket of the floor and give its number."""
        return self.ticket_of("table 7", *lines)

    def ticket_of(self, place: str, *lines: dict[str, Any]) -> str:
        """Post a ticket of some place on the floor and give its number."""
        number = str(next(self._numbers))
        body = {"number": number, "channel": "floor", "place": place, "lines": lines}
        self._post("tickets", body)
        return number

    def drinks_of(self, ticket: str) -> list[str]:
        """The ids of a ticket's drinks."""
        return [drink["id"] for drink in self.ticket_known(ticket)["drinks"]]

    def tap(self, path: str) -> None:
        """Tap on another screen."""
        self._post(path, {"screen": "elsewhere"})

    def _post(self, path: str, body: dict[str, Any]) -> None:
        key = {"Idempotency-Key": str(body.get("number", ""))} if "number" in body else {}
        answer = self.service.client.post(f"{self._at}/{path}", json=body, headers=key)
        answer.raise_for_status()


class Service:
    """A process that serves, on a port and a database of its own."""

    def __init__(self, folder: Path) -> None:
        port = free_port()
        self.address = f"http://127.0.0.1:{port}"
        self.client = httpx.Client(base_url=self.address, timeout=20)
        self._bars = itertools.count(1)
        self._command = [
            *(sys.executable, "-m", "service.cli", "serve"),
            *("--db", str(folder / "night.db"), "--port", str(port), "--bar", str(HOUSE)),
        ]
        self.process = self._start()

    def _start(self) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            self._command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()

    def start_again(self) -> None:
        """The same port, the same database."""
        self.process = self._start()
        self.wait_until_there()

    def wait_until_there(self) -> None:
        deadline = time.monotonic() + START_WITHIN_S
        while time.monotonic() < deadline:
            assert self.process.poll() is None, "the service ended before it was there"
            try:
                if self.client.get("/healthz").is_success:
                    return
            except httpx.TransportError:
                time.sleep(0.1)
        pytest.fail(f"no service on {self.address} within {START_WITHIN_S} s")

    def new_bar(self) -> Counter:
        """Open the sample house once more, with one bartender on the floor."""
        bar = f"house-{next(self._bars)}"
        house = yaml.safe_load(HOUSE.read_text(encoding="utf-8"))
        house["bar"]["id"] = bar
        house["counter"]["people"] = [ONE_PAIR_OF_HANDS]
        self.client.put(f"/v1/bars/{bar}", json=house).raise_for_status()
        return Counter(self, bar)


def free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return int(door.getsockname()[1])


@contextmanager
def running(folder: Path) -> Iterator[Service]:
    service = Service(folder)
    try:
        service.wait_until_there()
        yield service
    finally:
        service.client.close()
        service.kill()


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """The service of a file's tests."""
    with running(tmp_path_factory.mktemp("service")) as found:
        yield found


@pytest.fixture
def counter(service: Service) -> Counter:
    """A bar of this test's own."""
    return service.new_bar()


@pytest.fixture
def doomed(tmp_path: Path) -> Iterator[Counter]:
    """A bar of a service that this test may kill."""
    with running(tmp_path) as found:
        yield found.new_bar()


@pytest.fixture
def desk(chromium_browser: Browser) -> Iterator[Page]:
    """A page at a desk; a fault in a script is a fault of the test."""
    context = chromium_browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.set_default_timeout(20_000)
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    yield page
    context.close()
    assert faults == []
