"""Public questions about the IPv4 header (exercises 1.3 and 1.4).

In one aspect only do the two addresses differ, and so do time to live and protocol; elsewhere who
takes the one for the other loses nothing.
"""

__all__ = ["FRAGMENT_FIELDS", "PARSE_PACKET"]

from typing import Any

from instructor.units.items import Question
from instructor.units.unit_01.case_parts import (
    EXAMPLE_3,
    MAST,
    PLOVER,
    REED_PIER,
    RFC_791,
    RFC_791_3,
    RFC_2113,
    ROUTER_ALERT,
    ask,
    octets,
    packet,
)

RFC_791_1 = "RFC 791, appendix A, example 1"
RFC_791_2 = "RFC 791, appendix A, example 2"

FRAGMENT_FIELDS = (
    ask("flags", 0x0000, source=RFC_791_1, gives=(False, False, 0)),
    ask("flags", 0x4000, source=RFC_791, gives=(True, False, 0)),
    ask("flags", 0x2000, source=RFC_791_2 + ", first fragment", gives=(False, True, 0)),
    ask("flags", 0x6000, gives=(True, True, 0)),
    ask("flags", 0x8000, source=RFC_791 + ": bit 0 is reserved", gives=(False, False, 0)),
    ask("flags", 0xA000, gives=(False, True, 0)),
    ask("first octet", 0x0001, source=RFC_791 + ": units of 8 octets", gives=(False, False, 8)),
    ask("first octet", 0x0003, gives=(False, False, 24)),
    ask("first octet", 0x0020, source=RFC_791_2 + ", second fragment", gives=(False, False, 256)),
    ask("first octet", 0x0172, gives=(False, False, 2960)),
    ask("first octet", 0x1000, gives=(False, False, 32768)),
    ask(
        "first octet",
        0x1FFF,
        source="RFC 791, section 3.2: 8192 fragments of 8 octets",
        gives=(False, False, 8191 * 8),
    ),
    ask("first octet", 0x6001, gives=(True, True, 8)),
    ask("first octet", 0xE0B9, gives=(True, True, 1480)),
    ask("first octet", 0x7000, gives=(True, True, 32768)),
)

# Example 1 of RFC 791 prints version 4, header length 5, total length 21, identification 111, time
# to live 123 and protocol 1; type of service, addresses and data are added here.
EXAMPLE_1 = octets("45000015 006f0000 7b01d922 c6336421 cb007101") + b"A"
LIMITS = "options and lengths"


def _fields(
    payload: bytes,
    options: bytes = b"",
    ends: tuple[str, str] = (MAST, MAST),
    life_and_protocol: tuple[int, int] = (17, 17),
) -> dict[str, Any]:
    return {
        "source": ends[0],
        "destination": ends[1],
        "protocol": life_and_protocol[1],
        "time_to_live": life_and_protocol[0],
        "options": options,
        "payload": payload,
    }


def _whole(payload: bytes, **others: Any) -> Question:
    return ask("fields", packet(payload, **others), gives=_fields(payload, **others))


def _with_rest(
    payload: bytes, options: bytes, rest: bytes, source: str = "written for this course"
) -> Question:
    given = packet(payload, options) + rest
    return ask(LIMITS, given, source=source, gives=_fields(payload, options))


PARSE_PACKET = (
    ask(
        "fields",
        EXAMPLE_1,
        source=RFC_791_1 + " (addresses and data added)",
        gives=_fields(b"A", b"", (REED_PIER, PLOVER), (123, 1)),
    ),
    ask(
        "fields",
        octets("4500001e 00010000 40111478 c6336421 cb007101 03e807d0 000affff 07eb"),
        source="RFC 791, section 3.1, and RFC 768; written out by hand",
        gives=_fields(octets("03e807d0 000affff 07eb"), b"", (REED_PIER, PLOVER), (64, 17)),
    ),
    _whole(b"Plover " * 40, ends=("203.0.113.255", "192.0.2.0"), life_and_protocol=(255, 0)),
    _whole(b"ahoy"),
    _whole(b"ahoy", ends=(REED_PIER, PLOVER)),
    _whole(b"ahoy", ends=("192.0.2.9", "203.0.113.10")),
    _whole(b"ahoy", life_and_protocol=(1, 6)),
    _whole(b"ahoy", life_and_protocol=(0, 255)),
    _with_rest(b"AB", ROUTER_ALERT, b"", RFC_2113),
    _with_rest(b"A", b"", b"\x00\x00\x00"),
    _with_rest(
        b"ahoy",
        b"",
        bytes(22),
        "RFC 894: padding is not part of the packet and not in its total length",
    ),
    _with_rest(b"A", b"", b"Plover"),
    _with_rest(b"A\x00\x00", b"", b""),
    _with_rest(b"\x00\x00", b"", b"\x00"),
    _with_rest(b"ahoy", octets("9e03a100"), b"", RFC_791),
    _with_rest(b"ahoy", octets("9e06a1b2c3d4 0101"), b""),
    _with_rest(b"ahoy", EXAMPLE_3, b"\x00\x00", RFC_791_3),
    _with_rest(b"A", bytes(range(1, 41)), b""),
    ask(LIMITS, packet(b"A", total=19), refused=True),
    ask(LIMITS, packet(b"A", total=0), refused=True),
    ask(LIMITS, packet(b"ahoy", ROUTER_ALERT, total=21), refused=True),
    ask(LIMITS, packet(b"ahoy", EXAMPLE_3, total=31), refused=True),
    ask(LIMITS, packet(b"A", first=0x4F), refused=True),
    _with_rest(b"", octets("9e04a1b2"), b""),
    _with_rest(b"", octets("9e06a1b2c3d4 0101"), b"\x00"),
    ask("refusals", packet(b""), gives=_fields(b"")),
    ask("refusals", packet(b"A"), gives=_fields(b"A")),
    ask("refusals", packet(life_and_protocol=(6, 6)), gives=_fields(b"", life_and_protocol=(6, 6))),
    ask("refusals", b"", refused=True),
    ask("refusals", packet()[:3], refused=True),
    ask("refusals", packet(b"A")[:19], refused=True),
    ask("refusals", packet(b"A", first=0x65), refused=True),
    ask("refusals", packet(b"A", first=0x55), refused=True),
    ask("refusals", packet(b"A", first=0x05), refused=True),
    ask("refusals", packet(b"A", first=0x54), refused=True),
    ask("refusals", packet(b"ahoy", first=0x54), refused=True),
    ask("refusals", packet(b"A", first=0x44), source=RFC_791 + ": at least 5", refused=True),
    ask("refusals", packet(b"A", first=0x40), refused=True),
    ask("refusals", packet(b"A", total=22), refused=True),
    ask("refusals", packet(b"A", total=0x1500), refused=True),
)
