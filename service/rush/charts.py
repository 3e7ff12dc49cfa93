"""Pictures of a rush over the night: last drink by the clock, the distribution, what is open."""

from __future__ import annotations

from solver.rush.intervals import Interval
from solver.rush.results import PolicyResults, Results

from .drawing import COLOURS, DASHES, INK, PAPER, RULE, SOFT, clock_axis, drawing, minutes_axis
from .words import has_ends, policy_words

LINE = 2.6
BAND = 0.16


def by_the_clock(results: Results, promises_s: dict[str, int]) -> str:
    """Draw the time that nine of ten rounds keep, by the quarter in which they were placed.

    Parameters
    ----------
    results : Results
    promises_s : dict of str to int
        What the house promises, by its name.
    """
    clocks = [row.clock for row in results.policies[0].queue]
    said = "Time to the last drink that nine of ten rounds keep, by the quarter of an hour"
    with drawing(4.9, name="clock", said=said) as made:
        axes, ends, most_s = made.axes, [], 0.0
        for policy in results.policies:
            points = _by_quarter(policy, "p90_s")
            quarters = list(points)
            means = [points[q].mean for q in quarters]
            colour = COLOURS.get(policy.policy, INK)
            axes.fill_between(
                quarters,
                [_low(points[q]) for q in quarters],
                [_high(points[q]) for q in quarters],
                color=colour,
                alpha=BAND,
                linewidth=0,
            )
            axes.plot(
                quarters,
                means,
                color=colour,
                linewidth=LINE,
                linestyle=DASHES.get(policy.policy, "solid"),
            )
            most_s = max([most_s, *(_high(points[q]) for q in quarters)])
            top = max(quarters, key=lambda q: points[q].mean, default=0)
            ends.append((top, points[top].mean if points else 0.0, policy.policy, colour))
        for name, promise_s in promises_s.items():
            axes.axhline(promise_s, color=SOFT, linewidth=1.2, linestyle=(0, (1, 3)))
            axes.text(
                len(clocks) - 0.5, promise_s, name, color=SOFT, fontsize=11, va="bottom", ha="right"
            )
        for top, mean_s, policy_name, colour in ends:
            axes.annotate(
                policy_words(policy_name),
                (top, mean_s),
                xytext=(0, 9),
                textcoords="offset points",
                ha="center",
                color=colour,
                fontsize=14,
                fontweight="bold",
            )
        clock_axis(axes, clocks)
        minutes_axis(axes, most_s)
        axes.set_ylim(0, most_s * 1.06 or 60)
    return made.svg


def distribution(results: Results, promises_s: dict[str, int]) -> str:
    """Draw how many of 100 rounds were done within how many minutes."""
    said = "Of 100 rounds, how many have their last drink within how many minutes"
    with drawing(4.2, name="spread", said=said) as made:
        axes = made.axes
        longest_s = max((_last(policy) for policy in results.policies), default=60.0)
        for policy in results.policies:
            colour = COLOURS.get(policy.policy, INK)
            shares = range(len(policy.quantiles_s))
            axes.plot(
                policy.quantiles_s,
                shares,
                color=colour,
                linewidth=LINE,
                linestyle=DASHES.get(policy.policy, "solid"),
                label=policy_words(policy.policy),
            )
        for name, promise_s in promises_s.items():
            axes.axvline(promise_s, color=SOFT, linewidth=1.2, linestyle=(0, (1, 3)))
            axes.text(promise_s, 3, f" {name}", color=SOFT, fontsize=11, ha="left", rotation=90)
        axes.axhline(90, color=RULE, linewidth=2)
        # Nobody is done at once: no line comes up there.
        legend = axes.legend(
            loc="upper left",
            fontsize=14,
            labelcolor="linecolor",
            frameon=True,
            facecolor=PAPER,
            edgecolor=PAPER,
            framealpha=1.0,
        )
        for words in legend.get_texts():
            words.set_fontweight("bold")
        axes.set_xlim(0, longest_s)
        axes.set_ylim(0, 100)
        step = next(step for step in (60, 120, 300, 600, 3600) if longest_s / step <= 12)
        ticks = [step * n for n in range(int(longest_s // step) + 1)]
        axes.set_xticks(ticks, [f"{tick // 60} min" for tick in ticks])
        axes.set_yticks([0, 25, 50, 75, 90, 100])
        axes.set_ylabel("of 100 rounds")
    return made.svg


def open_drinks(results: Results) -> str:
    """Draw how many drinks are open, by the quarter of an hour: on average, and the most."""
    clocks = [row.clock for row in results.policies[0].queue]
    said = "Open drinks by the quarter of an hour"
    with drawing(3.6, name="open", said=said) as made:
        axes = made.axes
        width = 0.8 / len(results.policies)
        for n, policy in enumerate(results.policies):
            colour = COLOURS.get(policy.policy, INK)
            at = [row.quarter - 0.4 + width * (n + 0.5) for row in policy.queue]
            mean = [row.figures["drinks"].mean for row in policy.queue]
            most = [row.figures["most_drinks"].mean for row in policy.queue]
            axes.bar(at, most, width * 0.86, color=colour, alpha=0.22, linewidth=0)
            axes.bar(at, mean, width * 0.86, color=colour, linewidth=0)
            axes.plot([], [], color=colour, linewidth=8, label=policy_words(policy.policy))
        axes.legend(frameon=False, loc="upper left", fontsize=13, labelcolor=INK)
        clock_axis(axes, clocks)
        axes.set_ylabel("open drinks")
    return made.svg


def _by_quarter(policy: PolicyResults, figure: str) -> dict[int, Interval]:
    return {
        row.quarter: row.figures[figure]
        for row in policy.groups
        if row.when == "quarter"
        and row.quarter is not None
        and not row.channel
        and figure in row.figures
    }


def _low(interval: Interval) -> float:
    has_low = interval.low is not None and has_ends(interval)
    return max(0.0, interval.low or 0.0) if has_low else interval.mean


def _high(interval: Interval) -> float:
    has_high = interval.high is not None and has_ends(interval)
    return (interval.high or 0.0) if has_high else interval.mean


def _last(policy: PolicyResults) -> float:
    """Where the picture ends: 97 of 100 rounds; the very worst would press all else together."""
    return policy.quantiles_s[97] if policy.quantiles_s else 60.0
