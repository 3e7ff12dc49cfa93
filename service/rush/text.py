"""Findings as a manager would read them aloud, for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import replace

from solver.rush.intervals import Interval
from solver.rush.prep import PrepRow, nights_for, sure_key
from solver.rush.results import Compared, GroupRow, PolicyResults, Results, WaitRow
from solver.rush.rota import Rota
from solver.rush.what_if import WhatIf, WhatIfRow

from .findings import Told
from .verdict import verdict
from .words import (
    BARBACKS,
    CHANNELS,
    ENDED_EARLY,
    FEW_NIGHTS,
    FEW_WORDS,
    NOTHING_MIN,
    capital,
    has_ends,
    minutes,
    minutes_between,
    money,
    number,
    number_between,
    policy_words,
    resource_words,
    share,
    share_between,
    wait_words,
    worked_by,
)

WIDTH = 96
WAITS_SAID = 4
LEAST_SAID = 0.005
BUSY_SAID = 6


def words_of(told: Told) -> str:
    """Write everything that was found."""
    findings = told.findings
    lines = [*_head(told), ""]
    for policy in findings.results.policies:
        lines += [*_verdict(policy), ""]
    for compared in findings.results.compared:
        lines += [*_compared(findings.results, compared), ""]
    lines += [*_by_the_clock(findings.first), "", *_waits(told, findings.first), ""]
    lines += [*_busy(told, findings.first), ""]
    if findings.what_if is not None:
        lines += [*_what_if(findings.what_if), ""]
    if findings.rota is not None:
        lines += [*_rota(findings.rota), ""]
    if findings.prep is not None:
        lines += [*_prep(findings.prep, findings.sure), ""]
    return "\n".join([*lines, *_note(findings.results.note)])


def nights_words(count: int) -> str:
    """Say how many nights."""
    return "one night" if count == 1 else f"{count} nights"


def _head(told: Told) -> Iterator[str]:
    results = told.findings.results
    yield (
        f"{results.scenario}, {results.house}: {nights_words(results.nights)}, seed {results.seed}"
        f" ({results.ended})"
    )
    if results.nights < FEW_NIGHTS:
        yield FEW_WORDS


def _note(note: str) -> list[str]:
    return textwrap.wrap(f"An interval, in brackets, {note}.", WIDTH)


def _verdict(policy: PolicyResults) -> Iterator[str]:
    """Say how the night goes under one policy."""
    whole = policy.whole
    yield f"{capital(policy_words(policy.policy))}:"
    if "p90_s" not in whole:
        yield "  no round was finished."
        return
    yield f"  nine of ten rounds are done within {minutes_between(whole['p90_s'])} minutes,"
    yield f"  half of them within {minutes(whole['p50_s'].mean)};"
    if "busiest_p90_s" in whole:
        yield f"  in the busiest hour nine of ten within {minutes_between(whole['busiest_p90_s'])};"
    yield f"  {share_between(whole['within_promise'])} are done as promised{_channels(policy)};"
    yield (
        f"  {_a_night(whole['given_up'], 'round is given up', 'rounds are given up')}, "
        f"{_a_night(whole['sat_too_long'], 'drink sits', 'drinks sit')} too long, "
        f"{_a_night(whole['often_overtaken'], 'round is', 'rounds are')} overtaken three times "
        "or more."
    )
    yield from textwrap.wrap(verdict(policy), WIDTH, initial_indent="  ", subsequent_indent="  ")
    if policy.broken:
        yield f"  A fault of ours, tell us if it stays: {'; '.join(policy.broken)}."


def _channels(policy: PolicyResults) -> str:
    rows = {
        row.channel: row.figures["within_promise"].mean
        for row in policy.groups
        if row.when == "night" and row.channel and "within_promise" in row.figures
    }
    if len(rows) < 2:
        return ""
    return ": " + ", ".join(f"{CHANNELS[name]} {share(kept)}" for name, kept in rows.items())


def _a_night(interval: Interval, one: str, many: str) -> str:
    count = f"{interval.mean:.0f}" if interval.nights == 1 else number(interval.mean)
    if not interval.mean:
        return f"no {one}"
    return f"{count} {one if float(count) == 1 else many}"


def _compared(results: Results, compared: Compared) -> Iterator[str]:
    ours, theirs = policy_words(compared.ours), policy_words(compared.theirs)
    yield f"On the same nights, {ours} against {theirs}:"
    rows = (("p90_s", "nine of ten rounds"), ("busiest_p90_s", "in the busiest hour"))
    for name, said in rows:
        if name in compared.ratio and name in compared.difference:
            yield f"  {said}: {sooner_words(results, compared, name)}"
    if kept := compared.difference.get("within_promise"):
        points = Interval(
            mean=100 * kept.mean,
            low=None if kept.low is None else 100 * kept.low,
            high=None if kept.high is None else 100 * kept.high,
            nights=kept.nights,
        )
        yield f"  of 100 rounds, {number_between(points)} more are done as promised"


def sooner_words(results: Results, compared: Compared, name: str) -> str:
    """Say of a time how much sooner or later it is, so that it adds up with the two beside it."""
    difference, mean_s = compared.difference[name], compared.difference[name].mean
    whole = {policy.policy: policy.whole for policy in results.policies}
    ours, theirs = whole[compared.ours].get(name), whole[compared.theirs].get(name)
    if ours is not None and theirs is not None:
        shown_s = round(ours.mean) - round(theirs.mean)
        # Only rounding: where nights without the figure are left out, it is more.
        mean_s = shown_s if abs(shown_s - mean_s) <= 1 else mean_s
    return less_words(replace(difference, mean=mean_s), compared.ratio[name])


def less_words(difference: Interval, ratio: Interval) -> str:
    """Say how much sooner or later: ``2:35 sooner (2:10 to 3:00), 22% (19 to 25) less``."""
    is_less = difference.mean <= 0
    how, than = ("sooner", "less") if is_less else ("later", "more")
    pct = abs(100 * (ratio.mean - 1))
    if difference.low is None or difference.high is None or not has_ends(difference):
        return f"{minutes(abs(difference.mean))} {how}, {pct:.0f}% {than}"
    sign = -1 if is_less else 1
    low, high = sorted((sign * difference.low, sign * difference.high))
    ends = [100 * sign * (end - 1) for end in (ratio.low, ratio.high) if end is not None]
    return (
        f"{minutes(abs(difference.mean))} ({minutes(low)} to {minutes(high)}) {how}, "
        f"{pct:.0f}% ({min(ends):.0f} to {max(ends):.0f}) {than}"
    )


def _by_the_clock(policy: PolicyResults) -> Iterator[str]:
    yield f"By the clock, worked {worked_by(policy.policy)}:"
    kept = policy.whole.get("within_promise")
    ends = "(95% interval)" if kept is not None and has_ends(kept) else ""
    most = f"9 of 10 {ends}"
    yield f"         rounds   half   {most:<26} as promised   open drinks (most)"
    queue = {row.quarter: row.figures for row in policy.queue}
    for row in policy.groups:
        if row.when == "quarter" and not row.channel and row.figures["rounds"].mean > 0:
            yield f"  {row.clock}  {_quarter(row, queue[row.quarter or 0])}"


def _quarter(row: GroupRow, queue: Mapping[str, Interval]) -> str:
    figures = row.figures
    half = minutes(figures["p50_s"].mean) if "p50_s" in figures else "–"
    most = minutes_between(figures["p90_s"]) if "p90_s" in figures else "–"
    kept = share(figures["within_promise"].mean) if "within_promise" in figures else "–"
    open_drinks = f"{queue['drinks'].mean:.0f} ({queue['most_drinks'].mean:.0f})"
    return f"{figures['rounds'].mean:6.1f} {half:>6}   {most:<26} {kept:>6}   {open_drinks:>12}"


def _waits(told: Told, policy: PolicyResults) -> Iterator[str]:
    rows = [row for row in policy.waits if row.share is not None and row.share.mean >= LEAST_SAID]
    if not rows:
        yield "Nothing was waited for."
        return
    yield f"What drinks wait for most, worked {worked_by(policy.policy)}:"
    for row in rows[:WAITS_SAID]:
        yield f"  {_wait(told, row)}"


def _wait(told: Told, row: WaitRow) -> str:
    shares = share_between(row.share) if row.share is not None else ""
    return f"{shares:<15} {wait_words(told, row)}"


def _busy(told: Told, policy: PolicyResults) -> Iterator[str]:
    yield f"What is busiest, worked {worked_by(policy.policy)} (the night; its busiest quarter):"
    rows = [(row.busy, row) for row in policy.uses if row.busy is not None]
    rows.sort(key=lambda pair: -pair[0].mean)
    for busy, row in rows[:BUSY_SAID]:
        peak = max((one for one in row.by_quarter if one is not None), default=0.0)
        yield f"  {share_between(busy):<15} {share(peak):>5}  {resource_words(told, row.name)}"


def _what_if(found: WhatIf) -> Iterator[str]:
    yield (
        f"What if, worked {worked_by(found.policy)}: minutes saved a guest, who waits "
        f"{number_between(found.guest_min)} as it is ({nights_words(found.nights)}):"
    )
    for row in found.rows:
        saved = _signed(row.saved_min)
        cost = "" if row.cost is None else f"; {money(found.money, row.cost)} a night"
        clear = "" if row.is_clear else f"; {unclear_words(row)}"
        yield from textwrap.wrap(
            f"{saved:<22} {row.words}{cost}{clear}",
            WIDTH,
            initial_indent="  ",
            subsequent_indent=" " * 26,
        )
    if found.broken:
        yield f"  A fault of ours, tell us if it stays: {'; '.join(found.broken)}."
    yield from textwrap.wrap(
        f"Each interval {found.note}.", WIDTH, initial_indent="  ", subsequent_indent="  "
    )


def unclear_words(row: WhatIfRow) -> str:
    """Say of a change whose interval holds 0 what that means."""
    ends = [abs(end) for end in (row.saved_min.low, row.saved_min.high) if end is not None]
    is_nothing = bool(ends) and max(ends) < NOTHING_MIN
    return "makes no difference" if is_nothing else "may be chance"


def _signed(interval: Interval) -> str:
    if interval.low is None or interval.high is None or not has_ends(interval):
        return f"{interval.mean:+.2f}"
    return f"{interval.mean:+.2f} ({interval.low:+.2f} to {interval.high:+.2f})"


def _rota(rota: Rota) -> Iterator[str]:
    kept = (
        f"keeps {share(rota.goal)} as promised in every hour"
        if rota.is_found
        else f"even so, {share(rota.goal)} as promised is not kept in every hour"
    )
    yield (
        f"The rota, worked {worked_by(rota.policy)}: {rota.hours:g} hours of hands instead of "
        f"{rota.hours_before:g}; {kept}:"
    )
    for shift in rota.shifts:
        yield f"  {shift.since} to {shift.until}  {shift.who} ({shift.hours:g} h)"
    yield f"  {'from':<7}bartenders  barbacks"
    before: tuple[int, int] | None = None
    for clock, hands in zip(
        rota.clocks, zip(rota.bartenders, rota.barbacks, strict=True), strict=True
    ):
        if hands != before:
            yield f"  {clock:<7}{hands[0]:>10}{hands[1]:>10}"
        before = hands
    yield f"  {BARBACKS}"
    if not rota.fresh_nights:
        yield f"  {ENDED_EARLY}"
    else:
        yield f"  Held against {nights_words(rota.fresh_nights)} that the search had not seen:"
    for hour in rota.by_hour:
        if hour.within_promise is not None:
            short = "" if hour.is_kept else f"  below {share(rota.goal)}"
            yield f"  {hour.clock}  {share_between(hour.within_promise)}{short}"
    yield f"  {rota.looked_at} rotas were tried, each on {nights_words(rota.nights)} or fewer."


def _prep(rows: tuple[PrepRow, ...], sure: float) -> Iterator[str]:
    if all(row.by_sure.get(sure_key(sure)) is None for row in rows):
        yield (
            f"What to have ready: to be {sure_key(sure)}% sure takes "
            f"{nights_words(nights_for(sure))} or more (--nights), or be less sure (--prep 0.5)."
        )
        return
    yield f"To be {sure_key(sure)}% sure, have ready (in brackets what a night uses on average):"
    part = ""
    for row in rows:
        if row.part != part:
            part = row.part
            yield f"  {part}"
        amount = row.by_sure.get(sure_key(sure))
        said = prep_amount(amount)
        stock = "" if row.stock is None else f"; the house has {row.stock:.0f}"
        yield f"    {said:>8} {row.unit:<8} {row.name} ({prep_amount(row.average)}{stock})"
    if any(row.by_sure.get(sure_key(sure)) is None for row in rows):
        yield f"  –: to be so sure takes {nights_words(nights_for(sure))} or more (--nights)."


def prep_amount(value: float | None) -> str:
    """Write an amount of the prep list; a dash where too few nights were run to say."""
    if value is None:
        return "–"
    return f"{value:.1f}" if value < 10 else f"{value:.0f}"
