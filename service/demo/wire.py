"""How guests and robots speak with the service: its own HTTP interface, and nothing else."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from typing import Any

import httpx

from service.api.models import BartenderCard, BuildOrder

LONG_POLL_S = 20
AGAIN_S = 0.5


class Wire:
    """One bar over HTTP, the newest build order of it, and what the demo itself has tapped.

    Parameters
    ----------
    client : httpx.AsyncClient
        With the service's address as its base.
    bar : str
    """

    def __init__(self, client: httpx.AsyncClient, bar: str) -> None:
        self._client = client
        self._at = f"/v1/bars/{bar}"
        self._order: BuildOrder | None = None
        self._changed = asyncio.Event()
        self._started: set[str] = set()
        self._made: set[str] = set()

    async def tap(self, build: str, verb: str, person: str) -> Mapping[str, Any] | None:
        """Tap ``start`` or ``made`` on a build for a person; None where the service refuses."""
        # Noted before the answer: the order may tell of it sooner.
        (self._made if verb == "made" else self._started).add(build)
        body = {"screen": f"robot-{person}", "bartender": person}
        told = await self.post(f"builds/{build}/{verb}", body)
        if told is None:
            self._made.discard(build)
        elif told["started"]:
            self._started.add(told["started"])
        return told

    def is_own_work(self, before: str | None, after: str | None) -> bool:
        """Whether it was the demo that took hands from one build to another.

        Parameters
        ----------
        before, after : str or None
            What somebody's hands were and are on.
        """
        has_ended = before is None or before in self._made
        return has_ended and (after is None or after in self._started)

    async def post(
        self, path: str, body: Mapping[str, Any], *, key: str = ""
    ) -> Mapping[str, Any] | None:
        """Post something; None where the service refuses, which a busy bar survives."""
        headers = {"Idempotency-Key": key} if key else {}
        try:
            answer = await self._client.post(f"{self._at}/{path}", json=body, headers=headers)
        except httpx.TransportError:
            return None
        return answer.json() if answer.is_success else None

    async def order(self, since: int = -1) -> BuildOrder:
        """Give the newest build order, waiting for one of at least revision `since`."""
        while self._order is None or self._order.revision < since:
            await self.change()
        return self._order

    async def change(self, timeout_s: float | None = None) -> bool:
        """Wait for a newer order; False when none came in time (seconds of the world)."""
        try:
            async with asyncio.timeout(timeout_s):
                await self._changed.wait()
        except TimeoutError:
            return False
        return True

    async def follow(self) -> None:
        """Keep the newest order for as long as this runs."""
        etag = ""
        while True:
            headers = {"If-None-Match": etag} if etag else {}
            wait = {"wait_s": LONG_POLL_S} if etag else {}
            try:
                answer = await self._client.get(
                    f"{self._at}/build-order",
                    params=wait,
                    headers=headers,
                    timeout=LONG_POLL_S + 10,
                )
            except httpx.TransportError:
                await asyncio.sleep(AGAIN_S)
                continue
            if answer.status_code == httpx.codes.OK:
                etag = answer.headers["ETag"]
                self._order = BuildOrder.model_validate_json(answer.content)
                before, self._changed = self._changed, asyncio.Event()
                before.set()
            elif answer.status_code != httpx.codes.NOT_MODIFIED:
                await asyncio.sleep(AGAIN_S)


def card_of(order: BuildOrder, person: str) -> BartenderCard:
    """Give one bartender's part of an order."""
    return next(card for card in order.bartenders if card.id == person)
