"""What a till is told when it asks its printer how it is.

Online means: what is sent now is kept. Where nothing can be kept, the answer is that of a printer
that is off line and out of paper, which every till understands: it falls back to paper.

Source: the published command references of receipt printers, from memory; python-escpos reads
these answers in the tests.
"""

from __future__ import annotations

import re

from .events import StatusRequest

ONLINE = 0x12
"""Bits 1 and 4 are always set in an answer to DLE EOT."""
OFFLINE = 0x1A
"""Bit 3: off line."""
ERROR = 0x52
"""Bit 6: there is an error."""
PAPER_OUT = 0x72
"""Bits 5 and 6: no paper."""
PAPER_OUT_ROLL = 0x0C
NAME = b"_Three Deep\x00"

AT_ONCE = re.compile(rb"(?:\x10\x04[\x01-\x06]|\x1dr[\x01-\x0412]|\x1da.|\x1bv|\x1bu.)+", re.DOTALL)
"""Nothing but short requests: a till that looks after its printer while it prints nothing."""

_REAL_TIME = {1: (ONLINE, OFFLINE), 2: (ONLINE, ERROR), 3: (ONLINE, ERROR), 4: (ONLINE, PAPER_OUT)}


def answer(request: StatusRequest, *, is_online: bool) -> bytes:
    """Give the answer to a request; nothing where none is expected.

    Parameters
    ----------
    request : StatusRequest
    is_online : bool
        What is sent now is kept.
    """
    match request.name:
        case "DLE EOT":
            on, off = _REAL_TIME.get(request.asked, (ONLINE, ONLINE))
            return bytes((on if is_online else off,))
        case "GS r":
            is_paper = request.asked in (1, ord("1"))
            return bytes((PAPER_OUT_ROLL if is_paper and not is_online else 0,))
        case "ESC v":
            return bytes((0 if is_online else PAPER_OUT_ROLL,))
        case "ESC u":
            return b"\x00"
        case "GS a":
            return watched(is_online=is_online) if request.asked else b""
        case "GS I":
            return NAME if request.asked >= 65 else b"\x02"
        case "GS ( H" if is_online and len(request.command) >= 11:
            # "Tell me when you have come this far": what was sent before it is kept.
            return b"\x37\x22" + request.command[7:11] + b"\x00"
    return b""


def watched(*, is_online: bool) -> bytes:
    """Give the status that a printer sends by itself to who asked for it (GS a)."""
    return bytes((0x10 if is_online else 0x18, 0, 0 if is_online else PAPER_OUT_ROLL, 0))
