"""The plug is pulled: what the port acknowledged is there again, once, and in order."""

from __future__ import annotations

import socket
import time
from typing import TYPE_CHECKING, Any

import httpx
import yaml

from service.files import bar_to_yaml
from tests.service.conftest import BAR
from tests.service.process import HOUSE, free_port, serve

from .tills import paper, with_prints

if TYPE_CHECKING:
    from pathlib import Path

    from service.files.bars import Bar
    from tests.service.process import Process

ASK = b"\x1d(H\x06\x00\x30\x301234"
DONE = b"\x37\x221234\x00"
"""Asked, and answered once all that was sent before it is kept."""


def prints(process: Process, num: int) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for _ in range(500):
        address = f"{process.url}/v1/bars/{BAR}/prints?limit=200"
        found = httpx.get(address, timeout=10).json()["prints"]
        if len(found) >= num:
            break
        time.sleep(0.02)
    return list(reversed(found))


def test_nothing_acknowledged_is_lost(tmp_path: Path, saltmarch: Bar) -> None:
    port = free_port()
    numbers = range(214, 244)
    house = yaml.safe_load(HOUSE.read_text(encoding="utf-8"))
    told = tmp_path / "bar.yaml"
    told.write_text(bar_to_yaml(with_prints(saltmarch, listen=port)), encoding="utf-8")
    with serve(tmp_path, is_warm=False, bar=told) as process:
        # A bar told anew without a word of prints keeps its port.
        put = httpx.put(f"{process.url}/v1/bars/{BAR}", json=house, timeout=10)
        assert put.status_code == 200
        with socket.create_connection(("127.0.0.1", port)) as till:
            whole = b"".join(paper(n, "1 Salt Ferry") for n in numbers)
            till.sendall(whole + paper(244, "2 Slate Roof")[:40] + ASK)
            answer = b""
            while len(answer) < len(DONE):
                answer += till.recv(64)
            assert answer == DONE
            process.kill()
    # The port is in the database now, and no file names it.
    with serve(tmp_path, is_warm=False, bar=None) as process:
        found = prints(process, len(numbers) + 1)
        assert [row["number"] for row in found[:-1]] == [str(n) for n in numbers]
        assert {row["became"] for row in found[:-1]} == {"ticket"}
        assert found[-1]["became"] == "incomplete"
        answered = httpx.get(f"{process.url}/v1/bars/{BAR}/tickets?state=all&limit=200").json()
        known = sorted(ticket["number"] for ticket in answered["tickets"])
        assert known == [str(n) for n in numbers], "each once"
        with socket.create_connection(("127.0.0.1", port)) as till:
            till.sendall(paper(245, "1 Salt Ferry"))
        assert prints(process, len(numbers) + 2)[-1]["number"] == "245"
