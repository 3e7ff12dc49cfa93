"""Identities: UUIDv7, so that what came later sorts later.

Source: RFC 9562 section 5.7.
"""

from __future__ import annotations

import secrets
import uuid
from datetime import datetime


def new_uuid(now: datetime) -> uuid.UUID:
    """Give a UUIDv7 of a moment: 48 bits of Unix milliseconds, 74 random bits."""
    milliseconds = int(now.timestamp() * 1000)
    value = (milliseconds & (1 << 48) - 1) << 80
    value |= 0x7 << 76 | secrets.randbits(12) << 64
    value |= 0b10 << 62 | secrets.randbits(62)
    return uuid.UUID(int=value)


def new_id(prefix: str, now: datetime) -> str:
    """Give an identity such as ``t-0190f3c2-…``."""
    return f"{prefix}-{new_uuid(now)}"
