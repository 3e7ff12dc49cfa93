"""The set-up as text: checked as one types, told, listed, brought back; 86 beside it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from tests.service.conftest import BAR, HandClock, serving

if TYPE_CHECKING:
    from pathlib import Path

    import httpx

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio


async def text_of(served: Served, part: str) -> dict[str, Any]:
    answer = await served.get(f"/setup/{part}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


async def check(served: Served, part: str, text: str) -> dict[str, Any]:
    answer = await served.post(f"/setup/{part}/check", {"text": text})
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


async def save(served: Served, part: str, text: str, **more: Any) -> httpx.Response:
    return await served.put(f"/setup/{part}", {"text": text, **more})


@pytest.mark.parametrize("part", ["menu", "counter", "standards"])
async def test_what_is_told_is_written_out_and_reads_back_the_same(
    served: Served, part: str
) -> None:
    found = await text_of(served, part)
    assert (found["version"], found["is_present"], found["is_as_written"]) == (1, True, False)
    assert await check(served, part, found["text"]) == {
        "faults": [],
        "warnings": [],
        "changes": [],
        "not_now": "",
    }


async def test_a_fault_stands_at_its_line_with_its_words(served: Served) -> None:
    text = (await text_of(served, "menu"))["text"]
    line = next(n for n, row in enumerate(text.splitlines(), 1) if "method: shaken" in row)
    bad = text.replace("method: shaken", "method: shakn", 1)
    (fault,) = (await check(served, "menu", bad))["faults"]
    assert fault["line"] == line
    assert fault["place"] == "recipe weathercock, method"
    assert fault["said"].endswith("came 'shakn'; did you mean shaken or shaken_long?")


async def test_a_text_that_is_no_yaml_names_its_line(served: Served) -> None:
    (fault,) = (await check(served, "counter", "people:\n\t- {id: jo}\n"))["faults"]
    assert (fault["line"], fault["said"]) == (
        2,
        "expected spaces at the beginning of a line; came a tab",
    )


async def test_what_another_part_still_needs_is_said_without_a_line(served: Served) -> None:
    text = (await text_of(served, "counter"))["text"]
    faults = (await check(served, "counter", text.replace("id: coupe", "id: goblet", 1)))["faults"]
    assert {fault["line"] for fault in faults} == {None}
    assert "in the menu, recipe cold-harbour, glass" in {fault["place"] for fault in faults}
    refused = await save(served, "counter", text.replace("id: coupe", "id: goblet", 1))
    assert refused.status_code == 422
    assert "in the menu" in refused.json()["detail"]
    assert (await text_of(served, "counter"))["version"] == 1


async def test_a_text_is_kept_as_written_and_comes_back_so(served: Served) -> None:
    first = await text_of(served, "counter")
    written = "# Ines is fast now.\n" + first["text"].replace("pace: 1.1", "pace: 0.9")
    checked = await check(served, "counter", written)
    assert checked["changes"] == ["person ines changed"]
    served.clock.advance(60)
    answer = await save(served, "counter", written, based_on=1, note="since May")
    assert answer.status_code == 200, answer.text
    assert answer.json() == {
        **first,
        "version": 2,
        "since": "2027-02-12T21:01:00.0Z",
        "note": "since May",
        "is_as_written": True,
        "text": written,
    }
    counter = (await served.get("/counter")).json()
    assert {person["id"]: person.get("pace") for person in counter["people"]}["ines"] == 0.9


async def test_a_comment_alone_is_a_version(served: Served) -> None:
    text = (await text_of(served, "menu"))["text"]
    await save(served, "menu", text + "# the end\n")
    await save(served, "menu", text + "# the end\n")
    versions = (await served.get("/setup/menu/versions")).json()["versions"]
    assert [(one["version"], one["is_present"]) for one in versions] == [(2, True), (1, False)]


async def test_nobody_writes_over_what_they_have_not_seen(served: Served) -> None:
    text = (await text_of(served, "menu"))["text"]
    assert (await save(served, "menu", text + "# mine\n", based_on=1)).status_code == 200
    late = await save(served, "menu", text + "# theirs\n", based_on=1)
    assert late.status_code == 409
    assert "version 2 of the menu" in late.json()["detail"]
    assert (await text_of(served, "menu"))["text"].endswith("# mine\n")


async def test_an_old_version_is_brought_back_and_nothing_is_lost(served: Served) -> None:
    first = (await text_of(served, "menu"))["text"]
    menu = (await served.get("/menu")).json()
    fewer = {**menu, "recipes": [r for r in menu["recipes"] if r["id"] != "slate-roof"]}
    assert (await served.put("/menu", fewer)).status_code == 200
    assert "slate-roof" not in (await text_of(served, "menu"))["text"]
    answer = await served.post("/setup/menu/versions/1/restore")
    assert answer.status_code == 200, answer.text
    assert (answer.json()["version"], answer.json()["note"]) == (3, "version 1 brought back")
    assert answer.json()["text"] == first
    assert (await served.get("/menu")).json() == menu
    old = await served.get("/setup/menu/versions/2")
    assert (old.json()["is_present"], "slate-roof" in old.json()["text"]) == (False, False)


async def test_a_version_that_never_was(served: Served) -> None:
    answer = await served.get("/setup/menu/versions/7")
    assert answer.status_code == 404
    assert "from 1 to 1; came 7" in answer.json()["detail"]


async def test_standards_of_the_house(served: Served) -> None:
    own = "shake: {seconds: 9, source: measured on three Fridays}\n"
    assert (await check(served, "standards", own))["changes"] == ["time standard shake changed"]
    assert (await save(served, "standards", own)).status_code == 200
    assert served.floor.desks[BAR].state.bar.standards.rows["shake"].seconds == 9
    nameless = await check(served, "standards", "shake: {seconds: 9}")
    assert nameless["faults"][0]["place"] == "time standard shake, source"
    assert (await save(served, "standards", "")).status_code == 200
    assert served.floor.desks[BAR].state.bar.standards.rows["shake"].seconds != 9


async def test_what_is_open_is_said_before_one_saves(served: Served) -> None:
    await served.ticket("lager-pint")
    text = (await text_of(served, "counter"))["text"]
    found = await check(served, "counter", text.replace("id: pint,", "id: pot,"))
    assert found["faults"]
    menu = (await text_of(served, "menu"))["text"]
    both = await check(served, "menu", menu.replace("glass: pint", "glass: half"))
    assert both["faults"], "a pint does not go into a half"


async def test_versions_survive_a_restart(tmp_path: Path, saltmarch: Bar) -> None:
    async with serving(tmp_path / "night.db", saltmarch, HandClock(), is_warm=False) as served:
        text = (await text_of(served, "menu"))["text"] + "# kept\n"
        assert (await save(served, "menu", text)).status_code == 200
    async with serving(tmp_path / "night.db", None, HandClock(), is_warm=False) as served:
        found = await text_of(served, "menu")
        assert (found["version"], found["text"]) == (2, text)


async def test_a_file_told_at_every_start_does_not_undo_an_edit(
    tmp_path: Path, saltmarch: Bar
) -> None:
    async with serving(tmp_path / "night.db", saltmarch, HandClock(), is_warm=False) as served:
        text = (await text_of(served, "counter"))["text"].replace("barbacks: 1", "barbacks: 2")
        assert (await save(served, "counter", text)).status_code == 200
    async with serving(tmp_path / "night.db", saltmarch, HandClock(), is_warm=False) as served:
        assert (await text_of(served, "counter"))["text"] == text
    newer = replace(saltmarch, counter=replace(saltmarch.counter, tills=3))
    async with serving(tmp_path / "night.db", newer, HandClock(), is_warm=False) as served:
        assert (await served.get("/counter")).json()["tills"] == 3, "a file that says more is told"
