"""What the header explorer says in words: what has changed, and what a receiver makes of it."""

__all__ = ["announced_payload", "change_in_words", "verdict"]

import functools
from collections.abc import Callable

from course_lib.figures.headers.header_fields import HeaderReading, read_header
from course_lib.figures.headers.sum_bars import sum_of
from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import HeaderLayout
from course_lib.headers.transport import ICMPHeader, TCPHeader, UDPHeader

_PARSE: dict[str, Callable[[bytes], object]] = {
    "Ethernet": EthernetHeader.parse,
    "ARP": ARPPacket.parse,
    "IPv4": functools.partial(IPv4Header.parse, verify_checksum=True),
    "ICMP": ICMPHeader.parse,
    "UDP": UDPHeader.parse,
    "TCP": TCPHeader.parse,
}


def change_in_words(before: bytes, after: bytes, layout: HeaderLayout) -> str:
    """Say which fields and which octets differ.

    >>> from course_lib.headers.layouts import UDP
    >>> change_in_words(bytes(8), bytes(5) + b"\\x0b" + bytes(2), UDP)
    'Length: 0 → 11. Octet 5: 00 → 0b.'
    """
    if before == after:
        return "Nothing has changed."
    pairs = zip(read_header(before, layout).fields, read_header(after, layout).fields, strict=False)
    fields = [f"{was.words}: {was.text} → {now.text}" for was, now in pairs if was != now]
    octets = [
        f"{place}: {was:02x} → {now:02x}"
        for place, (was, now) in enumerate(zip(before, after, strict=True))
        if was != now
    ]
    sentence, noun = "; ".join(fields), "Octet" if len(octets) == 1 else "Octets"
    return f"{sentence[:1].upper()}{sentence[1:]}. {noun} {', '.join(octets)}."


def verdict(reading: HeaderReading, octets: bytes) -> list[str]:
    """Say whether the checksum of an IPv4 header agrees, and what `parse` makes of the octets."""
    name = reading.layout.name
    return [*([_sum_in_words(reading)] if name == "IPv4" else []), _parse_in_words(name, octets)]


def announced_payload(reading: HeaderReading) -> bytes:
    """Return zeros in the place of the data of an IPv4 header that was given without any."""
    if reading.layout.name != "IPv4" or reading.problems or reading.behind:
        return b""
    return bytes(max(0, (reading.value("total_length") or 0) - len(reading.octets)))


def _sum_in_words(reading: HeaderReading) -> str:
    found = sum_of(reading)
    if found is None:
        return "The checksum cannot be checked: the header does not have the length that it states."
    return found.sentence()


def _parse_in_words(name: str, octets: bytes) -> str:
    try:
        _PARSE[name](octets)
    except PacketError as refused:
        return f"Parse refuses the header, {refused.reason}: {refused}."
    return "Parse accepts the header."
