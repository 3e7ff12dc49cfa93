"""Bars, menus and counters told over HTTP: YAML or JSON, versions kept, faults with their paths."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from service.files import SAMPLES
from tests.service.conftest import BAR, HandClock, here, serving

if TYPE_CHECKING:
    from pathlib import Path

    import httpx

    from service.files.bars import Bar
    from tests.service.conftest import Served

pytestmark = pytest.mark.anyio
OWN = (SAMPLES / "bars" / "own-bar.yaml").read_text(encoding="utf-8")
YAML = {"Content-Type": "application/yaml"}


async def put_yaml(served: Served, bar: str, text: str) -> httpx.Response:
    return await served.client.put(f"/v1/bars/{bar}", content=text, headers=YAML)


async def test_a_bar_is_told_as_yaml_and_then_served(served: Served) -> None:
    answer = await put_yaml(served, "own-bar", OWN)
    assert answer.status_code == 201
    assert (answer.json()["name"], answer.json()["menu_versions"]) == ("Our Bar", 1)
    order = await served.client.get("/v1/bars/own-bar/build-order")
    assert (order.status_code, order.json()["name"]) == (200, "Our Bar")
    again = await put_yaml(served, "own-bar", OWN.replace("Our Bar", "Their Bar"))
    assert (again.status_code, again.json()["name"]) == (200, "Their Bar")
    assert (await served.client.get("/v1/bars/own-bar")).json()["name"] == "Their Bar"
    bars = (await served.client.get("/v1/bars")).json()["bars"]
    assert [bar["bar"] for bar in bars] == [BAR, "own-bar"]


async def test_a_bar_of_another_id_than_its_address(served: Served) -> None:
    answer = await put_yaml(served, "our-bar", OWN)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["path"] == "/bar/id"


@pytest.mark.parametrize(
    ("old", "new", "path", "said"),
    [
        ("single: 25 ml", "single: 25 mil", "/menu/spirit_and_mixer/single", "a unit of ml"),
        ("glass: highball", "glass: bucket", "/menu/spirit_and_mixer/glass", "a glass of the"),
        ("pace: 1.2", "pace: 12", "/counter/people/1/pace", "a pace from 0.5 to 3.0"),
        ("Europe/London", "Europe/Lundon", "/bar/timezone", "a time zone"),
        ("tills: 1", "tellers: 1", "/counter/tellers", "only names that are known"),
    ],
)
async def test_a_fault_is_named_with_its_path(
    served: Served, old: str, new: str, path: str, said: str
) -> None:
    assert old in OWN
    answer = await put_yaml(served, "own-bar", OWN.replace(old, new))
    assert answer.status_code == 422, answer.text
    errors = {error["path"]: error["detail"] for error in answer.json()["errors"]}
    assert said in errors[path], errors


async def test_what_is_no_document_is_400(served: Served) -> None:
    for text in ("bar: [", "\tx: 1", "a: &b 1", "\ufffe\x00"):
        answer = await put_yaml(served, "own-bar", text)
        assert answer.status_code in (400, 422), text
    half = await served.client.put(f"/v1/bars/{BAR}/menu", content='{"recipes": [')
    assert half.status_code == 400
    assert "stops in the middle" in half.json()["detail"]
    latin = await served.client.put(f"/v1/bars/{BAR}/menu", content=b"\xe9\xe8")
    assert latin.status_code == 400


async def test_menu_and_counter_come_back_and_versions_are_kept(served: Served) -> None:
    menu = (await served.get("/menu")).json()
    same = await served.put("/menu", menu)
    assert (same.status_code, same.json()["menu_versions"]) == (200, 1)
    menu["recipes"] = [r for r in menu["recipes"] if r["id"] != "slate-roof"]
    shorter = await served.put("/menu", menu)
    assert (shorter.json()["menu_versions"], shorter.json()["counter_versions"]) == (2, 1)
    found = await served.ticket("slate-roof")
    assert len(found["unread"]) == 1


async def test_a_recipe_taken_off_sets_its_open_drinks_aside(served: Served) -> None:
    await served.ticket("slate-roof", "cold-harbour")
    menu = (await served.get("/menu")).json()
    menu["recipes"] = [r for r in menu["recipes"] if r["id"] != "slate-roof"]
    assert (await served.put("/menu", menu)).status_code == 200
    (aside,) = (await served.order())["set_aside"]
    assert "expected a recipe of the menu" in aside["reason"]


async def in_hand(served: Served, recipe: str) -> dict[str, Any]:
    await served.ticket(recipe)
    order = await served.settled()
    card = next(card for card in order["bartenders"] if card["next"])
    await served.done(f"/builds/{card['next']['id']}/start", {"bartender": card["id"]})
    return dict(card)


async def test_what_is_in_hand_cannot_be_taken_away(served: Served) -> None:
    card = await in_hand(served, "slate-roof")
    menu = (await served.get("/menu")).json()
    fewer = [r for r in menu["recipes"] if r["id"] != "slate-roof"]
    refused = await served.put("/menu", {**menu, "recipes": fewer})
    assert refused.status_code == 409
    assert "put it back first" in refused.json()["detail"]
    counter = (await served.get("/counter")).json()
    people = [p for p in counter["people"] if p["id"] != card["id"]]
    assert (await served.put("/counter", {**counter, "people": people})).status_code == 409
    counter["people"][0]["pace"] = 1.3
    assert (await served.put("/counter", counter)).status_code == 200


@pytest.mark.parametrize(
    ("part", "value", "said"),
    [
        ("people", [], "1 to 16 bartenders"),
        ("glasses", [], "a glass of the counter"),
        ("taps", [], "a tap for it"),
    ],
)
async def test_a_counter_that_cannot_work_is_refused(
    served: Served, part: str, value: Any, said: str
) -> None:
    counter = (await served.get("/counter")).json()
    answer = await served.put("/counter", {**counter, part: value})
    assert answer.status_code == 422
    assert any(said in error["detail"] for error in answer.json()["errors"]), answer.text
    assert (await served.get("/counter")).json() == counter


async def test_no_tins_anywhere_is_said(served: Served) -> None:
    counter = (await served.get("/counter")).json()
    for station in counter["stations"]:
        station["tin_sets"] = 0
    answer = await served.put("/counter", counter)
    assert answer.status_code == 422
    assert "cannot be made without" in answer.json()["detail"]


async def test_a_new_person_joins_the_order(served: Served) -> None:
    counter = (await served.get("/counter")).json()
    counter["people"].append({"id": "jo", "station": "well"})
    assert (await served.put("/counter", counter)).status_code == 200
    for _ in range(8):
        await served.ticket("cold-harbour", "slate-roof")
    assert here(await served.settled(), "jo")["next"] is not None


async def test_a_made_drink_stays_on_the_menu_until_its_round_is_done(served: Served) -> None:
    ticket = await served.ticket("slate-roof", "cold-harbour")
    made, other = (drink["id"] for drink in ticket["drinks"])
    await served.done(f"/drinks/{made}/already-made")
    menu = (await served.get("/menu")).json()
    fewer = {**menu, "recipes": [r for r in menu["recipes"] if r["id"] != "slate-roof"]}
    refused = await served.put("/menu", fewer)
    assert refused.status_code == 409
    assert "Slate Roof to stay on the menu" in refused.json()["detail"]
    assert "finish the round or void it first" in refused.json()["detail"]
    await served.done(f"/drinks/{other}/already-made")
    assert (await served.put("/menu", fewer)).status_code == 200


async def test_a_tap_that_an_open_drink_uses_stays(served: Served) -> None:
    ticket = await served.ticket("lager-pint")
    counter = (await served.get("/counter")).json()
    counter["taps"].remove("lager")
    menu = (await served.get("/menu")).json()
    menu["recipes"] = [
        r for r in menu["recipes"] if all(p["ingredient"] != "lager" for p in r["pours"])
    ]
    told = {
        "bar": {"id": BAR, "name": "Saltmarch House", "timezone": "Europe/London"},
        "counter": counter,
        "menu": menu,
    }
    refused = await served.client.put(f"/v1/bars/{BAR}", json=told)
    assert refused.status_code == 409, refused.text
    assert "the tap of house lager to stay: pint of lager" in refused.json()["detail"]
    await served.done(f"/drinks/{ticket['drinks'][0]['id']}/void")
    assert (await served.client.put(f"/v1/bars/{BAR}", json=told)).status_code == 200


async def test_a_file_that_takes_away_what_is_open_does_not_stop_the_start(
    tmp_path: Path, saltmarch: Bar
) -> None:
    async with serving(tmp_path / "night.db", saltmarch, HandClock()) as served:
        ticket = await served.ticket("slate-roof", "cold-harbour")
        await served.done(f"/drinks/{ticket['drinks'][0]['id']}/already-made")
    recipes = tuple(r for r in saltmarch.menu.recipes if r.id != "slate-roof")
    told = replace(saltmarch, menu=replace(saltmarch.menu, recipes=recipes))
    async with serving(tmp_path / "night.db", told, HandClock(), is_warm=False) as served:
        menu = (await served.get("/menu")).json()
        assert "slate-roof" in [recipe["id"] for recipe in menu["recipes"]]
