"""A real ``threedeep serve`` process on this machine, for tests that are about processes."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

import httpx

from service.files import SAMPLES

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
RUN = "import sys; from service.cli import main; sys.exit(main())"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class Process:
    """A running server."""

    child: subprocess.Popen[bytes]
    url: str
    log: Path

    def said(self) -> str:
        return self.log.read_text(encoding="utf-8")

    def kill(self) -> None:
        """Pull the plug: nothing is told to the process."""
        os.kill(self.child.pid, signal.SIGKILL)
        self.child.wait(10)

    def interrupt(self) -> float:
        """Press Ctrl-C and give the seconds until it was gone."""
        began = time.monotonic()
        self.child.send_signal(signal.SIGINT)
        self.child.wait(10)
        return time.monotonic() - began


@contextmanager
def serve(
    folder: Path, *more: str, is_warm: bool = True, bar: Path | None = HOUSE
) -> Iterator[Process]:
    """Serve a bar's file, the house's, from a database in a folder, until the block ends."""
    port = free_port()
    log = folder / "serve.log"
    words = ["serve", "--db", str(folder / "night.db"), "--port", str(port), "--limit-ms", "60"]
    words += ["--bar", str(bar)] if bar is not None else []
    with log.open("ab") as out:
        child = subprocess.Popen(
            [sys.executable, "-c", RUN, *words, *more], stdout=out, stderr=out, cwd=folder
        )
    process = Process(child=child, url=f"http://127.0.0.1:{port}", log=log)
    try:
        wait_until_ready(process, is_warm=is_warm)
        yield process
    finally:
        if child.poll() is None:
            child.kill()
            child.wait(10)


def wait_until_ready(process: Process, *, is_warm: bool) -> None:
    """Wait until it answers and, if asked, until its planner is ready."""
    for _ in range(1200):
        assert process.child.poll() is None, process.said()
        try:
            found = httpx.get(f"{process.url}/readyz", timeout=5).json()
        except httpx.TransportError:
            time.sleep(0.05)
            continue
        if found["is_ready"] and (not is_warm or found["search"] == "ready"):
            return
        time.sleep(0.05)
    raise AssertionError(process.said())
