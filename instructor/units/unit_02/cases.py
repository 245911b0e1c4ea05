"""Questions of unit 02, checksums: the public ones.

Values that a source prints stand beside its name; the rest is worked out by the model answers,
which `tests/oracles` holds against Scapy. Addresses are for documentation (RFC 5737), but in
headers that are printed elsewhere.
"""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Mapping, Sequence

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_02.case_packets import (
    NORTH_PIER,
    PLOVER,
    REED_PIER,
    aimed,
    ask,
    carries_dropped,
    datagram,
    flipped,
    header,
    intact_words,
    options_left_out,
    payload_covered,
    rest_sums_to,
    udp_aimed,
    with_field,
    without_field,
)
from instructor.units.unit_02.secret_cases import (
    fold_questions,
    header_questions,
    hop_questions,
    intact_questions,
    pair_questions,
    udp_questions,
)

ENCYCLOPEDIA = "example in the encyclopedia article on the Internet checksum"
OLDER_ARTICLE = "example in an older revision of the encyclopedia article on the Internet checksum"
FORUM = "example in a published question and its answer"
RFC_1624 = "RFC 1624, section 4 (two words of its header; the rest is made to fit its sum)"
BOTH_ZEROS = "RFC 1624, section 5"
NEXT_HOP = "RFC 1624, equation 3, on the example in the encyclopedia article"
RFC_768 = "RFC 768: a zero is sent as all ones"

HEADER_B861 = bytes.fromhex("4500 0073 0000 4000 4011 b861 c0a8 0001 c0a8 00c7")
HEADER_442E = bytes.fromhex("4500 0030 4422 4000 8006 442e 8c7c 19ac ae24 1e2b")
HEADER_E4C0 = bytes.fromhex("4500 0054 41e0 4000 4001 e4c0 0a00 0004 0a00 0005")
PACKET_WITH_ZERO = bytes.fromhex(
    "4500 001e 0001 0000 4011 8e97 c000 0201 c633 6402 03e8 07d0 000a ffff 07eb"
)
ROUTER_ALERT = bytes.fromhex("9404 0000")  # RFC 2113
LONGEST_OPTIONS = bytes.fromhex("0727 04") + bytes(36) + b"\x00"  # RFC 791: record route, 9 empty


def _printed(aspect: str, argument: object, source: str, value: object) -> Question:
    return Question(aspect, (argument,), source, Expected(value=value))


_RFC_1624_BEFORE = rest_sums_to(0xCD7A, 0x5555)
_RFC_1624_AFTER = rest_sums_to(0xCD7A, 0x3285)
_ALERT = header(NORTH_PIER, PLOVER, options=ROUTER_ALERT, total_length=24)
_FULL = header(REED_PIER, PLOVER, options=LONGEST_OPTIONS, total_length=60)
_REPORT = header(PLOVER, REED_PIER, total_length=32, identification=0x1C46)
_TEXT = b"gate 2 closed"

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "2.1": (
        ask("one carry", 0x10000),
        ask("one carry", 0x0000),
        ask("one carry", 0x20001),
        ask("one carry", 0xFFFF),
        ask("one carry", 0x1FFFE),
        _printed("one carry", 0x2DDF0, "RFC 1071, section 3", 0xDDF2),
        _printed("one carry", 0x2479C, ENCYCLOPEDIA, 0x479E),
        _printed("one carry", 0x11B3E, FORUM, 0x1B3F),
        ask("more carries", 0x1FFFF),
        ask("more carries", 0x8FFFE),
        ask("more carries", 0x1FFFFFFFF),
        ask("more carries", 0x2ABCF5431),
        ask("more carries", 0x3FFFE0000),
    ),
    "2.2": (
        ask("plain headers", without_field(header())),
        _printed("plain headers", without_field(HEADER_B861), ENCYCLOPEDIA, 0xB861),
        _printed("plain headers", without_field(HEADER_442E), OLDER_ARTICLE, 0x442E),
        _printed("plain headers", without_field(HEADER_E4C0), FORUM, 0xE4C0),
        _printed("plain headers", without_field(_RFC_1624_BEFORE), RFC_1624, 0xDD2F),
        _printed("plain headers", without_field(_RFC_1624_AFTER), RFC_1624, 0x0000),
        ask("plain headers", without_field(aimed(0xFFFE))),
        _printed("field and payload", HEADER_B861, ENCYCLOPEDIA, 0xB861),
        ask("field and payload", header(field=0xBEEF)),
        ask("field and payload", PACKET_WITH_ZERO),
        ask("field and payload", without_field(_REPORT) + _TEXT),
        ask("options", without_field(_ALERT)),
        ask("options", without_field(_FULL)),
        ask("options", _ALERT + _TEXT),
    ),
    "2.3": (
        ask("plain headers", header()),
        ask("plain headers", flipped(header(), 71)),
        _printed("plain headers", HEADER_B861, ENCYCLOPEDIA, True),
        ask("plain headers", carries_dropped(HEADER_B861)),
        _printed("plain headers", HEADER_E4C0, FORUM, True),
        _printed("edges", _RFC_1624_AFTER, BOTH_ZEROS, True),
        _printed("edges", with_field(_RFC_1624_AFTER, 0xFFFF), BOTH_ZEROS, True),
        ask("edges", with_field(aimed(0x0000, NORTH_PIER, PLOVER), 0xFFFF)),
        ask("edges", without_field(header())),
        ask("edges", without_field(_REPORT)),
        ask("edges", _REPORT + _TEXT),
        ask("edges", payload_covered(_REPORT + _TEXT)),
        ask("edges", _ALERT),
        ask("edges", options_left_out(_ALERT)),
        ask("edges", flipped(_FULL, 479)),
    ),
    "2.4": (
        ask("even lengths", PLOVER, REED_PIER, datagram(b"")),
        ask("even lengths", PLOVER, REED_PIER, datagram(b"gate")),
        ask("even lengths", NORTH_PIER, PLOVER, datagram(b"gate", 0x1234)),
        ask("odd lengths", PLOVER, REED_PIER, datagram(b"\x01")),
        Question(
            "odd lengths",
            ("192.0.2.1", "198.51.100.2", datagram(b"abc")),
            "rule of RFC 768, value computed by Scapy",
            Expected(value=0x4386),
        ),
        ask("odd lengths", REED_PIER, NORTH_PIER, datagram(_TEXT, 0xBEEF)),
        Question(
            "zero",
            ("192.0.2.1", "198.51.100.2", PACKET_WITH_ZERO[20:]),
            RFC_768,
            Expected(value=0xFFFF),
        ),
        ask("zero", PLOVER, REED_PIER, udp_aimed(PLOVER, REED_PIER, 13, 0x0000)),
        ask("zero", PLOVER, REED_PIER, udp_aimed(PLOVER, REED_PIER, 10, 0x0001)),
        ask("zero", NORTH_PIER, PLOVER, udp_aimed(NORTH_PIER, PLOVER, 12, 0xFFFE)),
    ),
    "2.5": (
        ask("update", header()),
        _printed(
            "update",
            HEADER_B861,
            NEXT_HOP,
            bytes.fromhex("4500 0073 0000 4000 3f11 b961 c0a8 0001 c0a8 00c7"),
        ),
        ask("update", aimed(0xFF00, word_4=0x4006)),
        ask("update", aimed(0xFFC3, NORTH_PIER, PLOVER, word_4=0x8001)),
        ask("update", header(fragment=0x00B9, identification=0x1C46)),
        ask("update", header(word_4=0xFF06, total_length=24, options=ROUTER_ALERT)),
        ask("corner of RFC 1624", aimed(0xFEFF)),
        ask("corner of RFC 1624", aimed(0xFEFF, NORTH_PIER, PLOVER, word_4=0x2006)),
        ask("corner of RFC 1624", with_field(aimed(0x0000), 0xFFFF)),
        ask("corner of RFC 1624", aimed(0xFEFE)),
        ask("refusals", header(word_4=0x0111)),
        ask("refusals", header(word_4=0x0011)),
        ask("refusals", header(word_4=0x0211)),
        ask("refusals", header(REED_PIER, PLOVER, word_4=0x0106)),
        ask("refusals", header(REED_PIER, PLOVER, word_4=0x0206)),
    ),
    "2.6": (
        ask("edges", bytes.fromhex("ffff 0000")),
        ask("edges", bytes.fromhex("5555 5555 5555")),
        ask("edges", intact_words(0x0001, 0x0001)),
        ask("edges", bytes.fromhex("ffff")),
        ask("edges", intact_words(0xFFFF, 0xFFFF, 0x0001)),
        ask("edges", intact_words(0x4500, 0x0014, 0x4011, 0x0000)),
        ask("headers", HEADER_B861),
        ask("headers", header()),
        ask("headers", HEADER_E4C0),
        ask("headers", _ALERT),
    ),
}


SECRET: Mapping[str, Callable[[random.Random], Sequence[Question]]] = {
    "2.1": fold_questions,
    "2.2": header_questions,
    "2.3": intact_questions,
    "2.4": udp_questions,
    "2.5": hop_questions,
    "2.6": pair_questions,
}
