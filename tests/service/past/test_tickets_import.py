"""``threedeep tickets import``: nothing goes without being counted."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from service.cli import main
from service.files import SAMPLES, read_bar
from service.files.tickets import check_tickets, read_tickets
from service.past.columns import HEADINGS, Column, columns_of, plain
from solver.tickets import Channel

HOUSE = SAMPLES / "bars" / "saltmarch.yaml"
SAMPLE = SAMPLES / "past.csv"


class Imported:
    """What came of one file."""

    def __init__(self, code: int, summary: dict[str, Any], tickets: list[dict[str, Any]]) -> None:
        self.code = code
        self.summary = summary
        self.tickets = tickets

    @property
    def faults(self) -> list[str]:
        return [fault.partition(": ")[2] for fault in self.summary["faults"]]


@pytest.fixture
def take(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def run(text: str | bytes, *more: str) -> Imported:
        file, out = tmp_path / "past.csv", tmp_path / "past.jsonl"
        file.write_bytes(text.encode() if isinstance(text, str) else text)
        words = ["tickets", "import", str(file), "--bar", str(HOUSE), "--out", str(out), "--json"]
        code = main([*words, *more])
        said = capsys.readouterr()
        assert said.out, said.err
        rows = [json.loads(row) for row in out.read_text(encoding="utf-8").splitlines()]
        return Imported(code, json.loads(said.out), rows)

    return run


def test_rows_of_one_number_are_one_ticket(take: Any) -> None:
    found = take(
        "Order No,Placed At,Table,Item,Qty\n"
        "7,2027-02-12 21:04,12,Salt Ferry,2\n"
        "7,2027-02-12 21:05,12,pint of lager,1\n"
        "7,2027-02-12 22:10,12,pint of lager,1\n"
    )
    assert found.code == 0
    assert [(one["number"], one["placed_at"], len(one["lines"])) for one in found.tickets] == [
        ("7", "2027-02-12T21:04:00Z", 2),
        ("7", "2027-02-12T22:10:00Z", 1),
    ]


def test_without_numbers_one_time_at_one_place_is_one_round(take: Any) -> None:
    found = take(
        "date;time;table;drink\n"
        "12.02.2027;21:04;3;stout\n"
        "12.02.2027;21:04;3;lager\n"
        "12.02.2027;21:04;4;lager\n"
    )
    assert [(one["place"], len(one["lines"])) for one in found.tickets] == [("3", 2), ("4", 1)]
    assert [one["number"] for one in found.tickets] == ["1", "2"]


def test_what_is_empty_stands_in_the_row_above(take: Any) -> None:
    found = take(
        "ticket\tdate\ttime\tseat\tdrink\n7\t2027-02-12\t21:04\tSeat 3\tstout\n\t\t\t\tlager\n"
    )
    (ticket,) = found.tickets
    assert ticket["place"] == "Seat 3"
    assert ticket["channel"] == "bar_top"
    assert [line["recipe"] for line in ticket["lines"]] == ["stout-pint", "lager-pint"]


def test_a_minus_takes_off_what_was_ordered(take: Any) -> None:
    head = "number,placed at,drink,quantity\n7,2027-02-12 21:04,stout,3\n"
    some = take(head + "7,2027-02-12 21:06,stout,-1\n")
    assert some.tickets[0]["lines"] == [{"recipe": "stout-pint", "quantity": 2}]
    everything = take(head + "7,2027-02-12 21:06,Stout,-3\n")
    assert everything.tickets == []
    assert everything.summary["rows_taken_off"] == 2
    nothing = take(head + "8,2027-02-12 21:06,stout,-3\n")
    assert nothing.code == 1
    assert "take it off again" in nothing.faults[0]


def test_a_row_marked_void_is_in_no_ticket(take: Any) -> None:
    found = take(
        "number,placed at,drink,status,voided\n"
        "7,2027-02-12 21:04,stout,Void,\n"
        "7,2027-02-12 21:04,stout,,yes\n"
        "7,2027-02-12 21:04,lager,paid,no\n",
        "--column",
        "state=voided",
    )
    assert found.summary["rows_taken_off"] == 1
    assert found.summary["left_alone"] == ["status"]
    found = take("number,placed at,drink,status\n7,2027-02-12 21:04,stout,Voided by Mo\n")
    assert (found.summary["rows_taken_off"], found.tickets) == (1, [])


def test_a_name_off_the_menu_is_said_once_with_how_often(take: Any) -> None:
    text = "placed at,number,drink\n" + "2027-02-12 21:04,7,Coconut Barg\n" * 3
    found = take(text)
    assert found.code == 1
    assert found.summary["rows_bad"] == 3
    (fault,) = found.faults
    assert "came 'Coconut Barg'; did you mean coconut-barge" in fault
    assert fault.endswith("(and 2 more rows)")


def test_only_drinks_leaves_out_no_drink_with_a_slip_in_its_name(take: Any) -> None:
    dishes = ("Fish & chips", "Soup of the Day", "Coffee Cake", "Ginger Cake", "Olives")
    rows = "".join(f"2027-02-12 21:04,7,{name}\n" for name in ("Coco Barge", *dishes))
    found = take("placed at,number,drink\n" + rows, "--only-drinks")
    assert found.code == 1
    assert found.summary["left_out"] == dict.fromkeys(dishes, 1)
    (fault,) = found.faults
    assert "came 'Coco Barge'; did you mean coconut-barge? If it is no drink: --no-drink" in fault
    found = take("placed at,number,drink\n" + rows, "--only-drinks", "--no-drink", "coco barge")
    assert (found.code, found.summary["left_out"]["Coco Barge"]) == (0, 1)


def test_a_change_is_read_and_other_words_are_a_note(take: Any) -> None:
    found = take(
        "placed at,number,drink,modifiers,notes,allergy\n"
        "2027-02-12 21:04,7,Cold Harbour,no egg white; double,,\n"
        "2027-02-12 21:04,7,Cold Harbour,with a bow,birthday,\n"
        "2027-02-12 21:04,7,Cold Harbour,,,nuts\n"
    )
    assert [
        {k: v for k, v in line.items() if k != "recipe"} for line in found.tickets[0]["lines"]
    ] == [
        {"changes": [{"leave_out": "egg-white"}, {"double": True}]},
        {"note": "birthday; with a bow"},
        {"allergies": ["nuts"]},
    ]
    assert found.summary["lines_with_note"] == 1


@pytest.mark.parametrize(
    ("encoding", "sign"), [("utf-8", ","), ("utf-8-sig", ";"), ("utf-16", "\t"), ("cp1252", "|")]
)
def test_encodings_and_delimiters(take: Any, encoding: str, sign: str) -> None:
    rows = [["Placed at", "Drink", "Server"], ["2027-02-12 21:04", "stout", "Zoë"]]
    found = take("\r\n".join(sign.join(row) for row in rows).encode(encoding))
    assert found.tickets[0]["server"] == "Zoë"


def test_a_cell_may_hold_delimiter_and_line_end(take: Any) -> None:
    found = take(
        'placed at,drink,note,quantity\n2027-02-12 21:04,stout,"one, two\nthree",2\n'
        "2027-02-12 21:05,stout,,many\n"
    )
    assert found.tickets[0]["lines"][0]["note"] == "one, two\nthree"
    assert "line 4: expected how many" in found.summary["faults"][0]


def test_where_it_went(take: Any) -> None:
    found = take(
        "placed at,drink,place,area\n"
        "2027-02-12 21:04,stout,Table 3,\n"
        "2027-02-12 21:05,stout,T9,\n"
        "2027-02-12 21:06,stout,Stool 2,\n"
        "2027-02-12 21:07,stout,3,bar_top\n"
        "2027-02-12 21:08,stout,,\n",
        "--channel",
        "bar_top",
    )
    assert [one["channel"] for one in found.tickets] == [
        *("floor", "floor", "bar_top", "bar_top", "bar_top")
    ]
    assert found.summary["channel_assumed"] == 1


def test_columns_that_cannot_be_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "past.csv"
    words = ["tickets", "import", str(file), "--bar", str(HOUSE)]
    file.write_text("What,When\nstout,2027-02-12 21:04\n", encoding="utf-8")
    assert main(words) == 2
    said = capsys.readouterr().err
    assert "line 1: expected a column for the drink; came What, When" in said
    assert main([*words, "--column", "drink=what"]) == 0
    assert main([*words, "--column", "drink=which"]) == 2
    assert "expected the heading 'which'; came What, When" in capsys.readouterr().err
    file.write_text("Drink,Time\nstout,21:04\n", encoding="utf-8")
    assert main(words) == 2
    assert "a column for the date beside the time" in capsys.readouterr().err


@pytest.mark.parametrize(
    "text", ["", "\n\n", "placed at,number,drink\n", "drink\nstout\n", 'drink,time\n"stout,21:04\n']
)
def test_what_is_no_table(tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str) -> None:
    file = tmp_path / "past.csv"
    file.write_text(text, encoding="utf-8")
    assert main(["tickets", "import", str(file), "--bar", str(HOUSE)]) == 2
    assert "expected a" in capsys.readouterr().err


def test_the_sample_is_taken_whole(tmp_path: Path) -> None:
    out = tmp_path / "past.jsonl"
    words = ["tickets", "import", str(SAMPLE), "--bar", str(HOUSE), "--out", str(out)]
    assert main([*words, "--only-drinks"]) == 0
    tickets = read_tickets(out)
    now = tickets.rows[-1].ticket.placed_at
    assert check_tickets(tickets, read_bar(HOUSE).menu, now=now) == ()
    assert {row.ticket.channel for row in tickets.rows} == set(Channel)


def test_every_heading_is_known_once() -> None:
    words = [(plain(word), column) for column, known in HEADINGS.items() for word in known]
    assert len({word for word, _ in words}) == len(words)
    for word, column in words:
        assert columns_of([word.upper()], {}).at == {column: 0}


CELL = st.one_of(
    st.sampled_from(
        [
            *("", "7", "8", "stout", "Salt Ferry", "2", "-1", "0", "2027-02-12 21:04", "void"),
            *("2027-02-12 21:05", "Fish", "no ice", "Table 3", "Seat 2", "-2", "gin & tonic"),
        ]
    ),
    st.text(max_size=6),
)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(st.lists(CELL, min_size=1, max_size=9), max_size=8),
    st.permutations(["number", "placed at", "drink", "qty", "table", "changes", "status", "x"]),
    st.booleans(),
)
def test_every_row_is_accounted_for(
    take: Any, rows: list[list[str]], headings: list[str], is_sorted: bool
) -> None:
    assume(any(cell.strip() for row in rows for cell in row))
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(headings)
    writer.writerows(rows)
    found = take(text.getvalue(), *(["--only-drinks"] if is_sorted else []))
    said = found.summary
    parts = ("rows_in_tickets", "rows_taken_off", "rows_left_out", "rows_bad")
    assert said["rows"] == sum(said[part] for part in parts)
    assert said["rows"] <= len(rows)
    assert said["rows_in_tickets"] == sum(len(one["lines"]) for one in found.tickets)
    assert (found.code == 0) == (said["rows_bad"] == 0)


def test_a_column_of_every_kind_has_headings() -> None:
    assert set(HEADINGS) == set(Column)
