"""Explanations as they are said at the bar: one line for why together, one for why now."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Sequence
from math import floor

from solver.plan import Plan
from solver.snapshot import Snapshot, rail_of

from .mending import Mending
from .together import Together
from .turn import RoundShift
from .why import Why

LEAST_SAID_S = 1.0
"""Parts of a saving smaller than this are not said."""

MOST_SAID = 4
"""Rounds named one by one; the others are counted."""


def together_words(why: Why) -> str:
    """Say what the drinks of a build save by being made together.

    "together 52 s of hands, one by one 106 s: 54 s saved (shaking 31, rinsing 9, reaching 8)"
    """
    if len(why.drinks) == 1:
        return f"on its own, {_s(why.together.together_s)} of hands"
    both = f"together {_s(why.together.together_s)} of hands, one by one {_s(why.together.apart_s)}"
    if why.together.saved_s <= 0:
        return f"{both}: nothing saved{_parts_words(why.together)}"
    return f"{both}: {_s(why.together.saved_s)} saved{_parts_words(why.together)}"


def _parts_words(found: Together) -> str:
    """Say the parts of a saving, gains first; in whole seconds that add up to the whole."""
    parts = [part for part in found.parts if abs(part.saved_s) >= LEAST_SAID_S]
    seconds = whole_parts([part.saved_s for part in parts])
    named = [(part.what, part_s) for part, part_s in zip(parts, seconds, strict=True)]
    if named and (rest := round(found.saved_s) - sum(seconds)):
        named.append(("other", rest))
    said = [f"{what} {part_s}" for what, part_s in named if part_s > 0]
    said += [f"{what} {-part_s} more" for what, part_s in named if part_s < 0]
    return f" ({', '.join(said)})" if said else ""


def whole_parts(parts: Sequence[float]) -> list[int]:
    """Round parts to whole numbers that add up to their rounded sum, each by less than 1.

    Those that lie furthest above their whole number are rounded up (largest remainders).
    """
    down = [floor(part) for part in parts]
    num_up = round(sum(parts)) - sum(down)
    by_rest = sorted(range(len(parts)), key=lambda at: down[at] - parts[at])
    return [whole + (at in by_rest[:num_up]) for at, whole in enumerate(down)]


def turn_words(snapshot: Snapshot, plan: Plan, why: Why) -> str:
    """Say which rounds end sooner or later for a build's place; empty for one in hand.

    "before 2 × Tall, not after: ticket 203 is done 60 s, 206 55 s sooner; ticket 201 is done 25 s
    later"
    """
    turn = why.turn
    if any(build.id == why.build and build.is_in_hand for build in plan.builds):
        return ""
    if not turn.before:
        return "last for now"
    other = next(build for build in plan.builds if build.id == turn.before)
    names = drinks_words(snapshot, other.drinks)
    if not turn.is_possible:
        return f"before {names}: after that it could not be made at all"
    said = []
    sooner = [shift for shift in turn.rounds if shift.sooner_s > 0]
    later = [shift for shift in reversed(turn.rounds) if shift.sooner_s < 0]
    if sooner:
        said.append(f"{_shifts_words(snapshot, sooner)} sooner")
    if later:
        said.append(f"{_shifts_words(snapshot, later)} later")
    if turn.sat_less_s >= LEAST_SAID_S:
        said.append(f"drinks sit {_s(turn.sat_less_s)} less past their best")
    if turn.starves:
        said.append("else a round would wait longer than the house allows")
    if not said:
        return f"it could as well come after {names}: no round ends sooner or later for it"
    return f"before {names}, not after: {'; '.join(said)}"


def _shifts_words(snapshot: Snapshot, shifts: Sequence[RoundShift]) -> str:
    numbers = {ticket.id: ticket.number for ticket in snapshot.tickets}
    first, *rest = shifts
    said = [f"ticket {numbers[first.ticket]} is done {_s(abs(first.sooner_s))}"]
    said += [f"{numbers[one.ticket]} {_s(abs(one.sooner_s))}" for one in rest[: MOST_SAID - 1]]
    others = len(shifts) - len(said)
    return ", ".join(said) + (f" (and {others} more)" if others else "")


def mending_words(mending: Mending) -> str:
    """Say what to put right so that a drink can be made; empty where nothing is known to help.

    "needs more Rye, and somebody back at service well"
    """
    wanted = [fact.to_mend for fact in mending.facts]
    if not wanted:
        return ""
    said = ", ".join(wanted[:-1])
    return f"needs {said}, and {wanted[-1]}" if said else f"needs {wanted[-1]}"


def drinks_words(snapshot: Snapshot, drinks: Sequence[str]) -> str:
    """Name the drinks of a build, those of one name once with their count."""
    rail = rail_of(snapshot)
    known = rail.in_hand | {drink.id: drink for drink in rail.drinks}
    count = Tally(known[drink].mix.name for drink in drinks)
    return ", ".join(f"{many} × {name}" if many > 1 else name for name, many in count.items())


def _s(seconds: float) -> str:
    return f"{round(seconds)} s"
