"""What comes again on paper: reprints, voids, corrections, and numbers that do not come."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from .tills import CUT, PROFILE, alerts, names, one, paper, printing, ticket_of

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


@pytest.fixture
async def till(tmp_path: Path, saltmarch: Bar) -> AsyncIterator[Served]:
    async with printing(tmp_path / "night.db", saltmarch) as served:
        yield served


def num_tickets(served: Served) -> int:
    return len(served.floor.desks["saltmarch"].state.tickets)


async def start_first(served: Served) -> list[str]:
    """Begin the first build of the order; give the names of its drinks."""
    order = await served.order()
    build = next(card["next"] for card in order["bartenders"] if card["next"])
    await served.done(f"/builds/{build['id']}/start")
    return [drink["name"] for drink in build["drinks"]]


async def test_what_is_sent_twice_is_known(till: Served) -> None:
    first = await one(till, paper(214, "2 Salt Ferry"))
    again = await one(till, paper(214, "2 Salt Ferry"))
    assert (again["became"], again["ticket"]) == ("known", first["ticket"])
    assert again["said"] == "ticket 214 once more: nothing was added"
    assert num_tickets(till) == 1
    assert await alerts(till, "print") == []


async def test_the_same_drinks_later_on_the_same_number_are_another_round(till: Served) -> None:
    await one(till, paper(214, "2 Salt Ferry"))
    till.clock.advance(1200)
    again = await one(till, paper(214, "2 Salt Ferry", at="21:20"))
    assert again["became"] == "ticket"
    assert again["said"].endswith("number 214 came before with the same lines")
    assert num_tickets(till) == 2
    (alert,) = await alerts(till, "print")
    assert alert["words"] == (
        "number 214 came twice with the same lines: the same round again, or a second print?"
    )
    assert alert["second"] == again["ticket"]
    await till.done(f"/alerts/{alert['id']}/seen")
    assert await alerts(till, "print") == []
    assert names(await ticket_of(till, again)) == ["Salt Ferry", "Salt Ferry"]


async def test_a_second_print_is_taken_off_by_one_tap(till: Served) -> None:
    first = await one(till, paper(214, "2 Salt Ferry"))
    till.clock.advance(420)
    second = await one(till, paper(214, "2 Salt Ferry", at="21:07"))
    (alert,) = await alerts(till, "print")
    body = {"reason": "a second print", "screen": "left"}
    await till.done(f"/tickets/{alert['second']}/void", body)
    assert names(await ticket_of(till, second)) == []
    assert names(await ticket_of(till, first)) == ["Salt Ferry", "Salt Ferry"]
    assert await alerts(till, "print") == []
    await till.done("/undo", {"screen": "left"})
    assert len(await alerts(till, "print")) == 1


async def test_other_lines_of_a_number_are_no_question(till: Served) -> None:
    await one(till, paper(214, "2 Salt Ferry"))
    other = await one(till, paper(214, "1 Cold Harbour", at="21:01"))
    assert "came before with other lines" in other["said"]
    assert await alerts(till, "print") == []


async def test_what_was_voided_and_comes_again_is_no_question(till: Served) -> None:
    await one(till, paper(214, "2 Salt Ferry"))
    await one(till, paper(214, "2 Salt Ferry", mark="VOID"))
    again = await one(till, paper(214, "2 Salt Ferry", at="21:01"))
    assert again["became"] == "ticket"
    assert await alerts(till, "print") == []


@pytest.mark.parametrize("mark", ["** VOID **", "** REPRINT **", "*** CORRECTION ***"])
async def test_what_speaks_of_an_earlier_ticket_moves_no_count(till: Served, mark: str) -> None:
    await one(till, paper(140, "1 Salt Ferry"))
    await one(till, paper(999, "1 Salt Ferry", mark=mark))
    assert await alerts(till, "gap") == []
    await one(till, paper(141, "1 Slate Roof"))
    assert await alerts(till, "gap") == []


async def test_a_reprint_of_what_was_missing_fills_the_gap(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry"))
    await one(till, paper(216, "1 Salt Ferry"))
    await one(till, paper(215, "1 Slate Roof", mark="** REPRINT **"))
    assert await alerts(till, "gap") == []


async def test_a_correction_of_what_is_missing_leaves_the_gap(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry"))
    await one(till, paper(216, "1 Salt Ferry"))
    await one(till, paper(215, "1 Slate Roof", mark="** CORRECTION **"))
    assert len(await alerts(till, "gap")) == 1


async def test_the_same_number_on_another_day_or_till_is_another_ticket(
    till: Served,
) -> None:
    await one(till, paper(214, "2 Salt Ferry"))
    till.clock.advance(86400)
    other_day = await one(till, paper(214, "2 Salt Ferry"))
    assert other_day["became"] == "ticket"
    assert "came before" not in other_day["said"]


async def test_a_reprint_adds_nothing_and_says_so(till: Served) -> None:
    await one(till, paper(214, "2 Salt Ferry", "1 Cold Harbour"))
    till.clock.advance(600)
    again = await one(
        till, paper(214, "2 Salt Ferry", "1 Cold Harbour", mark="** REPRINT **", at="21:10")
    )
    assert again["became"] == "known"
    assert num_tickets(till) == 1
    assert await alerts(till, "print") == []


async def test_a_reprint_with_more_on_it_is_shown(till: Served) -> None:
    await one(till, paper(214, "2 Salt Ferry"))
    again = await one(till, paper(214, "2 Salt Ferry", "1 Slate Roof", mark="** REPRINT **"))
    assert again["became"] == "known"
    (alert,) = await alerts(till, "print")
    assert "has what the ticket has not: 1 × Slate Roof" in alert["words"]
    assert num_tickets(till) == 1


async def test_a_reprint_of_what_never_came_is_a_ticket(till: Served) -> None:
    found = await one(till, paper(214, "2 Salt Ferry", mark="** REPRINT **"))
    assert found["became"] == "ticket"
    assert found["said"].endswith("a reprint, and the print before it never came")


async def test_a_void_takes_off_what_waits(till: Served) -> None:
    first = await one(till, paper(214, "2 Salt Ferry", "1 Mystery Punch Bowl"))
    void = await one(till, paper(214, "2 Salt Ferry", "1 Mystery Punch Bowl", mark="** VOID **"))
    assert (void["became"], void["ticket"]) == ("void", first["ticket"])
    assert void["said"] == "ticket 214: void: 2 × Salt Ferry"
    ticket = await ticket_of(till, first)
    assert ticket["is_void"]
    assert names(ticket, "void") == ["Salt Ferry", "Salt Ferry"]
    order = await till.order()
    assert order["unread"] == []
    assert order["alerts"] == []


async def test_a_void_leaves_what_is_in_hand_to_a_person(till: Served) -> None:
    first = await one(till, paper(214, "1 Salt Ferry", "1 Slate Roof"))
    begun = await start_first(till)
    void = await one(till, paper(214, "1 Salt Ferry", "1 Slate Roof", mark="VOID"))
    assert "in hand already" in void["said"]
    ticket = await ticket_of(till, first)
    assert sorted(names(ticket, "in_hand")) == sorted(begun)
    (alert,) = await alerts(till, "print")
    assert "in hand already" in alert["words"]
    assert len(alert["drinks"]) == len(begun)


async def test_a_void_of_what_nobody_knows_is_shown(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry", mark="VOID"))
    (alert,) = await alerts(till, "print")
    assert alert["words"].startswith("void of ticket 214, which is not known here")
    assert num_tickets(till) == 0


async def test_a_correction_says_what_comes_and_what_goes(till: Served) -> None:
    first = await one(till, paper(214, "2 Salt Ferry", "1 Cold Harbour"))
    found = await one(
        till, paper(214, "VOID 1 Salt Ferry", "1 Slate Roof", mark="*** CORRECTION ***")
    )
    assert found["became"] == "correction"
    assert found["said"] == "ticket 214: void: Salt Ferry; added: Slate Roof"
    assert names(await ticket_of(till, first)) == ["Salt Ferry", "Cold Harbour", "Slate Roof"]
    assert num_tickets(till) == 1


async def test_a_correction_cannot_take_off_what_is_in_hand(till: Served) -> None:
    first = await one(till, paper(214, "1 Salt Ferry"))
    await start_first(till)
    found = await one(till, paper(214, "VOID 1 Salt Ferry", mark="CORRECTION"))
    assert found["said"] == "ticket 214: Salt Ferry is in hand already"
    (alert,) = await alerts(till, "print")
    assert alert["words"] == (
        "ticket 214, taken off or changed at the till: Salt Ferry is in hand already"
    )
    assert names(await ticket_of(till, first), "in_hand") == ["Salt Ferry"]


async def test_a_correction_that_prints_the_whole_ticket_anew(
    tmp_path: Path, saltmarch: Bar
) -> None:
    marks = replace(PROFILE.marks, correction_replaces=True)
    profile = replace(PROFILE, marks=marks)
    async with printing(tmp_path / "night.db", saltmarch, profile=profile) as till:
        first = await one(till, paper(214, "2 Salt Ferry", "1 Cold Harbour"))
        found = await one(
            till, paper(214, "1 Salt Ferry", "1 Cold Harbour", "2 Slate Roof", mark="CORRECTION")
        )
        assert found["said"] == "ticket 214: void: Salt Ferry; added: 2 × Slate Roof"
        now = names(await ticket_of(till, first))
        assert now == ["Salt Ferry", "Cold Harbour", "Slate Roof", "Slate Roof"]
        again = await one(
            till, paper(214, "1 Salt Ferry", "1 Cold Harbour", "2 Slate Roof", mark="CORRECTION")
        )
        assert again["said"] == "ticket 214: nothing had to be changed"


async def test_a_missing_number_raises_an_alarm_until_it_comes(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry"))
    await one(till, paper(217, "1 Salt Ferry"))
    (gap,) = await alerts(till, "gap")
    assert gap["words"] == "numbers 215 to 216 of till bar did not come: look at the till"
    await one(till, paper(215, "1 Slate Roof"))
    (gap,) = await alerts(till, "gap")
    assert gap["words"].startswith("number 216 of till bar")
    await one(till, paper(216, "1 Slate Roof"))
    assert await alerts(till, "gap") == []
    await one(till, paper(218, "1 Slate Roof"))
    assert await alerts(till, "gap") == []


async def test_a_missing_number_is_tapped_away(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry"))
    await one(till, paper(216, "1 Salt Ferry"))
    (gap,) = await alerts(till, "gap")
    await till.done(f"/alerts/{gap['id']}/seen", {"screen": "left"})
    assert await alerts(till, "gap") == []
    await till.done("/undo", {"screen": "left"})
    assert len(await alerts(till, "gap")) == 1
    answer = await till.post("/alerts/a-none/seen")
    assert answer.status_code == 404


async def test_prints_without_drinks_count_too(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry"))
    found = await one(till, paper(215, "FOOD", "1 Chips"))
    assert found["became"] == "no_ticket"
    await one(till, paper(216, "1 Salt Ferry"))
    assert await alerts(till, "gap") == []


async def test_a_till_that_prints_elsewhere_too_is_not_followed(
    tmp_path: Path, saltmarch: Bar
) -> None:
    async with printing(tmp_path / "night.db", saltmarch, follow_numbers=False) as till:
        await one(till, paper(214, "1 Salt Ferry"))
        await one(till, paper(317, "1 Salt Ferry"))
        assert await alerts(till, "gap") == []


async def test_a_print_without_a_number_is_a_ticket_all_the_same(till: Served) -> None:
    found = await one(till, b"\x1b@Saltmarch House\nTable 7    21:00\n1 Salt Ferry\n" + CUT)
    assert found["became"] == "ticket"
    ticket = await ticket_of(till, found)
    assert ticket["number"] == "no number, 21:00:00"
