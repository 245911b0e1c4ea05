"""Questions of unit 01: frames and headers.

Public cases come first as tiny examples, then as values that a standard prints or fixes, then as
edges. Where a standard prints field values only, the octets around them are of this course:
addresses from the ranges for documentation (RFC 5737, RFC 7042), texts of the ferry company.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Sequence
from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_01.secret_cases import (
    build_packet_questions,
    fragment_fields_questions,
    list_options_questions,
    parse_frame_questions,
    parse_packet_questions,
    read_word_questions,
)

REFUSED = Expected(raises="ValueError")

# RFC 791, appendix A, example 1 prints version 4, header length 5, total length 21, identification
# 111, time to live 123 and protocol 1; type of service, addresses and data are added here.
EXAMPLE_1 = bytes.fromhex("45000015 006f0000 7b015342 c0000201 c6336402") + b"A"
# RFC 894: type 0x0800, at least 46 octets of data, padded with zeros. Hardware addresses from the
# range for documentation (RFC 7042, section 2.1.2).
TO_1_FROM_2 = bytes.fromhex("00005e005301 00005e005302")
ADDRESSES = ("00:00:5e:00:53:01", "00:00:5e:00:53:02")
PADDED = bytes.fromhex("45b80018 00004000 40000000 c0000201 c6336402") + b"ahoy" + bytes(22)
# RFC 791, appendix A, example 3 prints the shape of these options, with codes x and y that it
# leaves open; here they are 158 and 30, kept for experiments by RFC 4727.
EXAMPLE_3 = bytes.fromhex("9e03a1 9e04b1b2 01 1e03c1 00")
ROUTER_ALERT = bytes.fromhex("94040000")  # RFC 2113, section 2.1

RFC_791_1 = "RFC 791, appendix A, example 1 (addresses and data added)"
RFC_791_2 = "RFC 791, appendix A, example 2"
RFC_791_3 = "RFC 791, appendix A, example 3 (codes and values chosen)"
RFC_791 = "RFC 791, section 3.1"
RFC_894 = "RFC 894: the ether type of IPv4 is 0x0800"
RFC_7042 = "RFC 7042, section 3 and appendix B"
RFC_2113 = "RFC 2113, section 2.1"
RFC_768 = "RFC 768: the length counts header and data; written out by hand"
MADE_HERE = "written for this course"


def _ask(aspect: str, *arguments: Any, source: str = MADE_HERE, **published: Any) -> Question:
    """Return a question; `gives=value` or `refused=True` says what the source prints."""
    expected = Expected(published["gives"]) if "gives" in published else None
    return Question(aspect, arguments, source, REFUSED if "refused" in published else expected)


def _octets(text: str) -> bytes:
    return bytes.fromhex(text)


def _fields(
    protocol: int, time_to_live: int, payload: bytes, options: bytes = b""
) -> dict[str, Any]:
    return {
        "source": "192.0.2.1",
        "destination": "198.51.100.2",
        "protocol": protocol,
        "time_to_live": time_to_live,
        "options": options,
        "payload": payload,
    }


READ_WORD = (
    _ask("words", _octets("1205"), 0, gives=0x1205),
    _ask("words", _octets("1205 8196"), 1, gives=0x0581),
    _ask("words", _octets("1205 8196"), 2, gives=0x8196),
    _ask("words", EXAMPLE_1[:8], 2, source=RFC_791_1, gives=21),
    _ask("words", EXAMPLE_1[:8], 4, source=RFC_791_1, gives=111),
    _ask("words", TO_1_FROM_2 + _octets("0800"), 12, source=RFC_894, gives=0x0800),
    _ask("refusals", _octets("120581"), 1, gives=0x0581),
    _ask("refusals", _octets("120581"), 2, refused=True),
    _ask("refusals", _octets("120581"), 7, refused=True),
    _ask("refusals", _octets("12058196"), -1, refused=True),
    _ask("refusals", _octets("12058196"), -2, refused=True),
    _ask("refusals", b"", 0, refused=True),
)

PARSE_FRAME = (
    _ask(
        "plain frames",
        TO_1_FROM_2 + _octets("0800") + b"ahoy",
        source=RFC_894,
        gives=(*ADDRESSES, None, 0x0800, b"ahoy"),
    ),
    _ask(
        "plain frames",
        _octets("ffffffffffff 00005e0053a7 0806") + b"who has",
        source="RFC 2544, appendix C: the ether type of ARP is 0x0806",
        gives=("ff:ff:ff:ff:ff:ff", "00:00:5e:00:53:a7", None, 0x0806, b"who has"),
    ),
    _ask(
        "plain frames",
        TO_1_FROM_2 + _octets("86dd"),
        source=RFC_7042 + ": the ether type of IPv6 is 0x86dd",
        gives=(*ADDRESSES, None, 0x86DD, b""),
    ),
    _ask(
        "plain frames",
        TO_1_FROM_2 + _octets("0800") + PADDED,
        source="RFC 894: data shorter than 46 octets are padded with zeros",
        gives=(*ADDRESSES, None, 0x0800, PADDED),
    ),
    _ask(
        "tagged frames",
        TO_1_FROM_2 + _octets("8100 0005 0800") + b"ahoy",
        gives=(*ADDRESSES, 5, 0x0800, b"ahoy"),
    ),
    _ask(
        "tagged frames",
        TO_1_FROM_2 + _octets("8100 62bc 0806") + b"who has",
        gives=(*ADDRESSES, 700, 0x0806, b"who has"),
    ),
    _ask(
        "refusals",
        TO_1_FROM_2 + _octets("0600") + b"ahoy",
        source=RFC_7042 + ": from 0x0600 on it is a type",
        gives=(*ADDRESSES, None, 0x0600, b"ahoy"),
    ),
    _ask(
        "refusals",
        TO_1_FROM_2 + _octets("05ff") + b"ahoy",
        source=RFC_7042 + ": less than 0x0600 is not a type",
        refused=True,
    ),
    _ask("refusals", TO_1_FROM_2 + _octets("0004") + b"ahoy", source=RFC_7042, refused=True),
    _ask("refusals", TO_1_FROM_2 + _octets("8100 0005 0004") + b"ahoy", refused=True),
    _ask("refusals", TO_1_FROM_2 + _octets("08"), refused=True),
    _ask("refusals", TO_1_FROM_2 + _octets("8100 0005"), refused=True),
)

FRAGMENT_FIELDS = (
    _ask("flags", 0x0000, source=RFC_791_1, gives=(False, False, 0)),
    _ask("flags", 0x4000, source=RFC_791, gives=(True, False, 0)),
    _ask("flags", 0x2000, source=RFC_791_2 + ", first fragment", gives=(False, True, 0)),
    _ask("flags", 0x8000, source=RFC_791 + ": bit 0 is reserved", gives=(False, False, 0)),
    _ask("offset", 0x0001, source=RFC_791 + ": units of 8 octets", gives=(False, False, 8)),
    _ask("offset", 0x0020, source=RFC_791_2 + ", second fragment", gives=(False, False, 256)),
    _ask("offset", 0x0172, gives=(False, False, 2960)),
    _ask(
        "offset",
        0x1FFF,
        source="RFC 791, section 3.2: 8192 fragments of 8 octets",
        gives=(False, False, 8191 * 8),
    ),
    _ask("both at once", 0x20B9, gives=(False, True, 1480)),
    _ask("both at once", 0x4003, gives=(True, False, 24)),
    _ask("both at once", 0x3000, gives=(False, True, 32768)),
)

PARSE_PACKET = (
    _ask("fields", EXAMPLE_1, source=RFC_791_1, gives=_fields(1, 123, b"A")),
    _ask(
        "fields",
        _octets("4500001e 00010000 40118e97 c0000201 c6336402 03e807d0 000affff 07eb"),
        source="RFC 791, section 3.1, and RFC 768; written out by hand",
        gives=_fields(17, 64, _octets("03e807d0 000affff 07eb")),
    ),
    _ask(
        "fields",
        b"\x45\x00\x01\x2c" + EXAMPLE_1[4:20] + b"Plover " * 40,
        gives=_fields(1, 123, b"Plover " * 40),
    ),
    _ask(
        "options and padding",
        b"\x46" + EXAMPLE_1[1:3] + b"\x1a" + EXAMPLE_1[4:20] + ROUTER_ALERT + b"AB",
        source=RFC_2113,
        gives=_fields(1, 123, b"AB", ROUTER_ALERT),
    ),
    _ask("options and padding", EXAMPLE_1 + b"\x00\x00\x00", gives=_fields(1, 123, b"A")),
    _ask(
        "options and padding",
        PADDED,
        source="RFC 894: padding is not part of the packet and not in its total length",
        gives=_fields(0, 64, b"ahoy"),
    ),
    _ask(
        "options and padding",
        b"\x48" + EXAMPLE_1[1:3] + b"\x24" + EXAMPLE_1[4:20] + EXAMPLE_3 + b"ahoy" + b"\x00\x00",
        source=RFC_791_3,
        gives=_fields(1, 123, b"ahoy", EXAMPLE_3),
    ),
    _ask("refusals", EXAMPLE_1[:3] + b"\x14" + EXAMPLE_1[4:20], gives=_fields(1, 123, b"")),
    _ask("refusals", EXAMPLE_1[:19], refused=True),
    _ask("refusals", b"", refused=True),
    _ask("refusals", b"\x65" + EXAMPLE_1[1:], refused=True),
    _ask("refusals", b"\x54" + EXAMPLE_1[1:], refused=True),
    _ask("refusals", b"\x44" + EXAMPLE_1[1:], source=RFC_791 + ": at least 5", refused=True),
    _ask("refusals", EXAMPLE_1[:3] + b"\x16" + EXAMPLE_1[4:], refused=True),
    _ask("refusals", b"\x46" + EXAMPLE_1[1:] + bytes(7), refused=True),
    _ask("refusals", EXAMPLE_1[:2] + b"\x15\x00" + EXAMPLE_1[4:], refused=True),
)

LIST_OPTIONS = (
    _ask("options", ROUTER_ALERT, source=RFC_2113, gives=[(148, b"\x00\x00")]),
    _ask("options", _octets("9e02 0703 8900 0000"), gives=[(158, b""), (7, b"\x89")]),
    _ask(
        "options",
        EXAMPLE_3,
        source=RFC_791_3,
        gives=[(158, b"\xa1"), (158, b"\xb1\xb2"), (30, b"\xc1")],
    ),
    _ask(
        "options",
        _octets("0707 04c0 0002 0100"),
        source=RFC_791 + ", record route",
        gives=[(7, _octets("04c0000201"))],
    ),
    _ask("ends and padding", b"", gives=[]),
    _ask("ends and padding", _octets("01019e03 a1010100"), gives=[(158, b"\xa1")]),
    _ask("ends and padding", ROUTER_ALERT + _octets("009e03a1"), gives=[(148, b"\x00\x00")]),
    _ask("ends and padding", _octets("019e03a1"), gives=[(158, b"\xa1")]),
    _ask("refusals", _octets("9403a1"), gives=[(148, b"\xa1")]),
    _ask("refusals", _octets("9404a1"), refused=True),
    _ask("refusals", _octets("01010194"), refused=True),
    _ask("refusals", _octets("94010000"), refused=True),
    _ask("refusals", _octets("94000000"), refused=True),  # an endless loop stays the last one
)

QUAY = ("192.0.2.1", "198.51.100.2", 1000, 2000)
BEHIND_LENGTH = "00000000 40110000 c0000201 c6336402"
PORTS = "03e807d0"

BUILD_PACKET = (
    _ask(
        "plain packets",
        *QUAY,
        b"",
        source=RFC_768,
        gives=_octets(f"4500001c {BEHIND_LENGTH} {PORTS} 00080000"),
    ),
    _ask(
        "plain packets",
        *QUAY,
        b"\x07\xeb",
        source=RFC_768,
        gives=_octets(f"4500001e {BEHIND_LENGTH} {PORTS} 000a0000 07eb"),
    ),
    _ask(
        "plain packets",
        *QUAY,
        b"abc",
        source=RFC_768,
        gives=_octets(f"4500001f {BEHIND_LENGTH} {PORTS} 000b0000") + b"abc",
    ),
    _ask("plain packets", "203.0.113.7", "192.0.2.255", 49152, 53, b"Plover " * 40),
    _ask(
        "options",
        *QUAY,
        b"ahoy",
        ROUTER_ALERT,
        source=RFC_2113,
        gives=_octets(f"46000024 {BEHIND_LENGTH} 94040000 {PORTS} 000c0000") + b"ahoy",
    ),
    _ask(
        "options",
        *QUAY,
        b"",
        _octets("9e03a1"),
        gives=_octets(f"46000020 {BEHIND_LENGTH} 9e03a100 {PORTS} 00080000"),
    ),
    _ask(
        "options",
        *QUAY,
        b"ahoy",
        EXAMPLE_3[:-1],
        source=RFC_791_3,
        gives=_octets(f"4800002c {BEHIND_LENGTH}")
        + (EXAMPLE_3 + _octets(f"{PORTS} 000c0000") + b"ahoy"),
    ),
    _ask("options", *QUAY, b"ahoy", _octets("01")),
    _ask("options", *QUAY, b"ahoy", _octets("072704") + bytes(36)),
)

PUBLIC: dict[str, tuple[Question, ...]] = {
    "1.1": READ_WORD,
    "1.2": PARSE_FRAME,
    "1.3": FRAGMENT_FIELDS,
    "1.4": PARSE_PACKET,
    "1.5": LIST_OPTIONS,
    "1.6": BUILD_PACKET,
}

SECRET: dict[str, Callable[[random.Random], Sequence[Question]]] = {
    "1.1": read_word_questions,
    "1.2": parse_frame_questions,
    "1.3": fragment_fields_questions,
    "1.4": parse_packet_questions,
    "1.5": list_options_questions,
    "1.6": build_packet_questions,
}
