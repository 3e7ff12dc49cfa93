"""Why these drinks together: what the sharing saves, in seconds of hands."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from solver.menu import Method
from solver.snapshot import RailDrink, Snapshot
from solver.units import paced_ds, to_s
from solver.work import StepKind, setups, work_of

WHAT: dict[StepKind, str] = {
    StepKind.READ: "reading",
    StepKind.GLASS: "glasses",
    StepKind.MEASURE: "measuring",
    StepKind.ICE: "trips to ice",
    StepKind.STRAIN: "straining",
    StepKind.POUR: "pouring",
    StepKind.FLAME: "the flame",
    StepKind.RINSE: "rinsing",
    StepKind.HAND_OVER: "carrying",
}
"""What a kind of step is said as; agitating goes by the method, gathering by what is gathered."""

GATHERED = {
    "reach": "reaching",
    "glass": "glasses",
    "rim": "rims",
    "garnish": "garnishes",
    "hands": "washing hands",
}
"""What a set-up is, by the first word of its key."""

AGITATED = {
    Method.SHAKEN: "shaking",
    Method.SHAKEN_LONG: "shaking",
    Method.DRY_SHAKEN: "shaking",
    Method.STIRRED: "stirring",
    Method.THROWN: "throwing",
    Method.BLENDED: "blending",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of what sharing saves, such as ``reaching``; negative where it costs (s)."""

    what: str
    saved_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """What making drinks in one build saves against making each alone; hands at the owner's pace.

    Attributes
    ----------
    together_s, apart_s : float
        Hands of the build, and of its drinks one by one.
    parts : tuple of Part
        Where the difference comes from, the largest first. They add up to it but for rounding:
        the plan rounds every stretch up to tenths of a second.
    """

    together_s: float
    apart_s: float
    parts: tuple[Part, ...]

    @property
    def saved_s(self) -> float:
        """What is saved in all, in seconds of hands."""
        return round(self.apart_s - self.together_s, 1)


def together(snapshot: Snapshot, person: str, drinks: Sequence[RailDrink]) -> Together:
    """Say what a build saves against the same drinks made one by one by the same person.

    Parameters
    ----------
    snapshot : Snapshot
    person : str
        Who makes it.
    drinks : sequence of RailDrink
        In finishing order.
    """
    pace = snapshot.counter.by_person[person].pace_pct
    singles = [[drink] for drink in drinks]
    verbs = dict.fromkeys(AGITATED[d.mix.method] for d in drinks if d.mix.method in AGITATED)
    mixing = " and ".join(verbs)
    saved = Tally[str]()
    for build in singles:
        saved.update(_parts_ds(snapshot, person, build, mixing))
    saved.subtract(_parts_ds(snapshot, person, drinks, mixing))
    parts = [
        Part(what=what, saved_s=to_s(paced_ds(ds, pace) if ds > 0 else -paced_ds(-ds, pace)))
        for what, ds in saved.items()
        if ds
    ]
    return Together(
        together_s=_hands_s(snapshot, person, [drinks]),
        apart_s=_hands_s(snapshot, person, singles),
        parts=tuple(sorted(parts, key=lambda part: (-part.saved_s, part.what))),
    )


def _hands_s(snapshot: Snapshot, person: str, builds: Iterable[Sequence[RailDrink]]) -> float:
    """Give all hands of some builds at the person's pace, what finishes later included."""
    pace = snapshot.counter.by_person[person].pace_pct
    return to_s(
        sum(
            paced_ds(block.base_ds, pace)
            for drinks in builds
            for block in work_of(snapshot, person, drinks).blocks
        )
    )


def _parts_ds(
    snapshot: Snapshot, person: str, drinks: Sequence[RailDrink], mixing: str
) -> dict[str, int]:
    """Give the hands of one build by what they do, at pace 1.0."""
    found = Tally[str]()
    station = snapshot.counter.by_station[snapshot.counter.by_person[person].station]
    needed: dict[str, int] = {}
    for drink in drinks:
        needed |= setups(snapshot, station, drink.mix)
    for key, ds in needed.items():
        found[GATHERED[key.partition(":")[0]]] += ds
    for block in work_of(snapshot, person, drinks).blocks:
        for step in block.steps:
            if step.kind is StepKind.AGITATE:
                found[mixing] += step.ds
            elif step.kind is not StepKind.GATHER:
                found[WHAT.get(step.kind, step.kind.value)] += step.ds
    return dict(found)
