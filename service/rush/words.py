"""Figures and resources in the words of the bar."""

from __future__ import annotations

from collections.abc import Mapping

from solver.rush.intervals import Interval
from solver.rush.results import WaitRow

from .findings import Told

POLICIES: Mapping[str, str] = {
    "live": "the planner",
    "look-ahead": "look-ahead",
    "by the round": "by the round",
    "by the ticket": "by the ticket",
}
VESSELS = {
    "tin_set": "tin sets",
    "mixing_glass": "mixing glasses",
    "jar": "blender jars",
    "mugs": "heatproof mugs",
    "kit": "jiggers and strainers",
}
THINGS = {
    "blender": "the blender",
    "coffee_group": "coffee machine",
    "coffee_grinder": "coffee grinder",
    "settling_place": "places where stouts settle",
    "flame": "the flame",
    "till": "the till",
    "washer": "the washer",
    "pass": "room on the pass",
}
WHY = {
    "hands": "hands",
    "plan": "its turn: somebody was free, and the order said later",
    "ice": "ice",
    "stock": "what was out",
    "glass": "clean glasses",
    "bottle": "the one open bottle",
    "runs_alone": "what runs by itself",
    "round": "the rest of the round",
}
FEW_NIGHTS = 5
"""Of fewer nights an interval is so wide that it would only confuse; JSON and tables have it."""
BARBACKS = "A barback here fills wells and changes kegs; what else one does is not simulated."
ENDED_EARLY = "It was ended early: shifts may still be too long, and no fresh night was run."
FEW_WORDS = f"So few nights say little: from {FEW_NIGHTS} on, figures have intervals beside them."
NOTHING_MIN = 0.05
"""Fewer minutes than these are no difference, however sure they are."""
CHANNELS = {"": "all", "bar_top": "bar top", "floor": "floor"}


def policy_words(policy: str) -> str:
    """Say whose order it is."""
    return POLICIES.get(policy, policy)


def worked_by(policy: str) -> str:
    """Say by whose order a night was worked: ``by the planner``, ``by the ticket``."""
    words = policy_words(policy)
    return words if words.startswith("by ") else f"by {words}"


def money(sign: str, cost: float) -> str:
    """Write an amount of money: whole from ten on."""
    return f"{sign}{cost:.0f}" if cost >= 9.995 or not cost else f"{sign}{cost:.2f}"


def signed(text: str) -> str:
    """Write minus as it is set in print."""
    return text.replace("-", "−")


def capital(words: str) -> str:
    """Begin with a capital letter; the others stay as they are."""
    return words[:1].upper() + words[1:]


def minutes(seconds: float) -> str:
    """Write seconds as minutes: ``4:05``; a difference keeps its sign."""
    whole = round(seconds)
    sign = "−" if whole < 0 else ""
    return f"{sign}{abs(whole) // 60}:{abs(whole) % 60:02d}"


def has_ends(interval: Interval) -> bool:
    """Whether there are nights enough for its ends to say something."""
    return interval.low is not None and interval.nights >= FEW_NIGHTS


def minutes_between(interval: Interval) -> str:
    """Write a time with its interval: ``9:40 (9:10 to 10:10)``; no time is below 0."""
    return minutes(interval.mean) + minutes_ends(interval)


def minutes_ends(interval: Interval, least: float = 0.0) -> str:
    """Write the ends of a time's interval, with a space before them; empty where there are none."""
    if interval.low is None or interval.high is None or not has_ends(interval):
        return ""
    return f" ({minutes(max(least, interval.low))} to {minutes(interval.high)})"


def share(value: float) -> str:
    """Write a share: ``87%``."""
    return f"{100 * value:.0f}%"


def share_between(interval: Interval) -> str:
    """Write a share with its interval: ``87% (85 to 89)``; none goes beyond 0 or 100."""
    if interval.low is None or interval.high is None or not has_ends(interval):
        return share(interval.mean)
    low, high = max(0.0, interval.low), min(1.0, interval.high)
    return f"{share(interval.mean)} ({100 * low:.0f} to {100 * high:.0f})"


def number(value: float) -> str:
    """Write a count of things: one decimal below ten, none above."""
    return f"{value:.1f}" if abs(value) < 9.95 else f"{value:.0f}"


def number_between(interval: Interval) -> str:
    """Write a count with its interval: ``2.1 (1.4 to 2.8)``."""
    if interval.low is None or interval.high is None or not has_ends(interval):
        return number(interval.mean)
    return f"{number(interval.mean)} ({number(interval.low)} to {number(interval.high)})"


def resource_words(told: Told, name: str) -> str:
    """Say what a resource is: ``"tin_set@well"`` is ``tin sets (service well)``."""
    thing, _, place = name.partition("@")
    if place:
        what = "hands" if thing == "hands" else VESSELS.get(thing, _plain(thing))
        return f"{what} ({told.place(place)})"
    kind, _, which = name.partition(":")
    if kind == "tap":
        return f"the {_ingredient(told, which)} tap"
    if kind == "bottle":
        return f"the bottle of {_ingredient(told, which)}"
    if kind == "well":
        return f"the shared {which}-ice well"
    if "/" in name:
        place, _, ice = name.partition("/")
        return f"{ice} ice ({'shared' if place == 'shared' else told.place(place)})"
    return THINGS.get(name, _plain(name))


def wait_words(told: Told, row: WaitRow) -> str:
    """Say what drinks waited for."""
    if row.what == "hands":
        place = {"bar_top": "the bar top", "floor": "the floor"}.get(row.name)
        return f"hands for {place}" if place else f"hands ({told.place(row.name)})"
    if row.what in ("plan", "round", "runs_alone"):
        return WHY[row.what]
    if row.what == "glass" and (glass := told.rush.house.counter.by_glass.get(row.name)):
        return f"a clean {glass.name}"
    if row.what == "stock":
        return f"{_ingredient(told, row.name)}, which was out"
    if row.what == "bottle":
        return f"the one bottle of {_ingredient(told, row.name.partition(':')[2] or row.name)}"
    return resource_words(told, row.name) if row.name else WHY.get(row.what, _plain(row.what))


def _ingredient(told: Told, name: str) -> str:
    found = told.rush.house.menu.by_ingredient.get(name)
    return found.name if found else _plain(name)


def _plain(name: str) -> str:
    return name.replace("_", " ").replace("-", " ")
