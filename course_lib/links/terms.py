"""What the room tells an end of a link: who it is, where the other machine is, and the limits.

It is plain data, so that it goes anywhere: through the room's channel as JSON, into the process of
a router. What comes in is looked at field by field: `TermsError` says which one is wrong.
"""

__all__ = ["Address", "LinkTerms", "TermsError", "frame_octets", "inner_mtu_for"]

import ipaddress
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from typing import Any

from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.links.datagrams import OVERHEAD_OCTETS

Address = tuple[str, int]
"""An IP address as text, and a UDP port."""

OUTER_MTU = 1500
RATE_BITS_PER_S = 2e6
MOST_RATE_BITS_PER_S = 100e6
KEEP_ALIVE_S = 2.0
MOST_ADDRESSES = 4  # a machine with a cable and a radio, each with two versions of IP
_SMALLEST_MTU = 68  # RFC 791, section 3.2: every link carries so much
_LARGEST_MTU = 9000
_IP_AND_UDP_OCTETS = {4: 20 + 8, 6: 40 + 8}  # RFC 791, RFC 8200, RFC 768


class TermsError(ValueError):
    """Terms that no link can have; the message names the field."""


@dataclass(frozen=True, slots=True)
class LinkTerms:
    """The terms of one end.

    number: of the link, in this room. end: which end we are, 0 or 1. port: of our own UDP socket.
    addresses: those of the other machine that the room handed out; none as long as it is not known.
    ports_may_change: whether the other machine may send from another port of these addresses, as it
    does behind a translator of addresses (RFC 4787). The room says so where it has seen one.

    >>> LinkTerms(7, 0, 5000, (("192.0.2.8", 5001),)).to_plain()["addresses"]
    [['192.0.2.8', 5001]]
    """

    number: int
    end: int
    port: int
    addresses: tuple[Address, ...] = ()
    inner_mtu: int = 1400
    rate_bits_per_s: float = RATE_BITS_PER_S
    keep_alive_s: float = KEEP_ALIVE_S
    ports_may_change: bool = False

    def __post_init__(self) -> None:
        """Look at each field; raises `TermsError`."""
        _check("number", _is_whole(self.number, 0, 2**32 - 1), "a whole number of 32 bits", self)
        _check("end", _is_whole(self.end, 0, 1), "0 or 1", self)
        _check("port", _is_whole(self.port, 1, 65535), "1 to 65535", self)
        allowed = f"{_SMALLEST_MTU} to {_LARGEST_MTU} octets"
        _check("inner_mtu", _is_whole(self.inner_mtu, _SMALLEST_MTU, _LARGEST_MTU), allowed, self)
        allowed = f"1000 to {MOST_RATE_BITS_PER_S:g} bit/s"
        is_rate = _is_number(self.rate_bits_per_s, 1000, MOST_RATE_BITS_PER_S)
        _check("rate_bits_per_s", is_rate, allowed, self)
        _check("keep_alive_s", _is_number(self.keep_alive_s, 0.1, 60), "0.1 to 60 s", self)
        _check("ports_may_change", isinstance(self.ports_may_change, bool), "true or false", self)
        _check(
            "addresses", len(self.addresses) <= MOST_ADDRESSES, f"{MOST_ADDRESSES} at most", self
        )
        object.__setattr__(self, "addresses", tuple(map(_checked, self.addresses)))

    @property
    def other_end(self) -> int:
        """Return 1 for end 0, and 0 for end 1."""
        return 1 - self.end

    def to_plain(self) -> dict[str, Any]:
        """Return it as what JSON can hold."""
        return asdict(self) | {"addresses": [list(each) for each in self.addresses]}

    @classmethod
    def from_plain(cls, data: Any) -> "LinkTerms":
        """Return the terms that `to_plain` gave; raises `TermsError` for anything else."""
        if not isinstance(data, Mapping):
            raise TermsError(f"terms of a link are a table of fields, not {type(data).__name__}")
        known = {each.name for each in fields(cls)}
        if strange := sorted(set(data) - known):
            raise TermsError(f"terms of a link have no field {strange[0]!r}")
        if missing := sorted({"number", "end", "port"} - set(data)):
            raise TermsError(f"terms of a link need the field {missing[0]!r}")
        addresses = data.get("addresses", ())
        if not isinstance(addresses, Sequence) or isinstance(addresses, str):
            raise TermsError("addresses must be a list of [address, port]")
        return cls(**{**data, "addresses": tuple(addresses)})


def inner_mtu_for(outer_mtu: int = OUTER_MTU, version: int = 4) -> int:
    """Return the largest packet inside, so that what is sent outside is never cut into fragments.

    version: of IP outside, 4 or 6.

    >>> inner_mtu_for(1500), inner_mtu_for(1280, version=6)
    (1428, 1188)
    """
    return outer_mtu - _IP_AND_UDP_OCTETS[version] - OVERHEAD_OCTETS - ETHERNET_OCTETS


def frame_octets(terms: LinkTerms) -> int:
    """Return how long the longest frame is that the link carries."""
    return terms.inner_mtu + ETHERNET_OCTETS


def _checked(address: Any) -> Address:
    """Return an address in the one way of writing it, if a single machine can have it."""
    try:
        text, port = address
        found = ipaddress.ip_address(text)
    except (TypeError, ValueError):
        raise TermsError(f"addresses must be pairs of address and port, not {address!r}") from None
    if not _is_whole(port, 1, 65535):
        raise TermsError(f"addresses: the port of {text} must be 1 to 65535, not {port!r}")
    if found.is_multicast or found.is_unspecified or found == _ALL_HOSTS:
        raise TermsError(f"addresses: {text} is not the address of one machine")
    return str(found), port


_ALL_HOSTS = ipaddress.ip_address("255.255.255.255")


def _check(field: str, is_allowed: bool, allowed: str, terms: LinkTerms) -> None:
    if not is_allowed:
        raise TermsError(f"{field} must be {allowed}, not {getattr(terms, field)!r}")


def _is_whole(value: object, least: int, most: int) -> bool:
    return type(value) is int and least <= value <= most


def _is_number(value: object, least: float, most: float) -> bool:
    return isinstance(value, int | float) and type(value) is not bool and least <= value <= most
