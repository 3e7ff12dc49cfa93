"""Findings as tables: one CSV file each, one figure a line, ready for any spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from solver.rush.intervals import Interval
from solver.rush.prep import PrepRow, nights_for
from solver.rush.results import Results
from solver.rush.rota import Rota
from solver.rush.what_if import WhatIf

from .findings import Findings, Told
from .words import resource_words, wait_words

Cell = str | float | int | None
Table = tuple[Sequence[str], Iterable[Sequence[Cell]]]

DECIMALS = 3
ENDS = ("mean", "low", "high", "nights")


def write_tables(told: Told, folder: Path) -> tuple[Path, ...]:
    """Write every table into a folder, which is made where there is none.

    Parameters
    ----------
    told : Told
    folder : Path

    Returns
    -------
    tuple of Path
        The files, in the order of the findings.

    Raises
    ------
    OSError
        When the folder or a file cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, (head, rows) in tables_of(told).items():
        path = folder / f"{name}.csv"
        with path.open("w", encoding="utf-8", newline="") as out:
            writer = csv.writer(out)
            writer.writerow(head)
            writer.writerows([_cell(value) for value in row] for row in rows)
        written.append(path)
    return tuple(written)


def tables_of(told: Told) -> dict[str, Table]:
    """Give every table by its name; those of what was not asked for are left out."""
    findings = told.findings
    found = {
        "figures": _figures(findings.results),
        "queue": _queue(findings.results),
        "compared": _compared(findings.results),
        "resources": _resources(told),
        "waits": _waits(told),
        "used": _used(findings.results),
        "quantiles": _quantiles(findings.results),
    }
    return found | _asked(findings)


def _asked(findings: Findings) -> dict[str, Table]:
    found = {}
    if findings.what_if is not None:
        found["what_if"] = _what_if(findings.what_if)
    if findings.rota is not None:
        found["rota"] = _rota(findings.rota)
    if findings.prep is not None:
        found["prep"] = _prep(findings.prep)
    return found


def _ends(
    interval: Interval | None, *, least: float | None = 0.0, most: float | None = None
) -> tuple[Cell, ...]:
    """Give mean, ends and nights; `least` and `most` are what the figure itself cannot leave."""
    if interval is None:
        return (None,) * len(ENDS)
    low, high = interval.low, interval.high
    if low is not None and least is not None:
        low = max(least, low)
    if high is not None and most is not None:
        high = min(most, high)
    return interval.mean, low, high, interval.nights


def _named(
    figures: Mapping[str, Interval], *, least: float | None = 0.0
) -> Iterator[tuple[Cell, ...]]:
    for name, interval in figures.items():
        is_share = least is not None and name.endswith("within_promise")
        yield name, *_ends(interval, least=least, most=1.0 if is_share else None)


def _cell(value: Cell) -> Cell:
    """Give a number with no more digits than it has meaning; JSON has all of them."""
    return round(value, DECIMALS) if isinstance(value, float) else value


def _figures(results: Results) -> Table:
    rows: list[Sequence[Cell]] = []
    for policy in results.policies:
        whole = set[str]()
        for group in policy.groups:
            if group.when == "night" and not group.channel:
                whole = set(group.figures)
            where = (policy.policy, group.when, group.clock, group.channel)
            rows += [(*where, *cells) for cells in _named(group.figures)]
        rest = {
            name: interval
            for name, interval in policy.whole.items()
            if name not in whole and not name.startswith("busiest_")
        }
        rows += [(policy.policy, "night", "", "", *cells) for cells in _named(rest)]
    return ("policy", "when", "clock", "channel", "figure", *ENDS), rows


def _queue(results: Results) -> Table:
    rows = [
        (policy.policy, quarter.clock, *cells)
        for policy in results.policies
        for quarter in policy.queue
        for cells in _named(quarter.figures)
    ]
    return ("policy", "clock", "figure", *ENDS), rows


def _compared(results: Results) -> Table:
    rows = [
        (one.ours, one.theirs, kind, *cells)
        for one in results.compared
        for kind, figures in (("difference", one.difference), ("ratio", one.ratio))
        for cells in _named(figures, least=None)
    ]
    return ("ours", "theirs", "kind", "figure", *ENDS), rows


def _resources(told: Told) -> Table:
    results = told.findings.results
    clocks = [row.clock for row in results.policies[0].queue]
    rows = [
        (
            policy.policy,
            row.name,
            resource_words(told, row.name),
            *_ends(row.busy),
            *row.by_quarter,
        )
        for policy in results.policies
        for row in policy.uses
    ]
    return ("policy", "resource", "words", *ENDS, *clocks), rows


def _waits(told: Told) -> Table:
    rows = [
        (
            policy.policy,
            row.what,
            row.name,
            wait_words(told, row),
            row.waited_s.mean,
            *_ends(row.share),
        )
        for policy in told.findings.results.policies
        for row in policy.waits
    ]
    shares = [f"share_{end}" for end in ENDS[:3]]
    return ("policy", "what", "name", "words", "waited_s", *shares, "nights"), rows


def _used(results: Results) -> Table:
    rows = [
        (policy.policy, row.name, row.unit, *_ends(row.amount), row.short_s.mean)
        for policy in results.policies
        for row in policy.used
    ]
    return ("policy", "name", "unit", *ENDS, "short_s"), rows


def _quantiles(results: Results) -> Table:
    rows = [
        (policy.policy, pct, time_s)
        for policy in results.policies
        for pct, time_s in enumerate(policy.quantiles_s)
    ]
    return ("policy", "of_100_rounds", "time_to_last_drink_s"), rows


def _what_if(found: WhatIf) -> Table:
    rows = [
        (
            row.id,
            row.words,
            *_ends(row.saved_min, least=None),
            row.within_promise.mean,
            row.given_up.mean,
            row.cost,
        )
        for row in found.rows
    ]
    saved = [f"saved_min_{end}" for end in ENDS[:3]]
    head = ("change", "words", *saved, "nights", "within_promise_added", "given_up_added", "cost")
    return head, rows


def _rota(rota: Rota) -> Table:
    hours = {row.clock: row for row in rota.by_hour}
    rows = [
        (
            clock,
            bartenders,
            barbacks,
            *_ends(hours[clock].within_promise if clock in hours else None),
        )
        for clock, bartenders, barbacks in zip(
            rota.clocks, rota.bartenders, rota.barbacks, strict=True
        )
    ]
    return (
        "clock",
        "bartenders",
        "barbacks",
        *(f"hour_within_{e}" for e in ENDS[:3]),
        "nights",
    ), rows


def _prep(rows: Sequence[PrepRow]) -> Table:
    levels = list(rows[0].by_sure) if rows else []
    cells = [
        (
            *(row.part, row.name, row.unit, row.average),
            *(row.by_sure[level] for level in levels),
            row.stock,
            _why_empty(row),
        )
        for row in rows
    ]
    sure = [f"sure_{level}" for level in levels]
    return ("part", "name", "unit", "average", *sure, "stock", "why_empty"), cells


def _why_empty(row: PrepRow) -> str:
    """Say how many nights it takes to fill what is empty."""
    return "; ".join(
        f"sure_{level} takes {nights_for(float(level) / 100)} nights or more"
        for level, amount in row.by_sure.items()
        if amount is None
    )
