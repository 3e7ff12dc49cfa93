"""Rotas on trial: each on the same nights, and on no more of them than its verdict needs.

A rota fails as soon as one hour cannot keep the goal any more, even if on all nights still to
come every round of it were in time. The nights that were hardest for the last rota that kept the
goal come first, so that most rotas that fail do so on the first night or two.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from .figures import Figures, Stretch, When
from .replications import Asked, Progress, Running, night_seed
from .scenario import Policy, Rush
from .study import NightJob, night_figures

HOUR = 4
"""Quarters."""
FEW_ROUNDS = 20
"""An hour in which fewer rounds than this were placed on all nights together says too little."""
MORE_ROUNDS = 1.05
"""So many times as many rounds may come on a night as the first rota had there, or as many times
fewer: guests are the same by every rota, and a few rethink by how they are served."""


class OnTrial:
    """Runs rotas on the nights of one search.

    Parameters
    ----------
    policy : Policy
    busiest : Stretch
    asked : Asked
        Its `nights` and `seed`.
    running : Running
        Told what is run by `doing`.
    goal : float
        Share of rounds within their promise that every hour has to keep.
    doing : callable
        Says which rota is run, for whoever watches.
    """

    def __init__(
        self,
        *,
        policy: Policy,
        busiest: Stretch,
        asked: Asked,
        running: Running,
        goal: float,
        doing: Callable[[], str],
    ) -> None:
        self._policy, self._busiest = policy, busiest
        self._asked, self._running, self._goal = asked, running, goal
        self._doing = doing
        self._num_run = 0
        self._placed: list[list[int]] = []
        self._order = list(range(asked.nights))

    def keeps(self, rush: Rush, *, all_nights: bool = False) -> tuple[bool, Sequence[Figures]]:
        """Whether a rush keeps the goal in every hour, and the nights that were run to know it.

        Told to stop, it gives False and the whole nights from the first on: a long night must not
        be left out for having been long.

        Parameters
        ----------
        rush : Rush
            With the shifts of the rota.
        all_nights : bool
            Run all nights whatever comes out, as for the first rota.
        """
        found: dict[int, Figures] = {}
        order = list(self._order)
        runs_all = all_nights or not self._placed
        while order and not self._running.should_stop():
            wave = order if runs_all else order[: self._running.runner.workers]
            order = order[len(wave) :]
            found |= self._run(rush, wave)
            if not runs_all and self._is_lost(found):
                return False, _in_order(found)
        if len(found) < self._asked.nights:
            missing = next(night for night in range(self._asked.nights) if night not in found)
            return False, _in_order({night: found[night] for night in range(missing)})
        nights = _in_order(found)
        quarters = rush.scenario.num_quarters
        if not self._placed:
            self._placed = [[rounds for _, rounds in hours(one, quarters)] for one in nights]
        shares = by_hour(nights, quarters)
        is_kept = all(share is None or share >= self._goal for share in shares)
        if is_kept:
            self._order = self._hardest_first(found, shares, quarters)
        return is_kept, nights

    def _run(self, rush: Rush, wave: Sequence[int]) -> dict[int, Figures]:
        jobs = [
            NightJob(
                rush=rush,
                policy=self._policy,
                seed=night_seed(self._asked.seed, night),
                busiest=self._busiest,
            )
            for night in wave
        ]
        found = {}
        running = self._running
        for position, figures in running.runner.run(night_figures, jobs, running.should_stop):
            found[wave[position]] = figures
            self._num_run += 1
            # How many rotas there are to try is not known before.
            running.on_progress(Progress(done=self._num_run, of=None, doing=self._doing()))
        return found

    def _is_lost(self, found: Mapping[int, Figures]) -> bool:
        """Whether an hour falls short of the goal however the other nights turn out."""
        had = [hours(night, HOUR * len(self._placed[0])) for night in found.values()]
        to_come = [rows for night, rows in enumerate(self._placed) if night not in found]
        for hour in range(len(self._placed[0])):
            kept = sum(rows[hour][0] for rows in had)
            rounds = sum(rows[hour][1] for rows in had)
            rest = sum(rows[hour] for rows in to_come)
            more, fewer = MORE_ROUNDS * rest, rest / MORE_ROUNDS
            if rounds + fewer >= FEW_ROUNDS and kept + more < self._goal * (rounds + more):
                return True
        return False

    def _hardest_first(
        self, found: Mapping[int, Figures], shares: Sequence[float | None], quarters: int
    ) -> list[int]:
        """Order nights by how far their share fell short in the hour that is nearest the goal."""
        known = [(share, hour) for hour, share in enumerate(shares) if share is not None]
        if not known:
            return self._order
        _, hour = min(known)
        of_night = {night: share_of(hours(one, quarters)[hour]) for night, one in found.items()}
        return sorted(of_night, key=lambda night: (of_night[night] or 0.0, night))


def by_hour(nights: Sequence[Figures], quarters: int) -> list[float | None]:
    """Give the share within promise of each hour, all nights together."""
    found: list[float | None] = []
    for rows in zip(*(hours(night, quarters) for night in nights), strict=True):
        kept, rounds = sum(row[0] for row in rows), sum(row[1] for row in rows)
        found.append(kept / rounds if rounds >= FEW_ROUNDS else None)
    return found


def hours(night: Figures, quarters: int) -> list[tuple[float, int]]:
    """Give, hour by hour, how many rounds were within their promise, and how many there were."""
    found = [(0.0, 0) for _ in range(0, quarters, HOUR)]
    for group in night.groups:
        if group.when is not When.QUARTER or group.channel or group.quarter is None:
            continue
        if group.quarter < quarters and group.times.within_promise is not None:
            kept, rounds = found[group.quarter // HOUR]
            more = group.times.rounds
            kept += group.times.within_promise * more
            found[group.quarter // HOUR] = (kept, rounds + more)
    return found


def share_of(kept: tuple[float, int]) -> float | None:
    """Give kept rounds over all; None where there were none."""
    return kept[0] / kept[1] if kept[1] else None


def _in_order(found: Mapping[int, Figures]) -> tuple[Figures, ...]:
    return tuple(found[night] for night in sorted(found))
