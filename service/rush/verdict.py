"""Does the night hold? The one sentence that a manager wants first."""

from __future__ import annotations

from solver.rush.results import PolicyResults

GOAL = 0.90


def short_of(policy: PolicyResults, goal: float = GOAL) -> list[tuple[str, str]]:
    """Give the stretches in which too few rounds are done as promised, by their quarters.

    Parameters
    ----------
    policy : PolicyResults
    goal : float
        Share of the rounds of a quarter that have to be within their promise.

    Returns
    -------
    list of (str, str)
        Clock times from and until, half-open.
    """
    clocks = [row.clock for row in policy.queue]
    ends = [*clocks[1:], ""]
    found: list[tuple[str, str]] = []
    for row in policy.groups:
        if row.when != "quarter" or row.channel or row.quarter is None:
            continue
        kept = row.figures.get("within_promise")
        if kept is None or kept.mean >= goal:
            continue
        until = ends[row.quarter] or "the end"
        if found and found[-1][1] == row.clock:
            found[-1] = (found[-1][0], until)
        else:
            found.append((row.clock, until))
    return found


def verdict(policy: PolicyResults, goal: float = GOAL) -> str:
    """Say whether nine of ten rounds are done as promised all night, and if not, when not."""
    short = short_of(policy, goal)
    of = f"{10 * goal:g} of 10"
    if not short:
        return f"It holds: {of} rounds are done as promised, all night."
    stretches = [f"{since} to {until}" for since, until in short]
    when = (
        stretches[0] if len(stretches) == 1 else ", ".join(stretches[:-1]) + f" and {stretches[-1]}"
    )
    return f"It does not hold from {when}: fewer than {of} rounds are done as promised."
