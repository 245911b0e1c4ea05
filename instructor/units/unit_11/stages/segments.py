"""Packets from which the questions of 11.1 are made.

Addresses are for documentation (RFC 5737); all checksums of IPv4 headers are right.
"""

__all__ = ["NETS", "Flow", "back", "draw_flow", "echo", "fragment", "segment", "udp"]

import random
from ipaddress import IPv4Address
from typing import NamedTuple

from course_lib.headers import ICMPHeader, IPv4Header, TCPHeader, UDPHeader

ACK, NO_OPERATION = 0x10, b"\x01"
ICMP, TCP, UDP = 1, 6, 17
NETS = ("192.0.2", "198.51.100", "203.0.113")


class Flow(NamedTuple):
    """Who sends to whom."""

    source: str = "192.0.2.1"
    source_port: int = 50001
    destination: str = "198.51.100.2"
    destination_port: int = 80


def draw_flow(rng: random.Random) -> Flow:
    """Draw two hosts and two ports."""
    one, other = rng.sample(NETS, 2)
    return Flow(
        f"{one}.{rng.randint(1, 254)}",
        rng.randint(49_152, 65_000),
        f"{other}.{rng.randint(1, 254)}",
        rng.choice((21, 25, 80, 110, 443, 993)),
    )


def back(flow: Flow) -> Flow:
    """Return the flow of the same connection that goes the other way."""
    return Flow(flow.destination, flow.destination_port, flow.source, flow.source_port)


def segment(
    flow: Flow,
    octets: int = 3,
    *,
    sequence: int = 1,
    control_bits: int = ACK,
    ip_options: int = 0,
    tcp_options: int = 0,
    padding: int = 0,
    flags: int = 0,
    service: int = 0,
) -> bytes:
    """Build a packet with a TCP segment that carries so many octets; options are in words."""
    header = TCPHeader(
        flow.source_port, flow.destination_port, sequence, 1, 0, control_bits, 8192, 0, 0,
        4 * tcp_options * NO_OPERATION,
    )  # fmt: skip
    carried = header.build() + b"f" * octets
    options = 4 * ip_options * NO_OPERATION
    packet = _packet(flow, TCP, carried, flags=flags, options=options, service=service)
    return packet + bytes(padding)


def udp(flow: Flow, octets: int = 12) -> bytes:
    """Build a packet with a UDP datagram."""
    header = UDPHeader(flow.source_port, flow.destination_port, 8 + octets, 0)
    return _packet(flow, UDP, header.build() + bytes(octets))


def echo(flow: Flow, number: int) -> bytes:
    """Build a packet with an ICMP echo between the same two hosts."""
    data = bytes(12)
    return _packet(flow, ICMP, ICMPHeader(8, 0, 0, number).with_checksum(data).build() + data)


def fragment(flow: Flow, units: int) -> bytes:
    """Build a later fragment of a TCP segment, from so many units of 8 octets on: only zeros."""
    return _packet(flow, TCP, bytes(24), offset=units)


def _packet(
    flow: Flow,
    protocol: int,
    carried: bytes,
    *,
    flags: int = 0,
    offset: int = 0,
    options: bytes = b"",
    service: int = 0,
) -> bytes:
    length = 20 + len(options) + len(carried)
    source, destination = int(IPv4Address(flow.source)), int(IPv4Address(flow.destination))
    header = IPv4Header(
        service, length, 0, flags, offset, 64, protocol, 0, source, destination, options
    ).with_checksum()
    return bytes(header.build() + carried)
