"""Questions about an echo and its reply (5.4).

So that each aspect asks for its own clauses alone, the time to live is another than 64 in
"replies" only; "options and data" alone has options, an odd number of octets, and flags; the sums
of "corners of the sums" are aimed at.
"""

__all__ = ["ANSWER_ECHO", "echo_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_05.answers import with_checksum
from instructor.units.unit_05.case_parts import ask, ip_packet, printed

REPLIES, CORNERS, REST, NONE = (
    "replies", "corners of the sums", "options and data", "no reply",
)  # fmt: skip
FORMED = "RFC 792, page 14: addresses exchanged, type 0, checksum computed again; as Scapy does it"
SILENT = "RFC 792, pages 14 and 15: type 8 and code 0 make an echo"
DISCARDED = "RFC 1122, section 3.2.2: what is not understood is discarded silently"
NO_OPTIONS = b"\x01\x01\x01\x00"  # three fillers and the end of the list: RFC 791, section 3.1
ALERT = bytes.fromhex("94 04 00 00")  # router alert: RFC 2113, section 2.1


def icmp(
    data: bytes = b"", *, kind: int = 8, code: int = 0, identifier: int = 1, sequence: int = 1
) -> bytes:
    """Build a message whose checksum is right."""
    numbers = identifier.to_bytes(2, "big") + sequence.to_bytes(2, "big")
    return with_checksum(bytes([kind, code, 0, 0]) + numbers + data, 2)


def calm(data: bytes = b"", *, identifier: int = 1, sequence: int = 1) -> bytes:
    """Build an echo whose checksum can rise without a carry; the identifier makes it so."""
    message = icmp(data, identifier=identifier, sequence=sequence)
    while message[2] >= 0xF7:
        identifier = (identifier + 0x0111) % 0x10000
        message = icmp(data, identifier=identifier, sequence=sequence)
    return message


def damaged(message: bytes, place: int, bit: int = 1) -> bytes:
    """Change one bit of a message."""
    return message[:place] + bytes([message[place] ^ bit]) + message[place + 1 :]


def icmp_aimed(checksum: int, data: bytes, **fields: Any) -> bytes:
    """Build an echo whose right checksum is `checksum`; the sequence number makes it so."""
    start = int.from_bytes(icmp(data, sequence=0, **fields)[2:4], "big")
    return icmp(data, sequence=(start - checksum) % 0xFFFF, **fields)


def aimed_at_zero(message: bytes, **fields: Any) -> bytes:
    """Return a packet whose reply has the checksum 0 in its header."""
    reply = fields | {"hops": 64, "identification": 0}
    number = int.from_bytes(ip_packet(message, **reply)[10:12], "big")
    return ip_packet(message, **fields | {"identification": number})


def folding_twice(data: bytes) -> bytes:
    """Return an echo whose reply's sum carries again when its carries come back in."""
    data += b"\xff\xff"  # else there may be no carry at all
    words = [int.from_bytes(data[place : place + 2], "big") for place in range(0, len(data), 2)]
    total = sum(words) + 1
    sequence = next(
        number for number in range(0x10000)
        if (total + number) % 0x10000 + (total + number) // 0x10000 > 0xFFFF
    )  # fmt: skip
    return icmp(data, identifier=1, sequence=sequence)


def _ask(aspect: str, message: bytes, **fields: Any) -> Question:
    return ask(aspect, ip_packet(message, **fields))


def _replies(
    data: bytes, hops: tuple[int, ...], numbers: tuple[int, int], **ends: str
) -> list[Question]:
    """Ask for plain replies; the third and fourth header are aimed at zero."""
    low, high, *_ = hops
    message = calm(data, identifier=numbers[0], sequence=numbers[1])
    return [
        *(_ask(REPLIES, message, hops=one, **ends) for one in hops),
        *(ask(REPLIES, aimed_at_zero(message, hops=one, **ends)) for one in (low, high)),
        _ask(REPLIES, calm(data, identifier=numbers[1], sequence=numbers[0]), **ends),
    ]


def _corners(data: bytes, high: int) -> list[Question]:
    """Ask for checksums at the ends of their range; `high` is above 0xF800."""
    sums = (0xF7FF, 0xF800, high, 0xFFFE, 0xF7FE, 0x0000)
    messages = [icmp_aimed(checksum, data) for checksum in sums]
    messages += [icmp_aimed(0xF7FF, data, identifier=7), icmp_aimed(high - 1, data[:2]),
                 folding_twice(data), folding_twice(data[2:])]  # fmt: skip
    return [_ask(CORNERS, message) for message in messages]


def _rest(data: bytes, options: bytes, word: int, flags: int, service: int) -> list[Question]:
    """Ask for what stays as it is; `data` has an even number of octets."""
    even, odd = calm(data, sequence=word), calm(data + b"\x07", sequence=word)
    return [
        _ask(REST, calm(data + b"\x80")),
        _ask(REST, odd),
        _ask(REST, calm(b"\xa5")),
        _ask(REST, even, options=options),
        _ask(REST, calm(data[:2]), options=options),
        _ask(REST, even, options=10 * NO_OPTIONS),
        _ask(REST, even, options=options[:4]),
        _ask(REST, odd, options=ALERT),
        _ask(REST, even, identification=word),
        _ask(REST, even, identification=word ^ 0xFFFF),
        _ask(REST, even, fragment=flags),
        _ask(REST, calm(data[:2]), fragment=flags),
        _ask(REST, even, service=service),
        _ask(REST, calm(data[:2]), service=service ^ 0xFC),
        _ask(REST, calm(data[2:4]), options=bytes(8)),
        _ask(REST, even, options=bytes(40)),
        _ask(REST, calm(data * 20, sequence=2)),
    ]


def _none(data: bytes, kinds: tuple[int, ...], codes: tuple[int, ...], bit: int) -> list[Question]:
    """Ask for what is no echo, and for some that are; `data` is not empty."""
    whole = calm(data)
    return [
        *(_ask(NONE, icmp(data, kind=kind)) for kind in kinds),
        *(_ask(NONE, icmp(data, code=code)) for code in codes),
        _ask(NONE, damaged(whole, len(whole) - 1, bit)),
        _ask(NONE, damaged(whole, 2, bit)),
        _ask(NONE, damaged(whole, 5, bit)),
        _ask(NONE, whole[:2] + bytes(2) + whole[4:]),
        _ask(NONE, damaged(icmp(data, kind=kinds[0]), 4, bit)),
        _ask(NONE, damaged(icmp(data, kind=kinds[-1]), 6, bit)),
        _ask(NONE, with_checksum(bytes.fromhex("0800 0000"), 2)),
        _ask(NONE, with_checksum(bytes.fromhex("0800 0000 0001"), 2)),
        _ask(NONE, with_checksum(bytes.fromhex("0800 0000 0001 02"), 2)),
        _ask(NONE, b""),
        _ask(NONE, icmp()),
        _ask(NONE, icmp(sequence=2 + bit)),
        _ask(NONE, whole),
    ]


LETTERS = icmp(b"abcdefgh")
REPLY = ip_packet(
    bytes.fromhex("0000 6e68 0001 0001") + b"abcdefgh", source="192.0.2.2", destination="192.0.2.1"
)
ANSWER_ECHO = (
    printed(REPLIES, FORMED, REPLY, ip_packet(LETTERS)),
    *_replies(b"quay", (1, 255, 63, 65, 17), (0x1234, 9), source="198.51.100.7"),
    *_corners(b"ferry at 7:40.", 0xFC3A),
    *_rest(b"gate 5", ALERT + NO_OPTIONS, 0x0A51, 0x4000, 0x28),
    printed(NONE, SILENT, None, ip_packet(icmp(b"quay", kind=0))),
    printed(NONE, DISCARDED, None, ip_packet(icmp(b"quay", kind=13))),
    *_none(b"Mast", (0, 3, 9, 10, 11, 13), (1, 3, 255), 1)[1:],
)


def echo_questions(rng: random.Random) -> list[Question]:
    """Draw addresses, lives, numbers and data; what is at stake is the same for every seed."""
    low, high = rng.sample(range(1, 255), 2)
    data = rng.randbytes(2 * rng.randint(4, 9))
    ends = {"source": f"198.51.100.{low}", "destination": f"203.0.113.{high}"}
    hops = (rng.randint(1, 60), rng.randint(66, 255), rng.choice((63, 65)), 255)
    return [
        *_replies(data, hops, (rng.randint(1, 0xFFFE), rng.randint(1, 0xFFFE)), **ends),
        *_corners(data, rng.randint(0xF802, 0xFFFD)),
        *_rest(rng.randbytes(6), NO_OPTIONS + ALERT * rng.randint(1, 3), rng.randint(1, 0xFFFE),
               rng.choice((0x4000, 0xC000, 0x8000)), rng.choice((0x08, 0x28, 0xB8))),
        *_none(rng.randbytes(4) + b"\x01\x00", (*rng.sample((3, 5, 9, 10, 11, 12, 13, 17), 3), 0),
               (rng.randint(1, 255), rng.randint(1, 255)), 1 << rng.randint(0, 7)),
    ]  # fmt: skip
