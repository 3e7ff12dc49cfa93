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
    """One bar over HTTP, and the newest build order of it.

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
