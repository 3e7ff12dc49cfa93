"""Carries made rounds away, and asks the guest where a drink holds what they cannot have."""

from __future__ import annotations

import random
from datetime import datetime, timedelta

from .paced import PacedClock
from .wire import Wire

LOOK_EVERY_S = 5.0
CARRIED_AFTER_S = (20.0, 60.0)
ASKED_AFTER_S = (40.0, 90.0)
SCREEN = "robot-runner"


async def run_rounds(wire: Wire, clock: PacedClock, *, seed: int) -> None:
    """Work for as long as this runs.

    A drink that is set aside because the noted allergen is in it is taken off the ticket: the
    guest was asked and orders something else.
    """
    rng = random.Random(seed)
    due: dict[str, datetime] = {}

    def is_due(path: str, after_s: tuple[float, float]) -> bool:
        later = timedelta(seconds=rng.uniform(*after_s))
        return due.setdefault(path, clock.now() + later) <= clock.now()

    while True:
        order = await wire.order()
        for card in order.rounds:
            path = f"tickets/{card.ticket}/gone"
            if card.is_made and is_due(path, CARRIED_AFTER_S):
                await wire.post(path, {"screen": SCREEN})
        for aside in order.set_aside:
            path = f"drinks/{aside.drink}/void"
            if "confirm" in aside.reason and is_due(path, ASKED_AFTER_S):
                reason = "the guest was asked and takes something else"
                await wire.post(path, {"screen": SCREEN, "reason": reason})
        await clock.sleep(LOOK_EVERY_S)
