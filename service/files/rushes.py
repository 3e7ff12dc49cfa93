"""A rush as a file: a scenario in YAML, the bar that it names, the past tickets that it replays."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from solver.errors import BadValue
from solver.rush.arrivals import QUARTER_S, Arrival
from solver.rush.scenario import House, Rush, Scenario

from .bars import Bar, Finding
from .documents import BadFile, Fault, faults_at, or_bad_file, text_of, validated
from .marked import Marked, read_yaml
from .on_disk import read_bar
from .replays import BadReplay, Tell, past_of
from .schemas import RUSH_FILE
from .translate import from_bad_value

OF_A_BAR = ("counter", "menu")
"""Names that a bar's file has and a scenario has not."""

NO_GUESTS = Finding(
    at=("guests",),
    expected="somebody to come: a quarter of drinks_an_hour above 0, or a crowd",
    came="nobody all night",
)


def read_rush(path: Path, *, tell: Tell = lambda _said: None) -> Rush:
    """Read a scenario with its bar and the tickets that it replays.

    Parameters
    ----------
    path : Path
        The scenario; the files that it names are seen from its folder.
    tell : callable
        Is told what can be simulated and may yet be meant otherwise: past tickets that are left
        out, a list of quarters that is not as long as the night.

    Raises
    ------
    BadFile
        With everything that is wrong in the first of the files that cannot be used.
    """
    file = str(path)
    text = text_of(path)
    marked = or_bad_file(file, lambda: read_yaml(text))
    _refuse_a_bar(file, marked)
    scenario = validated(RUSH_FILE, marked, file, instead=_with_examples)
    bar = read_bar(path.parent / scenario.bar)
    past: tuple[Arrival, ...] = ()
    try:
        if scenario.replay is not None:
            past = past_of(path.parent / scenario.replay.tickets, scenario, bar, tell)
        elif not any(scenario.guests.drinks_an_hour) and not scenario.guests.crowds:
            raise BadFile(faults_at([NO_GUESTS], marked, file))
        elif _says_quarters(marked):
            for said in quarters_words(scenario):
                tell(f"{file}: guests, drinks_an_hour: {said}")
        return Rush(house=house_of(bar), scenario=scenario, past=past)
    except BadReplay as error:
        raise BadFile(faults_at([error.finding], marked, file)) from None
    except BadValue as error:
        finding = from_bad_value(error, (), marked.data)
        raise BadFile(faults_at([finding], marked, file)) from None


def house_of(bar: Bar) -> House:
    """Give the house that a rush of this bar plays in."""
    return House(
        id=bar.id, name=bar.name, counter=bar.counter, menu=bar.menu, standards=bar.standards
    )


def quarters_words(scenario: Scenario) -> Iterator[str]:
    """Say where the quarters of `Guests.drinks_an_hour` are not those of the night."""
    rates = scenario.guests.drinks_an_hour
    needed = -int(-scenario.last_orders_s // QUARTER_S)
    count = "1 quarter" if len(rates) == 1 else f"{len(rates)} quarters"
    said = f"{count}; {scenario.doors} to {scenario.last_orders} has {needed}"
    if len(rates) < needed:
        yield f"{said}: nobody comes after {scenario.clock_at(len(rates) * QUARTER_S)}"
    elif any(rates[needed:]):
        yield f"{said}: what stands for later is left out, nobody orders after last orders"


def _says_quarters(marked: Marked) -> bool:
    guests = marked.data.get("guests") if isinstance(marked.data, dict) else None
    return isinstance(guests, dict) and "drinks_an_hour" in guests


def _refuse_a_bar(file: str, marked: Marked) -> None:
    """Say so at once where a bar's own file was given."""
    if isinstance(marked.data, dict) and all(name in marked.data for name in OF_A_BAR):
        said = (
            f"expected a scenario, such as sample_tickets/rushes/friday.yaml; came a bar (it has "
            f"{' and '.join(OF_A_BAR)}); name it in a scenario: bar: {Path(file).name}"
        )
        raise BadFile([Fault(file=file, line=None, place="", said=said)])


def _with_examples(data: object, _found: list[Finding]) -> list[Finding]:
    """Show how a replay is written to whoever wrote only the file's name."""
    replay = data.get("replay") if isinstance(data, dict) else None
    if not isinstance(replay, str):
        return []
    return [
        Finding(
            at=("replay",),
            expected="the file under its name",
            came=f"'{replay}'",
            hint=f"write replay: {{tickets: {replay}}}",
        )
    ]
