"""The client examples, in three languages, against a real server."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.files import SAMPLES
from tests.service.process import Process, free_port, serve

CLIENTS = SAMPLES / "clients"
COMMANDS = {
    "python": [sys.executable, str(CLIENTS / "post_ticket.py")],
    "node": ["node", str(CLIENTS / "post_ticket.mjs")],
    "curl": ["sh", str(CLIENTS / "post_ticket.sh")],
}
TICKET = {
    "number": "214",
    "channel": "bar_top",
    "till": "bar",
    "lines": [{"spirit": "gin", "mixer": "tonic", "quantity": 2}, {"recipe": "harbor sour"}],
}


@pytest.fixture(params=list(COMMANDS))
def client(request: pytest.FixtureRequest) -> list[str]:
    if request.param != "python" and shutil.which(request.param) is None:
        said = f"no {request.param} on PATH: its client example was NOT tried"
        if os.environ.get("CI") == "true":
            pytest.fail(f"{said}, and CI=true needs it", pytrace=False)
        pytest.skip(said)
    return COMMANDS[request.param]


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Process]:
    with serve(tmp_path_factory.mktemp("clients"), is_warm=False) as process:
        yield process


@pytest.fixture
def ticket(tmp_path: Path, request: pytest.FixtureRequest) -> Path:
    # A number of its own for each test: the same ticket twice is known and not doubled anyway.
    file = tmp_path / "ticket.json"
    file.write_text(json.dumps({**TICKET, "number": request.node.name}), encoding="utf-8")
    return file


def run(client: list[str], bar: str, ticket: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*client, bar, str(ticket)], capture_output=True, text=True, timeout=60, check=False
    )


def posted(server: Process, ticket: Path) -> list[dict[str, Any]]:
    number = json.loads(ticket.read_text(encoding="utf-8"))["number"]
    listed = httpx.get(f"{server.url}/v1/bars/saltmarch/tickets").json()["tickets"]
    return [one for one in listed if one["number"] == number]


def test_a_ticket_is_posted(client: list[str], server: Process, ticket: Path) -> None:
    found = run(client, f"{server.url}/v1/bars/saltmarch", ticket)
    assert found.returncode == 0, found.stderr
    (kept,) = posted(server, ticket)
    assert kept["id"] in found.stdout
    assert "harbor sour" in found.stdout


def test_what_is_wrong_with_a_ticket_is_said(
    client: list[str], server: Process, ticket: Path
) -> None:
    ticket.write_text(json.dumps({**TICKET, "lines": [{"recipe": "stout", "quantity": 0}]}))
    found = run(client, f"{server.url}/v1/bars/saltmarch", ticket)
    assert found.returncode == 1
    assert "expected a whole number from 1 to 60; came 0" in found.stderr


class LosesAnswers(threading.Thread):
    """A cable between client and server on which the first answer gets lost.

    Where something else on the way says something first, the client hears that instead.
    """

    def __init__(self, to: str, *, says_first: Sequence[str] = ()) -> None:
        super().__init__(name="bad cable", daemon=True)
        self._says_first = says_first
        host, _, port = to.removeprefix("http://").rpartition(":")
        self._to = (host, int(port))
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port = self._door.getsockname()[1]
        self.num_lines = 0

    def run(self) -> None:
        while True:
            try:
                line, _ = self._door.accept()
            except OSError:
                return
            with line:
                self._pass_on(line)

    def _pass_on(self, line: socket.socket) -> None:
        self.num_lines += 1
        line.settimeout(2)
        request = b""
        while b"\r\n\r\n" not in request or len(request) < _length(request):
            request += line.recv(65_536)
        if self.num_lines <= len(self._says_first):
            status = self._says_first[self.num_lines - 1]
            head = f"HTTP/1.1 {status}\r\nContent-Length: 2\r\nConnection: close\r\n\r\n"
            line.sendall(head.encode() + b"{}")
            return
        with socket.create_connection(self._to) as there:
            there.sendall(request.replace(b"\r\n\r\n", b"\r\nConnection: close\r\n\r\n", 1))
            answer = b""
            while piece := there.recv(65_536):
                answer += piece
        if self.num_lines > 1 or self._says_first:
            line.sendall(answer)

    def close(self) -> None:
        self._door.close()


def _length(request: bytes) -> int:
    head, _, _ = request.partition(b"\r\n\r\n")
    for row in head.lower().split(b"\r\n"):
        if row.startswith(b"content-length:"):
            return len(head) + 4 + int(row.partition(b":")[2])
    return len(request)


def test_an_answer_that_got_lost_doubles_nothing(
    client: list[str], server: Process, ticket: Path
) -> None:
    cable = LosesAnswers(server.url)
    cable.start()
    found = run(client, f"http://127.0.0.1:{cable.port}/v1/bars/saltmarch", ticket)
    cable.close()
    assert found.returncode == 0, found.stderr
    assert cable.num_lines == 2
    (kept,) = posted(server, ticket)
    assert kept["id"] in found.stdout
    assert len(kept["drinks"]) == 2


def test_what_passes_is_tried_again(client: list[str], server: Process, ticket: Path) -> None:
    passes = ("408 Request Timeout", "409 Conflict", "429 Too Many Requests", "503 Unavailable")
    cable = LosesAnswers(server.url, says_first=passes)
    cable.start()
    found = run(client, f"http://127.0.0.1:{cable.port}/v1/bars/saltmarch", ticket)
    cable.close()
    assert found.returncode == 0, found.stderr
    assert cable.num_lines == len(passes) + 1
    assert len(posted(server, ticket)) == 1


def test_a_bar_that_is_not_there_means_paper(client: list[str], ticket: Path) -> None:
    short = _impatient(client, ticket.parent)
    found = run(short, f"http://127.0.0.1:{free_port()}/v1/bars/saltmarch", ticket)
    assert found.returncode == 2
    assert "print the ticket on paper" in found.stderr


def _impatient(client: list[str], folder: Path) -> list[str]:
    """The same client with less patience, so that a test does not take as long as a till may."""
    text = Path(client[1]).read_text(encoding="utf-8")
    for long, short in (
        ("PATIENCE_S = 20.0", "PATIENCE_S = 1.0"),
        ("PATIENCE_MS = 20_000", "PATIENCE_MS = 1_000"),
        ("patience=20", "patience=1"),
    ):
        text = text.replace(long, short)
    assert text != Path(client[1]).read_text(encoding="utf-8")
    copy = folder / Path(client[1]).name
    copy.write_text(text, encoding="utf-8")
    return [client[0], str(copy)]
