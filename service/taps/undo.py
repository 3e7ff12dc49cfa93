"""Takes back the last tap of a screen: every record it changed is as it was before."""

from __future__ import annotations

from dataclasses import replace

from service.errors import Conflict
from service.night.records import Changed, TapRecord, read, write
from service.night.state import Draft

from .said import Said


def undo(draft: Draft, tap: TapRecord | None, screen: str) -> tuple[Said, TapRecord]:
    """Put the records of a tap back.

    Raises
    ------
    Conflict
        When the screen has no tap to take back, or something changed since.
    """
    if tap is None:
        if not screen:
            raise Conflict(
                "expected the screen whose last tap is taken back; came none, and no tap without "
                "a screen is there: send the screen's name that the tap carried"
            )
        raise Conflict(f"expected a tap of screen {screen!r} to take back; there is none")
    for changed in tap.changed:
        if _present(draft, changed) != changed.after:
            raise Conflict(
                f"{tap.said!r} cannot be taken back: another tap has changed the same "
                f"{changed.kind} since; put it right by hand",
                state={"kind": changed.kind, "id": changed.id},
            )
    for changed in tap.changed:
        if changed.before is None:
            draft.drop(changed.kind, changed.id)
        else:
            draft.put(read(changed.kind, changed.before))
    return Said(words=f"taken back: {tap.said}"), replace(tap, is_undone=True)


def _present(draft: Draft, changed: Changed) -> str | None:
    record = draft.rows(changed.kind).get(changed.id)
    return None if record is None else write(record)
