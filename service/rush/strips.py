"""Pictures of rows: how busy things are, what is waited for, what would help, who is there."""

from __future__ import annotations

import textwrap

from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap
from matplotlib.ticker import FuncFormatter, MaxNLocator

from solver.rush.intervals import Interval
from solver.rush.results import PolicyResults
from solver.rush.rota import Rota
from solver.rush.what_if import WhatIf

from .drawing import ACCENT, INK, PAPER, RULE, SOFT, clock_axis, drawing
from .findings import Told
from .words import NOTHING_MIN, has_ends, money, resource_words, signed, wait_words

ROWS = 14
WAITS = 6
WRAP, LABELS = 36, 4.35
HEAT = LinearSegmentedColormap.from_list("busy", ["#f1ece2", "#9cc3dc", "#0072b2", "#00304d"])


def busy_strip(told: Told, policy: PolicyResults) -> str:
    """Draw how busy every resource is by the quarter of an hour, the busiest first."""
    clocks = [row.clock for row in policy.queue]
    rows = sorted(
        (row for row in policy.uses if row.busy is not None),
        key=lambda row: -max((one for one in row.by_quarter if one is not None), default=0.0),
    )[:ROWS]
    said = "How busy hands, vessels, wells and machines are, by the quarter of an hour"
    with drawing(1.0 + 0.38 * len(rows), name="busy", said=said, left=LABELS) as made:
        axes = made.axes
        axes.grid(visible=False)
        for n, row in enumerate(rows):
            for quarter, busy in enumerate(row.by_quarter):
                share = busy or 0.0
                axes.barh(n, 0.94, 0.86, left=quarter - 0.47, color=HEAT(share), linewidth=0)
                if share >= 0.5:
                    axes.text(
                        quarter,
                        n,
                        f"{100 * share:.0f}",
                        ha="center",
                        va="center",
                        fontsize=10.5,
                        color=PAPER,
                    )
        axes.set_yticks(range(len(rows)), [resource_words(told, row.name) for row in rows])
        axes.tick_params(axis="y", labelcolor=INK)
        axes.set_ylim(len(rows) - 0.4, -0.6)
        clock_axis(axes, clocks)
        axes.spines["bottom"].set_visible(False)
    return made.svg


def wait_bars(told: Told, policy: PolicyResults) -> str:
    """Draw what drinks wait for, by its share of the waiting seconds."""
    found = [(row.share, row) for row in policy.waits if row.share is not None]
    rows = [(share, row) for share, row in found if share.mean >= 0.005][:WAITS]
    said = "What drinks wait for, by the share of waiting seconds"
    with drawing(0.6 + 0.55 * max(1, len(rows)), name="waits", said=said, left=LABELS) as made:
        axes = made.axes
        axes.grid(visible=False)
        for n, (share, _) in enumerate(rows):
            axes.barh(n, share.mean, 0.62, color=ACCENT if n == 0 else "#9cb7c6", linewidth=0)
            _whisker(made.axes, share, n, INK)
            end = share.high if share.high is not None and has_ends(share) else share.mean
            axes.text(
                end + 0.015, n, f"{100 * share.mean:.0f}%", va="center", fontsize=15, color=INK
            )
        axes.set_yticks(range(len(rows)), [_wrapped(wait_words(told, row)) for _, row in rows])
        axes.tick_params(axis="y", labelcolor=INK)
        axes.set_ylim(len(rows) - 0.5, -0.5)
        axes.set_xlim(0, 1.08)
        axes.set_xticks([])
        axes.spines["bottom"].set_visible(False)
    return made.svg


def what_if_bars(found: WhatIf) -> str:
    """Draw the minutes that each change saves a guest, as intervals."""
    said = "Minutes that each change saves a guest, with its interval"
    rows = found.rows
    height = 0.7 + 0.62 * max(1, len(rows))
    with drawing(height, name="whatif", said=said, left=LABELS, right=2.6) as made:
        axes = made.axes
        axes.grid(axis="x", color=RULE)
        axes.grid(visible=False, axis="y")
        axes.axvline(0, color=INK, linewidth=1.2)
        for n, row in enumerate(rows):
            helps = row.is_clear and abs(row.saved_min.mean) >= NOTHING_MIN
            colour = ACCENT if helps else SOFT
            saved = row.saved_min
            _whisker(axes, saved, n, colour, width=5.0)
            axes.plot([saved.mean], [n], "o", color=colour, markersize=10)
            cost = "" if not row.cost else f", {money(found.money, row.cost)} a night"
            much = "hardly any" if row.is_clear and not helps else saved_words(saved.mean)
            axes.text(
                1.02,
                n,
                f"{much}{cost}",
                transform=axes.get_yaxis_transform(),
                va="center",
                fontsize=13,
                color=colour,
                fontweight="bold" if helps else "normal",
            )
        axes.set_yticks(range(len(rows)), [_wrapped(row.words) for row in rows])
        axes.tick_params(axis="y", labelcolor=INK)
        axes.set_ylim(len(rows) - 0.5, -0.5)
        axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _at: signed(f"{value:g}")))
        axes.xaxis.set_major_locator(MaxNLocator(5))
    return made.svg


def saved_words(mean_min: float) -> str:
    """Say how many minutes: ``+1.3 min``, ``−0.2 min``; nought has no sign."""
    tenths = round(mean_min, 1)
    return signed(f"{tenths:+.1f} min") if tenths else "0.0 min"


def rota_steps(rota: Rota) -> str:
    """Draw how many bartenders and barbacks are on the floor."""
    said = "Bartenders and barbacks on the floor, by the quarter of an hour"
    with drawing(3.2, name="rota", said=said) as made:
        axes = made.axes
        at = [n - 0.5 for n in range(len(rota.clocks) + 1)]
        for counts, colour, name in (
            (rota.bartenders, ACCENT, "bartenders"),
            (rota.barbacks, SOFT, "barbacks"),
        ):
            axes.stairs(counts, at, fill=True, color=colour, alpha=0.18)
            axes.stairs(counts, at, color=colour, linewidth=3)
            top = max(range(len(counts)), key=lambda n: counts[n])
            axes.annotate(
                name,
                (top, counts[top]),
                xytext=(0, 6),
                textcoords="offset points",
                color=colour,
                fontsize=14,
                fontweight="bold",
            )
        clock_axis(axes, rota.clocks)
        axes.yaxis.set_major_locator(MaxNLocator(integer=True))
        axes.set_ylim(0, max((*rota.bartenders, *rota.barbacks), default=1) + 0.8)
    return made.svg


def _whisker(axes: Axes, interval: Interval, row: int, colour: str, width: float = 2.4) -> None:
    if interval.low is not None and interval.high is not None and has_ends(interval):
        axes.plot(
            [interval.low, interval.high],
            [row, row],
            color=colour,
            linewidth=width,
            solid_capstyle="butt",
        )


def _wrapped(text: str) -> str:
    rows = textwrap.wrap(text, WRAP)
    # Two rows of letters fit beside a bar; the table under the picture has the whole.
    return "\n".join(rows if len(rows) <= 2 else [rows[0], f"{rows[1].rstrip(',')} …"])
