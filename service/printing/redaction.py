"""Card and guest data are taken out of what screens and logs may show.

Source: ISO/IEC 7812-1, Annex B for the check digit of card numbers (the Luhn formula).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

TAKEN_OUT = "▒"
FEWEST_DIGITS = 8
"""Of a telephone number; a card number has more."""
_DIGITS = re.compile(r"(?<!\d)\d(?:[ -]?\d){12,18}(?!\d)")
_MASKED = re.compile(r"(?:[*xX•#][ -]?){4,}+\d{2,4}")
_MAIL = re.compile(r"[\w.+-]{1,64}@[\w-]{1,63}(?:\.[\w-]{1,63}){1,3}")
_PHONE = re.compile(r"(?<![\d.,:/-])(?:\+|00|0)\d(?:[ ()/-]{0,2}\d){7,13}(?![\d.,:])")


def passes_luhn(digits: str) -> bool:
    """Whether a run of digits has a card number's check digit.

    Source: ISO/IEC 7812-1, Annex B.
    """
    total = 0
    for place, digit in enumerate(reversed(digits)):
        doubled = int(digit) * (1 + place % 2)
        total += doubled - 9 if doubled > 9 else doubled
    return total % 10 == 0


def has_card(text: str) -> bool:
    """Whether a line holds a card number, whole or masked."""
    return bool(_MASKED.search(text)) or any(
        passes_luhn(re.sub(r"\D", "", found.group())) for found in _DIGITS.finditer(text)
    )


def redacted(
    text: str,
    *,
    labels: re.Pattern[str] | None = None,
    values: Iterable[str] = (),
) -> str:
    """Take card numbers, e-mail, phone numbers and named persons out of a line.

    Parameters
    ----------
    text : str
    labels : re.Pattern or None
        Of words behind which a person's data stand.
    values : iterable of str
        What else has to be taken out.
    """
    if "@" in text or sum(map(str.isdigit, text)) >= FEWEST_DIGITS:
        text = _DIGITS.sub(_card, text)
        text = _MAIL.sub(_blocks, text)
        text = _PHONE.sub(_blocks, text)
    found = labels.search(text) if labels is not None else None
    if found is not None and any(map(str.isalpha, text[found.end() :])):
        text = text[: found.end()] + _hidden(text[found.end() :])
    for value in values:
        text = text.replace(value, TAKEN_OUT * len(value))
    return text


def _card(found: re.Match[str]) -> str:
    text = found.group()
    digits = re.sub(r"\D", "", text)
    return TAKEN_OUT * (len(text) - 4) + text[-4:] if passes_luhn(digits) else text


def _blocks(found: re.Match[str]) -> str:
    return TAKEN_OUT * len(found.group())


def _hidden(text: str) -> str:
    """Hide up to the next wide gap."""
    value, gap, rest = re.match(r"(.*?)(\s{2,}|$)(.*)", text, re.DOTALL).groups()  # type: ignore[union-attr]
    return re.sub(r"\S", TAKEN_OUT, value) + gap + rest
