"""Card and guest data leave no screen; what is ordered stays."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.printing.lexicon import lexicon_of
from service.printing.profile import Profile, Redact
from service.printing.reading import read_print
from service.printing.redaction import TAKEN_OUT, has_card, passes_luhn, redacted

PERSON = lexicon_of(Profile(name="till")).person
# Numbers that no card has: the check digit is right, the first digits belong to nobody.
NUMBER = "0000 0012 3456 7897"


def test_the_check_digit() -> None:
    # A worked example of the formula, from memory; and its neighbour.
    assert passes_luhn("49927398716")
    assert not passes_luhn("49927398717")
    assert passes_luhn(NUMBER.replace(" ", ""))


@pytest.mark.parametrize(
    ("text", "left"),
    [
        (f"CARD {NUMBER}", "CARD " + TAKEN_OUT * 15 + "7897"),
        ("mail ana@saltmarch.example now", "mail " + TAKEN_OUT * 21 + " now"),
        ("+44 7700 900123", TAKEN_OUT * 15),
        ("Guest: Ana Bell   Table 4", "Guest: " + "▒▒▒ ▒▒▒▒" + "   Table 4"),
        ("Name Ana", "Name ▒▒▒"),
        ("2 x Salt Ferry   19.00", "2 x Salt Ferry   19.00"),
        ("12/02/2027 18:34:10", "12/02/2027 18:34:10"),
        ("Guest 2", "Guest 2"),
        ("Ticket 1234567890123", "Ticket 1234567890123"),
    ],
)
def test_what_is_taken_out(text: str, left: str) -> None:
    assert redacted(text, labels=PERSON) == left


def test_a_masked_number_is_known_as_a_card() -> None:
    assert has_card("**** **** **** 2216")
    assert has_card(f"CARD {NUMBER}")
    assert not has_card("2 x Salt Ferry")


def test_the_houses_own_patterns() -> None:
    profile = Profile(name="till", redact=Redact(patterns=(r"MEMBER (?P<value>\d+)",)))
    found = read_print(b"Ticket 4\n1 x Salt Ferry\nMember 4711\n", profile)
    assert found.lines[-1].preview == "Member " + TAKEN_OUT * 4
    assert found.lines[-1].text == "Member 4711"


@given(digits=st.text("0123456789", min_size=12, max_size=18), gaps=st.sampled_from(["", " ", "-"]))
@settings(max_examples=200)
def test_no_number_with_a_right_check_digit_is_shown(digits: str, gaps: str) -> None:
    last = next(one for one in "0123456789" if passes_luhn(digits + one))
    number = gaps.join((digits + last)[at : at + 4] for at in range(0, len(digits) + 1, 4))
    shown = redacted(f"paid by {number} thank you")
    assert number not in shown
    assert sum(map(str.isdigit, shown)) <= 4
