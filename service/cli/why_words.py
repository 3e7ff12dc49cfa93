"""What ``threedeep plan --explain`` adds to a plan, and says where there is none."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from service.files import plan_text
from solver.explain import (
    Mending,
    Why,
    explain,
    mending_words,
    mendings,
    smallest_mending,
    together_words,
    turn_words,
)
from solver.plan import Plan
from solver.snapshot import Snapshot

from .order_words import drink_names

NOTHING_HELPS = "nothing at the bar would help: look at the menu"


def lines_under(snapshot: Snapshot, plan: Plan) -> dict[str, list[str]]:
    """Give what is written under each build and each drink that is set aside, by id."""
    found = {
        one.build: [together_words(one), *filter(None, [turn_words(snapshot, plan, one)])]
        for one in explain(snapshot, plan)
    }
    return found | {one.drink: [_needs(one)] for one in mendings(snapshot)}


def nothing_words(snapshot: Snapshot) -> str:
    """Say what keeps everything from being made, at the least, and what each drink needs."""
    lines = []
    first = smallest_mending(snapshot)
    if first is not None:
        lines += [f"nearest to being made is {_drink_words(snapshot, first)}; in its way:"]
        lines += [f"    {fact.words}" for fact in first.facts]
        lines += [f"it {mending_words(first)}"]
    every = (
        f"    {_drink_words(snapshot, one)}: {one.reason}; {_needs(one)}"
        for one in mendings(snapshot)
    )
    return "\n".join([*lines, "drink by drink", *dict.fromkeys(every)])


def _drink_words(snapshot: Snapshot, one: Mending) -> str:
    numbers = {ticket.id: ticket.number for ticket in snapshot.tickets}
    return f"{drink_names(snapshot)[one.drink]}, ticket {numbers[one.ticket]}"


def nothing_text(snapshot: Snapshot) -> str:
    """Say the same as `nothing_words` as JSON."""
    first = smallest_mending(snapshot)
    document = {"nearest": first.drink if first else "", "to_mend": [*_mendings_json(snapshot)]}
    return json.dumps(document, ensure_ascii=False, indent=1)


def explained_text(snapshot: Snapshot, plan: Plan, snapshot_file: str) -> str:
    """Give a plan and its explanation as JSON."""
    document = {
        "plan": json.loads(plan_text(plan, snapshot_file)),
        "why": [_why_json(snapshot, plan, one) for one in explain(snapshot, plan)],
        "to_mend": [*_mendings_json(snapshot)],
    }
    return json.dumps(document, ensure_ascii=False, indent=1)


def _why_json(snapshot: Snapshot, plan: Plan, one: Why) -> dict[str, Any]:
    return {
        "build": one.build,
        "together_s": one.together.together_s,
        "apart_s": one.together.apart_s,
        "saved_s": one.together.saved_s,
        "saved": [{"what": part.what, "seconds": part.saved_s} for part in one.together.parts],
        "before": one.turn.before,
        "rounds": [
            {"ticket": shift.ticket, "sooner_s": shift.sooner_s} for shift in one.turn.rounds
        ],
        "words": [together_words(one), *filter(None, [turn_words(snapshot, plan, one)])],
    }


def _mendings_json(snapshot: Snapshot) -> Iterator[dict[str, Any]]:
    for one in mendings(snapshot):
        yield {
            "drink": one.drink,
            "reason": one.reason,
            "facts": [{"words": fact.words, "to_mend": fact.to_mend} for fact in one.facts],
        }


def _needs(one: Mending) -> str:
    return mending_words(one) or NOTHING_HELPS
