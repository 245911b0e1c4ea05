"""Questions of unit 02, checksums: the public ones.

Values that a source prints stand beside its name; the rest is worked out by the model answers,
which `tests/oracles` holds against Scapy. Addresses are for documentation (RFC 5737), but in
headers that are printed elsewhere.
"""

__all__ = ["PUBLIC", "SECRET"]

import itertools
import random
from collections.abc import Callable, Mapping, Sequence

from course_lib.exercises.registry import Expected
from course_lib.ferry.address_plan import ADDRESSES
from instructor.units.items import Question
from instructor.units.unit_02.case_packets import (
    NORTH_PIER,
    PLOVER,
    REED_PIER,
    aimed,
    ask,
    carries_dropped,
    carrying_twice,
    datagram,
    equal_to_its_field,
    field_of,
    flipped,
    header,
    options_left_out,
    packed,
    payload_covered,
    rest_sums_to,
    swapped_field,
    udp_aimed,
    udp_carrying_twice,
    with_field,
    without_field,
    words_that_add_up,
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
# RFC 791: record route, its room for one or nine addresses used up, and the end of options.
SHORT_ROUTE = bytes.fromhex("0707 08") + packed("North Pier") + b"\x00"
LONGEST_OPTIONS = (
    bytes.fromhex("0727 28") + b"".join(map(packed, itertools.islice(ADDRESSES, 9))) + b"\x00"
)
NO_OPTIONS = bytes(4)  # RFC 791: end of options, and what fills up the word


def _printed(aspect: str, argument: object, source: str, value: object) -> Question:
    return Question(aspect, (argument,), source, Expected(value=value))


_RFC_1624_BEFORE = rest_sums_to(0xCD7A, 0x5555)
_RFC_1624_AFTER = rest_sums_to(0xCD7A, 0x3285)
_TEXT = b"gate 2 closed"
_DF = header(NORTH_PIER, PLOVER, fragment=0x4000, identification=0xE000)
_ALERT = header(NORTH_PIER, PLOVER, options=ROUTER_ALERT, total_length=24)
_ALERT_AND_TEXT = header(NORTH_PIER, PLOVER, options=ROUTER_ALERT, total_length=37) + _TEXT
_ROUTE = header(PLOVER, NORTH_PIER, options=SHORT_ROUTE, total_length=28)
_FULL = header(REED_PIER, PLOVER, options=LONGEST_OPTIONS, total_length=60, identification=0x1C46)
_REPORT = header(PLOVER, REED_PIER, total_length=20 + len(_TEXT), identification=0x1C46) + _TEXT
_NEWS = header(NORTH_PIER, REED_PIER, total_length=24) + b"gate"
_TO_ZERO = aimed(0x0000, NORTH_PIER, PLOVER)
_TO_ZERO_TOO = aimed(0x0000, REED_PIER, PLOVER, fragment=0x4000)
_LONG = bytes(range(1, 250))

PUBLIC: Mapping[str, tuple[Question, ...]] = {
    "2.1": (
        ask("one carry", 0x10000),
        ask("one carry", 0x0000),
        ask("one carry", 0x20001),
        ask("one carry", 0xFFFF),
        ask("one carry", 0x1FFFE),
        ask("one carry", 0x120034),
        ask("one carry", 0x3450012),
        _printed("one carry", 0x2DDF0, "RFC 1071, section 3", 0xDDF2),
        _printed("one carry", 0x2479C, ENCYCLOPEDIA, 0x479E),
        _printed("one carry", 0x11B3E, FORUM, 0x1B3F),
        ask("more carries", 0x1FFFF),
        ask("more carries", 0x8FFFE),
        ask("more carries", 0x2FFFE),
        ask("more carries", 0x35FFD0),
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
        ask("plain headers", without_field(_DF)),
        _printed("corners of the sum", without_field(_RFC_1624_AFTER), RFC_1624, 0x0000),
        ask("corners of the sum", without_field(_TO_ZERO)),
        ask("corners of the sum", without_field(_TO_ZERO_TOO)),
        ask("corners of the sum", without_field(aimed(0xFFFE))),
        ask("corners of the sum", without_field(carrying_twice(NORTH_PIER, PLOVER))),
        ask(
            "corners of the sum", without_field(carrying_twice(REED_PIER, PLOVER, fragment=0x4000))
        ),
        _printed("old field", HEADER_B861, ENCYCLOPEDIA, 0xB861),
        ask("old field", header(field=0xBEEF)),
        ask("old field", header(NORTH_PIER, PLOVER)),
        ask("old field", header(total_length=24, options=NO_OPTIONS)),
        ask("old field", header(identification=0x1C46, field=0x1C46)),
        ask("old field", header(NORTH_PIER, PLOVER, field=0x4011)),
        ask("old field", equal_to_its_field(REED_PIER, PLOVER)),
        ask("the header alone", without_field(PACKET_WITH_ZERO)),
        ask("the header alone", without_field(_REPORT)),
        ask("the header alone", without_field(_NEWS)),
        ask("the header alone", without_field(_ALERT)),
        ask("the header alone", without_field(_FULL)),
        ask("the header alone", without_field(_ROUTE)),
        ask("the header alone", without_field(_ALERT_AND_TEXT)),
    ),
    "2.3": (
        ask("plain headers", header()),
        ask("plain headers", flipped(header(), 71)),
        ask("plain headers", carries_dropped(header())),
        ask("plain headers", header(NORTH_PIER, REED_PIER, word_4=0x2006)),
        ask("plain headers", swapped_field(header(REED_PIER, PLOVER))),
        ask("plain headers", _DF),
        ask("plain headers", with_field(header(), field_of(header()) - 0x0001)),
        ask("plain headers", with_field(_DF, field_of(_DF) - 0x0100)),
        ask("plain headers", carries_dropped(header(NORTH_PIER, REED_PIER))),
        _printed("both zeros", _RFC_1624_AFTER, BOTH_ZEROS, True),
        _printed("both zeros", with_field(_RFC_1624_AFTER, 0xFFFF), BOTH_ZEROS, True),
        ask("both zeros", with_field(_RFC_1624_AFTER, 0x0001)),
        ask("both zeros", _TO_ZERO),
        ask("both zeros", with_field(_TO_ZERO, 0xFFFF)),
        ask("both zeros", _TO_ZERO_TOO),
        ask("both zeros", with_field(_TO_ZERO_TOO, 0xFFFF)),
        ask("both zeros", without_field(header())),
        ask("both zeros", without_field(header(NORTH_PIER, PLOVER))),
        ask("both zeros", with_field(header(), 0xFFFF)),
        _printed("the header alone", HEADER_B861, ENCYCLOPEDIA, True),
        _printed("the header alone", HEADER_E4C0, FORUM, True),
        ask("the header alone", header(word_4=0x0011)),
        ask("the header alone", header(NORTH_PIER, PLOVER, word_4=0x0006)),
        ask("the header alone", header(REED_PIER, PLOVER, word_4=0x0001)),
        ask("the header alone", header(NORTH_PIER, REED_PIER, word_4=0xFF06, fragment=0x4000)),
        ask("the header alone", header(total_length=1500)),
        ask("the header alone", _REPORT),
        ask("the header alone", _NEWS),
        ask("the header alone", payload_covered(_NEWS)),
        ask("the header alone", _ALERT),
        ask("the header alone", _ROUTE),
        ask("the header alone", _FULL),
        ask("the header alone", _ALERT_AND_TEXT),
        ask("the header alone", options_left_out(_ALERT)),
        ask("the header alone", flipped(_FULL, 479)),
    ),
    "2.4": (
        ask("even lengths", PLOVER, REED_PIER, datagram(b"")),
        ask("even lengths", PLOVER, REED_PIER, datagram(b"gate")),
        ask("even lengths", NORTH_PIER, PLOVER, datagram(b"07:10 gate 2")),
        ask("even lengths", REED_PIER, PLOVER, datagram(_LONG + b"A")),
        ask("even lengths", PLOVER, NORTH_PIER, datagram(_LONG + b"gate 2 open")),
        ask("even lengths", NORTH_PIER, REED_PIER, datagram(_LONG + _TEXT)),
        ask("odd lengths", PLOVER, REED_PIER, datagram(b"\x01")),
        Question(
            "odd lengths",
            ("192.0.2.1", "198.51.100.2", datagram(b"abc")),
            "rule of RFC 768, value computed by Scapy",
            Expected(value=0x4386),
        ),
        ask("odd lengths", REED_PIER, NORTH_PIER, datagram(_TEXT)),
        ask("odd lengths", NORTH_PIER, REED_PIER, datagram(b"gate 1\x00")),
        ask("odd lengths", PLOVER, REED_PIER, udp_aimed(PLOVER, REED_PIER, 13, 0x0001)),
        ask("fields", NORTH_PIER, PLOVER, datagram(b"gate", 0x1234)),
        ask("fields", PLOVER, REED_PIER, datagram(b"gate", 0xBEEF)),
        ask("fields", REED_PIER, NORTH_PIER, datagram(b"gate 2", 0x0001)),
        ask("fields", PLOVER, REED_PIER, datagram(b"0640", 0x3036)),
        ask("fields", REED_PIER, PLOVER, datagram(b"gate 2", 2000)),
        ask("fields", PLOVER, REED_PIER, datagram(b"gate", length=0)),
        ask("fields", NORTH_PIER, PLOVER, datagram(b"gate 2", length=0)),
        ask("fields", REED_PIER, PLOVER, datagram(b"gate 2", length=999)),
        Question(
            "corners of the sum",
            ("192.0.2.1", "198.51.100.2", PACKET_WITH_ZERO[20:]),
            RFC_768,
            Expected(value=0xFFFF),
        ),
        ask("corners of the sum", PLOVER, REED_PIER, udp_aimed(PLOVER, REED_PIER, 14, 0x0000)),
        ask("corners of the sum", NORTH_PIER, PLOVER, udp_aimed(NORTH_PIER, PLOVER, 12, 0x0000)),
        ask("corners of the sum", PLOVER, REED_PIER, udp_aimed(PLOVER, REED_PIER, 10, 0x0001)),
        ask("corners of the sum", PLOVER, REED_PIER, udp_aimed(PLOVER, REED_PIER, 12, 0xFFFE)),
        *(
            ask("corners of the sum", *hosts, udp_carrying_twice(*hosts, length))
            for hosts, length in (
                ((PLOVER, REED_PIER), 12),
                ((NORTH_PIER, PLOVER), 14),
                ((REED_PIER, NORTH_PIER), 20),
            )
        ),
    ),
    "2.5": (
        ask("ordinary headers", header()),
        _printed(
            "ordinary headers",
            HEADER_B861,
            NEXT_HOP,
            bytes.fromhex("4500 0073 0000 4000 3f11 b961 c0a8 0001 c0a8 00c7"),
        ),
        ask("ordinary headers", header(fragment=0x00B9, identification=0x1C46)),
        ask("ordinary headers", header(NORTH_PIER, PLOVER, word_4=0xFF06)),
        ask("ordinary headers", header(identification=0x4011, total_length=32)),
        ask("ordinary headers", header(REED_PIER, PLOVER, word_4=0x3306, identification=0x3306)),
        ask("ordinary headers", equal_to_its_field(PLOVER, REED_PIER)),
        ask("ordinary headers", equal_to_its_field(NORTH_PIER, PLOVER, word_4=0x8006)),
        ask("corners of the sum", aimed(0xFF00, word_4=0x4006)),
        ask("corners of the sum", aimed(0xFFC3, NORTH_PIER, PLOVER, word_4=0x8001)),
        ask("corners of the sum", aimed(0xFF80, REED_PIER, PLOVER)),
        ask("corners of the sum", aimed(0xFEFF)),
        ask("corners of the sum", aimed(0xFEFF, NORTH_PIER, PLOVER, word_4=0x2006)),
        ask("corners of the sum", aimed(0xFEFF, REED_PIER, PLOVER, word_4=0x0311)),
        ask("corners of the sum", with_field(aimed(0x0000), 0xFFFF)),
        ask("corners of the sum", with_field(_TO_ZERO, 0xFFFF)),
        ask("corners of the sum", aimed(0xFEFE)),
        ask("options", _ALERT),
        ask("options", _ROUTE),
        ask("options", _FULL),
        ask("refusals", header(word_4=0x0111)),
        ask("refusals", header(word_4=0x0011)),
        ask("refusals", header(word_4=0x0211)),
        ask("refusals", header(word_4=0x0311)),
        ask("refusals", header(REED_PIER, PLOVER, word_4=0x0106)),
        ask("refusals", header(REED_PIER, PLOVER, word_4=0x0006)),
        ask("refusals", header(REED_PIER, PLOVER, word_4=0x0206)),
        ask("refusals", header(NORTH_PIER, PLOVER, word_4=0x0001)),
    ),
    "2.6": (
        ask("short data", bytes.fromhex("ffff 0000")),
        ask("short data", bytes.fromhex("5555 5555 5555")),
        ask("short data", words_that_add_up(0x0001, 0x0001)),
        ask("short data", bytes.fromhex("ffff")),
        ask("short data", bytes.fromhex("ffff ffff")),
        ask("short data", bytes.fromhex("0000 ffff 0000")),
        ask("short data", words_that_add_up(0x4500, 0x0014, 0x2011, 0x0000)),
        ask("longer data", HEADER_B861),
        ask("longer data", header()),
        ask("longer data", HEADER_E4C0),
        ask("longer data", _ALERT),
        ask("longer data", _ROUTE),
        ask("longer data", _FULL),
        ask("longer data", with_field(_TO_ZERO, 0xFFFF)),
        ask("longer data", with_field(_TO_ZERO_TOO, 0xFFFF)),
        ask("longer data", words_that_add_up(0x0F01, *range(0x0101, 0x0A00, 0x0101))),
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
