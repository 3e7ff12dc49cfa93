"""The printer's numbers of code pages and national characters, as codecs and tables.

Numbers differ by printer: these are the common ones of ESC t, and a profile may give others.
Source: the numbers as python-escpos lists them for its default printer (from published command
references); Python's own codecs decode.
"""

from __future__ import annotations

import codecs
import re

from solver.errors import BadValue

COMMON: dict[int, str] = {
    0: "cp437",
    1: "cp932",
    2: "cp850",
    3: "cp860",
    4: "cp863",
    5: "cp865",
    13: "cp857",
    14: "cp737",
    15: "iso8859-7",
    16: "cp1252",
    17: "cp866",
    18: "cp852",
    19: "cp858",
    21: "cp874",
    32: "cp720",
    33: "cp775",
    34: "cp855",
    35: "cp861",
    36: "cp862",
    37: "cp864",
    38: "cp869",
    39: "iso8859-2",
    40: "iso8859-15",
    44: "cp1125",
    45: "cp1250",
    46: "cp1251",
    47: "cp1253",
    48: "cp1254",
    49: "cp1255",
    50: "cp1256",
    51: "cp1257",
    52: "cp1258",
}
_CODEC = re.compile(
    r"cp\d{3,4}|windows-125\d|iso[_-]?8859[_-]\d{1,2}|latin[_-]?\d{1,2}|ascii|koi8[_-][rtu]"
    r"|utf[_-]?8|gb18030|gbk|gb2312|big5|shift[_-]jis|euc[_-](?:jp|kr)|mac[_-]roman",
    re.IGNORECASE,
)

_REPLACED = "#$@[\\]^`{|}~"
COUNTRIES: dict[int, str] = {
    1: "#$à°ç§^`éùè¨",
    2: "#$§ÄÖÜ^`äöüß",
    3: "£$@[\\]^`{|}~",
    4: "#$@ÆØÅ^`æøå~",
    5: "#¤ÉÄÖÅÜéäöåü",
    6: "#$@°\\é^ùàòèì",
    7: "₧$@¡Ñ¿^`¨ñ}~",
    8: "#$@[¥]^`{|}~",
    9: "#¤ÉÆØÅÜéæøåü",
    10: "#$ÉÆØÅÜéæøåü",
    11: "#$á¡Ñ¿é`íñóú",
    12: "#$á¡Ñ¿éüíñóú",
    13: "#$@[₩]^`{|}~",
}
"""ESC R: what stands for the twelve signs ``#$@[\\]^`{|}~``. From memory of the published
references; they follow the national variants of ISO 646."""

_TABLES = {
    number: str.maketrans(dict(zip(_REPLACED, signs, strict=True)))
    for number, signs in COUNTRIES.items()
}


def check_codec(name: str) -> None:
    """Refuse what is no code page (`BadValue`)."""
    hint = "such as cp858, cp850, cp437, cp1252, iso8859-15 or utf-8"
    if not _CODEC.fullmatch(name):
        raise BadValue("a code page", name, hint)
    try:
        codecs.lookup(name)
    except LookupError:
        raise BadValue("a code page that Python knows", name, hint) from None


def decoded(raw: bytes, codec: str, country: int = 0) -> str:
    """Decode text; what the codec does not have becomes U+FFFD, never an error.

    Parameters
    ----------
    raw : bytes
    codec : str
    country : int
        The number of ESC R.
    """
    text = raw.decode(codec, errors="replace")
    table = _TABLES.get(country)
    return text.translate(table) if table else text
