"""Addresses as text, and back: IPv4, IPv6, and hardware addresses.

On the wire an IPv4 address is a 32-bit number and a hardware address is six octets, and that is
how all of the library holds them: so masks and ranges are arithmetic. People read and write text;
these four functions go between.

The way from text is strict, because a router that guesses delivers to the wrong place. "010.0.0.1"
is refused: some programs read a leading zero as octal and arrive at 8.0.0.1, others at 10.0.0.1
(RFC 6943, section 3.1.1, tells how such readings differ). IPv6 text is left to Python's
`ipaddress`.
"""

__all__ = [
    "IPV4_BITS",
    "IPV6_BITS",
    "PrefixError",
    "check_address",
    "check_family",
    "format_address",
    "format_mac",
    "parse_address",
    "parse_mac",
]

import ipaddress
import re
from functools import lru_cache

IPV4_BITS = 32  # RFC 791, section 2.3
IPV6_BITS = 128  # RFC 4291, section 2

_DECIMAL_OCTET = re.compile(r"0|[1-9][0-9]{0,2}")
_MAC = re.compile(r"[0-9a-f]{2}(?:(:[0-9a-f]{2}){5}|(-[0-9a-f]{2}){5})", re.IGNORECASE)
_MAC_OCTETS = 6


class PrefixError(ValueError):
    """An address, mask or prefix that means nothing; the message says where and why."""


def parse_address(text: str, bits: int | None = None) -> int:
    """Return the number of the address `text`; with a colon in it, IPv6 is meant.

    bits: 32 or 128 where only one of the two families will do.

    >>> parse_address("192.0.2.1"), parse_address("2001:db8::1") >> 96 == 0x20010DB8
    (3221225985, True)
    """
    is_ipv6 = ":" in text if bits is None else bits == IPV6_BITS
    return _parse_ipv6(text) if is_ipv6 else _parse_ipv4(text)


def format_address(address: int, bits: int = IPV4_BITS) -> str:
    """Write `address` as people do: dotted decimal, or for IPv6 as in RFC 5952.

    >>> format_address(0xCB007105)
    '203.0.113.5'
    """
    check_family(bits)
    check_address(address, bits)
    if bits == IPV6_BITS:
        return str(ipaddress.IPv6Address(address))
    return _dotted(address)


@lru_cache(maxsize=4096)  # a picture that is drawn ten times a second writes the same few
def _dotted(address: int) -> str:
    return ".".join(map(str, address.to_bytes(4, "big")))


def parse_mac(text: str) -> bytes:
    """Return the six octets of a hardware address, written with colons or with hyphens.

    Raises `ValueError` unless `text` is six pairs of hexadecimal digits with one separator.

    >>> parse_mac("00:00:5e:00:53:01").hex()
    '00005e005301'
    """
    if not _MAC.fullmatch(text):
        raise ValueError(
            f"hardware address {text!r} must be six pairs of hexadecimal digits, "
            "as 00:00:5e:00:53:01 or 00-00-5E-00-53-01"
        )
    return bytes.fromhex(text.replace(text[2], ""))


def format_mac(address: bytes) -> str:
    """Return a hardware address as pairs of hexadecimal digits with colons.

    >>> format_mac(bytes.fromhex("00005e005301"))
    '00:00:5e:00:53:01'
    """
    if len(address) != _MAC_OCTETS:
        raise ValueError(f"hardware address must have 6 octets, not {len(address)}")
    return address.hex(":")


def check_family(bits: int) -> None:
    """Raise PrefixError for a length that no address has."""
    if bits not in (IPV4_BITS, IPV6_BITS):
        raise PrefixError(f"an address has 32 bits (IPv4) or 128 (IPv6), not {bits}")


def check_address(address: int, bits: int) -> None:
    """Raise PrefixError unless the number is an address of that many bits."""
    if address >> bits:  # also true of negative numbers, which stay below zero however far shifted
        raise PrefixError(f"address must be 0 to 2**{bits} - 1, not {address}")


def _parse_ipv4(text: str) -> int:
    parts = text.split(".")
    if len(parts) != 4:
        raise PrefixError(
            f"IPv4 address {text!r} has {len(parts)} parts, must have 4, as 192.0.2.1"
        )
    address = 0
    for place, part in enumerate(parts, start=1):
        # Not `int(part)` alone: it would take "+1", " 1", "1_0" and the digits of other scripts.
        if not _DECIMAL_OCTET.fullmatch(part) or int(part) > 255:
            raise PrefixError(
                f"IPv4 address {text!r}: part {place} is {part!r}, "
                "must be a number from 0 to 255 without leading zeros"
            )
        address = address << 8 | int(part)
    return address


def _parse_ipv6(text: str) -> int:
    if "%" in text:
        raise PrefixError(f"{text!r} names a zone behind '%': a prefix is the same in all zones")
    try:
        return int(ipaddress.IPv6Address(text))
    except ValueError as error:
        raise PrefixError(str(error)) from error
