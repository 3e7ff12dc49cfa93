"""What a bar does with prints: where its print port listens, for whom, and how they are read."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field as Limits
from pydantic import with_config

from service.strict import STRICT, Text
from solver.errors import BadValue
from solver.tickets import Channel

from .profile import Profile

USUAL_PORT = 9100
"""Where printers listen for raw bytes; common practice."""

LOOPBACK = "127.0.0.1"
LARGEST_PORT = 65_535

Network = ipaddress.IPv4Network | ipaddress.IPv6Network


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Where something listens."""

    host: str
    port: int

    def __str__(self) -> str:
        return f"[{self.host}]:{self.port}" if ":" in self.host else f"{self.host}:{self.port}"


@with_config(STRICT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Prints:
    """What a bar does with prints.

    Attributes
    ----------
    listen : str or int
        Where the print port listens: a port alone is on this machine only (``9100``), an address
        lets tills of the network in (``192.168.10.5:9100``). Absent or ``off``: there is none.
    senders : tuple of str
        Addresses or networks of the tills; needed with an address.
    profile : Profile or None
        How the till prints. Without one, prints are kept and shown, and nothing is read.
    profile_file : str
        In a bar's file, instead of `profile`: a file beside it that holds the profile.
    forward_to : str
        A real printer that gets the same bytes: ``192.168.10.40:9100``.
    till : str
        What the till is called where its paper does not say.
    channel : Channel
        Where rounds go when neither paper nor profile says.
    follow_numbers : bool
        Say so when a number of the till is missing. Off for a till that prints some of its
        tickets elsewhere.
    keep_days : int
        Raw prints are deleted after so many days.
    """

    listen: Annotated[str | int, Limits(union_mode="left_to_right")] = ""
    senders: Annotated[tuple[Text, ...], Limits(max_length=64)] = ()
    profile: Profile | None = None
    profile_file: Text = ""
    forward_to: Text = ""
    till: Annotated[str, Limits(max_length=64)] = ""
    channel: Channel = Channel.FLOOR
    follow_numbers: bool = True
    keep_days: Annotated[int, Limits(ge=1, le=366)] = 14

    def __post_init__(self) -> None:
        self.networks  # noqa: B018 (refuses what is no network)
        address, _ = self.address, self.printer
        if address is None or self.senders:
            return
        if not ipaddress.ip_address(address.host).is_loopback:
            raise BadValue(
                f"senders beside {address}: the addresses of the tills that may print",
                "nothing",
                "anybody on the network could order drinks otherwise",
            )

    @property
    def address(self) -> Address | None:
        """Where the print port listens; None where it is off."""
        text = str(self.listen).strip()
        return address_of(text, host=LOOPBACK) if text.lower() not in ("", "off") else None

    @property
    def printer(self) -> Address | None:
        """The real printer that bytes are passed on to; None for none."""
        return address_of(self.forward_to.strip()) if self.forward_to.strip() else None

    @property
    def networks(self) -> tuple[Network, ...]:
        """Whom the port listens to."""
        return tuple(_network(text) for text in self.senders)

    def lets_in(self, sender: str) -> bool:
        """Whether somebody at an address may print."""
        if not self.senders:
            return True
        try:
            at = ipaddress.ip_address(sender.partition("%")[0])
        except ValueError:
            return False
        mapped = getattr(at, "ipv4_mapped", None)
        return any((mapped or at) in network for network in self.networks)


def address_of(text: str, *, host: str = "") -> Address:
    """Read where something listens.

    Parameters
    ----------
    text : str
        ``host:port``, ``[::1]:port``, or a port alone.
    host : str
        What a port alone stands beside; where it is empty, an address alone has the usual port.

    Raises
    ------
    BadValue
    """
    expected = f"an address and a port, such as 192.168.10.5:{USUAL_PORT}"
    before, colon, after = text.rpartition(":")
    if text.isdigit() and host:
        before, after = host, text
    elif not colon or (text.count(":") > 1 and not before.endswith("]")):
        before, after = text, str(USUAL_PORT)
    if not (after.isdigit() and 1 <= int(after) <= LARGEST_PORT):
        raise BadValue(expected, text, f"a port is a number from 1 to {LARGEST_PORT}")
    try:
        at = str(ipaddress.ip_address(before.strip("[]")))
    except ValueError:
        hint = "write the address in numbers, or the port alone for this machine only"
        raise BadValue(expected, text, hint) from None
    return Address(host=at, port=int(after))


def _network(text: str) -> Network:
    try:
        return ipaddress.ip_network(text.strip(), strict=False)
    except ValueError:
        raise BadValue("an address of a till, or a network such as 192.168.10.0/28", text) from None
