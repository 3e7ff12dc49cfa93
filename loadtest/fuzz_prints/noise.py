"""Bytes that a bad cable, a broken driver or somebody with bad manners sends to a printer."""

from __future__ import annotations

import random
import struct

LEADS = (b"\x1b", b"\x1d", b"\x10", b"\x1c", b"\x12", b"\x18", b"\x0c", b"\x1b@")
LETTERS = (
    b"!#$%&()*+-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ\\]^_abcdefghijklmnopqrstuvwxyz{|}~"
)
LONG_COMMANDS = (
    *(b"\x1dv0\x00", b"\x1d(L", b"\x1d(k", b"\x1d8L", b"\x1d*", b"\x1b*\x00", b"\x1b*\x21"),
    *(b"\x1c(A", b"\x1dk\x49", b"\x1dk\x02", b"\x1b&\x03", b"\x1bD", b"\x1dQ0\x00", b"\x1d(E"),
    *(b"\x1cq", b"\x1cg1", b"\x1d(C", b"\x1b(Y", b"\x1bX", b"\x1d:", b"\x1c2"),
)
"""Commands that say how long they are, or end by a sign."""
LENGTHS = (0, 1, 2, 3, 255, 256, 0x7FFF, 0x8000, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF)
WORDS = (
    *(b"2 x Salt Ferry\n", b"TABLE 12\n", b"no egg white\n", b"** VOID **\n", b"REPRINT\n"),
    *(b"No. 214  21:04\n", b"ALLERGY nuts\n", b"\n", b"\r\n", b"\r", b"\t", b" " * 60, b"12.50"),
    *(b"999999999999 x Gin\n", b"-2 Gin & Tonic\n", b"Total 12.50\n", b"\xd5\x80\xff", b"0 x "),
    *(b"99/99/9999 99:99\n", b"00:00\n", b"12/02/27\n", b"((((((((((", b"x" * 200, b"- " * 30),
)


def noise(dice: random.Random, longest: int = 400) -> bytes:
    """Make up bytes with some of a printer's grammar in them."""
    made = bytearray()
    while len(made) < dice.randint(1, longest):
        match dice.randrange(8):
            case 0:
                made += dice.randbytes(dice.randint(1, 12))
            case 1 | 2:
                made += dice.choice(WORDS)
            case 3:
                made += dice.choice(LEADS) + bytes((dice.choice(LETTERS),))
            case 4:
                made += dice.choice(LEADS) + dice.randbytes(dice.randint(1, 4))
            case 5 | 6:
                made += dice.choice(LONG_COMMANDS) + lie(dice)
                made += dice.randbytes(dice.randint(0, 40))
            case _:
                made += bytes((dice.randrange(256),)) * dice.randint(1, 80)
    return bytes(made)


def lie(dice: random.Random) -> bytes:
    """Give a length that is not true, as printers take them."""
    length = dice.choice(LENGTHS)
    form = dice.choice(("<H", "<I", "<HH", "<B"))
    match form:
        case "<HH":
            return struct.pack("<HH", length & 0xFFFF, dice.choice(LENGTHS) & 0xFFFF)
        case "<I":
            return struct.pack("<I", length)
        case "<H":
            return struct.pack("<H", length & 0xFFFF)
    return struct.pack("<B", length & 0xFF)


def changed(dice: random.Random, data: bytes, other: bytes = b"", longest: int = 8000) -> bytes:
    """Give bytes with a few things changed: flipped, cut off, doubled, grown together."""
    made = bytearray(data)
    for _ in range(dice.randint(1, 6)):
        at = dice.randrange(len(made) + 1)
        to = min(len(made), at + dice.randint(0, 30))
        match dice.randrange(9):
            case 0 if made:
                made[at % len(made)] = dice.randrange(256)
            case 1 if made:
                made[at % len(made)] ^= 1 << dice.randrange(8)
            case 2:
                del made[at:to]
            case 3:
                made[at:at] = noise(dice, 30)
            case 4:
                made[at:at] = made[at:to] * dice.randint(1, 20)
            case 5:
                made[at:to] = lie(dice)
            case 6:
                made[at:at] = dice.choice(LONG_COMMANDS) + lie(dice)
            case 7 if other:
                made[at:to] = other[dice.randrange(len(other)) :][:200]
            case _:
                del made[at:]
    return bytes(made[:longest])


def pieces(dice: random.Random, data: bytes) -> list[bytes]:
    """Cut bytes into pieces, as a network does."""
    cuts = sorted(dice.randint(0, len(data)) for _ in range(dice.randint(0, 12)))
    return [data[a:b] for a, b in zip([0, *cuts], [*cuts, len(data)], strict=True)]
