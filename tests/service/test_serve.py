"""A real process: killed and started again, streamed from, stopped by Ctrl-C."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import threading
import time
from contextlib import suppress
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import httpx
import pytest

from service.store import SqliteStore
from tests.service.process import HOUSE, RUN, free_port, serve

if TYPE_CHECKING:
    from pathlib import Path

BAR = "/v1/bars/saltmarch"


def post(url: str, number: int, *recipes: str) -> httpx.Response:
    body = {
        "number": str(number),
        "channel": "floor",
        "lines": [{"recipe": recipe} for recipe in recipes],
    }
    headers = {"Idempotency-Key": f"key {number}"}
    return httpx.post(f"{url}{BAR}/tickets", json=body, headers=headers, timeout=10)


def settled(url: str) -> httpx.Response:
    """The order once two looks at it, a search apart, are the same."""
    before = httpx.get(f"{url}{BAR}/build-order")
    for _ in range(40):
        time.sleep(0.25)
        now = httpx.get(f"{url}{BAR}/build-order")
        if now.content == before.content:
            break
        before = now
    return before


def test_a_killed_process_comes_back_as_it_was(tmp_path: Path) -> None:
    with serve(tmp_path) as process:
        url = process.url
        for number in range(6):
            assert post(url, number, "cold-harbour", "stout-pint").status_code == 201
        order = settled(url).json()
        for card in order["bartenders"]:
            if card["next"]:
                tap = f"{url}{BAR}/builds/{card['next']['id']}/start"
                assert httpx.post(tap).status_code == 200
        before = settled(url)
        tickets = httpx.get(f"{url}{BAR}/tickets?limit=200").json()["tickets"]
        process.kill()
    with serve(tmp_path, is_warm=False) as process:
        url = process.url
        after = httpx.get(f"{url}{BAR}/build-order")
        again = httpx.get(f"{url}{BAR}/tickets?limit=200").json()["tickets"]
        assert [t["id"] for t in again] == [t["id"] for t in tickets]
        assert [t["drinks"] for t in again] == [t["drinks"] for t in tickets]
        assert in_hand(after.json()) == in_hand(before.json()) != []
        assert after.json()["epoch"] == before.json()["epoch"]
        assert after.json()["revision"] >= before.json()["revision"]
        # Time may have passed a planned start by now; if it has not, it is the same to the byte.
        if after.json()["revision"] == before.json()["revision"]:
            assert after.content == before.content
            assert after.headers["ETag"] == before.headers["ETag"]
        assert post(url, 5, "cold-harbour", "stout-pint").headers["Idempotency-Replayed"] == "true"
        assert "action=reopen_bar bar=saltmarch" in process.said()


def test_what_was_acknowledged_survives_a_kill_in_the_middle(tmp_path: Path) -> None:
    acknowledged: list[str] = []

    def till(url: str, first: int) -> None:
        with suppress(httpx.TransportError):
            for number in range(first, first + 1000):
                answer = post(url, number, "lager-pint")
                assert answer.status_code == 201
                acknowledged.append(answer.json()["id"])

    with serve(tmp_path) as process:
        tills = [threading.Thread(target=till, args=(process.url, n * 1000)) for n in range(3)]
        for thread in tills:
            thread.start()
        while len(acknowledged) < 15:
            time.sleep(0.01)
        process.kill()
        for thread in tills:
            thread.join(20)
    with serve(tmp_path, is_warm=False) as process:
        rows = httpx.get(f"{process.url}{BAR}/tickets?limit=200").json()["tickets"]
        assert set(acknowledged) <= {row["id"] for row in rows}
        assert len(rows) <= len(acknowledged) + len(tills), "at most one each was on its way"


def test_a_stop_waits_for_no_search(tmp_path: Path) -> None:
    """A search may take ten seconds; whoever stops the service, or pulls it anew, may not wait."""
    with serve(tmp_path, "--limit-ms", "10000") as process:
        for number in range(4):
            post(process.url, number, "cold-harbour", "salt-ferry", "slate-roof")
        time.sleep(1)
        assert process.interrupt() < 2
        assert process.child.returncode == 0


def in_hand(order: dict[str, Any]) -> list[str]:
    return sorted(build["id"] for card in order["bartenders"] for build in card["now"])


def test_it_answers_before_its_planner_is_ready(tmp_path: Path) -> None:
    with serve(tmp_path, is_warm=False) as process:
        answer = post(process.url, 1, "cold-harbour")
        assert answer.status_code == 201
        assert len(answer.json()["drinks"]) == 1
        is_planned = False
        for _ in range(600):
            order = httpx.get(f"{process.url}{BAR}/build-order").json()
            is_planned = any(card["next"] for card in order["bartenders"])
            if is_planned:
                break
            time.sleep(0.1)
        assert is_planned, process.said()


def test_the_stream_tells_of_every_change_and_ends_with_ctrl_c(tmp_path: Path) -> None:
    with serve(tmp_path) as process:
        events: list[dict[str, str]] = []
        seen = threading.Event()

        def listen() -> None:
            url = f"{process.url}{BAR}/build-order/stream"
            with httpx.stream("GET", url, timeout=30) as answer:
                assert answer.headers["content-type"].startswith("text/event-stream")
                event: dict[str, str] = {}
                for line in answer.iter_lines():
                    name, _, value = line.partition(": ")
                    if line:
                        event[name] = value
                    elif event:
                        events.append(event)
                        event = {}
                        seen.set()

        listener = threading.Thread(target=listen)
        listener.start()
        assert seen.wait(10), "the first event comes at once"
        seen.clear()
        revision = post(process.url, 1, "cold-harbour").json()["revision"]
        assert seen.wait(10)
        first, second = events[:2]
        assert first["event"] == "order"
        data = json.loads(second["data"])
        assert second["id"] == f"{data['epoch']}-{data['revision']}"
        assert data["revision"] >= revision
        order = settled(process.url).json()
        up_to_date = {"Last-Event-ID": f"{order['epoch']}-{order['revision']}"}
        url = f"{process.url}{BAR}/build-order/stream"
        with (
            httpx.stream("GET", url, headers=up_to_date, timeout=1.0) as quiet,
            pytest.raises(httpx.ReadTimeout),
        ):
            next(quiet.iter_lines())
        took_s = process.interrupt()
        listener.join(5)
        assert not listener.is_alive()
        assert took_s < 2.0, process.said()
        assert process.child.returncode == 0
        assert "Traceback" not in process.said()
        assert "action=closed" in process.said()


def test_an_unknown_bar_has_no_stream_and_a_second_process_no_database(tmp_path: Path) -> None:
    with serve(tmp_path) as process:
        answer = httpx.get(f"{process.url}/v1/bars/nowhere/build-order/stream")
        assert answer.status_code == 404
        assert answer.headers["content-type"] == "application/problem+json"
        words = ["serve", "--bar", str(HOUSE), "--db", str(tmp_path / "night.db")]
        second = subprocess.run(
            [sys.executable, "-c", RUN, *words], capture_output=True, text=True, check=False
        )
        assert second.returncode == 2
        assert "another process is serving" in second.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "no bar to serve, and the database knows none: give one by --bar"),
        (["--bar", str(HOUSE), "--host", "203.0.113.7"], "name another one by --port"),
        (["--workers", "2"], "one process serves"),
        (["--limit-ms", "1"], "10 to 10000 milliseconds"),
        (["--bar", "no-such-file.yaml"], "there is no such file"),
        (["--db", "nowhere/at/all/night.db"], "a folder that exists"),
    ],
)
def test_what_cannot_be_served_is_said(tmp_path: Path, words: list[str], said: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", RUN, "serve", *words],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_port_that_is_taken_is_said_in_one_sentence(tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        words = ["--bar", str(HOUSE), "--db", "night.db", "--port", str(port)]
        done = subprocess.run(
            [sys.executable, "-c", RUN, "serve", *words],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr == (
        f"port {port} of 127.0.0.1 is taken by another program: name another one by --port\n"
    )


def test_the_address_is_said_once_it_answers_and_health_does_not_tell_the_path(
    tmp_path: Path,
) -> None:
    with serve(tmp_path, is_warm=False) as process:
        assert str(tmp_path) not in httpx.get(f"{process.url}/readyz").text
        said = process.said()
        assert f"action=serve address={process.url} stop=Ctrl-C" in said
        assert f"counter={process.url}/counter/saltmarch" in said
        assert f"manager={process.url}/manager/saltmarch" in said
        assert said.index("action=open_store") < said.index("action=serve address")


def test_a_database_that_knows_a_bar_needs_none_named(tmp_path: Path) -> None:
    empty = tmp_path / "empty.db"
    SqliteStore(empty, now=datetime.now(UTC)).close()
    words = ["serve", "--db", str(empty)]
    done = subprocess.run(
        [sys.executable, "-c", RUN, *words], capture_output=True, text=True, check=False
    )
    assert (done.returncode, "no bar to serve" in done.stderr) == (2, True)
    with serve(tmp_path, is_warm=False):
        pass
    port = free_port()
    words = ["serve", "--db", str(tmp_path / "night.db"), "--port", str(port)]
    with subprocess.Popen(
        [sys.executable, "-c", RUN, *words], stderr=subprocess.PIPE, text=True
    ) as again:
        assert again.stderr is not None
        assert any("action=serve address" in line for line in again.stderr)
        again.kill()


def test_help_is_in_the_words_of_the_bar() -> None:
    done = subprocess.run(
        [sys.executable, "-c", RUN, "serve", "--help"], capture_output=True, text=True, check=True
    )
    for words in ("--bar", "--db", "--host", "--port", "--limit-ms", "build order", "Ctrl-C"):
        assert words in done.stdout
