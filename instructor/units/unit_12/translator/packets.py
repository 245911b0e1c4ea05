"""Packets for the questions of 12.4, as octets, with checksums that are right unless asked."""

__all__ = ["TCP", "UDP", "End", "error", "packet", "that_comes_out_as_zero"]

import struct

from course_lib.checksum import checksum

UDP, TCP, ICMP = 17, 6, 1
End = tuple[str, int]  # an address and a port


def packet(
    protocol: int,
    source: End,
    destination: End,
    data: bytes = b"crossing",
    *,
    damage: int = 0,
    summed: bool = True,
    service: int = 0,
) -> bytes:
    """Return a packet from one end to another.

    `damage` is added to the checksum of TCP or UDP; UDP that is not `summed` has none.
    """
    ends = _octets(source[0]) + _octets(destination[0])
    ports = struct.pack(">HH", source[1], destination[1])
    if protocol == UDP:
        front, behind = ports + struct.pack(">H", 8 + len(data)), data
    else:
        front, behind = ports + bytes.fromhex("00000001 00000001 50180800"), bytes(2) + data
    length = len(front) + 2 + len(behind)
    covered = ends + struct.pack(">HH", protocol, length) + front + behind
    found = (checksum(covered + bytes(len(covered) % 2)) + damage) % 0xFFFF
    if protocol == UDP:
        found = (found or 0xFFFF) if summed else 0
    return _header(protocol, ends, length, service) + front + found.to_bytes(2, "big") + behind


def that_comes_out_as_zero(
    source: End, translated: End, destination: End, protocol: int = UDP
) -> bytes:
    """Return a packet whose UDP or TCP checksum is 0 once its source is the translated one."""
    at = 26 if protocol == UDP else 36
    word = packet(protocol, translated, destination, bytes(2))[at : at + 2]
    return packet(protocol, source, destination, word)


def error(
    kind: int, code: int, router: str, destination: str, quoted: bytes, octets: int = 28
) -> bytes:
    """Return an ICMP error about a packet, with so many octets of it; its MTU, if any, is 1400."""
    rest = struct.pack(">HH", 0, 1400 if (kind, code) == (3, 4) else 0)
    body = rest + quoted[:octets]
    front = bytes([kind, code])
    found = checksum(front + body).to_bytes(2, "big")
    ends = _octets(router) + _octets(destination)
    return _header(ICMP, ends, 4 + len(body), 0) + front + found + body


def _header(protocol: int, ends: bytes, payload_octets: int, service: int) -> bytes:
    front = struct.pack(">BBHHHBB", 0x45, service, 20 + payload_octets, 0, 0, 61, protocol)
    return front + checksum(front + ends).to_bytes(2, "big") + ends


def _octets(address: str) -> bytes:
    return bytes(int(part) for part in address.split("."))
