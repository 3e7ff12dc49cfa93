"""Starts the service with the sample house, its guests and its robots, and stops it again."""

from __future__ import annotations

import asyncio
import socket
import tempfile
import webbrowser
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

import httpx
import uvicorn
from fastapi import FastAPI

from service.app import create_app
from service.clock import SystemClock
from service.files import SAMPLES, read_bar
from service.files.bars import Bar
from service.settings import Settings
from solver.rush.arrivals import BUSIEST_S, friday
from solver.rush.hands import Hands

from .guests import serve_guests
from .paced import PacedClock
from .runner import run_rounds
from .stations import STEP_BACK_S, Robot
from .wire import Wire

HOST = "127.0.0.1"
HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
BEFORE_S = 400.0
"""Guests of the last minutes before the demo begins stand at the bar already."""

PORTS_TRIED = 20
SHUT_S = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What the demo can be told.

    Attributes
    ----------
    pace : float
        How much faster than the world guests and hands are.
    port : int
        Where the page is served; the next free one where it is taken. 0 for any.
    seed : int
        Which Friday it is.
    minutes : float or None
        Minutes of the world until it stops by itself; None for never.
    opens_browser : bool
    """

    pace: float = 1.0
    port: int = 8000
    seed: int = 1
    minutes: float | None = None
    opens_browser: bool = False


async def run(options: Options, tell: Callable[[str], None]) -> None:
    """Run the demo until its time is over or Ctrl-C.

    Parameters
    ----------
    options : Options
    tell : callable
        Takes each line that the person at the terminal should read.

    Raises
    ------
    OSError
        When no port is free.
    """
    bar = read_bar(HOUSE)
    clock = PacedClock(SystemClock(), options.pace)
    with (
        tempfile.TemporaryDirectory(prefix="threedeep-demo-", ignore_cleanup_errors=True) as folder,
        free_port(options.port) as door,
    ):
        port = door.getsockname()[1]
        if options.port not in (0, port):
            tell(f"Port {options.port} is taken: this is on {port}.")
        settings = Settings(database=Path(folder) / "demo.db", owns_process=True)
        async with serving(create_app(settings, clock, told=(bar,)), door) as server:
            address = f"http://{HOST}:{port}"
            for line in greeting(bar, address, options):
                tell(line)
            if options.opens_browser:
                webbrowser.open(f"{address}/counter/{bar.id}")
            async with httpx.AsyncClient(base_url=address) as client:
                live = asyncio.create_task(_live(bar, Wire(client, bar.id), clock, options, tell))
                await _until_over(server, live, options)


def greeting(bar: Bar, address: str, options: Options) -> list[str]:
    """Say where the page is, how to stop, and how to begin one's own bar."""
    first = bar.counter.people[0].id
    page = f"{address}/counter/{bar.id}"
    faster = f", with time running {options.pace:g} times as fast" if options.pace != 1 else ""
    return [
        f"{bar.name}, a Friday at its busiest{faster}. Robots make the drinks until you do.",
        "",
        f"  the whole counter   {page}",
        f"  one station         {page}?bartender={first}",
        f"  the manager         {address}/manager/{bar.id}",
        "",
        f"Tap at a station and its robot steps back for {STEP_BACK_S:.0f} seconds.",
        "Ctrl-C stops it; nothing is kept.",
        "Your own bar instead: copy sample_tickets/bars/own-bar.yaml, then",
        "  threedeep serve --bar own-bar.yaml",
        "",
    ]


def free_port(wanted: int) -> socket.socket:
    """Bind the wanted port, or the next one that is free.

    Raises
    ------
    OSError
        When none of the next ones is free either.
    """
    for port in range(wanted, wanted + PORTS_TRIED) if wanted else (0,):
        # Named as TCP, or asyncio leaves Nagle's algorithm on: 40 ms on every answer.
        door = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        # A port that was just let go of may be taken again; one that somebody listens on may not.
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            door.bind((HOST, port))
            door.listen(128)
        except OSError:
            door.close()
            continue
        return door
    last = wanted + PORTS_TRIED - 1
    raise OSError(
        f"expected a free port from {wanted} to {last}; all are taken: name one by --port"
    )


class Server(uvicorn.Server):
    """Serves until it is asked to stop.

    uvicorn would raise the signal once more when all is shut, and so end the process before its
    database is away; to be stopped is no fault.
    """

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:  # noqa: ARG002
        """Stop; asked twice, at once."""
        self.force_exit = self.should_exit
        self.should_exit = True


@asynccontextmanager
async def serving(app: FastAPI, door: socket.socket) -> AsyncIterator[Server]:
    """Serve an application on a bound socket for as long as the block runs."""
    config = uvicorn.Config(
        app, log_level="warning", access_log=False, timeout_graceful_shutdown=SHUT_S
    )
    server = Server(config)
    task = asyncio.create_task(server.serve(sockets=[door]))
    try:
        while not server.started and not task.done():
            await asyncio.wait([task], timeout=0.02)
        if task.done():
            await task
            raise OSError("the service did not start; its last words stand above")
        yield server
    finally:
        # Streams and long polls end now; the server would wait for them.
        app.state.floor.stop()
        server.should_exit = True
        await task


async def _live(
    bar: Bar, wire: Wire, clock: PacedClock, options: Options, tell: Callable[[str], None]
) -> None:
    """Let guests come and robots work; ends only when it is cancelled or one of them breaks."""

    def on_step_back(station: str) -> None:
        tell(f"Somebody taps at {station}: its robot steps back.")

    async with asyncio.TaskGroup() as group:
        group.create_task(wire.follow())
        group.create_task(run_rounds(wire, clock, seed=options.seed))
        for number, person in enumerate(bar.counter.people):
            hands = Hands(seed=options.seed * 100 + number)
            robot = Robot(wire, clock, person.id, hands, on_step_back=on_step_back)
            group.create_task(robot.work())
        began = clock.now()
        arrivals = friday(bar.menu, seed=options.seed, from_s=BUSIEST_S - BEFORE_S)
        num = await serve_guests(wire, clock, arrivals, began=began, begin_s=BUSIEST_S)
        tell(f"Last orders: {num} tickets came. What is open is still made; Ctrl-C stops it.")


async def _until_over(server: uvicorn.Server, live: asyncio.Task[None], options: Options) -> None:
    """Wait for Ctrl-C, the end of the time, or a fault, whichever comes first."""
    loop = asyncio.get_running_loop()
    over_at = loop.time() + options.minutes * 60 if options.minutes is not None else None
    try:
        while not server.should_exit and (over_at is None or loop.time() < over_at):
            await asyncio.wait([live], timeout=0.1)
            if live.done():
                await live
                break
    finally:
        live.cancel()
        await asyncio.gather(live, return_exceptions=True)
