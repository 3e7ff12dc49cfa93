"""Regular expressions of a profile: useful ones are taken, none of them can hang the bar."""

from __future__ import annotations

import re
from time import process_time

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.printing.patterns import LONGEST, check_pattern, whole
from service.printing.profile import SHAPES, template_pattern
from solver.errors import BadValue


@pytest.mark.parametrize(
    ("pattern", "line", "value"),
    [
        (r"ref (?P<value>\d+)", "  Ref   214 ", "214"),
        (r"(?P<value>[A-Z]\d{1,2})-.+", "b12-late", "b12"),
        (r"(?:table|seat) (?P<value>\d{1,3})(?: .*)?", "Seat 9 by the door", "9"),
        (r"(?P<value>[^\]\d]+)\d*", "Ana 4", "Ana "),
    ],
)
def test_a_pattern_is_held_against_the_whole_line(pattern: str, line: str, value: str) -> None:
    check_pattern(pattern, needs="value")
    found = whole(pattern, line)
    assert found is not None
    assert found["value"] == value
    assert whole(pattern, line + " and what nobody said ☂") is None or pattern.endswith((".+", "?"))


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        (r"(?P<value>a+)+", "within a repeat"),
        (r"(?P<value>(?:a|ab)*)", "within a repeat"),
        (r"(?P<value>(?:a*b?)*)", "within a repeat"),
        (r"((?P<value>a{1,9})x?){2,}", "within a repeat"),
        (r"(?P<value>a)\1", "back references"),
        (r"(?P<value>a)(?P=value)", "back references"),
        (r"(?i)(?P<value>a)", "flags"),
        (r"(?P<value>.*).*.*.*.*.*", "quick on any line"),
        (r"(?P<value>a", "regular expression"),
        (r"\d+", "group (?P<value>"),
        (r"(?P<value>" + "a" * 300 + ")", "at most 200 signs"),
    ],
)
def test_a_pattern_that_could_hang_or_says_nothing_is_refused(pattern: str, words: str) -> None:
    with pytest.raises(BadValue, match=re.escape(words)):
        check_pattern(pattern, needs="value")


def test_a_line_longer_than_any_paper_fits_no_pattern() -> None:
    assert whole(r"(?P<value>a*)", "a" * LONGEST) is not None
    assert whole(r"(?P<value>a*)", "a" * (LONGEST + 1)) is None


atoms = st.sampled_from(["a", "b", ".", r"\w", r"[ab]", r"[^b]", " "])
repeats = st.sampled_from(["", "*", "+", "?", "{0,9}", "{2,}", "*?", "{3}"])
pieces = st.tuples(atoms, repeats).map("".join)
grouped = st.tuples(
    st.sampled_from(["(?:", "(", "(?="]), st.lists(pieces, max_size=3).map("".join), repeats
).map(lambda parts: f"{parts[0]}{parts[1]}){parts[2]}")
choices = st.lists(st.one_of(pieces, grouped), max_size=4).map("|".join).map("(?:{})".format)


@given(parts=st.lists(st.one_of(pieces, grouped, choices), min_size=1, max_size=7))
@settings(max_examples=300, deadline=None)
def test_no_pattern_that_is_taken_takes_long(parts: list[str]) -> None:
    pattern = "(?P<value>x?)" + "".join(parts)
    try:
        check_pattern(pattern, needs="value")
    except BadValue:
        assume(False)
    for line in ("a" * LONGEST, "ab" * (LONGEST // 2), "a" * (LONGEST - 1) + "!"):
        began = process_time()
        whole(pattern, line)
        assert process_time() - began < 0.5


@pytest.mark.parametrize(
    "line",
    ["{place} {number} {time} {server}", "{server} {time}", "{any} / {server} / TILL {till}"],
)
def test_lines_of_the_head_are_quick_too(line: str) -> None:
    pattern = template_pattern(line)
    for text in ("a" * LONGEST, "1" * LONGEST, "a1 " * 32, "1 " * 48, "a " * 47 + "!", "1:" * 48):
        began = process_time()
        whole(pattern, text)
        assert process_time() - began < 0.1


@pytest.mark.parametrize("line", ["no parts at all", "{place} {place}", "{sommelier}"])
def test_a_line_of_the_head_without_known_parts_is_refused(line: str) -> None:
    with pytest.raises(BadValue):
        template_pattern(line)


def test_every_part_of_a_head_line_has_a_shape_that_compiles() -> None:
    for shape in SHAPES.values():
        re.compile(shape)
