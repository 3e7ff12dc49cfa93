"""What if: single changes of a night, ranked by the minutes that they save a guest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .changes import Change, equipment_changes, hands_changes, layout_changes
from .figures import Figures
from .intervals import Interval, t_interval
from .menu_changes import asked_for, menu_changes
from .replications import Asked, Running, Trial, note_of, run_nights
from .results import whole_of
from .scenario import Policy, Rush
from .study import NightJob, busiest_hour, night_figures

AS_IT_IS = "as it is"
CLEAR_FROM = 5
"""Of so few nights an interval says nothing of one change among many."""
BEST_OF_MANY = (
    "each interval stands by itself, so the best of many looks a little better than it is"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfRow:
    """One change against the night as it is, on the same nights.

    Attributes
    ----------
    id, words : str
    saved_min : Interval
        Minutes that a guest waits less.
    within_promise, given_up : Interval
        What it adds to the share of rounds within their promise, and to the rounds given up.
    cost : float or None
        For one night; None where the house does not say.
    """

    id: str
    words: str
    saved_min: Interval
    within_promise: Interval
    given_up: Interval
    cost: float | None

    @property
    def is_clear(self) -> bool:
        """Whether chance alone would hardly make such a difference."""
        saved = self.saved_min
        is_known = saved.half_width is not None and saved.nights >= CLEAR_FROM
        return is_known and not saved.holds(0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """The ranking.

    Attributes
    ----------
    policy : str
    guest_min : Interval
        Minutes that a guest waits as it is.
    rows : tuple of WhatIfRow
        The largest saving first.
    money : str
    nights, pilot : int
    ended, note : str
    broken : tuple of str
        As in `PlanningLog`, of all nights; empty is right.
    """

    policy: str
    guest_min: Interval
    rows: tuple[WhatIfRow, ...]
    money: str
    nights: int
    pilot: int
    ended: str
    note: str
    broken: tuple[str, ...] = ()


def single_changes(rush: Rush, *, seed: int) -> tuple[Change, ...]:
    """Give the changes that make sense in this house on this night.

    Parameters
    ----------
    rush : Rush
    seed : int
        Of the nights whose orders say which drinks and bottles are asked for most.
    """
    asked = asked_for(rush, seed)
    return (
        *hands_changes(rush),
        *equipment_changes(rush),
        *layout_changes(rush, asked.ingredients),
        *menu_changes(rush, asked),
    )


def what_if(rush: Rush, policy: Policy, asked: Asked, running: Running) -> WhatIf | None:
    """Run the night as it is and with each single change, and rank the changes.

    `Asked.within` is about the minutes that each change saves a guest.

    Parameters
    ----------
    rush : Rush
    policy : Policy
    asked : Asked
    running : Running

    Returns
    -------
    WhatIf or None
        None where not one night was whole.
    """
    # The same hour for all, so that a change of the menu does not move what is compared.
    busiest = busiest_hour(rush)
    changes = {one.id: one for one in single_changes(rush, seed=asked.seed)}
    rushes = {AS_IT_IS: rush, **{name: one.rush for name, one in changes.items()}}

    def job(which: str, seed: int) -> NightJob:
        return NightJob(rush=rushes[which], policy=policy, seed=seed, busiest=busiest)

    def watched(nights: Mapping[str, Sequence[Figures]]) -> dict[str, Sequence[float]]:
        return {name: _saved(nights[AS_IT_IS], nights[name]) for name in changes}

    trial = Trial(of=tuple(rushes), job=job, work=night_figures, watched=watched)
    run = run_nights(trial, asked, running)
    if not run.num_nights:
        return None
    as_it_is = run.nights[AS_IT_IS]
    rows = [_row(one, as_it_is, run.nights[one.id], run.pilot) for one in changes.values()]
    return WhatIf(
        policy=policy.value,
        guest_min=t_interval([_guest_min(night) for night in as_it_is], pilot=run.pilot),
        rows=tuple(sorted(rows, key=lambda row: -row.saved_min.mean)),
        money=rush.scenario.costs.money,
        nights=run.num_nights,
        pilot=run.pilot,
        ended=run.ended.value,
        note=f"{note_of(run.ended)}; {BEST_OF_MANY}",
        broken=tuple(
            dict.fromkeys(w for nights in run.nights.values() for one in nights for w in one.broken)
        ),
    )


def _row(
    change: Change, before: Sequence[Figures], after: Sequence[Figures], pilot: int
) -> WhatIfRow:
    return WhatIfRow(
        id=change.id,
        words=change.words,
        saved_min=t_interval(_saved(before, after), pilot=pilot),
        within_promise=_added("within_promise", before, after, pilot),
        given_up=_added("given_up", before, after, pilot),
        cost=change.cost,
    )


def _saved(before: Sequence[Figures], after: Sequence[Figures]) -> list[float]:
    return [_guest_min(was) - _guest_min(now) for was, now in zip(before, after, strict=True)]


def _guest_min(night: Figures) -> float:
    """Minutes that a guest waited; none on a night without guests."""
    return (night.group().guest_s or 0.0) / 60


def _added(name: str, before: Sequence[Figures], after: Sequence[Figures], pilot: int) -> Interval:
    was, now = ([whole_of(night)[name] for night in nights] for nights in (before, after))
    pairs = zip(now, was, strict=True)
    return t_interval([(a or 0.0) - (b or 0.0) for a, b in pairs], pilot=pilot)
