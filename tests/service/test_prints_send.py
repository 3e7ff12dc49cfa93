"""``threedeep prints send``: what goes out, and what is said where it does not."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from service.cli import main
from service.cli.prints.send import address
from tests.service.process import free_port


class Listener(threading.Thread):
    """Takes whatever is sent, a connection after the other."""

    def __init__(self, *, closes_at: int | None = None) -> None:
        super().__init__(name="listener", daemon=True)
        self._door = socket.create_server(("127.0.0.1", 0))
        self._closes_at = closes_at
        self.port = self._door.getsockname()[1]
        self.came: list[bytes] = []
        self.num_pieces = 0
        self.at: list[float] = []

    def run(self) -> None:
        while True:
            try:
                line, _ = self._door.accept()
            except OSError:
                return
            self.at.append(time.monotonic())
            with line:
                self.came.append(self._take(line))

    def _take(self, line: socket.socket) -> bytes:
        data = b""
        while piece := line.recv(65_536):
            self.num_pieces += 1
            data += piece
            if self._closes_at is not None and len(data) >= self._closes_at:
                # Gone without reading on: the sender's system hears of it at once.
                line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\x01\0\0\0\0\0\0\0")
                break
        return data

    def close(self) -> None:
        self._door.close()


@contextmanager
def listening(*, closes_at: int | None = None) -> Iterator[Listener]:
    listener = Listener(closes_at=closes_at)
    listener.start()
    yield listener
    listener.close()


@pytest.fixture
def files(tmp_path: Path) -> list[str]:
    made = []
    for name in ("one", "two"):
        file = tmp_path / f"{name}.bin"
        file.write_bytes(bytes(range(256)) * 3 + name.encode())
        made.append(str(file))
    return made


def sent(files: list[str]) -> list[bytes]:
    return [Path(file).read_bytes() for file in files]


def test_each_file_over_a_connection_of_its_own(
    files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with listening() as there:
        assert main(["prints", "send", *files, "--to", f"127.0.0.1:{there.port}"]) == 0
        assert there.came == sent(files)
    said = capsys.readouterr()
    assert said.out == f"sent 2 prints, 1542 bytes, to 127.0.0.1:{there.port}\n"
    assert said.err == ""


def test_in_small_pieces(files: list[str]) -> None:
    with listening() as there:
        assert main(["prints", "send", files[0], "--to", f"127.0.0.1:{there.port}", "--split"]) == 0
        assert there.came == sent(files)[:1]
        assert there.num_pieces > 5


def test_with_time_between(files: list[str]) -> None:
    with listening() as there:
        words = ["--to", f"127.0.0.1:{there.port}", "--every", "0.2"]
        assert main(["prints", "send", *files, *words]) == 0
        assert there.at[1] - there.at[0] >= 0.2


def test_nobody_listens(files: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prints", "send", *files, "--to", f"127.0.0.1:{free_port()}"]) == 1
    said = capsys.readouterr().err
    assert f"{files[0]}: expected a print port at 127.0.0.1:" in said
    assert "start `threedeep serve`" in said
    assert "1 print after it not tried" in said


def test_the_other_side_hangs_up(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "long.bin"
    file.write_bytes(b"x" * 20_000_000)
    with listening(closes_at=10_000) as there:
        assert main(["prints", "send", str(file), "--to", f"127.0.0.1:{there.port}"]) == 1
    said = capsys.readouterr().err
    assert "closed the line at 0 of 20000000 bytes" in said
    assert "the senders that the bar's file lists" in said


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("127.0.0.1:9101", ("127.0.0.1", 9101)),
        ("till-pc", ("till-pc", 9100)),
        ("9101", ("127.0.0.1", 9101)),
        ("[::1]:9101", ("::1", 9101)),
        ("[::1]", ("::1", 9100)),
        ("::1", ("::1", 9100)),
    ],
)
def test_addresses(text: str, found: tuple[str, int]) -> None:
    assert address(text) == found


@pytest.mark.parametrize("text", [":9100", "70000", "till:", "till:0", "till:70000", "till:x", ""])
def test_what_is_no_address(
    text: str, files: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit):
        main(["prints", "send", files[0], "--to", text])
    assert "expected HOST:PORT, such as 127.0.0.1:9100; came" in capsys.readouterr().err


def test_files_that_cannot_be_sent(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    empty = tmp_path / "empty.bin"
    empty.touch()
    for file in (empty, tmp_path / "none.bin", tmp_path):
        assert main(["prints", "send", str(file), "--to", "127.0.0.1:9100"]) == 2
        assert str(file) in capsys.readouterr().err
