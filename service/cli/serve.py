"""``threedeep serve``: takes tickets in and gives the build order out, until Ctrl-C."""

from __future__ import annotations

import argparse
import errno
import logging
import socket
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from .common import Commands, command, port

if TYPE_CHECKING:
    from types import FrameType

    from fastapi import FastAPI

LONG = """\
Serves one bar or several: tickets come in over HTTP, the build order goes out to the screens.

  threedeep serve --bar sample_tickets/bars/saltmarch.yaml --db night.db

The counter's page is then at http://127.0.0.1:8000/counter/BAR, the manager's at /manager/BAR,
the interface's description at /openapi.json. All of the night is kept in the database file: stop
and start the command as you like, tickets, builds in hand and the order come back. Ctrl-C stops
it.
"""
CODES = """\
  0  stopped by Ctrl-C or a signal
  2  there is no bar to serve, the port is taken, or a bar's file or the database cannot be used;
     what is wrong is said
"""
log = logging.getLogger("threedeep.serve")
LOG_FORMAT = "%(asctime)s %(levelname)s %(name)s %(message)s"
STOP_WITHIN_S = 1
TURNS_S = 0.001
"""How long one thread may keep the interpreter from the others. A ticket goes through several on
its way to the screens; at the usual 5 ms each of them may wait that long for a search."""

SHORTEST_MS, LONGEST_MS = 10, 10_000
CANNOT_START = 2
WHY = {
    errno.EADDRINUSE: "is taken by another program",
    errno.EACCES: "may not be opened by this user",
}
NO_BAR = (
    "no bar to serve, and the database knows none: give one by --bar BAR.yaml; begin your own from "
    "a copy of sample_tickets/bars/own-bar.yaml"
)


def add_to(commands: Commands) -> None:
    """Add the command."""
    parser = command(
        commands,
        "serve",
        short="take tickets in and give the build order out",
        long=LONG,
        codes=CODES,
    )
    parser.add_argument(
        "--bar",
        type=Path,
        action="append",
        default=[],
        metavar="BAR.yaml",
        help="a bar to serve; what its file says counts, also where the database knows the bar "
        "already; may be given more than once; bars that the database knows are served as well",
    )
    parser.add_argument(
        "--db",
        type=Path,
        default=Path("threedeep.db"),
        metavar="PATH",
        help="where the night is kept, made where there is none (threedeep.db)",
    )
    parser.add_argument(
        "--host", default="127.0.0.1", help="address to listen on (127.0.0.1: this machine alone)"
    )
    parser.add_argument("--port", type=port, default=8000, help="port to listen on (8000)")
    parser.add_argument(
        "--limit-ms",
        type=_limit_ms,
        default=250,
        metavar="MS",
        help="how long a searched plan may take, in milliseconds (250); a new ticket is in the "
        "order long before",
    )
    parser.add_argument(
        "--workers",
        type=_one_worker,
        default=1,
        metavar="1",
        help="processes that serve; always 1, which is enough for many bars",
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Serve until told to stop."""
    from service.app import create_app
    from service.clock import SystemClock
    from service.files import read_bar
    from service.settings import Settings
    from service.store import SqliteStore, StoreTrouble

    logging.basicConfig(format=LOG_FORMAT, level=logging.INFO, stream=sys.stderr)
    # What uvicorn says of itself is of no use to a bar; its warnings are.
    logging.getLogger("uvicorn").setLevel(logging.WARNING)
    logging.getLogger("uvicorn.access").disabled = True
    bars = tuple(read_bar(path) for path in args.bar)
    settings = Settings(database=args.db, limit_ms=args.limit_ms, owns_process=True)
    if not bars and args.db.parent.is_dir() and not args.db.exists():
        print(NO_BAR, file=sys.stderr)
        return CANNOT_START
    try:
        # Once before anything starts, so that what is wrong with it is said without a traceback.
        store = SqliteStore(settings.database, now=SystemClock().now())
        is_known = bool(store.houses())
        store.close()
        if not bars and not is_known:
            print(NO_BAR, file=sys.stderr)
            return CANNOT_START
        # Bound before anything is opened: who is told the address finds it answering.
        door = open_door(args.host, args.port)
    except (StoreTrouble, OSError) as error:
        print(error, file=sys.stderr)
        return CANNOT_START
    sys.setswitchinterval(TURNS_S)
    with door:
        return serve(create_app(settings, told=bars), door)


def open_door(host: str, port: int) -> socket.socket:
    """Bind an address.

    Raises
    ------
    OSError
        When it cannot be had; says why and what to do.
    """
    try:
        family, kind, number, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
    except OSError as error:
        said = f"expected an address of this machine for --host; came {host}"
        raise OSError(said) from error
    door = socket.socket(family, kind, number)
    # A port that was just let go of may be taken again; one that somebody listens on may not.
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind(address)
    except OSError as error:
        door.close()
        why = WHY.get(error.errno or 0, f"cannot be used ({error.strerror})")
        raise OSError(f"port {port} of {host} {why}: name another one by --port") from error
    return door


def serve(app: FastAPI, door: socket.socket) -> int:
    """Run an application until SIGINT or SIGTERM; streams end at once, so it exits within 2 s.

    Parameters
    ----------
    app : FastAPI
    door : socket.socket
        Bound, not listening yet: nobody connects before there is an answer.
    """
    import uvicorn

    host, port = door.getsockname()[:2]
    address = f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"

    class Server(uvicorn.Server):
        """Ends streams and long polls as soon as the signal comes; uvicorn would wait for them."""

        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            if self.started:
                log.info("action=serve address=%s stop=Ctrl-C", address)
                floor = getattr(app.state, "floor", None)
                for bar in floor.desks if floor else ():
                    pages = f"counter={address}/counter/{bar} manager={address}/manager/{bar}"
                    log.info("action=show_bar bar=%s %s", bar, pages)

        def handle_exit(self, sig: int, frame: FrameType | None) -> None:  # noqa: ARG002
            floor = getattr(app.state, "floor", None)
            if floor is not None:
                floor.stop()
            # uvicorn would raise the signal once more at the end; being stopped is no fault.
            self.force_exit = self.should_exit
            self.should_exit = True

    config = uvicorn.Config(
        app,
        lifespan="on",
        log_config=None,
        timeout_graceful_shutdown=STOP_WITHIN_S,
        server_header=False,
    )
    server = Server(config)
    server.run(sockets=[door])
    return 0 if server.started else CANNOT_START


def _limit_ms(text: str) -> int:
    if text.isdigit() and SHORTEST_MS <= int(text) <= LONGEST_MS:
        return int(text)
    said = f"expected {SHORTEST_MS} to {LONGEST_MS} milliseconds; came {text}"
    raise argparse.ArgumentTypeError(said)


def _one_worker(text: str) -> int:
    if text == "1":
        return 1
    said = (
        f"expected 1; came {text}: with SQLite each process would hold its own idea of the night, "
        "so one process serves; it takes many bars"
    )
    raise argparse.ArgumentTypeError(said)
