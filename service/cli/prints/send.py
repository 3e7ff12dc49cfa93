"""``threedeep prints send``: plays a till, with prints kept as files."""

from __future__ import annotations

import argparse
import random
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

from service.cli.common import LARGEST_PORT, Commands, command, counted

from .shown import bytes_of

LONG = """\
Sends prints to a print port, as a till would: each file is one print, over a connection of its own.

  threedeep prints send sample_tickets/prints/*.bin --to 127.0.0.1:9100
  threedeep prints send round.bin --to 127.0.0.1:9100 --split

That every byte was sent is all that this command can say: a raw print port answers nothing. Look at
the counter's page, or at the bar's prints, for what was read.
"""
CODES = """\
  0  every byte of every file was sent
  1  some of it could not be sent; which, why and what to do is said
  2  an argument or a file cannot be used
"""
USUAL_PORT = 9100
THIS_MACHINE = "127.0.0.1"
PATIENCE_S = 10.0
LONGEST_PIECE = 48
PAUSE_S = 0.02
SHOWN_AFTER = 3


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands, "send", short="play a till: send prints to a print port", long=LONG, codes=CODES
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="a print, as raw bytes")
    parser.add_argument(
        "--to",
        required=True,
        type=address,
        metavar="HOST:PORT",
        help=f"where the print port is; without a port, {USUAL_PORT}; a port alone: here",
    )
    parser.add_argument(
        "--every",
        type=_seconds,
        default=0.0,
        metavar="S",
        help="wait so many seconds from one print to the next (0)",
    )
    parser.add_argument(
        "--split",
        action="store_true",
        help="send in small pieces with pauses between them, as over a bad cable",
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Send; 0 when everything went out."""
    prints = [(path, bytes_of(path)) for path in args.files]
    host, port = args.to
    shown = _progress(len(prints))
    # Always the same pieces, so that a fault that was seen once is seen again.
    dice = random.Random(1) if args.split else None
    sent = 0
    for number, (path, data) in enumerate(prints, start=1):
        if number > 1:
            _wait(args.every)
        said = send(data, host, port, dice)
        if said:
            print(f"{path}: {said}", file=sys.stderr)
            if left := len(prints) - number:
                print(f"{counted(left, 'print')} after it not tried", file=sys.stderr)
            return 1
        sent += len(data)
        shown(number)
    print(f"sent {counted(len(prints), 'print')}, {counted(sent, 'byte')}, to {host}:{port}")
    return 0


def send(data: bytes, host: str, port: int, dice: random.Random | None = None) -> str:
    """Send one print over a connection of its own.

    Parameters
    ----------
    data : bytes
    host : str
    port : int
    dice : random.Random or None
        Where given, small pieces of random length are sent, with pauses.

    Returns
    -------
    str
        Why it did not work and what to do; empty when every byte was sent.
    """
    where = f"{host}:{port}"
    try:
        line = socket.create_connection((host, port), timeout=PATIENCE_S)
    except OSError as error:
        return _no_line(error, host, where)
    gone = 0
    with line:
        try:
            for piece in _pieces(data, dice):
                line.sendall(piece)
                gone += len(piece)
                if dice:
                    _wait(PAUSE_S * dice.random())
            line.shutdown(socket.SHUT_WR)
            # Where the other side resets the line instead of reading, it is seen only here.
            while line.recv(4096):
                pass
        except OSError as error:
            return _cut_off(error, where, gone, len(data))
    return ""


def _wait(seconds: float) -> None:
    threading.Event().wait(seconds)


def _pieces(data: bytes, dice: random.Random | None) -> Iterator[bytes]:
    at = 0
    while at < len(data):
        length = dice.randint(1, LONGEST_PIECE) if dice else len(data)
        yield data[at : at + length]
        at += length


def _no_line(error: OSError, host: str, where: str) -> str:
    match error:
        case ConnectionRefusedError():
            return (
                f"expected a print port at {where}; nobody listens there: start `threedeep serve` "
                "with a bar whose file names it (prints: {listen: 9100}), and look at what serve "
                "says at its start, where it names the address at which it takes prints"
            )
        case socket.gaierror():
            return f"expected the name or address of a machine; came {host}, which is not known"
        case TimeoutError():
            return (
                f"expected an answer from {where} within {PATIENCE_S:g} s; none came: is that "
                "machine on, in the same network, and does its firewall let the port through?"
            )
    return f"{where} cannot be reached ({error.strerror}): check the cable and the address"


def _cut_off(error: OSError, where: str, gone: int, of: int) -> str:
    how_far = f"{gone} of {counted(of, 'byte')}"
    if isinstance(error, TimeoutError):
        return f"{where} took {how_far} and then no more for {PATIENCE_S:g} s: send it again later"
    return (
        f"{where} closed the line at {how_far}: this machine may not be among the senders that "
        "the bar's file lists, or the bar cannot store prints now; its log says which"
    )


def address(text: str) -> tuple[str, int]:
    """Read an address off the command line: ``10.0.0.7:9100``, ``till-pc``, ``[::1]``, ``9100``."""
    host, colon, port = text.rpartition(":")
    if not colon or (":" in host and not host.endswith("]")) or text.endswith("]"):
        host, port = (THIS_MACHINE, text) if text.isdecimal() else (text, str(USUAL_PORT))
    host = host.removeprefix("[").removesuffix("]")
    if host and port.isdecimal() and 1 <= int(port) <= LARGEST_PORT:
        return host, int(port)
    said = f"expected HOST:PORT, such as 127.0.0.1:{USUAL_PORT}; came {text}"
    raise argparse.ArgumentTypeError(said)


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if 0 <= value <= 3600:
        return value
    raise argparse.ArgumentTypeError(f"expected seconds from 0 to 3600; came {text}")


def _progress(total: int) -> Callable[[int], None]:
    """Give what shows how far it is, where somebody watches and it takes a while."""
    if total < SHOWN_AFTER or not sys.stderr.isatty():
        return lambda _: None

    def show(number: int) -> None:
        end = "\n" if number == total else ""
        print(f"\r{number} of {total} prints", end=end, file=sys.stderr, flush=True)

    return show
