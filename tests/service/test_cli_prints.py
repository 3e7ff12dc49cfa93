"""``threedeep prints learn`` and ``read``: what an integrator sees."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from service.cli import main
from service.files import SAMPLES

PRINTS = SAMPLES / "prints"
TICKETS = [str(PRINTS / f"ticket-{place}.bin") for place in (1, 2, 3)]
BAR = str(SAMPLES / "bars" / "saltmarch.yaml")
PROFILE = str(PRINTS / "saltmarch.yaml")


def test_learn_then_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    till = tmp_path / "till.yaml"
    assert main(["prints", "learn", *TICKETS, "--bar", BAR, "--out", str(till)]) == 0
    said = capsys.readouterr().out
    assert "sample 1: a ticket, number 0144, Seat 12, bar top, server Ana" in said
    assert "ALLERGY    |    ** ALLERGY: sulphites **" in said
    assert "= 1 × The Milk Round, white rum instead of brandy, no nutmeg" in said
    assert f"{till}: a profile from 3 prints" in said
    assert main(["prints", "read", *TICKETS, "--profile", str(till)]) == 0
    assert "3 prints read, all sure" in capsys.readouterr().out


def test_a_profile_that_stands_there_is_not_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    till = tmp_path / "till.yaml"
    till.write_text("name: corrected by hand\n", encoding="utf-8")
    learn = ["prints", "learn", *TICKETS, "--bar", BAR, "--out", str(till)]
    assert main(learn) == 2
    assert "or write over it with --force" in capsys.readouterr().err
    assert till.read_text(encoding="utf-8") == "name: corrected by hand\n"
    assert main([*learn, "--force"]) == 0
    assert "by hand" not in till.read_text(encoding="utf-8")


def test_the_profile_alone_goes_to_the_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prints", "learn", *TICKETS, "--name", "saltmarch", "--bar", BAR]) == 0
    said = capsys.readouterr()
    assert said.out == Path(PROFILE).read_text(encoding="utf-8")
    assert "sample 3" in said.err


def test_without_a_menu_what_is_not_known_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prints", "learn", *TICKETS]) == 0
    said = capsys.readouterr()
    assert "no menu was given (--bar)" in said.err
    assert said.out.startswith("# A reading profile")
    assert "name: ticket\n" in said.out


def test_every_sample_of_the_house_is_told_apart(capsys: pytest.CaptureFixture[str]) -> None:
    files = sorted(map(str, PRINTS.glob("*.bin")))
    assert main(["prints", "read", *files, "--profile", PROFILE, "--bar", BAR, "--json"]) == 1
    found = json.loads(capsys.readouterr().out)
    assert (found["unsure"], found["not_read"]) == (0, 1)
    assert {Path(row["file"]).stem: row["kind"] for row in found["prints"]} == {
        **{f"ticket-{place}": "drinks" for place in (1, 2, 3)},
        "card-slip": "card_slip",
        "correction": "correction",
        "food-alone": "no_drinks",
        "picture": "picture",
        "reprint": "reprint",
        "shift-report": "report",
        "test-print": "test",
        "void": "void",
    }


def test_a_picture_was_not_read(capsys: pytest.CaptureFixture[str]) -> None:
    files = [TICKETS[0], str(PRINTS / "picture.bin")]
    assert main(["prints", "read", *files, "--profile", PROFILE, "--bar", BAR]) == 1
    said = capsys.readouterr().out
    assert said.endswith("1 print read, all sure; 1 print that nobody can read, marked with a ?\n")
    assert "? one picture: it cannot be read; set the till to print text" in said


def test_what_is_not_sure_is_marked_and_ends_with_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    odd = tmp_path / "odd.bin"
    odd.write_bytes(b"Ticket 4\nsomething else\n0 Salt Ferry\nGuest: Ana Bell\n")
    assert main(["prints", "read", str(odd), "--profile", PROFILE]) == 1
    said = capsys.readouterr().out
    assert "? UNREAD   | something else" in said
    assert "? 1 Salt Ferry: a quantity from 1 to 60 was expected; the paper says 0" in said
    assert "Bell" not in said
    assert "not sure" in said


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"", "came an empty file"), (None, "there is no such file")],
)
def test_files_that_cannot_be_used(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes | None, words: str
) -> None:
    path = tmp_path / "one.bin"
    if content is not None:
        path.write_bytes(content)
    for command in (["learn", str(path)], ["read", str(path), "--profile", PROFILE]):
        assert main(["prints", *command]) == 2
        assert words in capsys.readouterr().err


def test_too_few_samples_say_what_to_print(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prints", "learn", TICKETS[0]]) == 2
    said = capsys.readouterr().err
    assert "expected 3 prints or more with text on them; came 1" in said
    assert "print a few drink tickets" in said


def test_a_profile_that_is_wrong_is_said_with_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "till.yaml"
    path.write_text("name: till\nitem: {}\n", encoding="utf-8")
    assert main(["prints", "read", *TICKETS, "--profile", str(path)]) == 2
    said = capsys.readouterr().err
    assert f"{path}, line 2" in said
    assert "did you mean items?" in said


def test_a_profile_that_cannot_be_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "nowhere" / "till.yaml"
    assert main(["prints", "learn", *TICKETS, "--out", str(out)]) == 2
    assert "name another place with --out" in capsys.readouterr().err


def test_what_is_said_of_a_dish_is_no_change(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    meal = tmp_path / "meal.bin"
    rows = (
        "Ticket 4",
        "Table 7    21:04",
        "1 Salt Ferry",
        "  no salt",
        "FOOD",
        "1 Pie",
        "  no salad",
    )
    meal.write_bytes("\n".join(rows).encode() + b"\n\n\x1dV\x00")
    main(["prints", "read", str(meal), "--profile", PROFILE, "--bar", BAR])
    said = capsys.readouterr().out
    assert "change     |   no salt\n" in said
    assert "of food    |   no salad\n" in said
