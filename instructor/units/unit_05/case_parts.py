"""Frames and packets from which the questions of unit 05 are made.

Addresses are for documentation (RFC 5737; RFC 9542, for hardware addresses).
"""

__all__ = ["EVERYBODY", "arp_frame", "ask", "ip_packet", "octets", "other", "printed", "station"]

import random
from ipaddress import IPv4Address
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_05.answers import with_checksum

EVERYBODY = b"\xff" * 6


def ask(aspect: str, *arguments: Any) -> Question:
    """Put a question whose answer no source prints."""
    return Question(aspect, arguments)


def printed(aspect: str, source: str, expected: Any, *arguments: Any) -> Question:
    """Put a question whose answer a source prints: a value, or `Expected`."""
    published = expected if isinstance(expected, Expected) else Expected(value=expected)
    return Question(aspect, arguments, source, published)


def station(number: int) -> bytes:
    """Return a hardware address."""
    return bytes([0, 0, 0x5E, 0, 0x53, number])


def octets(address: str) -> bytes:
    """Return the octets of an IP address."""
    return IPv4Address(address).packed


def arp_frame(
    sender: tuple[bytes, str],
    target: tuple[bytes, str],
    *,
    operation: int = 1,
    to: bytes = EVERYBODY,
    by: bytes | None = None,
    ether_type: int = 0x0806,
    kinds: str = "0001 0800 0604",
    padded: int = 0,
) -> bytes:
    """Build a frame with an ARP packet; `by` is the sender unless it says otherwise.

    `padded` is how many octets stand behind the packet.
    """
    start = to + (by or sender[0]) + ether_type.to_bytes(2, "big") + bytes.fromhex(kinds)
    ends = b"".join(hardware + octets(address) for hardware, address in (sender, target))
    return start + operation.to_bytes(2, "big") + ends + bytes(padded)


def ip_packet(
    carried: bytes,
    *,
    source: str = "192.0.2.1",
    destination: str = "192.0.2.2",
    protocol: int = 1,
    hops: int = 64,
    identification: int = 0,
    service: int = 0,
    fragment: int = 0,
    options: bytes = b"",
) -> bytes:
    """Put ICMP, or what another protocol carries, into a packet whose header is right."""
    length = 20 + len(options) + len(carried)
    first = (0x45 + len(options) // 4) << 8 | service
    numbers = (first, length, identification, fragment, hops << 8 | protocol, 0)
    start = b"".join(number.to_bytes(2, "big") for number in numbers)
    header = start + octets(source) + octets(destination) + options
    return with_checksum(header, 10) + carried


def other(rng: random.Random, address: str, place: int) -> str:
    """Return an address that differs in one octet."""
    parts = address.split(".")
    parts[place] = str((int(parts[place]) + rng.randint(1, 255)) % 256)
    return ".".join(parts)
