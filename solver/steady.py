"""What stays from one plan to the next: its times a little later, what each person sees as next.

Also who was passed by later rounds, which is what a plan must not let go on for ever, and when
arms are rested. The service makes its snapshots with these, and so does the simulator.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from .counter import HouseRules
from .plan import Plan
from .snapshot import Pinned
from .units import to_ds, to_s


def shifted(plan: Plan, by_s: float) -> Plan:
    """Give a plan with its seconds counted from a moment `by_s` earlier (negative: later)."""

    def moved(at: float) -> float:
        return to_s(to_ds(at + by_s))

    return replace(
        plan,
        builds=tuple(
            replace(
                build,
                made_s=tuple(moved(at) for at in build.made_s),
                blocks=tuple(
                    replace(block, start_s=moved(block.start_s), end_s=moved(block.end_s))
                    for block in build.blocks
                ),
            )
            for build in plan.builds
        ),
        servings=tuple(
            replace(serving, start_s=moved(serving.start_s), end_s=moved(serving.end_s))
            for serving in plan.servings
        ),
    )


def next_of(plan: Plan | None, waits: Callable[[str], bool]) -> tuple[Pinned, ...]:
    """Give what each person sees as next: their first planned build that still waits whole.

    Parameters
    ----------
    plan : Plan or None
        The order last shown.
    waits : callable
        Whether a drink, by id, still waits to be begun.
    """
    found: dict[str, Pinned] = {}
    for build in sorted(plan.builds if plan else (), key=lambda b: (b.start_s, b.id)):
        if build.person not in found and all(waits(drink) for drink in build.drinks):
            found[build.person] = Pinned(person=build.person, drinks=build.drinks)
    return tuple(found.values())


def overtakes(
    rounds: Mapping[str, tuple[str, float]], whole: Mapping[str, Sequence[float]]
) -> dict[str, int]:
    """Count, for each open round, the later rounds of its channel that are made already.

    Parameters
    ----------
    rounds : mapping
        Channel and placing of each open round, by ticket.
    whole : mapping
        By channel, when the made rounds were placed, in rising order.
    """
    found = {}
    for ticket, (channel, placed) in rounds.items():
        made = whole.get(channel, ())
        found[ticket] = len(made) - bisect_right(made, placed)
    return found


def shake_from_s(builds: Iterable[tuple[float, float, int]], rules: HouseRules) -> float:
    """Give when somebody may shake again: 0 unless they shook too often in a row.

    A row is broken by a build without a shake and by a pause as long as the rest.

    Parameters
    ----------
    builds : iterable of (float, float, int)
        Theirs, the newest first: when its hands began and ended, in seconds from now, and how many
        vessels were shaken. No more of them are asked for than it takes.
    rules : HouseRules
        Its `shakes_in_a_row` and `rest_s`.
    """
    row, next_s, last_end_s = 0, 0.0, None
    for start_s, end_s, shaken in builds:
        if not shaken or next_s - end_s >= rules.rest_s:
            break
        last_end_s = end_s if last_end_s is None else last_end_s
        row += shaken
        next_s = start_s
        if row >= rules.shakes_in_a_row:
            return max(0.0, to_s(to_ds(last_end_s + rules.rest_s)))
    return 0.0
