"""IPv4 and hardware addresses as text, and back.

On the wire an IPv4 address is a 32-bit number and a hardware address is six octets, and that is
how the header types hold them. People read and write text; these four functions go between.

The way from text is strict, because a router that guesses delivers to the wrong place. "010.0.0.1"
is refused: some programs read a leading zero as octal and arrive at 8.0.0.1, others at 10.0.0.1
(RFC 6943, section 3.1.1, tells how such readings differ).
"""

__all__ = ["ipv4_from_text", "ipv4_to_text", "mac_from_text", "mac_to_text"]

import re

_DECIMAL_OCTET = re.compile(r"0|[1-9][0-9]{0,2}")
_MAC = re.compile(r"[0-9a-f]{2}(?:(:[0-9a-f]{2}){5}|(-[0-9a-f]{2}){5})", re.IGNORECASE)
_LARGEST_IPV4 = 0xFFFFFFFF
_MAC_OCTETS = 6


def ipv4_from_text(text: str) -> int:
    """Return the number that a dotted IPv4 address stands for.

    Raises `ValueError` unless `text` is four decimal numbers from 0 to 255 with no leading zero.

    >>> hex(ipv4_from_text("192.0.2.1"))
    '0xc0000201'
    """
    parts = text.split(".")
    if len(parts) != 4:
        raise ValueError(f"IPv4 address {text!r} has {len(parts)} parts, must have 4, as 192.0.2.1")
    address = 0
    for place, part in enumerate(parts, start=1):
        if not _DECIMAL_OCTET.fullmatch(part) or int(part) > 255:
            raise ValueError(
                f"IPv4 address {text!r}: part {place} is {part!r}, "
                "must be a number from 0 to 255 without leading zeros"
            )
        address = address << 8 | int(part)
    return address


def ipv4_to_text(address: int) -> str:
    """Return an IPv4 address in dotted form.

    >>> ipv4_to_text(0xC0000201)
    '192.0.2.1'
    """
    if not 0 <= address <= _LARGEST_IPV4:
        raise ValueError(f"IPv4 address must be 0 to {_LARGEST_IPV4} (32 bits), not {address}")
    return ".".join(str(octet) for octet in address.to_bytes(4, "big"))


def mac_from_text(text: str) -> bytes:
    """Return the six octets of a hardware address, written with colons or with hyphens.

    Raises `ValueError` unless `text` is six pairs of hexadecimal digits with one separator.

    >>> mac_from_text("00:00:5e:00:53:01").hex()
    '00005e005301'
    """
    if not _MAC.fullmatch(text):
        raise ValueError(
            f"hardware address {text!r} must be six pairs of hexadecimal digits, "
            "as 00:00:5e:00:53:01 or 00-00-5E-00-53-01"
        )
    return bytes.fromhex(text.replace(text[2], ""))


def mac_to_text(address: bytes) -> str:
    """Return a hardware address as pairs of hexadecimal digits with colons.

    >>> mac_to_text(bytes.fromhex("00005e005301"))
    '00:00:5e:00:53:01'
    """
    if len(address) != _MAC_OCTETS:
        raise ValueError(f"hardware address must have 6 octets, not {len(address)}")
    return address.hex(":")
