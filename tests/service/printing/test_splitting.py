"""Where a print ends: many in one stream, one in many pieces, and what a break leaves."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.printing.events import StatusRequest
from service.printing.paper import read_paper
from service.printing.profile import Ends, Paper
from service.printing.splitting import End, RawPrint, Splitter

CUT = b"\x1dVA\x03"
BY_CUT = Paper(ends=(Ends.CUT,))


def prints(splitter: Splitter, *pieces: bytes) -> list[RawPrint]:
    rows = [row for piece in pieces for row in splitter.feed(piece)]
    return [row for row in rows if isinstance(row, RawPrint)]


def test_many_tickets_in_one_piece() -> None:
    found = prints(Splitter(BY_CUT), b"one\n" + CUT + b"two\n" + CUT + b"thr")
    assert [row.data for row in found] == [b"one\n" + CUT, b"two\n" + CUT]
    assert all(row.is_whole and row.ended is End.CUT and not row.is_blank for row in found)


def test_one_ticket_in_many_pieces() -> None:
    data = b"2 Salt Ferry\n" + CUT
    (found,) = prints(Splitter(BY_CUT), *(data[at : at + 1] for at in range(len(data))))
    assert found.data == data


def test_by_form_feed() -> None:
    found = prints(Splitter(Paper(ends=(Ends.FEED,))), b"one\n\x0ctwo\n" + CUT + b"\x0c")
    assert [row.data for row in found] == [b"one\n\x0c", b"two\n" + CUT + b"\x0c"]


def test_by_quiet_time_when_the_clock_says_so() -> None:
    splitter = Splitter(Paper(ends=(Ends.QUIET,)))
    assert prints(splitter, b"one\n" + CUT, b"and its rest\n") == []
    assert splitter.is_open
    found = splitter.finish(End.QUIET)
    assert found is not None
    assert (found.data, found.is_whole) == (b"one\n" + CUT + b"and its rest\n", True)
    assert splitter.finish(End.QUIET) is None


@pytest.mark.parametrize(
    ("ends", "ended", "is_whole"),
    [
        (Ends.CUT, End.CLOSED, False),
        (Ends.CUT, End.QUIET, False),
        (Ends.CUT, End.BROKEN, False),
        (Ends.QUIET, End.CLOSED, True),
        (Ends.QUIET, End.BROKEN, False),
    ],
)
def test_what_ended_otherwise_than_tickets_do_is_not_whole(
    ends: Ends, ended: End, is_whole: bool
) -> None:
    splitter = Splitter(Paper(ends=(ends,)))
    splitter.feed(b"2 Salt Fer")
    found = splitter.finish(ended)
    assert found is not None
    assert found.is_whole is is_whole


def test_an_end_within_a_picture_is_not_whole() -> None:
    splitter = Splitter(Paper(ends=(Ends.QUIET,)))
    splitter.feed(b"gin\n\x1dv0\x00\x02\x00\x03\x00ab")
    found = splitter.finish(End.QUIET)
    assert found is not None
    assert not found.is_whole
    assert [row.data for row in prints(splitter, b"next")] == []
    again = splitter.finish(End.QUIET)
    assert again is not None
    assert again.is_whole


def test_a_cut_with_nothing_printed_ends_nothing() -> None:
    splitter = Splitter(BY_CUT)
    assert prints(splitter, b"\x1b@\n\n" + CUT) == []
    (found,) = prints(splitter, b"gin\n" + CUT)
    assert found.data == b"\x1b@\n\n" + CUT + b"gin\n" + CUT


def test_settings_alone_are_blank_and_a_drawer_pulse_is_not() -> None:
    splitter = Splitter(BY_CUT)
    splitter.feed(b"\x1b@\x1bt\x13\n")
    blank = splitter.finish(End.CLOSED)
    splitter.feed(b"\x1bp\x00\x19\xfa")
    pulse = splitter.finish(End.CLOSED)
    assert blank is not None
    assert pulse is not None
    assert (blank.is_blank, pulse.is_blank) == (True, False)


def test_requests_come_out_at_once_and_in_order() -> None:
    rows = Splitter(BY_CUT).feed(b"one" + CUT + b"\x10\x04\x01two\x10\x04\x04")
    assert [row.asked if isinstance(row, StatusRequest) else row.ended for row in rows] == [
        End.CUT,
        1,
        4,
    ]


def test_a_code_page_that_was_set_once_counts_for_the_next_print() -> None:
    splitter = Splitter(BY_CUT)
    first, second = prints(splitter, b"\x1bt\x10caf\xe9\n" + CUT + b"caf\xe9\n" + CUT)
    assert first.begins_with == b""
    assert second.begins_with == b"\x1bt\x10"
    sheet = read_paper(second.begins_with + second.data, BY_CUT)
    assert sheet.lines[0].text == "café"
    assert read_paper(second.data, BY_CUT).lines[0].text != "café"


def test_what_is_too_long_is_kept_in_part_and_counted() -> None:
    splitter = Splitter(BY_CUT, largest=100)
    (found,) = prints(splitter, b"a" * 80, b"b" * 80 + CUT)
    assert len(found.data) == 100
    assert found.dropped_bytes == 80 + 80 + len(CUT) - 100
    assert not found.is_whole
    (found,) = prints(splitter, b"next" + CUT)
    assert found.data == b"next" + CUT


@given(
    data=st.lists(
        st.one_of(st.binary(max_size=20), st.sampled_from([CUT, b"\x0c", b"gin\n", b"\x1bi"]))
    ).map(b"".join),
    cuts=st.lists(st.integers(0, 500), max_size=8),
    ends=st.sets(st.sampled_from(list(Ends)), min_size=1).map(lambda found: tuple(sorted(found))),
)
@settings(max_examples=200, deadline=None)
def test_no_byte_is_lost_wherever_the_pieces_end(
    data: bytes, cuts: list[int], ends: tuple[Ends, ...]
) -> None:
    def split(pieces: list[bytes]) -> list[bytes]:
        splitter = Splitter(Paper(ends=ends))
        found = [row.data for row in prints(splitter, *pieces)]
        last = splitter.finish(End.CLOSED)
        return found + ([last.data] if last else [])

    places = sorted({0, len(data), *(cut % (len(data) + 1) for cut in cuts)})
    whole = split([data])
    assert b"".join(whole) == data
    assert split([data[a:b] for a, b in itertools.pairwise(places)]) == whole
