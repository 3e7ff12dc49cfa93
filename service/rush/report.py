"""The report of a rush: one HTML file with pictures, nothing from outside, large enough to share.

It is read across a table, so the first line says whether the night holds, the numbers are large,
and every picture has its sentence.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from solver.rush.prep import PrepRow, nights_for, sure_key
from solver.rush.results import Compared, PolicyResults, Results
from solver.rush.rota import Rota
from solver.rush.what_if import WhatIf

from .charts import by_the_clock, distribution, open_drinks
from .drawing import COLOURS, INK
from .findings import Told
from .page import STYLE, figure, section, table
from .strips import busy_strip, rota_steps, wait_bars, what_if_bars
from .text import nights_words, prep_amount, sooner_words
from .verdict import verdict
from .words import (
    BARBACKS,
    ENDED_EARLY,
    FEW_NIGHTS,
    FEW_WORDS,
    capital,
    minutes,
    minutes_between,
    minutes_ends,
    money,
    number,
    number_between,
    policy_words,
    share,
    share_between,
    signed,
    worked_by,
)

HONEST = (
    "Every figure is a mean over simulated nights; in brackets, and as bands, its 95% interval. It "
    "{note}. The guests, the pace of hands and what goes wrong are those of the scenario."
)


def report_html(told: Told) -> str:
    """Give the whole report as one page.

    Parameters
    ----------
    told : Told
    """
    findings = told.findings
    results = findings.results
    title = f"{results.scenario}, {results.house}"
    parts = [*_head(told), *_by_the_clock(told), *_bottleneck(told)]
    if findings.what_if is not None:
        parts += _what_if(findings.what_if)
    if findings.rota is not None:
        parts += _rota(findings.rota)
    if findings.prep is not None:
        parts += _prep(findings.prep, findings.sure)
    parts += _details(told)
    return (
        "<!doctype html>\n"
        '<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title><style>{STYLE}</style></head>\n<body><main>\n"
        + "\n".join(parts)
        + "\n</main></body></html>\n"
    )


def _head(told: Told) -> Iterator[str]:
    findings = told.findings
    results = findings.results
    yield "<header>"
    yield f"<p class=where>{escape(results.house)} · {escape(results.scenario)}</p>"
    yield f"<h1>{escape(verdict(findings.first))}</h1>"
    worked = worked_by(findings.first.policy)
    yield (
        f"<p class=lead>Worked {escape(worked)}: {nights_words(results.nights)} simulated, "
        f"doors at {results.doors}, last orders at {results.last_orders}.</p>"
    )
    if results.nights < FEW_NIGHTS:
        yield f"<p class=note>{escape(FEW_WORDS)}</p>"
    yield '<div class="tiles">' + "".join(_tile(policy) for policy in results.policies) + "</div>"
    yield from (_against(results, one) for one in results.compared)
    yield f"<p class=note>{escape(HONEST.format(note=results.note))}</p></header>"


def _tile(policy: PolicyResults) -> str:
    whole = policy.whole
    colour = COLOURS.get(policy.policy, INK)
    if "p90_s" not in whole:
        return ""
    kept, p90 = whole["within_promise"], whole["p90_s"]
    peak = whole.get("busiest_p90_s")
    busiest = "" if peak is None else f"<li>in the busiest hour within <b>{minutes(peak.mean)}</b>"
    return (
        f'<div class=tile style="--hue:{colour}"><h2>{escape(policy_words(policy.policy))}</h2>'
        f"<p class=big>{minutes(p90.mean)}</p>"
        f"<p>nine of ten rounds are done within this <span>{minutes_ends(p90)}</span></p>"
        f"<ul>{busiest}<li><b>{share(kept.mean)}</b> as promised "
        f"<span>{share_between(kept).partition(' ')[2]}</span>"
        f"<li><b>{number(whole['given_up'].mean)}</b> rounds given up"
        f"<li><b>{number(whole['sat_too_long'].mean)}</b> drinks sat too long</ul></div>"
    )


def _against(results: Results, one: Compared) -> str:
    if "p90_s" not in one.difference or "p90_s" not in one.ratio:
        return ""
    said = sooner_words(results, one, "p90_s")
    ours, theirs = capital(policy_words(one.ours)), policy_words(one.theirs)
    peak = ""
    if "busiest_p90_s" in one.difference and "busiest_p90_s" in one.ratio:
        at_peak = sooner_words(results, one, "busiest_p90_s")
        peak = f" In the busiest hour: {at_peak}."
    return (
        f"<p class=against><b>{escape(ours)} against {escape(theirs)}</b>, on the same nights: "
        f"nine of ten rounds are done {escape(said)}.{escape(peak)}</p>"
    )


def _promises(told: Told) -> dict[str, int]:
    rules = told.rush.house.counter.rules
    return {
        "beer and wine": rules.promise_quick_s,
        "bar top": rules.promise_bar_top_s,
        "floor": rules.promise_floor_s,
    }


def _by_the_clock(told: Told) -> Iterator[str]:
    results, promises = told.findings.results, _promises(told)
    yield section("Last drink, by the clock")
    yield figure(
        by_the_clock(results, promises),
        "From a round ordered in this quarter of an hour to its last drink: nine of ten rounds "
        "take no longer. The band is the interval over nights; dotted, what the house promises.",
    )
    yield figure(
        open_drinks(results),
        "Open drinks: full colour on average, pale the most at once.",
    )
    yield section("How it is spread")
    yield figure(
        distribution(results, promises),
        "Of 100 rounds of all nights together, how many have their last drink within so many "
        "minutes; the slowest three of 100 are beyond the edge. The time on top is each night's "
        "own, on average over nights, and may differ from this by some seconds.",
    )


def _bottleneck(told: Told) -> Iterator[str]:
    policy = told.findings.first
    yield section("What waits for what")
    yield figure(
        wait_bars(told, policy),
        f"Of all seconds that drinks wait for something, worked {worked_by(policy.policy)}; the "
        "line is the interval. The longest bar is the bottleneck.",
    )
    yield section("How busy")
    yield figure(
        busy_strip(told, policy),
        "In percent of what is there in each quarter of an hour; numbers from 50 on. Hands stand "
        "for a place, whoever works there.",
    )


def _what_if(found: WhatIf) -> Iterator[str]:
    yield section("What would help")
    yield figure(
        what_if_bars(found),
        f"Minutes that a guest waits less, of {number_between(found.guest_min)} as it is, worked "
        f"{worked_by(found.policy)}; {nights_words(found.nights)}, the same for every change. "
        "Grey crosses nought, and may be chance, or is hardly any.",
    )
    rows = [
        (
            row.words,
            signed(f"{row.saved_min.mean:+.2f}"),
            signed(f"{100 * row.within_promise.mean:+.1f}"),
            signed(f"{row.given_up.mean:+.1f}"),
            "" if row.cost is None else money(found.money, row.cost) if row.cost else "nothing",
        )
        for row in found.rows
    ]
    head = ("change", "minutes saved", "of 100 as promised", "rounds given up", "a night")
    yield table(head, rows)
    if found.broken:
        faults = escape("; ".join(found.broken))
        yield f"<p class=note>A fault of ours, tell us if it stays: {faults}.</p>"
    yield f"<p class=note>Each interval {escape(found.note)}.</p>"


def _rota(rota: Rota) -> Iterator[str]:
    yield section("The rota")
    kept = "It keeps" if rota.is_found else "Even so it does not keep"
    yield (
        f"<p class=lead>{rota.hours:g} hours of hands instead of {rota.hours_before:g}. {kept} "
        f"{share(rota.goal)} of the rounds as promised in every hour of the nights it was found "
        "on.</p>"
    )
    yield figure(rota_steps(rota), "Who is on the floor; breaks are in it.")
    yield table(
        ("shift", "from", "until", "hours"),
        [(row.who, row.since, row.until, f"{row.hours:g}") for row in rota.shifts],
    )
    yield f"<p class=note>{BARBACKS}</p>"
    if not rota.fresh_nights:
        yield f"<p class=note>{ENDED_EARLY}</p>"
        return
    hours = [
        (row.clock, share_between(row.within_promise), "" if row.is_kept else "too few")
        for row in rota.by_hour
        if row.within_promise is not None
    ]
    yield f"<h3>Held against {nights_words(rota.fresh_nights)} that the search had not seen</h3>"
    yield table(("hour from", "as promised", ""), hours)


def _prep(rows: Sequence[PrepRow], sure: float) -> Iterator[str]:
    yield section("Before doors")
    yield (
        f"<p class=lead>Have so much ready to be {sure_key(sure)}% sure that it lasts. The average "
        "would run out every second night.</p>"
    )
    keys = list(rows[0].by_sure) if rows else []
    for part in dict.fromkeys(row.part for row in rows):
        of_part = [row for row in rows if row.part == part]
        has_stock = any(row.stock is not None for row in of_part)
        cells = [
            (
                row.name,
                *(prep_amount(row.by_sure[key]) for key in keys),
                prep_amount(row.average),
                row.unit,
                *(["" if row.stock is None else f"{row.stock:.0f}"] if has_stock else []),
            )
            for row in of_part
        ]
        head = ("", *(f"{key}%" for key in keys), "average", "in")
        yield f"<h3>{escape(part)}</h3>"
        yield table(
            (*head, "the house has") if has_stock else head,
            cells,
            marked=1 + keys.index(sure_key(sure)),
            is_even=True,
        )
    if any(row.by_sure[sure_key(sure)] is None for row in rows):
        yield (
            f"<p class=note>–: to be {sure_key(sure)}% sure takes {nights_words(nights_for(sure))} "
            "or more.</p>"
        )


def _details(told: Told) -> Iterator[str]:
    findings = told.findings
    results = findings.results
    yield section("By the quarter of an hour")
    for policy in results.policies:
        cells = []
        queue = {row.quarter: row.figures for row in policy.queue}
        for row in policy.groups:
            if row.when != "quarter" or row.channel or row.quarter is None:
                continue
            figures = row.figures
            if figures["rounds"].mean <= 0:
                continue
            cells.append(
                (
                    row.clock,
                    f"{figures['rounds'].mean:.1f}",
                    minutes_between(figures["p50_s"]) if "p50_s" in figures else "–",
                    minutes_between(figures["p90_s"]) if "p90_s" in figures else "–",
                    share_between(figures["within_promise"]),
                    number(figures["given_up"].mean),
                    f"{queue[row.quarter]['drinks'].mean:.0f}",
                )
            )
        yield f"<h3>{escape(policy_words(policy.policy))}</h3>"
        yield table(
            ("from", "rounds", "half within", "9 of 10 within", "as promised", "given up", "open"),
            cells,
        )
    yield (
        f"<footer><p>Three Deep {escape(findings.version)}, {escape(findings.made)}; seed "
        f"{results.seed}, {nights_words(results.nights)} ({escape(results.ended)}). Busiest hour "
        f"from {results.busiest}.</p></footer>"
    )
