"""Prints become tickets: names, changes, notes, the tray, aliases."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from .tills import CUT, alerts, names, one, paper, post, printing, ticket_of, with_prints

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


async def test_a_print_becomes_a_ticket(till: Served) -> None:
    answer = await post(till, paper(214, "2 Salt Ferry", "1 COLD HARBOUR"))
    assert answer.status_code == 201
    (found,) = answer.json()["prints"]
    assert (found["became"], found["number"], found["till"]) == ("ticket", "214", "bar")
    assert found["said"] == "ticket 214: 2 × Salt Ferry, Cold Harbour"
    ticket = await ticket_of(till, found)
    assert names(ticket) == ["Salt Ferry", "Salt Ferry", "Cold Harbour"]
    assert ticket["place"] == "Table 7"
    assert ticket["expected"] is not None


@pytest.mark.parametrize(
    ("name", "mixed"),
    [
        ("MAGISTRATES PILLOW", "The Magistrate's Pillow"),
        ("THE MAGISTRATE'S PILLOW", "The Magistrate's Pillow"),
        ("cold-harbour", "Cold Harbour"),
        ("GIN & TONIC", "dry gin and tonic"),
        ("DBL VODKA SODA", "double vodka and soda"),
        ("Gin with Tonic", "dry gin and tonic"),
        ("LARGE WHITE RUM/LIGHT TONIC", "double white rum and light tonic"),
        ("vodka lemonade doppelt", "double vodka and lemonade"),
        ("double Cold Harbour", "Cold Harbour"),
        ("DARK RUM", "dark rum"),
    ],
)
async def test_names_meet_the_menu_without_capitals_accents_and_points(
    till: Served, name: str, mixed: str
) -> None:
    found = await one(till, paper(214, f"1 {name}"))
    ticket = await ticket_of(till, found)
    assert names(ticket) == [mixed]


async def test_changes_meet_the_drink(till: Served) -> None:
    found = await one(
        till,
        paper(
            *(214, "1 Cold Harbour", "  NO EGGWHITE", "  add soda"),
            *("1 Salt Ferry", "  no salt", "  extra cold", "1 Plum Causeway", "  ALLERGY: nuts"),
        ),
    )
    assert found["became"] == "ticket"
    lines = {
        line.line.recipe: line.line
        for ticket in till.floor.desks["saltmarch"].state.tickets.values()
        for line in ticket.lines
        if line.line
    }
    changes = [change.words for change in lines["cold-harbour"].changes]
    assert changes == ["no egg-white", "add top soda"]
    assert [change.words for change in lines["salt-ferry"].changes] == ["no salt"]
    assert (lines["salt-ferry"].note, lines["salt-ferry"].is_alone) == ("extra cold", True)
    assert lines["plum-causeway"].allergies == ("nuts",)


async def test_words_that_are_no_ingredient_are_said_loudly(till: Served) -> None:
    await one(till, paper(214, "1 Salt Ferry", "  no umbrellas", "  add ginger syrup"))
    (ticket,) = till.floor.desks["saltmarch"].state.tickets.values()
    line = ticket.lines[0].line
    assert line is not None
    assert line.changes == ()
    assert line.note == "no umbrellas; add ginger syrup"


async def test_a_near_name_waits_for_a_person_once(till: Served) -> None:
    found = await one(till, paper(214, "2 Salt Fery", "  no salt"))
    assert found["said"] == "ticket 214: lines for the tray"
    (unread,) = (await till.order())["unread"]
    assert unread["word"] == "Salt Fery"
    assert unread["printed"] == ["2 Salt Fery", "  no salt"]
    assert unread["nearest"][0] == {"recipe": "salt-ferry", "name": "Salt Ferry"}
    said = await till.done(f"/unread/{unread['line']}/resolve", {"means": "salt-ferry"})
    assert (
        said["said"]
        == "remembered: “Salt Fery” is Salt Ferry; read for round 214 Table 7: 2 × Salt Ferry"
    )
    # From now on the word is known, also on another menu.
    menu = (await till.get("/menu")).json()
    assert (await till.put("/menu", menu)).status_code == 200
    again = await one(till, paper(215, "1 SALT FERY"))
    assert names(await ticket_of(till, again)) == ["Salt Ferry"]
    (alias,) = (await till.get("/aliases")).json()["aliases"]
    assert (alias["word"], alias["name"]) == ("Salt Fery", "Salt Ferry")
    answer = await till.client.delete(f"/v1/bars/saltmarch/aliases/{alias['id']}")
    assert answer.json()["said"] == "forgotten: what “Salt Fery” stands for"
    await one(till, paper(216, "1 Salt Fery"))
    assert len((await till.order())["unread"]) == 1


async def test_a_word_may_stand_for_a_spirit_with_its_mixer(till: Served) -> None:
    await one(till, paper(214, "2 Harbourmaster"))
    (unread,) = (await till.order())["unread"]
    where = f"/unread/{unread['line']}/resolve"
    wrong = {"means": {"spirit": "gin", "mixer": "gin"}}
    answer = await till.client.post(f"/v1/bars/saltmarch{where}", json=wrong)
    assert (answer.status_code, answer.json()["errors"][0]["path"]) == (422, "/means/mixer")
    wrong = {"means": {"spirit": "gin", "measure": "triple"}}
    answer = await till.client.post(f"/v1/bars/saltmarch{where}", json=wrong)
    assert answer.status_code == 422
    assert answer.json()["errors"] == [
        {
            "path": "/means/measure",
            "detail": "expected one of single, double or nothing; came 'triple'",
        }
    ]
    means = {"spirit": "gin", "mixer": "tonic", "measure": "double"}
    said = (await till.done(where, {"means": means}))["said"]
    assert said.startswith("remembered: “Harbourmaster” is double dry gin and tonic; read for")
    again = await one(till, paper(215, "1 HARBOURMASTER"))
    assert (await till.order())["unread"] == []
    assert len(names(await ticket_of(till, again))) == 1
    (alias,) = (await till.get("/aliases")).json()["aliases"]
    assert (alias["meant"], alias["name"]) == ("poured", "double dry gin and tonic")
    assert alias["stands_for"] == "gin+tonic+double"


async def test_what_no_bar_can_pour_is_not_remembered(till: Served) -> None:
    await one(till, paper(214, "1 Harbourmaster"))
    (unread,) = (await till.order())["unread"]
    means = {"spirit": "gin", "mixer": "lager", "measure": "double"}
    where = f"/v1/bars/saltmarch/unread/{unread['line']}/resolve"
    answer = await till.client.post(where, json={"means": means})
    assert answer.status_code == 422
    assert (await till.get("/aliases")).json()["aliases"] == []


async def test_undo_takes_the_alias_back_too(till: Served) -> None:
    await one(till, paper(214, "1 Salt Fery"))
    (unread,) = (await till.order())["unread"]
    body = {"means": "salt-ferry", "screen": "left"}
    await till.done(f"/unread/{unread['line']}/resolve", body)
    await till.done("/undo", {"screen": "left"})
    assert len((await till.order())["unread"]) == 1
    assert (await till.get("/aliases")).json()["aliases"] == []


async def test_a_near_ingredient_waits_for_a_person_once(till: Served) -> None:
    await one(till, paper(214, "1 Cold Harbour", "  no egg whte", "  ALLERGY: nuts"))
    (unread,) = (await till.order())["unread"]
    assert unread["word"] == "egg whte"
    assert unread["nearest"][0]["recipe"] == "egg-white"
    said = await till.done(f"/unread/{unread['line']}/resolve", {"means": "egg-white"})
    assert said["said"].startswith("remembered: “egg whte” is egg white; read for round 214")
    found = await one(till, paper(215, "1 Cold Harbour", "  no EGG WHTE"))
    ticket = till.floor.desks["saltmarch"].state.tickets[found["ticket"]]
    line = ticket.lines[0].line
    assert line is not None
    assert [change.words for change in line.changes] == ["no egg-white"]


async def test_what_is_dropped_or_named_wrongly(till: Served) -> None:
    await one(till, paper(214, "1 Salt Fery", "1 Mystery Punch Bowl"))
    unread = (await till.order())["unread"]
    path = f"/unread/{unread[0]['line']}/resolve"
    answer = await till.post(path, {"means": "salt-fery"})
    assert answer.status_code == 422
    assert answer.json()["detail"].endswith("did you mean salt-ferry or smoke-over-saltmarch?")
    answer = await till.post(path, {"means": "salt-ferry", "drop": True})
    assert answer.status_code == 422
    await till.done(f"/unread/{unread[1]['line']}/resolve", {"drop": True})
    assert len((await till.order())["unread"]) == 1


async def test_hundreds_of_a_drink_wait_for_a_person(till: Served) -> None:
    await one(till, paper(214, "999 Salt Ferry", "1 Cold Harbour"))
    (unread,) = (await till.order())["unread"]
    assert unread["printed"] == ["999 Salt Ferry"]


async def test_card_and_phone_numbers_are_kept_off_the_ticket(till: Served) -> None:
    found = await one(
        till, paper(214, "1 Salt Ferry", "  call 0113 496 0123", "  4111 1111 1111 1111")
    )
    whole = str(await ticket_of(till, found)) + str(found) + str(await till.order())
    assert "4111 1111" not in whole
    assert "496 0123" not in whole


async def test_what_is_no_drink_makes_no_ticket(till: Served) -> None:
    test = b"\x1b@PRINTER TEST\n1 Salt Ferry\n" + CUT
    found = await one(till, test)
    assert (found["became"], found["said"]) == ("no_ticket", "a test print")
    found = await one(till, b"\x1bp\x00\x19\xfa" + CUT)
    assert (found["became"], found["said"]) == ("no_ticket", "the drawer was opened")
    assert (await till.order())["alerts"] == []
    assert (await post(till, b"\x1b@\n\n")).json()["prints"] == []


async def test_a_picture_is_told_at_once(till: Served) -> None:
    picture = b"\x1b@\x1dv0\x00" + bytes((48, 0, 24, 0)) + bytes(48 * 24) + CUT
    answer = await post(till, picture)
    assert answer.status_code == 202
    (found,) = answer.json()["prints"]
    assert found["became"] == "picture"
    assert found["said"].endswith("have the till print text, or send JSON")
    (alert,) = await alerts(till, "print")
    assert alert["words"].startswith("a print is a picture and cannot be read")
    said = await till.done(f"/alerts/{alert['id']}/seen")
    assert said["said"].startswith("seen: a print is a picture")
    assert await alerts(till, "print") == []


async def test_a_print_that_nobody_can_read_is_shown(till: Served) -> None:
    found = await one(till, b"\x1b@zzzz\nqqqq qqqq\n" + CUT)
    assert found["became"] == "unread"
    (alert,) = await alerts(till, "print")
    assert alert["lines"] == ["zzzz", "qqqq qqqq"]
    assert alert["can_be_taken"]


async def test_without_a_profile_prints_are_kept_and_shown(tmp_path: Path, saltmarch: Bar) -> None:
    async with printing(tmp_path / "night.db", saltmarch, profile=None) as served:
        found = await one(served, paper(214, "2 Salt Ferry"))
        assert found["became"] == "unread"
        assert "threedeep prints learn" in found["said"]
        (alert,) = await alerts(served, "print")
        assert "2 Salt Ferry" in alert["lines"]
        # Taught later, the same print becomes a ticket.
        bar = served.floor.desks["saltmarch"].state.bar
        await served.floor.tell(with_prints(bar))
        answer = await served.post(f"/prints/{found['id']}/take")
        assert answer.status_code == 201
        assert answer.json()["prints"][0]["became"] == "ticket"
        assert await alerts(served, "print") == []
