"""Any bytes at all: no crash, no hang, no memory without bound, and no byte between two prints.

What is claimed stands in `loadtest.fuzz_prints.claims`; ``python -m loadtest.fuzz_prints`` goes on
for as long as one likes, guided by the lines of the reader that an input reaches.
"""

from __future__ import annotations

import random
import time
import tracemalloc

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadtest.fuzz_prints.claims import PROFILES, hold
from loadtest.fuzz_prints.guided import Guided, TookTooLong, time_limit
from loadtest.fuzz_prints.noise import LENGTHS, LONG_COMMANDS, WORDS, changed
from loadtest.printed import FIRST_LAYOUTS, samples
from service.printing.paper import read_paper
from service.printing.profile import Paper
from service.printing.reading import read_print
from service.printing.splitting import LARGEST_PRINT, End, Splitter

HANG_S = 20.0
"""Far more than anything here takes; what comes near it does not end."""

REAL = [one.data for layout in FIRST_LAYOUTS for one in samples(layout)]
SHORT = [data for data in REAL if len(data) < 1500]
PIECE = st.one_of(
    st.binary(max_size=12),
    st.sampled_from(WORDS),
    st.sampled_from(LONG_COMMANDS).flatmap(
        lambda lead: st.sampled_from(LENGTHS).map(lambda n: lead + n.to_bytes(4, "little"))
    ),
    st.tuples(st.sampled_from([b"\x1b", b"\x1d", b"\x10", b"\x1c"]), st.binary(max_size=4)).map(
        b"".join
    ),
)


def cut(data: bytes, places: list[int]) -> list[bytes]:
    ends = sorted(place % (len(data) + 1) for place in places)
    return [data[a:b] for a, b in zip([0, *ends], [*ends, len(data)], strict=True)]


@settings(max_examples=80, deadline=None)
@given(st.lists(PIECE, max_size=30).map(b"".join), st.lists(st.integers(0, 9999), max_size=6))
def test_any_bytes_in_any_pieces(data: bytes, places: list[int]) -> None:
    with time_limit(HANG_S):
        hold(data, cut(data, places))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32), st.sampled_from(SHORT), st.sampled_from(SHORT))
def test_real_prints_with_bytes_changed(seed: int, data: bytes, other: bytes) -> None:
    dice = random.Random(seed)
    with time_limit(HANG_S):
        hold(changed(dice, data, other))


@pytest.mark.parametrize("data", SHORT[:4], ids=range(4))
def test_a_print_cut_off_at_every_byte(data: bytes) -> None:
    with time_limit(HANG_S):
        for end in range(0, len(data), 3):
            for profile in PROFILES[:1]:
                read = read_print(data[:end], profile)
                assert len(read.lines) <= 1000


@pytest.mark.parametrize("data", SHORT[:3], ids=range(3))
def test_a_print_in_two_pieces_split_at_every_byte(data: bytes) -> None:
    paper = Paper()

    def prints(parts: list[bytes]) -> list[bytes]:
        splitter = Splitter(paper)
        found = [one for part in parts for one in splitter.feed(part)]
        last = splitter.finish(End.CLOSED)
        return [getattr(one, "data", b"") for one in found] + ([last.data] if last else [])

    whole = prints([data])
    with time_limit(HANG_S):
        for at in range(len(data)):
            assert prints([data[:at], data[at:]]) == whole


def test_guided_by_the_lines_it_reaches() -> None:
    run = Guided(claim=hold, seeds=SHORT, seed=11)
    with time_limit(3 * HANG_S):
        for _ in range(60):
            run.step()
    assert len(run.reached) > 300


@pytest.mark.parametrize(
    "piece",
    [
        *(b"\t", b"x", b" ", b"\x1b", b"\x00", b"\n", b"\r", b"x\r", b"\xff", b"*", b"# "),
        *(b"\x1bE\x01x\x1bE\x00y", b"\x1b$\x00\x00x", b"\tx", b"\x1dv0\x00\x01\x00\x01\x00x"),
        *(b"x\x0c", b"x\n\x1dV\x00", b"1 x ", b"no ", b"12:", b"1.00 ", b"(", b"no. 1 ", b"a@"),
        *(b"2 x gin, no ice, ", b"table 1 table ", b"0 ", b"- ", b"allergy ", b"x" * 95 + b"\n"),
    ],
)
def test_the_same_over_and_over_takes_no_time_to_speak_of(piece: bytes) -> None:
    data = piece * (60_000 // len(piece))
    with time_limit(HANG_S):
        for profile in PROFILES:
            read_print(data, profile)


def test_ten_megabytes_of_text_are_held_in_bounds() -> None:
    piece = (b"2 x Salt Ferry, and so on without end" * 2000)[:65_536]
    splitter = Splitter(Paper())
    tracemalloc.start()
    with time_limit(3 * HANG_S):
        for _ in range(160):
            assert splitter.feed(piece) == []
    last = splitter.finish(End.BROKEN)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert last is not None
    assert len(last.data) == LARGEST_PRINT
    assert last.dropped_bytes == 160 * 65_536 - LARGEST_PRINT
    assert not last.is_whole
    assert most < 8 * LARGEST_PRINT


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("lead", LONG_COMMANDS)
def test_a_length_that_is_a_lie_takes_no_memory(lead: bytes, length: int) -> None:
    data = lead + length.to_bytes(4, "little") + b"2 x Salt Ferry\n" * 4
    sheet = read_paper(data, Paper())
    assert sum(len(line.text) for line in sheet.lines) < 1000


def test_the_watch_itself_ends_what_hangs() -> None:
    with pytest.raises(TookTooLong), time_limit(0.05):
        time.sleep(HANG_S)
