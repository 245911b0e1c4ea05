"""Public questions about options and lengths (exercises 1.5 and 1.6).

Options that end with the octets, fillers, and what stands behind type 0 come in one aspect only;
so do addresses and ports that differ. Elsewhere who takes the one for the other loses nothing.
"""

__all__ = ["BUILD_PACKET", "LIST_OPTIONS"]

from typing import Any

from course_lib.ferry.address_plan import ADDRESSES
from instructor.units.items import Question
from instructor.units.unit_01.case_parts import (
    EXAMPLE_3,
    MAST,
    RFC_768,
    RFC_791,
    RFC_791_3,
    RFC_2113,
    ROUTER_ALERT,
    ask,
    octets,
)


def _listed(aspect: str, given: str, *pairs: tuple[int, str], source: str = RFC_791) -> Question:
    gives = [(kind, octets(data)) for kind, data in pairs]
    return ask(aspect, octets(given), source=source, gives=gives)


def _refused(given: str) -> Question:
    return ask("refusals", octets(given), refused=True)


ENDS = "ends and padding"
ROUTE = "04c6336441" + "00" * 31  # record route, one address of nine written

LIST_OPTIONS = (
    _listed("options", "94040000 00000000", (148, "0000"), source=RFC_2113),
    _listed("options", "9e02 0703 8900 0000", (158, ""), (7, "89")),
    _listed("options", "1e02 9e03a1 00", (30, ""), (158, "a1")),
    _listed("options", "1e03a1 1e04b1b2 00", (30, "a1"), (30, "b1b2")),
    _listed("options", "1e03a1 9e03b1 1e03c1 00", (30, "a1"), (158, "b1"), (30, "c1")),
    _listed("options", "9e03a1 1e03b1 00", (158, "a1"), (30, "b1")),
    _listed("options", "0707 04c6336441 00", (7, "04c6336441"), source=RFC_791 + ", record route"),
    _listed("options", "9e06 00010001 00", (158, "00010001")),
    _listed("options", f"0727 {ROUTE}01 00", (7, ROUTE + "01")),
    _listed(ENDS, "01 94 04 00 00 00", (148, "0000"), source=RFC_2113),
    _listed(ENDS, "94040000", (148, "0000"), source=RFC_2113),
    _listed(ENDS, "9e03a1", (158, "a1")),
    _listed(ENDS, "01019e03 a1010100", (158, "a1")),
    _listed(ENDS, "1e03b1 01 9e03a1 00", (30, "b1"), (158, "a1")),
    _listed(ENDS, ""),
    _listed(ENDS, "01010100"),
    _listed(ENDS, "94040000 00 9e03a1 00", (148, "0000")),
    _listed(ENDS, "9e03a1 00 05", (158, "a1")),
    _listed(ENDS, "00 9e03a1 00"),
    _listed("refusals", "9403a1 00", (148, "a1")),
    _refused("9404a1"),
    _refused("9405a1"),
    _refused("9e03a1 1e05b1b2"),
    _refused("9eff a1b2c3d4"),
    _refused("94"),
    _refused("01010194"),
    _refused("9e03a1 94"),
    _refused("94010000"),
    _refused("9e03a1 1e01"),
    _refused("94000000"),  # an endless loop stays the last one
)

OFFICE = ADDRESSES["Ticket Office"]
ALIKE = (MAST, MAST, 1000, 1000)
BEHIND_LENGTH = "00000000 40110000 c6336462 c6336462"
PORTS = "03e803e8"


def _between(source: str, destination: str, source_port: int, destination_port: int) -> Question:
    return ask("addresses and ports", source, destination, source_port, destination_port, b"ahoy")


def _alike(aspect: str, *given: Any, gives: str, source: str = RFC_768) -> Question:
    return ask(aspect, *ALIKE, *given, source=source, gives=octets(gives))


BUILD_PACKET = (
    ask(
        "addresses and ports",
        *(MAST, OFFICE, 1000, 2000),
        b"ahoy",
        source=RFC_768,
        gives=octets("45000020 00000000 40110000 c6336462 c6336402 03e807d0 000c0000") + b"ahoy",
    ),
    _between(MAST, OFFICE, 1000, 1000),
    _between(MAST, MAST, 1000, 2000),
    _between(MAST, MAST, 0, 0),
    _between(MAST, MAST, 0, 65535),
    _between(MAST, MAST, 65535, 0),
    _between("203.0.113.255", "192.0.2.0", 49152, 53),
    _alike("payloads", b"", gives=f"4500001c {BEHIND_LENGTH} {PORTS} 00080000"),
    _alike("payloads", b"\x07\xeb", gives=f"4500001e {BEHIND_LENGTH} {PORTS} 000a0000 07eb"),
    _alike("payloads", b"ABC", gives=f"4500001f {BEHIND_LENGTH} {PORTS} 000b0000 414243"),
    _alike("payloads", b"A", gives=f"4500001d {BEHIND_LENGTH} {PORTS} 00090000 41"),
    _alike("payloads", b"A\x00", gives=f"4500001e {BEHIND_LENGTH} {PORTS} 000a0000 4100"),
    ask("payloads", *ALIKE, b"ahoy\x00\x00"),
    ask("payloads", *ALIKE, b"Plover " * 33 + b"X"),
    ask("payloads", *ALIKE, b"Plover " * 40),
    _alike(
        "options",
        b"ahoy",
        ROUTER_ALERT,
        source=RFC_2113,
        gives=f"46000024 {BEHIND_LENGTH} 94040000 {PORTS} 000c0000 61686f79",
    ),
    _alike(
        "options",
        b"ahoy",
        octets("9e03a1"),
        gives=f"46000024 {BEHIND_LENGTH} 9e03a100 {PORTS} 000c0000 61686f79",
    ),
    _alike(
        "options",
        b"ahoy",
        EXAMPLE_3[:-1],
        source=RFC_791_3,
        gives=f"4800002c {BEHIND_LENGTH} {EXAMPLE_3.hex()} {PORTS} 000c0000 61686f79",
    ),
    ask("options", *ALIKE, b"ahoy", b"\x01"),
    ask("options", *ALIKE, b"ahoy", octets("1e06 a1b2c3d4")),
    ask("options", *ALIKE, b"ahoy", bytes(5)),
    ask("options", *ALIKE, b"ahoy", octets("0727") + octets(ROUTE) + b"\x01\x00"),
    ask("options", *ALIKE, b"ahoy", b""),
)
