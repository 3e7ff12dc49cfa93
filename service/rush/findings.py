"""Everything that was found about a rush, as one document."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import TypeAdapter

from service.files.documents import document_text
from solver.rush.prep import PrepRow
from solver.rush.results import PolicyResults, Results
from solver.rush.rota import Rota
from solver.rush.scenario import Rush
from solver.rush.what_if import WhatIf


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """What a run of the command found.

    Attributes
    ----------
    made : str
        When, as a date.
    version : str
        Of this program.
    results : Results
    what_if : WhatIf or None
    rota : Rota or None
    prep : tuple of PrepRow or None
    sure : float
        How sure the prep list is asked to be.
    """

    made: str
    version: str
    results: Results
    what_if: WhatIf | None = None
    rota: Rota | None = None
    prep: tuple[PrepRow, ...] | None = None
    sure: float = 0.9

    @property
    def first(self) -> PolicyResults:
        """The policy that is told first."""
        return self.results.policies[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Findings with the bar they are about, for whoever puts them into words."""

    rush: Rush
    findings: Findings

    def place(self, station: str) -> str:
        """Say which place a station is."""
        found = self.rush.house.counter.by_station.get(station)
        return (found.name or found.id) if found else station.replace("_", " ")


_FINDINGS: TypeAdapter[Findings] = TypeAdapter(Findings)


def findings_text(findings: Findings) -> str:
    """Write findings as JSON."""
    return document_text(_FINDINGS, findings)
