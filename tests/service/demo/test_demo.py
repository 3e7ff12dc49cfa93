"""The demo as a person starts it: a process, a page, robots, a tap of one's own, Ctrl-C."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.demo.run import HOST, PORTS_TRIED, free_port

ROOT = Path(__file__).resolve().parents[3]
PATIENCE_S = 90
STOPS_WITHIN_S = 2


class Demo:
    def __init__(self, process: subprocess.Popen[str], port: int, said: Path) -> None:
        self.process = process
        self.said = said
        self.client = httpx.Client(base_url=f"http://{HOST}:{port}", timeout=20)

    def order(self) -> dict[str, Any]:
        return dict(self.client.get("/v1/bars/saltmarch/build-order").json())

    def wait_for(self, what: str, has_come: Callable[[], bool]) -> None:
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline:
            assert self.process.poll() is None, self.said.read_text(encoding="utf-8")
            try:
                if has_come():
                    return
            except (httpx.TransportError, KeyError):
                pass
            time.sleep(0.2)
        pytest.fail(f"{what} did not come within {PATIENCE_S} s")


@contextmanager
def running(
    folder: Path, port: int, *arguments: str, kernels: Path | None = None
) -> Iterator[Demo]:
    """Run the demo; where `kernels` is given, that folder is all there is of compiled kernels."""
    said = folder / "said.txt"
    cache = {} if kernels is None else {"NUMBA_CACHE_DIR": str(kernels)}
    with (
        said.open("w", encoding="utf-8") as out,
        subprocess.Popen(
            [sys.executable, "-m", "service.cli", "demo", "--port", str(port), *arguments],
            cwd=ROOT,
            env=os.environ | cache,
            stdout=out,
            stderr=subprocess.STDOUT,
            start_new_session=True,
            text=True,
        ) as process,
    ):
        demo = Demo(process, port, said)
        try:
            yield demo
        finally:
            demo.client.close()
            process.kill()


def unused_port() -> int:
    with socket.socket() as door:
        door.bind((HOST, 0))
        return int(door.getsockname()[1])


def num_made(order: dict[str, Any]) -> int:
    return sum(card["num_made"] for card in order["rounds"])


def test_the_page_lives_robots_make_drinks_and_step_back(tmp_path: Path) -> None:
    with running(tmp_path, unused_port(), "--pace", "10") as demo:
        demo.wait_for("a build", lambda: any(one["now"] for one in demo.order()["bartenders"]))
        greeting = demo.said.read_text(encoding="utf-8")
        assert "/counter/saltmarch?bartender=" in greeting
        assert "threedeep serve --bar" in greeting
        assert "Ctrl-C" in greeting
        assert demo.client.get("/counter/saltmarch").is_success
        assert demo.client.get("/counter/saltmarch/clock").json()["pace"] == 10
        demo.wait_for("a drink made by a robot", lambda: num_made(demo.order()) >= 3)

        def is_tapped_by_a_person() -> bool:
            for one in demo.order()["bartenders"]:
                for build in one["now"]:
                    if build["is_at_hand"]:
                        body = {"screen": "a person", "bartender": one["id"]}
                        path = f"/v1/bars/saltmarch/builds/{build['id']}/made"
                        return demo.client.post(path, json=body).is_success
            return False

        demo.wait_for("a tap of one's own", is_tapped_by_a_person)
        demo.wait_for(
            "its robot's stepping back",
            lambda: "its robot steps back" in demo.said.read_text(encoding="utf-8"),
        )
        began = time.monotonic()
        demo.process.send_signal(signal.SIGINT)
        assert demo.process.wait(timeout=30) == 0
        assert time.monotonic() - began < STOPS_WITHIN_S
    assert "Traceback" not in demo.said.read_text(encoding="utf-8")


def test_where_no_kernel_is_compiled_the_page_lives_meanwhile(tmp_path: Path) -> None:
    if os.environ.get("NUMBA_DISABLE_JIT"):
        pytest.skip("nothing is compiled here")
    kernels = tmp_path / "kernels"
    kernels.mkdir()
    with running(tmp_path, unused_port(), kernels=kernels) as demo:
        demo.wait_for("a build", lambda: any(one["now"] for one in demo.order()["bartenders"]))
        # `score` is compiled last of what a compiled insertion calls.
        assert not list(kernels.rglob("score.score-*.nbc")), "the build is older than its kernels"
        alerts = {alert["kind"] for alert in demo.order()["alerts"]}
        assert "plan" not in alerts, "nobody is told to wait"
        assert demo.client.get("/readyz").json()["search"] == "warming up"
        demo.process.send_signal(signal.SIGINT)
        assert demo.process.wait(timeout=15) == 0, "stopped in the middle of compiling"
        with pytest.raises(ProcessLookupError):
            os.killpg(demo.process.pid, 0)
    assert "Traceback" not in demo.said.read_text(encoding="utf-8")


def test_it_stops_by_itself_and_takes_the_next_port(tmp_path: Path) -> None:
    with socket.socket() as door:
        door.bind((HOST, 0))
        door.listen()
        taken = int(door.getsockname()[1])
        with running(tmp_path, taken, "--minutes", "0.02") as demo:
            assert demo.process.wait(timeout=PATIENCE_S) == 0
    said = demo.said.read_text(encoding="utf-8")
    assert f"Port {taken} is taken: this is on " in said
    assert f"http://{HOST}:{taken}/" not in said


def test_the_next_free_port() -> None:
    with free_port(0) as first:
        wanted = first.getsockname()[1]
        assert first.proto == socket.IPPROTO_TCP, "asyncio answers at once only where it is named"
        with free_port(wanted) as second:
            assert wanted < second.getsockname()[1] < wanted + PORTS_TRIED


@pytest.mark.parametrize("pace", ["0", "11", "fast"])
def test_a_pace_that_cannot_be_is_refused(pace: str) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "service.cli", "demo", "--pace", pace],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 2
    assert f"expected a pace from 0.5 to 10; came '{pace}'" in ran.stderr
