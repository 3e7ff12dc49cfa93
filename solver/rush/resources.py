"""What was busy on a night, and what was waited for: the bottleneck."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .arrivals import QUARTER_S
from .night import Night, Quarters, ResourceKind, WaitsFor

NO_BOTTLENECK = (WaitsFor.RUNS_ALONE, WaitsFor.ROUND)
"""Not waits for something that one could have more of: they stand beside the shares."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """How busy one resource was; hands are told by station, never by person.

    Attributes
    ----------
    name : str
        ``"hands@well"``, ``"tin_set@well"``, ``"tap:lager"``, ``"till"``.
    kind : str
        ``"hands"`` or a `ResourceKind`.
    busy : float or None
        Share of what was there; None where it was never there, or there is no limit.
    by_quarter : tuple of (float or None)
    most : int
        The most held at once; 0 for hands.
    """

    name: str
    kind: str
    busy: float | None
    by_quarter: tuple[float | None, ...]
    most: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """How long drinks waited for one thing.

    Attributes
    ----------
    what, name : str
        As in `WaitLog`.
    waited_s : float
    share : float or None
        Of all seconds that drinks waited for something one could have more of; None for what is
        none of that, and where nothing waited.
    by_quarter_s : tuple of float
    """

    what: str
    name: str
    waited_s: float
    share: float | None
    by_quarter_s: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Well:
    """One ice well: how much went out of it, how often it was filled, how long it was empty."""

    name: str
    used_kg: float
    refills: int
    empty_s: float


LEAST_OPEN_S = 60.0
"""A quarter of an hour of which less than this was worked says nothing about how busy it was."""


def uses_of(night: Night) -> tuple[Use, ...]:
    """Give how busy hands, vessels, wells and machines were."""
    rows = list(_hands(night))
    open_by_quarter_s = [
        open_s if (open_s := min(QUARTER_S, night.ended_s - q * QUARTER_S)) >= LEAST_OPEN_S else 0.0
        for q in range(night.num_quarters)
    ]
    for one in night.uses:
        if one.kind is ResourceKind.STATION:
            continue  # The hands at it are told above, with their shifts.
        there = [one.capacity * open_s for open_s in open_by_quarter_s]
        rows.append(
            Use(
                name=one.name,
                kind=one.kind.value,
                busy=_share(sum(one.held_s), sum(there)),
                by_quarter=_shares(one.held_s, there),
                most=one.most_held,
            )
        )
    return tuple(rows)


def waits_of(night: Night) -> tuple[Wait, ...]:
    """Give what was waited for, the longest first."""
    total_s = sum(sum(one.waited_s) for one in night.waits if one.what not in NO_BOTTLENECK)
    # What settles or draws by itself is told as one, whichever drink it is.
    named: dict[tuple[WaitsFor, str], list[Quarters]] = {}
    for one in night.waits:
        name = "" if one.what in NO_BOTTLENECK else one.name
        named.setdefault((one.what, name), []).append(one.waited_s)
    rows = []
    for (what, name), waited in named.items():
        by_quarter_s = _summed(waited)
        is_bottleneck = what not in NO_BOTTLENECK
        rows.append(
            Wait(
                what=what.value,
                name=name,
                waited_s=sum(by_quarter_s),
                share=_share(sum(by_quarter_s), total_s) if is_bottleneck else None,
                by_quarter_s=by_quarter_s,
            )
        )
    return tuple(sorted(rows, key=lambda row: -row.waited_s))


def wells_of(night: Night) -> tuple[Well, ...]:
    """Give what became of each ice well."""
    return tuple(
        Well(
            name=one.name,
            used_kg=one.used_kg,
            refills=len(one.refilled_at_s),
            empty_s=one.empty_s,
        )
        for one in night.wells
    )


def _hands(night: Night) -> Iterable[Use]:
    """Hands by station: making, serving and running errands are busy, standing still is not."""
    for station in dict.fromkeys(one.station for one in night.people):
        people = [one for one in night.people if one.station == station]
        busy = _summed(row for one in people for row in (one.making_s, one.serving_s, one.errand_s))
        there = _summed(one.on_s for one in people)
        yield Use(
            name=f"hands@{station}",
            kind="hands",
            busy=_share(sum(busy), sum(there)),
            by_quarter=_shares(busy, there),
        )


def _summed(rows: Iterable[Quarters]) -> tuple[float, ...]:
    return tuple(sum(column) for column in zip(*rows, strict=True))


def _shares(parts: Iterable[float], wholes: Iterable[float]) -> tuple[float | None, ...]:
    return tuple(_share(part, whole) for part, whole in zip(parts, wholes, strict=True))


def _share(part: float, whole: float) -> float | None:
    return min(1.0, part / whole) if whole > 0 else None
