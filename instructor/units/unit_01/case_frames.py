"""Public questions about words and Ethernet frames (exercises 1.1 and 1.2).

A tiny example first, then values that a standard prints or fixes, then edges. Words lie inside the
data in one aspect and at the ends in the other, so that a slip at the end costs only that.
"""

__all__ = ["PARSE_FRAME", "READ_WORD"]

from typing import Any

from instructor.units.items import Question
from instructor.units.unit_01.case_parts import (
    RFC_894,
    RFC_9542,
    TO_1_FROM_2,
    TO_ITSELF,
    TYPES_BEGIN,
    ask,
    octets,
)

# RFC 791, appendix A, example 1 prints version 4, header length 5, total length 21 and
# identification 111.
BEGINNING = octets("45000015 006f0000 7b")
RFC_791_1 = "RFC 791, appendix A, example 1"

READ_WORD = (
    ask("words", octets("1205 8196 7b"), 0, gives=0x1205),
    ask("words", octets("1205 8196 7b"), 1, gives=0x0581),
    ask("words", octets("4500 0015 006f"), 2, gives=21),
    ask("words", octets("1205 8196 7b00 c6"), 2, gives=0x8196),
    ask("words", BEGINNING, 2, source=RFC_791_1, gives=21),
    ask("words", BEGINNING, 4, source=RFC_791_1, gives=111),
    ask("words", TO_1_FROM_2 + octets("0800") + b"ahoy", 12, source=RFC_894, gives=0x0800),
    ask("words", octets("555555555555"), 1, gives=0x5555),
    ask("words", octets("45 0000 3333 c6"), 3, gives=0x3333),
    ask("words", octets("ffff3333 c63364"), 2, gives=0x3333),
    ask("words", octets("c633 0000 64"), 2, gives=0),
    ask("words", octets("ffffffff 00"), 0, gives=0xFFFF),
    ask("refusals", octets("0000"), 0, gives=0),
    ask("refusals", octets("7b7b"), 0, gives=0x7B7B),
    ask("refusals", octets("120581"), 2, refused=True),
    ask("refusals", octets("12"), 0, refused=True),
    ask("refusals", octets("120581"), 3, refused=True),
    ask("refusals", octets("120581"), 7, refused=True),
    ask("refusals", octets("12058196"), -1, refused=True),
    ask("refusals", octets("12058196"), -2, refused=True),
    ask("refusals", octets("12058196"), -4, refused=True),
    ask("refusals", octets("12058196"), -9, refused=True),
    ask("refusals", b"", 0, refused=True),
)

ONE_TWO = ("00:00:5e:00:53:01", "00:00:5e:00:53:02")
ITSELF = ("22:22:22:22:22:22", "22:22:22:22:22:22")
PADDED = octets("45000015 006f0000 7b01d922 c6336421 cb007101 41") + bytes(25)


LONG = b"Plover " * 9 + b"A"


def _plain(frame: bytes, *fields: Any, source: str = RFC_894) -> Question:
    return ask("plain frames", frame, source=source, gives=fields)


def _tagged(tag_and_type: str, payload: bytes, vlan: int, ether_type: int) -> Question:
    frame = TO_ITSELF + octets("8100" + tag_and_type) + payload
    return ask("tagged frames", frame, gives=(*ITSELF, vlan, ether_type, payload))


def _refused(behind_addresses: str, source: str = "written for this course") -> Question:
    return ask("refusals", TO_ITSELF + octets(behind_addresses), source=source, refused=True)


PARSE_FRAME = (
    _plain(TO_1_FROM_2 + octets("0800") + b"ahoy", *ONE_TWO, None, 0x0800, b"ahoy"),
    _plain(
        octets("ffffffffffff 00005e0053a7 0806") + b"who has",
        "ff:ff:ff:ff:ff:ff",
        "00:00:5e:00:53:a7",
        None,
        0x0806,
        b"who has",
        source="RFC 9542, appendix B: the ether type of ARP is 0x0806",
    ),
    _plain(
        TO_1_FROM_2 + octets("86dd"),
        *ONE_TWO,
        None,
        0x86DD,
        b"",
        source="RFC 9542, appendix B: the ether type of IPv6 is 0x86dd",
    ),
    _plain(
        TO_1_FROM_2 + octets("0800") + PADDED,
        *ONE_TWO,
        None,
        0x0800,
        PADDED,
        source="RFC 894: data shorter than 46 octets are padded with zeros",
    ),
    _plain(
        octets("222222222222 343434343434 0800") + b"ahoy",
        "22:22:22:22:22:22",
        "34:34:34:34:34:34",
        None,
        0x0800,
        b"ahoy",
    ),
    _plain(
        octets("0a0a0a0a0a0a 0a0a0a0a0a0a 0800"),
        "0a:0a:0a:0a:0a:0a",
        "0a:0a:0a:0a:0a:0a",
        None,
        0x0800,
        b"",
    ),
    _plain(
        octets("020202020202 020202020202 0800") + b"ahoy",
        "02:02:02:02:02:02",
        "02:02:02:02:02:02",
        None,
        0x0800,
        b"ahoy",
    ),
    _plain(
        octets("2e2e2e2e2e2e 2e2e2e2e2e2e 0800") + b"ahoy",
        "2e:2e:2e:2e:2e:2e",
        "2e:2e:2e:2e:2e:2e",
        None,
        0x0800,
        b"ahoy",
    ),
    _plain(
        TO_ITSELF + octets("0806 8100 0005 0800 01"),
        *ITSELF,
        None,
        0x0806,
        octets("8100 0005 0800 01"),
    ),
    _plain(
        TO_ITSELF + octets("0800 41 8100 02bc"),
        *ITSELF,
        None,
        0x0800,
        octets("41 8100 02bc"),
    ),
    _plain(TO_ITSELF + octets("0800"), *ITSELF, None, 0x0800, b""),
    _plain(TO_ITSELF + octets("88b5") + LONG, *ITSELF, None, 0x88B5, LONG, source=TYPES_BEGIN),
    _plain(TO_ITSELF + octets("88a8 0005 0800 41"), *ITSELF, None, 0x88A8, octets("0005 0800 41")),
    _plain(TO_ITSELF + octets("0800 41 0000"), *ITSELF, None, 0x0800, b"A\x00\x00"),
    _plain(
        octets("020000008100 020000000002 0800") + b"ahoy",
        "02:00:00:00:81:00",
        "02:00:00:00:00:02",
        None,
        0x0800,
        b"ahoy",
    ),
    _plain(
        octets("020000000001 028100000002 0806") + b"who has",
        "02:00:00:00:00:01",
        "02:81:00:00:00:02",
        None,
        0x0806,
        b"who has",
    ),
    *(
        _plain(TO_ITSELF + octets(kind) + b"ahoy", *ITSELF, None, int(kind, 16), b"ahoy")
        for kind in ("8105", "81ff", "8900", "9100")
    ),
    _tagged("0005 0800", b"ahoy", 5, 0x0800),
    _tagged("62bc 0806", b"who has", 700, 0x0806),
    _tagged("f064 0806", b"ahoy", 100, 0x0806),
    _tagged("0ffe 86dd", LONG, 4094, 0x86DD),
    _tagged("0064 0800", b"", 100, 0x0800),
    _tagged("0000 0800", b"ahoy", 0, 0x0800),
    _tagged("0000 0806", b"", 0, 0x0806),
    ask(
        "refusals",
        TO_ITSELF + octets("0600") + b"ahoy",
        source=TYPES_BEGIN,
        gives=(*ITSELF, None, 0x0600, b"ahoy"),
    ),
    ask(
        "refusals",
        TO_ITSELF + octets("0600") + b"A",
        source=TYPES_BEGIN,
        gives=(*ITSELF, None, 0x0600, b"A"),
    ),
    *(
        ask(
            "refusals",
            TO_ITSELF + octets("8100" + tag + "0800") + b"ahoy",
            gives=(*ITSELF, 4095, 0x0800, b"ahoy"),
        )
        for tag in ("0fff", "efff")
    ),
    _refused("05ff 61686f79", RFC_9542 + ": less than 0x0600 is not a type"),
    _refused("05dd 61686f79", RFC_9542),
    _refused("0004 506c6f766572", RFC_9542),
    _refused("8100 0005 0004 61686f79"),
    _refused("8100 0005 05ff 61686f79"),
    _refused("08"),
    _refused(""),
    ask("refusals", b"", refused=True),
    _refused("8100"),
    _refused("8100 0005"),
    _refused("8100 0005 08"),
)
