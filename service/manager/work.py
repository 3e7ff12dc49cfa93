"""What the process of a rush does: the task becomes a rush, nights are run, results become JSON.

The first part compares the ways of working; where it was asked, single changes are ranked and a
rota is looked for after it. The parts share the time in fixed proportions: a ranking runs the
night once for each change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from pydantic import TypeAdapter

from service.rush.findings import Findings, Told
from service.rush.words import resource_words, wait_words
from solver.rush.prep import PrepRow, prep_list
from solver.rush.replications import Asked, InThisProcess, Progress, Running
from solver.rush.results import PolicyResults, Results
from solver.rush.rota import Rota, find_rota
from solver.rush.scenario import Policy, Rush
from solver.rush.study import study
from solver.rush.what_if import WhatIf, what_if

from .task import rush_of

ASKED: TypeAdapter[Asked] = TypeAdapter(Asked)
PROGRESS: TypeAdapter[Progress] = TypeAdapter(Progress)
RESULTS: TypeAdapter[Results] = TypeAdapter(Results)
WHAT_IF: TypeAdapter[WhatIf | None] = TypeAdapter(WhatIf | None)
ROTA: TypeAdapter[Rota | None] = TypeAdapter(Rota | None)
PREP: TypeAdapter[tuple[PrepRow, ...]] = TypeAdapter(tuple[PrepRow, ...])

STUDY_PARTS, EXTRA_PARTS = 1, 2
"""Parts of the time: comparing takes one, a ranking or a rota two."""

Tell = Callable[[dict[str, Any]], None]


def carry_out(
    task: dict[str, Any],
    *,
    clock: Callable[[], float],
    on_progress: Tell,
    should_stop: Callable[[], bool],
) -> dict[str, Any]:
    """Run a task and give its results as JSON has them.

    Beside those of the study stand ``what_if`` and ``rota`` (None where not asked or not one
    night was whole), ``prep``, ``words`` for the names in it, ``said`` and ``is_some``.
    """
    rush = rush_of(task)
    work = _Work(task, clock, on_progress, should_stop)
    policies = tuple(Policy(name) for name in task["policies"])
    running = work.running("ways of working")
    results = study(rush, policies, work.asked(STUDY_PARTS), running)
    if results is None:
        return {"is_some": False, "said": "not one night was whole"}
    found = {
        **RESULTS.dump_python(results, mode="json"),
        "what_if": None,
        "rota": None,
        "prep": PREP.dump_python(prep_list(rush.house, results.policies[0]), mode="json"),
        "words": words_of(rush, results),
        "is_some": True,
        "said": _ended(results),
    }
    if task.get("what_if") and not should_stop():
        by = Policy(task["what_if"])
        ranked = what_if(rush, by, work.asked(EXTRA_PARTS), work.running("what would help"))
        found["what_if"] = WHAT_IF.dump_python(ranked, mode="json")
    if task.get("rota") and not should_stop():
        by = Policy(task["rota"])
        asked = replace(work.asked(EXTRA_PARTS), within=None)
        rota = find_rota(rush, by, asked, work.running("the fewest hands"))
        found["rota"] = ROTA.dump_python(rota, mode="json")
    return found


@dataclass(slots=True)
class _Work:
    """What the parts share: the time that is left, and who is told."""

    task: dict[str, Any]
    clock: Callable[[], float]
    on_progress: Tell
    should_stop: Callable[[], bool]
    began_s: float = 0.0

    def __post_init__(self) -> None:
        self.began_s = self.clock()

    def asked(self, parts: int) -> Asked:
        """Give how long one part may run."""
        asked = ASKED.validate_python(self.task["asked"])
        extras = sum(bool(self.task.get(name)) for name in ("what_if", "rota"))
        if asked.time_s is None:
            return asked
        whole = STUDY_PARTS + EXTRA_PARTS * extras
        return replace(asked, time_s=asked.time_s * parts / whole)

    def running(self, part: str) -> Running:
        """Give who carries a part out."""

        def tell(progress: Progress) -> None:
            found = PROGRESS.dump_python(progress, mode="json")
            of = progress.of
            doing = progress.doing if of is None else f"night {min(progress.done + 1, of)} of {of}"
            said = f"{part}: {doing}"
            self.on_progress({**found, "part": part, "said": said})

        return Running(
            runner=InThisProcess(),
            clock=self.clock,
            on_progress=tell,
            should_stop=self.should_stop,
        )


def words_of(rush: Rush, results: Results) -> dict[str, str]:
    """Give the names in results in the words of the bar; a wait's name is ``what name``."""
    told = Told(rush=rush, findings=Findings(made="", version="", results=results))
    return dict(pair for policy in results.policies for pair in _words(told, policy))


def _words(told: Told, policy: PolicyResults) -> Iterator[tuple[str, str]]:
    for use in policy.uses:
        yield use.name, resource_words(told, use.name)
    for wait in policy.waits:
        yield f"{wait.what} {wait.name}", wait_words(told, wait)
    for well in policy.wells:
        yield well.name, resource_words(told, well.name)


def _ended(results: Results) -> str:
    nights = "1 night" if results.nights == 1 else f"{results.nights} nights"
    return f"{nights}; {results.ended}"
