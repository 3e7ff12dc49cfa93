"""Steps as they are said aloud, one short line each, in the order the hands do them."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from solver.work import Step, StepKind

VERBS: dict[StepKind, str] = {
    StepKind.GATHER: "gather",
    StepKind.GLASS: "glasses:",
    StepKind.CHILL: "chill",
    StepKind.RIM: "rim",
    StepKind.COAT: "coat",
    StepKind.MEASURE: "measure",
    StepKind.MUDDLE: "muddle",
    StepKind.ICE: "fetch",
    StepKind.AGITATE: "mix",
    StepKind.STRAIN: "finish",
    StepKind.TOP: "top",
    StepKind.GARNISH: "garnish",
    StepKind.POUR: "",
    StepKind.FLAME: "light and throw",
    StepKind.RINSE: "rinse after",
    StepKind.HAND_OVER: "carry",
}
"""The verb of each kind of step; what it is about follows."""

UNSAID = (StepKind.READ,)
"""Steps that nobody is told to do."""


def spoken(steps: Iterable[Step]) -> tuple[str, ...]:
    """Say the steps of a stretch, the same thing in a row once with its count."""
    lines = [f"{VERBS[step.kind]} {step.what}".strip() for step in steps if step.kind not in UNSAID]
    said = []
    for line, group in groupby(line for line in lines if line):
        count = len(list(group))
        said.append(f"{line} ({count} times)" if count > 1 else line)
    return tuple(said)
