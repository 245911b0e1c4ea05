"""Public questions about the checks of a header (6.1).

Every aspect is about checks of its own, so that one slip costs one of them. Where the sum or the
lengths are not at stake, options and data are zero, and addresses sum up to nothing: it makes
no difference there how far somebody sums.
"""

__all__ = [
    "ALL_ONES",
    "FIRST_FAULT",
    "HEADER",
    "NO_OPTIONS",
    "OPTIONS",
    "for_even_part",
    "for_low_halves",
    "with_cut_off_carry",
]

from typing import Any

from instructor.units.unit_06.answers import folded_sum
from instructor.units.unit_06.case_parts import (
    aimed,
    ask,
    datagram,
    printed,
    resummed,
    with_field,
)

SUM, HEAD, LENGTHS = "the sum", "version and header length", "lengths"
CHECKS = "RFC 1812, section 5.2.2"
EXAMPLE = "the contract's own example"

HEADER = datagram()
OPTIONS = bytes.fromhex("0707 0400 0000 0000")  # record route, with room for one address
NO_OPTIONS = bytes(4)  # four times "end of options", which no sum notices
DATA = bytes(8)
# Each word of both addresses is 0xFFFF, which is zero in a ones' complement sum.
ALL_ONES: dict[str, Any] = {"source": "255.255.255.255", "destination": "255.255.255.255"}


def with_cut_off_carry(data: bytes) -> bytes:
    """Put a checksum in that is right for those who cut carries off."""
    words = (data[place : place + 2] for place in range(0, 20, 2) if place != 10)
    return with_field(data, (0xFFFF - sum(int.from_bytes(word, "big") for word in words)) & 0xFFFF)


def for_low_halves(data: bytes) -> bytes:
    """Put a checksum in that is right for those who take a last odd octet for the low half."""
    return with_field(data, folded_sum(with_field(data[:-1] + b"\0" + data[-1:], 0)) ^ 0xFFFF)


def for_even_part(data: bytes) -> bytes:
    """Put a checksum in that is right for those who leave a last odd octet out."""
    return with_field(data, folded_sum(with_field(data[:-1], 0)) ^ 0xFFFF)


def _spoilt(data: bytes) -> bytes:
    return with_field(data, 0x1234)


FIRST_FAULT = (
    ask(SUM, datagram(b"ferry")),
    printed(SUM, f"{CHECKS} (2)", 2, datagram(DATA)[:8] + b"\x41" + datagram(DATA)[9:]),
    ask(SUM, with_cut_off_carry(datagram(DATA))),
    printed(SUM, EXAMPLE, 2, bytes(24)),
    ask(SUM, b"\x40" + bytes(2) + b"\x18" + bytes(20)),
    ask(SUM, datagram(b"in order", options=OPTIONS)),
    ask(SUM, datagram(b"\1\2\3\4", options=b"\1" * 40)),
    ask(SUM, resummed(datagram(b"ok", options=OPTIONS), 20)),
    ask(SUM, resummed(datagram(b"quay", words=5), 24)),
    ask(SUM, for_low_halves(datagram(b"ferry", words=15, total=70))),
    ask(SUM, for_low_halves(datagram(b"odd", words=8, total=50))),
    ask(SUM, for_even_part(datagram(b"ferry", words=9, total=50))),
    ask(SUM, _spoilt(datagram(DATA, words=15, total=70))),
    ask(SUM, _spoilt(datagram(DATA, version=6))),
    ask(SUM, _spoilt(datagram(DATA, words=4))),
    ask(SUM, _spoilt(datagram(DATA, total=19))),
    ask(SUM, _spoilt(datagram(DATA, total=64))),
    ask(SUM, with_field(aimed(0, payload=DATA), 0xFFFF)),
    ask(SUM, with_field(aimed(0, payload=DATA, options=OPTIONS), 0xFFFF)),
    printed(HEAD, f"{CHECKS} (3)", 3, datagram(DATA, version=6)),
    ask(HEAD, datagram(DATA, version=5)),
    ask(HEAD, datagram(DATA, version=3)),
    ask(HEAD, datagram(DATA, version=0)),
    ask(HEAD, datagram(DATA, version=6, options=NO_OPTIONS)),
    printed(HEAD, f"{CHECKS} (4)", 4, datagram(DATA, words=4, **ALL_ONES)),
    ask(HEAD, datagram(DATA, words=3, **ALL_ONES)),
    ask(HEAD, datagram(DATA, version=5, words=3, **ALL_ONES)),
    ask(HEAD, datagram(DATA, version=5, words=4, **ALL_ONES)),
    ask(HEAD, datagram(DATA, version=5, total=19)),
    ask(HEAD, datagram(DATA, version=7, total=64)),
    ask(HEAD, datagram(DATA, words=3, total=10, **ALL_ONES)),
    ask(HEAD, datagram(DATA, words=4, total=12, **ALL_ONES)),
    ask(HEAD, datagram(DATA, words=3, total=64, **ALL_ONES)),
    ask(HEAD, datagram(DATA)),
    ask(HEAD, datagram(DATA, options=NO_OPTIONS)),
    ask(HEAD, datagram(DATA, options=10 * NO_OPTIONS)),
    printed(LENGTHS, EXAMPLE, 1, b""),
    printed(LENGTHS, f"{CHECKS} (1)", 1, HEADER[:19]),
    ask(LENGTHS, datagram(version=6)[:12]),
    ask(LENGTHS, datagram(destination="203.0.113.0")[:19]),
    ask(LENGTHS, HEADER),
    ask(LENGTHS, datagram(identification=7, hops=1)),
    printed(LENGTHS, f"{CHECKS} (5)", 5, datagram(DATA, total=19)),
    ask(LENGTHS, datagram(DATA, total=0)),
    ask(LENGTHS, datagram(DATA, total=4)),
    ask(LENGTHS, datagram(DATA, total=8)),
    ask(LENGTHS, datagram(DATA, options=NO_OPTIONS, total=20)),
    ask(LENGTHS, datagram(DATA, options=NO_OPTIONS, total=23)),
    ask(LENGTHS, datagram(options=NO_OPTIONS)),
    ask(LENGTHS, datagram(options=NO_OPTIONS, total=24) + bytes(6)),
    ask(LENGTHS, datagram(DATA, options=2 * NO_OPTIONS, total=28)),
    printed(LENGTHS, f"{CHECKS}, last paragraph", 6, datagram(DATA, total=29)),
    ask(LENGTHS, datagram(DATA, total=1500)),
    ask(LENGTHS, datagram(DATA, total=256 + 28)),
    ask(LENGTHS, datagram(DATA) + bytes(6)),
    ask(LENGTHS, datagram(DATA) + b"\0"),
    ask(LENGTHS, datagram(DATA) + bytes(30)),
    ask(LENGTHS, datagram(total=30)),
    ask(LENGTHS, datagram(bytes(7), words=15, total=61)),
    ask(LENGTHS, datagram(b"", words=7, total=28)),
    ask(LENGTHS, datagram(DATA, words=15)),
    ask(LENGTHS, datagram(DATA, words=8, total=30)),
    ask(LENGTHS, datagram(bytes(2), words=7, total=25)),
    ask(LENGTHS, datagram(bytes(5), words=15, total=40)),
)
