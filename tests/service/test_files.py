"""Bars and tickets as files: read, refused in words, written."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic_core.core_schema import ErrorType

from service.files import (
    SAMPLES,
    bar_from_yaml,
    bar_to_yaml,
    read_bar,
    read_standards,
)
from service.files.bars import Bar, warnings_of
from service.files.documents import BadFile
from service.files.kinds import expected_words
from service.files.tickets import check_tickets, read_tickets
from solver.menu import GarnishWork, Ice, Kind, Method, recipe_mix
from solver.standards import ROWS

HOUSE_PATH = SAMPLES / "bars" / "saltmarch.yaml"
HOUSE = HOUSE_PATH.read_text(encoding="utf-8")
NOW = datetime(2025, 11, 1, tzinfo=UTC)
JARGON = re.compile(
    r"pydantic|input should|validation|https?://|dataclass|tuple|dict\b|NoneType|Traceback|<class|__"
    r"|\bstr\b|\bint\b|ctx|loc=",
    re.IGNORECASE,
)


@pytest.fixture(scope="module")
def house() -> Bar:
    return read_bar(HOUSE_PATH)


def refusal(text: str) -> str:
    with pytest.raises(BadFile) as caught:
        bar_from_yaml(text, "house.yaml")
    said = str(caught.value)
    assert not JARGON.search(said), said
    return said


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


# ---- The house itself --------------------------------------------------------------------------


def test_the_house_has_every_method_and_more_than_thirty_recipes(house: Bar) -> None:
    assert len(house.menu.recipes) >= 30
    assert {recipe.method for recipe in house.menu.recipes} == set(Method)
    assert 65 <= len(house.menu.ingredients) <= 80


def test_the_house_has_what_is_hard_to_make(house: Bar) -> None:
    mixes = {r.id: recipe_mix(house.menu, r) for r in house.menu.recipes}
    assert mixes["keepers-blaze"].has_flame
    whole = mixes["hen-and-hearth"]
    assert "whole-egg" in whole.ingredients
    assert [g.work for g in whole.garnishes] == [GarnishWork.GRATED]
    assert any(m.method is Method.BUILT and m.serve_ice is Ice.CRUSHED for m in mixes.values())
    crusted = mixes["old-assizes"]
    assert (crusted.method, crusted.rim, crusted.lined) == (Method.STIRRED, "sugar", True)
    assert any(r.serves > 1 for r in house.menu.recipes)
    kinds = [row.kind for row in house.menu.ingredients]
    assert kinds.count(Kind.SPIRIT) >= 6
    assert kinds.count(Kind.MIXER) >= 7


@pytest.mark.parametrize(
    ("recipe", "allergens"),
    [
        ("almond-parade", {"nuts"}),
        ("milk-round", {"milk", "nuts"}),
        ("cold-harbour", {"egg"}),
        ("stout-pint", {"gluten"}),
        ("glass-of-white", {"sulphites"}),
        ("bailiffs-breakfast", {"celery", "fish", "gluten"}),
        ("weathercock", set()),
    ],
)
def test_allergens_follow_from_the_ingredients(
    house: Bar, recipe: str, allergens: set[str]
) -> None:
    assert set(recipe_mix(house.menu, house.menu.by_recipe[recipe]).allergens) == allergens


def test_flame_needs_one_of_few_and_has_its_cautions(house: Bar) -> None:
    trained = [person.id for person in house.counter.people if person.trained_for_flame]
    assert 1 <= len(trained) < len(house.counter.people)
    assert house.counter.flame.allowed
    said = " ".join(house.menu.by_recipe["keepers-blaze"].cautions)
    for part in ("one at a time", "capped and away", "metre", "from the side", "hand gel"):
        assert part in said
    assert warnings_of(house.counter, house.menu) == []


def test_every_time_standard_has_a_source_and_none_claims_to_be_measured() -> None:
    rows = read_standards(SAMPLES / "standards.yaml").rows
    assert set(rows) == set(ROWS)
    assert {row.source for row in rows.values()} == {"common practice", "common practice, assumed"}


@pytest.mark.parametrize("path", sorted((SAMPLES / "bars").glob("*.yaml")), ids=lambda p: p.stem)
def test_a_bar_comes_back_from_its_own_writing(path: Path) -> None:
    bar = read_bar(path)
    assert bar_from_yaml(bar_to_yaml(bar), "again.yaml") == bar


def test_a_measured_time_standard_replaces_the_common_one_and_is_written_back() -> None:
    own = "\nstandards:\n  stir_cubed: {seconds: 24, source: measured}\n"
    bar = bar_from_yaml(HOUSE + own, "house.yaml")
    assert bar.standards["stir_cubed"] == 240
    assert bar.standards["shake"] == 110
    assert bar_to_yaml(bar).endswith(
        "standards:\n  stir_cubed:\n    seconds: 24.0\n    source: measured\n"
    )


# ---- Refusals, in words ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "amount: 25 ml",
            "amount: 25 mil",
            "weathercock, pour 1 (lime-juice), amount: expected a unit",
        ),
        ("amount: 25 ml", "amount: 25 mil", "came '25 mil'; did you mean '25 ml'?"),
        ("amount: 25 ml", "amount: 25", "came 25; write the unit too, such as '25 ml'"),
        ("amount: 25 ml", "amont: 25 ml", "came 'amont'; did you mean amount"),
        ("glass: flute", "glass: flut", "glass of the counter; came 'flut'; did you mean flute"),
        (
            "glass: flute",
            "glass: shot",
            "expected a glass that takes 65 ml of liquid; came the shot glass",
        ),
        (
            "ingredient: white-rum",
            "ingredient: whit-rum",
            "came 'whit-rum'; did you mean white-rum",
        ),
        ("method: stirred", "method: stired", "came 'stired'; did you mean stirred?"),
        (
            "taps: [lager",
            "taps: [larger",
            "tap 1: expected an ingredient of the menu; came 'larger'",
        ),
        ("chilled: true", "chilled: perhaps", "expected true or false; came 'perhaps'"),
        ("name: Slate Roof", "name: true", 'expected text; came true; put it in quotes: "true"'),
        ("name: Slate Roof", "name: 1806", 'expected text; came 1806; put it in quotes: "1806"'),
        ("Europe/London", "Europe/Lundon", "did you mean Europe/London"),
        ("id: saltmarch", "id: Salt March", "small letters, digits and hyphens"),
        (
            "station: well,",
            "station: wel,",
            "person ruth, station: expected ruth to stand at a station",
        ),
        (
            "pace: 0.95",
            "pace: 9.5",
            "person ruth, pace: expected a pace from 0.5 to 3.0 for ruth; came 9.5",
        ),
        ("pace: 0.95", "pace: quick", "expected a number; came 'quick'"),
        ("allergens: [nuts]", "allergens: [nut]", "allergen 1: expected allergens of gluten"),
        (
            "blenders: 1",
            "blenders: 0",
            "1 or more blenders; came none; Frost on the Quay, Coconut Barge",
        ),
        ("amount: 25 ml", "amount: '2,5 cl'", "came '2,5 cl'; write 2.5 cl"),
        ("amount: 25 ml", "amount: 2,5 cl", "expected a point before tenths; came a comma; write"),
        ("blenders: 1", "blenders: 1.5", "blenders: expected a whole number; came 1.5"),
        ("blenders: 1", "blender: 1", "came 'blender'; did you mean blenders"),
        (
            "allowed: true",
            "allowed: true\n    allowed: true",
            "expected 'allowed' once here; came twice",
        ),
        (
            "flame:\n    allowed",
            "flame:\n\tallowed",
            "expected spaces at the beginning of a line; came a tab",
        ),
        ("flame:\n    allowed", "flame: &hot\n    allowed", "came an anchor"),
        ("name: mezcal", "name: !!python/name:os.system mezcal", "remove it"),
        ("tills: 2", "tills: [2", "this is not YAML"),
    ],
)
def test_what_is_wrong_is_said_with_its_line(old: str, new: str, said: str) -> None:
    assert HOUSE.count(old) >= 1
    words = refusal(HOUSE.replace(old, new, 1))
    assert said in words
    line = int(re.findall(r"house\.yaml, line (\d+):", words)[0])
    assert abs(line - line_of(HOUSE, old)) <= 1


def test_a_unit_is_named_with_file_line_place_and_what_was_expected() -> None:
    text = HOUSE.replace("amount: 50 ml", "amount: 50 mil", 1)
    assert refusal(text) == (
        f"house.yaml, line {line_of(text, '50 mil')}:"
        " recipe weathercock, pour 3 (white-rum), amount:"
        " expected a unit of ml, cl, oz, dash, bar spoon, teaspoon, tablespoon, wine glass, pony,"
        " jigger, tumbler, piece, leaf, top; came '50 mil'; did you mean '50 ml'?"
    )


def test_everything_wrong_is_said_at_once() -> None:
    text = HOUSE.replace("method: thrown", "method: thrwn", 1).replace("tills: 2", "tills: two", 1)
    said = refusal(text).splitlines()
    assert len(said) == 2
    assert "tills" in said[0]
    assert "thrwn" in said[1]


def test_a_fault_in_the_head_hides_no_other() -> None:
    text = (
        HOUSE.replace("Europe/London", "Europe/Lundon")
        .replace("amount: 25 ml", "amount: 25 mil", 1)
        .replace("glass: flute", "glass: flut", 1)
        .replace("taps: [lager", "taps: [larger", 1)
    )
    said = refusal(text + "\nstandards:\n  stir_cubd: {seconds: 24, source: measured}\n")
    for words in ("Europe/Lundon", "25 mil", "came 'flut'", "came 'larger'", "came 'stir_cubd'"):
        assert said.count(words) == 1, words


def test_a_fault_on_the_counter_hides_no_glass_of_the_menu() -> None:
    text = HOUSE.replace("tills: 2", "tills: two", 1).replace("glass: flute", "glass: flut", 1)
    said = refusal(text.replace("rocks_glass: ", "rocks_glass: x", 1))
    assert "came 'two'" in said
    assert "came 'flut'; did you mean flute" in said
    assert "rocks_glass: expected a glass of the counter" in said


def test_a_counter_whose_bartenders_were_taken_out_is_told_to_add_one() -> None:
    people = HOUSE[HOUSE.index("  people:\n") : HOUSE.index("  barbacks:")]
    said = refusal(HOUSE.replace(people, "  people:\n"))
    assert "people: expected a list; came nothing; add one" in said


def test_flame_that_is_allowed_and_can_be_lit_by_nobody_is_a_warning() -> None:
    text = (SAMPLES / "bars" / "own-bar.yaml").read_text(encoding="utf-8")
    bar = bar_from_yaml(text.replace("flame: {allowed: false}", "flame: {allowed: true}"), "x.yaml")
    (warning,) = warnings_of(bar.counter, bar.menu)
    assert "somebody trained for flame at a station with a clear place" in warning.words


def test_every_kind_of_finding_is_said_in_words() -> None:
    context = dict.fromkeys(("min_length", "max_length", "gt", "ge", "lt", "le", "multiple_of"), 1)
    for kind in get_args(ErrorType):
        said = expected_words(kind, context, "Value error, a word", named="names with values")
        assert said
        assert not JARGON.search(said), (kind, said)


def test_a_counter_with_no_bartender_is_said_plainly() -> None:
    people = HOUSE[HOUSE.index("  people:\n") : HOUSE.index("  barbacks:")]
    said = refusal(HOUSE.replace(people, "  people: []\n"))
    assert "expected 1 to 16 bartenders on the counter; came 0; add one" in said


def test_a_counter_with_no_tins_is_said_plainly() -> None:
    said = refusal(HOUSE.replace("tin_sets: 4", "tin_sets: 0"))
    assert "expected tin sets at a station with a bartender; came none" in said
    assert "Tin Weathercock, Salt Ferry and 15 more cannot be made without" in said


def test_a_recipe_that_fits_no_glass_is_said_plainly() -> None:
    said = refusal(HOUSE.replace("amount: 568 ml", "amount: 4000 ml", 1))
    assert "expected a glass that takes 4000 ml of liquid" in said
    assert "no glass here is large enough" in said


def test_an_unknown_time_standard_is_near_one() -> None:
    said = refusal(HOUSE + "\nstandards:\n  stir_cubd: {seconds: 24, source: measured}\n")
    assert "time standard stir_cubd: expected a known time standard" in said
    assert "did you mean stir_cubed" in said


def test_flame_that_nobody_may_light_is_a_warning_and_no_refusal() -> None:
    bar = bar_from_yaml(
        HOUSE.replace("trained_for_flame: true", "trained_for_flame: false"), "x.yaml"
    )
    (warning,) = warnings_of(bar.counter, bar.menu)
    assert "somebody trained for flame" in warning.expected
    off = bar_from_yaml(HOUSE.replace("    allowed: true", "    allowed: false"), "x.yaml")
    (warning,) = warnings_of(off.counter, off.menu)
    assert "set aside" in warning.hint


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "came nothing"),
        ("hello", "expected names with values (bar, counter, menu"),
        ("[" * 60 + "]" * 60, "expected at most 20 levels"),
        ("a:\n" + "".join(" " * n + "- \n" for n in range(1, 40)), "levels"),
        ("x: 1\n" * 300_000, "expected at most 1,000,000 characters"),
        ("a: &a [x]\nb: *a\n", "expected every value written out"),
        ("bar: {}\n---\nbar: {}\n", "expected one document in a file"),
        ("bar: \x00\n", "a character that no text file holds"),
        ("? [a, b]\n: c\n", "expected a name before the colon"),
    ],
)
def test_a_text_that_is_no_bar_is_refused(text: str, said: str) -> None:
    assert said in refusal(text)


def test_yes_and_no_are_what_they_look_like() -> None:
    text = HOUSE.replace("name: Slate Roof", "name: no", 1).replace(
        "chilled: true", "chilled: yes", 1
    )
    bar = bar_from_yaml(text.replace("clear_place: true", "clear_place: no"), "house.yaml")
    assert bar.menu.by_recipe["slate-roof"].name == "no"
    assert bar.menu.by_recipe["weathercock"].chilled
    assert not any(station.clear_place for station in bar.counter.stations)


def test_a_file_that_is_not_there_or_no_text_is_said(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match=r"nowhere\.yaml: there is no such file"):
        read_bar(tmp_path / "nowhere.yaml")
    with pytest.raises(BadFile, match="this is a folder"):
        read_bar(tmp_path)
    other = tmp_path / "other.yaml"
    other.write_bytes(b"bar:\n  name: caf\xe9\n")
    with pytest.raises(BadFile, match="line 2: expected text in UTF-8"):
        read_bar(other)


@settings(
    max_examples=120, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
@given(
    line=st.integers(min_value=10, max_value=HOUSE.count("\n") - 1),
    change=st.sampled_from(
        ["", "- x", "  : :", "    x: [", "\t", "  id: 3", "  null", "  {a: {b: 1}}"]
    ),
    is_added=st.booleans(),
)
def test_a_broken_line_is_refused_in_words_or_harmless(
    line: int, change: str, is_added: bool
) -> None:
    rows = HOUSE.splitlines()
    rows[line : line + (0 if is_added else 1)] = [change]
    said = ""
    try:
        bar_from_yaml("\n".join(rows), "house.yaml")
    except BadFile as error:
        said = str(error) or "nothing was said"
    assert not JARGON.search(said), said
    assert said != "nothing was said"


# ---- Tickets -----------------------------------------------------------------------------------


def test_an_evening_of_forty_tickets_is_in_order(house: Bar) -> None:
    tickets = read_tickets(SAMPLES / "tickets" / "evening.jsonl")
    assert len(tickets.rows) == 40
    assert check_tickets(tickets, house.menu, now=NOW) == ()
    lines = [line for row in tickets.rows for line in row.ticket.lines]
    assert any(line.spirit for line in lines)
    assert any(line.changes for line in lines)
    assert any(line.allergies for line in lines)
    times = [row.ticket.placed_at for row in tickets.rows]
    assert times == sorted(times)


def test_every_bad_ticket_gets_its_answer_and_loses_no_other(house: Bar) -> None:
    tickets = read_tickets(SAMPLES / "tickets" / "bad.jsonl")
    faults = check_tickets(tickets, house.menu, now=NOW, out=("mezcal",))
    said = {fault.line: str(fault).partition(": ")[2] for fault in faults}
    assert said == {
        1: "line 1 (cold-harbor): expected a recipe of the menu; came 'cold-harbor';"
        " did you mean cold-harbour?",
        2: "line 1 (lager-pint), quantity: expected a quantity from 1 to 60; came 0;"
        " a larger round is several lines or tickets",
        3: "line 1 (lager-pint), quantity: expected a quantity from 1 to 60; came 500;"
        " a larger round is several lines or tickets",
        5: "expected every ticket once; this one is on line 4 too",
        6: "line 1 (smoke-over-saltmarch): mezcal is 86: the drink is kept and set aside",
        7: "placed_at: expected a time that has been; came 2095-02-07 21:00 UTC",
        8: "placed_at: expected a time with its offset, such as 2027-02-12T21:04:10Z;"
        " came '2025-02-07T21:01:00'; add Z for UTC, or an offset such as +01:00",
        9: "channel: expected one of bar_top or floor; came 'barside'",
        10: "line 1 (weathercock), qty: expected only names that are known here; came 'qty';"
        " did you mean quantity?",
        11: "expected 1 to 100 lines; came 0; split a larger ticket",
        12: "expected a whole JSON document; came one that stops in the middle"
        ' (\'… ": [{"recipe": "weatherc\'); send or copy it again, whole',
    }
    assert [row.line for row in tickets.rows] == [1, 4, 5, 6, 7]
