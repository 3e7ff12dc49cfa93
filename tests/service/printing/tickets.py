"""Small prints written by hand, for tests about reading them."""

from __future__ import annotations

from service.printing.prints import Item, Print, Role
from service.printing.profile import Paper, Profile
from service.printing.reading import read_print

HEAD = ("Ticket 214            Table 12", "Server: Ana              21:04", "-" * 32)
CUT = b"\x1dVA\x00"


def bytes_of(*lines: str) -> bytes:
    """Print lines as they are, on a printer of code page 858."""
    return b"\x1b@\x1bt\x13" + "".join(f"{line}\n" for line in lines).encode("cp858") + CUT


def profile(**parts: object) -> Profile:
    """Give a till that prints 32 wide, but for what is said."""
    parts.setdefault("paper", Paper(width=32))
    return Profile(name="till", **parts)  # type: ignore[arg-type]


def read(*lines: str, till: Profile | None = None) -> Print:
    """Read a ticket with the usual head."""
    return read_print(bytes_of(*HEAD, *lines), till or profile())


def only(found: Print) -> Item:
    """Give the one item there is."""
    (item,) = found.items
    return item


def roles(found: Print) -> list[Role]:
    """Give the roles of the lines below the usual head."""
    return [line.role for line in found.lines[len(HEAD) :]]
