"""The commands that work on files: plan, verify, menu, schema."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from service.cli import COMMANDS, main
from service.files import SAMPLES

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
SNAPSHOTS = SAMPLES / "snapshots"
COMMAND = [sys.executable, "-m", "service.cli"]


def run(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    code = main([str(arg) for arg in args])
    said = capsys.readouterr()
    return code, said.out, said.err


def plan_json(capsys: pytest.CaptureFixture[str], name: str) -> Any:
    code, out, _ = run(
        capsys, "plan", SNAPSHOTS / f"{name}.json", "--planner", "look-ahead", "--json"
    )
    assert code == 0
    return json.loads(out)


@pytest.mark.parametrize("command", ["plan", "verify", "menu", "schema"])
def test_help_says_what_it_does_and_its_exit_codes(
    capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert command in COMMANDS
    with pytest.raises(SystemExit) as caught:
        main([command, "--help"])
    out = capsys.readouterr().out
    assert caught.value.code == 0
    assert "exit codes:" in out
    assert "\n  0  " in out


def test_the_help_of_the_whole_names_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    out = capsys.readouterr().out
    assert all(name in out for name in ("plan", "verify", "menu", "schema", "exit codes"))


@pytest.mark.parametrize("name", ["quiet", "busy", "three-deep", "one-bartender", "flame-night"])
@pytest.mark.parametrize("planner", ["by-the-ticket", "by-the-round", "look-ahead"])
def test_a_baseline_of_every_snapshot_is_judged_from_its_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str, planner: str
) -> None:
    snapshot = SNAPSHOTS / f"{name}.json"
    code, out, err = run(capsys, "plan", snapshot, "--planner", planner, "--json")
    assert (code, err) == (0, "")
    path = tmp_path / "plan.json"
    path.write_text(out, encoding="utf-8")
    code, out, err = run(capsys, "verify", snapshot, path, "--json")
    judged = json.loads(out)
    assert (code, err) == (0 if judged["kept"] else 1, "")
    # How bars work today may leave somebody waiting; everything else they keep.
    assert {row["rule"] for row in judged["broken"]} <= {"starving", "overtaking"}


@pytest.mark.parametrize("name", ["quiet", "busy", "three-deep", "one-bartender", "flame-night"])
def test_the_best_plan_of_every_snapshot_keeps_every_rule(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str
) -> None:
    snapshot = SNAPSHOTS / f"{name}.json"
    code, out, err = run(capsys, "plan", snapshot, "--limit-ms", "250", "--json")
    assert (code, err) == (0, "")
    path = tmp_path / "plan.json"
    path.write_text(out, encoding="utf-8")
    assert run(capsys, "verify", snapshot, path)[:1] == (0,)
    look_ahead = plan_json(capsys, name)
    path.write_text(json.dumps(look_ahead), encoding="utf-8")
    if run(capsys, "verify", snapshot, path)[0] == 0:
        assert json.loads(out)["cost"] <= look_ahead["cost"]


def test_a_build_order_is_said_in_the_words_of_the_bar(capsys: pytest.CaptureFixture[str]) -> None:
    path = SNAPSHOTS / "three-deep.json"
    code, out, _ = run(capsys, "plan", path, "--planner", "look-ahead")
    assert code == 0
    assert out.startswith("saltmarch: 39 drinks of 23 rounds in ")
    for words in (
        "service well, at the pass\n",
        "bar top, left\n",
        "[in hand]",
        "set aside\n    glass of sparkling, ticket 217: sparkling wine is 86",
        "hand over ticket",
    ):
        assert words in out
    assert "ruth" not in out, "people are known by their station"


def test_two_commands_in_a_pipe_need_no_second_name() -> None:
    snapshot = SNAPSHOTS / "three-deep.json"
    planned = subprocess.run(
        [*COMMAND, "plan", str(snapshot), "--limit-ms", "250", "--json"],
        capture_output=True,
        check=True,
        timeout=120,
    )
    for args in ([], [str(snapshot)], [str(snapshot), "-"]):
        judged = subprocess.run(
            [*COMMAND, "verify", *args],
            input=planned.stdout,
            capture_output=True,
            check=False,
            timeout=120,
        )
        assert judged.returncode == 0, judged.stderr
        assert judged.stdout.startswith(b"every rule kept")


def test_a_broken_rule_is_named_with_build_and_drinks(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    plan = plan_json(capsys, "busy")
    last = max(plan["builds"], key=lambda build: build["blocks"][0]["start_s"])
    last["made_s"][0] -= 5.0
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    code, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path)
    assert code == 1
    assert last["id"] in out
    assert last["drinks"][0] in out
    code, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path, "--json")
    judged = json.loads(out)
    assert (code, judged["kept"]) == (1, False)
    assert {"made", "cost"} & {row["rule"] for row in judged["broken"]}


def test_a_plan_for_another_snapshot_is_said_to_be_one_and_nothing_else(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan_json(capsys, "quiet")), encoding="utf-8")
    code, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path)
    assert code == 1
    assert out.startswith("this plan is for another snapshot: ")
    assert len(out.splitlines()) == 1
    code, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path, "--json")
    judged = json.loads(out)
    assert (code, judged["kept"], judged["is_for_another_snapshot"]) == (1, False, True)
    assert (
        'is_for_another_snapshot": false'
        in run(capsys, "verify", SNAPSHOTS / "quiet.json", path, "--json")[1]
    )


def test_a_stretch_that_is_too_long_is_named_by_what_it_does(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    plan = plan_json(capsys, "busy")
    block = next(b for b in plan["builds"] if not b["is_in_hand"])["blocks"][0]
    block["end_s"] += 5.0
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    _, out, _ = run(capsys, "verify", SNAPSHOTS / "busy.json", path)
    assert "its main work has to end at" in out
    assert "stretch 0" not in out
    assert "in this plan (planned by looking ahead)" in out


@pytest.mark.parametrize("words", [("plan",), ("verify",)])
def test_a_bar_where_a_snapshot_is_wanted_is_known_as_one(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...]
) -> None:
    path = tmp_path / "plan.json"
    path.write_text('{"planner": "x", "builds": [], "cost": 1}', encoding="utf-8")
    more = (path,) if words == ("verify",) else ()
    code, out, err = run(capsys, *words, HOUSE, *more)
    assert (code, out) == (2, "")
    assert f"this looks like a bar: try threedeep menu {HOUSE}" in err


def test_how_the_plan_was_found_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, "plan", SNAPSHOTS / "three-deep.json", "--limit-ms", "60")
    assert "builds, best plan found by search" in out
    _, out, _ = run(capsys, "plan", SNAPSHOTS / "quiet.json", "--planner", "by-the-round")
    assert "builds, planned by the round" in out


@pytest.mark.parametrize(
    ("key", "row", "said"),
    [
        ("short", {"ingredient": "gine", "left": 0}, "an ingredient of the menu; came 'gine'"),
        ("glasses_back", {"glass": "coup", "count": 2, "back_s": 30}, "came 'coup'; did you mean"),
    ],
)
def test_a_snapshot_with_an_unknown_shortage_is_refused(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, key: str, row: dict[str, Any], said: str
) -> None:
    snapshot = json.loads((SNAPSHOTS / "quiet.json").read_text(encoding="utf-8"))
    snapshot[key] = [row]
    path = tmp_path / "short.json"
    path.write_text(json.dumps(snapshot, indent=1), encoding="utf-8")
    code, out, err = run(capsys, "plan", path, "--planner", "look-ahead")
    assert (code, out) == (2, "")
    assert said in err
    assert "did you mean" in err
    assert ", line " in err


def test_an_unknown_ingredient_that_is_86_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "menu", HOUSE, "--out", "mezcl")
    assert (code, out) == (2, "")
    assert err == (
        "--out: expected an ingredient of the menu; came 'mezcl'; did you mean mezcal?\n"
    )


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_port_that_is_none_is_refused(capsys: pytest.CaptureFixture[str], command: str) -> None:
    with pytest.raises(SystemExit) as caught:
        main([command, "--port", "99999"])
    assert caught.value.code == 2
    assert "expected a port from 1 to 65535" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"planner": "x", "builds": [', "stops in the middle"),
        ('{"planner": "x", "builds": []}', "expected cost to be given"),
        ('{"planner": "x", "builds": [], "cost": 1}', "names no snapshot_file"),
        ('{"planner": "x", "builds": [], "cost": 1, "snapshot_file": "no.json"}', "no such file"),
    ],
)
def test_a_plan_that_cannot_be_read_is_exit_2(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, text: str, said: str
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))
    code, out, err = run(capsys, "verify")
    assert (code, out) == (2, "")
    assert said in err


def test_a_snapshot_in_which_nothing_can_be_made_says_why(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    snapshot = json.loads((SNAPSHOTS / "quiet.json").read_text(encoding="utf-8"))
    snapshot["people_on"] = []
    snapshot["in_hand"] = []
    path = tmp_path / "nobody.json"
    path.write_text(json.dumps(snapshot), encoding="utf-8")
    code, out, err = run(capsys, "plan", path, "--planner", "look-ahead")
    assert (code, out) == (1, "")
    assert "nobody is on the floor" in err


def test_by_counted_moves_a_plan_is_the_same_each_time(
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = ("plan", SNAPSHOTS / "three-deep.json", "--moves", "300", "--json")
    assert run(capsys, *words)[1] == run(capsys, *words)[1]
    with pytest.raises(SystemExit):
        main(["plan", str(SNAPSHOTS / "quiet.json"), "--moves", "0"])
    assert "expected a whole number from 1 to" in capsys.readouterr().err


@pytest.mark.parametrize("limit", ["0", "-5", "fast", "1e9", "99999999"])
def test_a_limit_that_is_none_is_refused(capsys: pytest.CaptureFixture[str], limit: str) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["plan", str(SNAPSHOTS / "quiet.json"), f"--limit-ms={limit}"])
    assert caught.value.code == 2
    assert "expected whole milliseconds from 1 to" in capsys.readouterr().err


def test_the_menu_is_printed_with_allergens_and_cautions(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, out, err = run(capsys, "menu", HOUSE)
    assert (code, err) == (0, "")
    assert (
        "Saltmarch House (saltmarch): 47 recipes, 72 ingredients, 3 bartenders at 3 stations" in out
    )
    assert "The Milk Round [milk-round]: shaken long, coupe\n    contains: milk, nuts\n" in out
    assert "caution:  raw egg white: parted one by one" in out
    assert "nobody can promise a guest that there are no traces" in out
    assert "local codes and licensed practice decide" in out


def test_the_menu_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "menu", HOUSE, "--json")
    rows = {row["id"]: row for row in json.loads(out)["recipes"]}
    assert code == 0
    assert rows["hen-and-hearth"]["allergens"] == ["egg", "sulphites"]
    assert rows["crews-tray"]["serves"] == 6


def test_the_starter_bar_is_in_order(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = run(capsys, "menu", SAMPLES / "bars" / "own-bar.yaml")
    assert (code, err) == (0, "")
    assert "Our Bar (own-bar): 12 recipes" in out


def test_a_bar_with_a_wrong_unit_is_exit_2(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text(
        HOUSE.read_text(encoding="utf-8").replace("50 ml", "50 mil", 1), encoding="utf-8"
    )
    code, out, err = run(capsys, "menu", path)
    assert (code, out) == (2, "")
    assert err.startswith(f"{path}, line ")
    assert "did you mean '50 ml'?" in err


def test_tickets_are_held_against_a_menu(capsys: pytest.CaptureFixture[str]) -> None:
    good, bad = SAMPLES / "tickets" / "evening.jsonl", SAMPLES / "tickets" / "bad.jsonl"
    code, out, err = run(capsys, "menu", HOUSE, "--tickets", good)
    assert (code, err) == (0, "")
    assert out.endswith("40 tickets in order\n")
    code, out, err = run(capsys, "menu", HOUSE, "--tickets", bad, "--out", "mezcal")
    assert code == 1
    assert out.endswith("1 ticket in order\n")
    assert len(err.splitlines()) == 11


def test_schemas_are_written_and_checked(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    code, _, err = run(capsys, "schema", "--check", "--to", tmp_path)
    assert code == 1
    assert "bar.schema.json: not as the code has it" in err
    assert run(capsys, "schema", "--to", tmp_path)[0] == 0
    assert run(capsys, "schema", "--check", "--to", tmp_path)[0] == 0
    assert run(capsys, "schema", "--check")[0] == 0
