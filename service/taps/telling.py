"""A bar is told anew while drinks are in hand: what is begun must still be there."""

from __future__ import annotations

from service.errors import Conflict
from service.files.bars import Bar
from service.night.marks import mix_now
from service.night.records import BuildState
from service.night.state import Draft

from .said import names_of


def tell(draft: Draft, bar: Bar) -> Bar:
    """Set what a bar is; refused where it would take away what somebody has in hand."""
    before = draft.bar
    draft.bar = bar
    state = draft.state
    for build in draft.builds.values():
        if build.state is not BuildState.IN_HAND:
            continue
        drinks = [draft.drinks[name] for name in build.drinks]
        people = {build.person, *(stretch.person for stretch in build.stretches)}
        mixes = [mix_now(state, drink) for drink in drinks]
        glasses = {mix.glass for mix in mixes if mix is not None}
        if (
            people - set(bar.counter.by_person)
            or None in mixes
            or glasses - set(bar.counter.by_glass)
        ):
            raise Conflict(
                f"expected {names_of(drinks)} to stay possible: a build of it is in hand at "
                f"{before.counter.by_person[build.person].station}; finish it or put it back first"
            )
    return bar
