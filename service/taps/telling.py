"""A bar is told anew while drinks are open: what they still need must stay there."""

from __future__ import annotations

from service.errors import Conflict
from service.files.bars import Bar
from service.night.flames import station_of
from service.night.marks import mix_now
from service.night.records import DrinkRecord, DrinkState
from service.night.state import BarState, Draft
from solver.counter import Counter
from solver.menu import Menu, Mix, Pouring

from .said import names_of


def tell(draft: Draft, bar: Bar) -> Bar:
    """Set what a bar is; refused where it would take away what an open drink needs.

    A recipe may go while its drinks wait: they are set aside, and somebody voids them.
    """
    before = draft.state
    draft.bar = bar
    _refuse_in_hand(before, draft.state)
    _refuse_made(draft.state)
    _refuse_open(before, bar.counter)
    return bar


def _refuse_in_hand(before: BarState, after: BarState) -> None:
    counter = after.bar.counter
    for build in before.in_hand():
        drinks = [before.drinks[name] for name in build.drinks]
        people = {build.person, *(stretch.person for stretch in build.stretches)}
        stations = {before.bar.counter.by_person[person].station for person in people}
        mixes = [mix_now(after, drink) for drink in drinks]
        if people - set(counter.by_person) or stations - set(counter.by_station) or None in mixes:
            raise Conflict(
                f"expected {names_of(drinks)} to stay possible: a build of it is in hand at "
                f"{station_of(before, build.person)}; finish it or put it back first"
            )


def _refuse_made(after: BarState) -> None:
    """Refuse a menu without a drink that is made while the rest of its round is not."""
    for ticket in after.open_tickets():
        made = [d for d in after.drinks_of(ticket) if d.made_at and d.state is not DrinkState.VOID]
        lost = [drink for drink in made if mix_now(after, drink) is None]
        if lost:
            raise Conflict(
                f"expected {names_of(lost)} to stay on the menu: it is made and the rest of round "
                f"{ticket.number} is not; finish the round or void it first"
            )


def _refuse_open(before: BarState, counter: Counter) -> None:
    """Refuse a counter without a glass or a tap that an open drink uses."""
    held = {name for build in before.in_hand() for name in build.drinks}
    for drink in (drink for ticket in before.live_tickets() for drink in before.drinks_of(ticket)):
        mix = mix_now(before, drink) if drink.is_open or drink.id in held else None
        for lost in _lost(before.bar.menu, before.bar.counter, counter, mix) if mix else ():
            raise Conflict(
                f"expected {lost} to stay: {_where(before, drink)} uses it; finish it or void it "
                "first"
            )


def _lost(menu: Menu, before: Counter, after: Counter, mix: Mix) -> list[str]:
    taps = [
        name
        for name in mix.ingredients
        if menu.ingredient(name).pours in (Pouring.TAP, Pouring.SETTLING_TAP)
    ]
    gone = [
        f"the tap of {menu.ingredient(name).name}"
        for name in taps
        if name in before.taps and name not in after.taps
    ]
    if mix.glass in before.by_glass and mix.glass not in after.by_glass:
        gone.append(f"the {before.by_glass[mix.glass].name}")
    return gone


def _where(state: BarState, drink: DrinkRecord) -> str:
    return f"{drink.name} of round {state.tickets[drink.ticket].number}"
