"""Who may begin what: trained hands, a clear place, and one flame at a time in the whole bar.

What a bartender has done always wins over the plan; what they are about to light does not.
"""

from __future__ import annotations

from service.errors import Conflict
from service.night.flames import flames_now
from service.night.marks import mix_now
from service.night.moment import snapshot_of
from service.night.records import ShownBuild
from service.night.state import Draft
from solver.snapshot import num_open_drinks, why_not_by

from .said import names_of
from .working import state_of


def refuse_unless_able(draft: Draft, shown: ShownBuild, person: str) -> None:
    """Say 409 with the reason where somebody cannot make a build, or no flame may come now."""
    reason = why_not_begun(draft, shown.drinks, person, but=shown.id)
    if reason:
        names = names_of(draft.drinks[drink] for drink in shown.drinks)
        raise Conflict(
            f"expected somebody who can make {names} now; {reason}",
            state=state_of(draft, shown.drinks),
        )


def why_not_begun(draft: Draft, drinks: tuple[str, ...], person: str, *, but: str) -> str:
    """Say why somebody cannot begin on some drinks; empty when they can.

    Parameters
    ----------
    draft : Draft
    drinks : tuple of str
        Ids of all drinks of a build, or of those that a stretch of it finishes.
    person : str
    but : str
        Id of the build they are of: its own flame is in nobody's way.
    """
    state = draft.state
    snapshot = snapshot_of(state, draft.now)
    who = snapshot.counter.by_person[person]
    burns = False
    for name in drinks:
        drink = state.drinks[name]
        line, mix = state.tickets[drink.ticket].line_of(drink.line).line, mix_now(state, drink)
        if line is None or mix is None:
            return f"{drink.name} is not on the menu any more: void it"
        if reason := why_not_by(snapshot, who, mix, is_alone=line.is_alone):
            return reason
        burns |= mix.has_flame
    return why_no_flame(draft, but=but) if burns else ""


def why_no_flame(draft: Draft, *, but: str) -> str:
    """Say why nothing may be lit now; empty when something may."""
    snapshot = snapshot_of(draft.state, draft.now)
    if not snapshot.counter.flame.allowed:
        return "flame is off in this house: nothing is lit"
    if num_open_drinks(snapshot) > snapshot.counter.flame.off_above_open_drinks:
        return "the room is too full for a flame"
    for flame in flames_now(draft.state, draft.now):
        if flame.build != but and flame.is_alight(draft.now):
            return f"a flame is alight, {flame.words}: wait until it is out and tapped made"
    return ""
