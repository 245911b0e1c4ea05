"""Headers and datagrams made to measure, for the questions of unit 02.

A checksum is aimed at by way of the identification: one step up there is one step down in the
checksum, modulo 0xFFFF. Addresses are those of the story, or others for documentation (RFC 5737).
"""

__all__ = [
    "NORTH_PIER",
    "PLOVER",
    "REED_PIER",
    "aimed",
    "ask",
    "carries_dropped",
    "carries_twice",
    "carrying_twice",
    "datagram",
    "equal_to_its_field",
    "field_of",
    "flipped",
    "header",
    "options_left_out",
    "packed",
    "payload_covered",
    "rest_sums_to",
    "swapped_field",
    "udp_aimed",
    "udp_carries_twice",
    "udp_carrying_twice",
    "with_field",
    "without_field",
    "words_that_add_up",
]

import struct
from ipaddress import IPv4Address

from course_lib.ferry.address_plan import ADDRESSES
from instructor.units.items import Question
from instructor.units.unit_02.answers import fold, header_checksum, udp_checksum

PLOVER, REED_PIER, NORTH_PIER = (ADDRESSES[name] for name in ("Plover", "Reed Pier", "North Pier"))


def ask(aspect: str, *arguments: object) -> Question:
    """Put a question whose answer no source prints."""
    return Question(aspect, arguments)


def packed(name: str) -> bytes:
    """Return the address of somebody in the story, as four octets."""
    return IPv4Address(ADDRESSES[name]).packed


# Making headers


def header(
    source: str = PLOVER,
    destination: str = REED_PIER,
    *,
    word_4: int = 0x4011,
    identification: int = 0,
    fragment: int = 0,
    total_length: int = 20,
    options: bytes = b"",
    field: int | None = None,
) -> bytes:
    """Build a header.

    `word_4` is time to live and protocol, `fragment` flags and offset as on the wire; `field`
    takes the place of the right checksum.
    """
    version_and_length = 0x40 | (5 + len(options) // 4)
    start = struct.pack(
        "!BBHHHHH", version_and_length, 0, total_length, identification, fragment, word_4, 0
    )
    end = IPv4Address(source).packed + IPv4Address(destination).packed + options
    right = header_checksum(start + end)
    return start[:10] + (right if field is None else field).to_bytes(2, "big") + end


def aimed(
    checksum: int,
    source: str = PLOVER,
    destination: str = REED_PIER,
    *,
    word_4: int = 0x4011,
    fragment: int = 0,
) -> bytes:
    """Build a header whose right checksum is `checksum` (not 0xFFFF, which no header has)."""
    start = header_checksum(header(source, destination, word_4=word_4, fragment=fragment))
    return header(
        source,
        destination,
        word_4=word_4,
        fragment=fragment,
        identification=(start - checksum) % 0xFFFF,
    )


def equal_to_its_field(source: str, destination: str, *, word_4: int = 0x4011) -> bytes:
    """Build a header whose identification is its right checksum."""
    start = header_checksum(header(source, destination, word_4=word_4))
    # One step up in the identification is one down in the checksum: half the way is both.
    return header(
        source, destination, word_4=word_4, identification=start * pow(2, -1, 0xFFFF) % 0xFFFF
    )


def carrying_twice(source: str, destination: str, *, fragment: int = 0) -> bytes:
    """Build a header whose sum, folded once, carries again."""
    low = _sum(without_field(header(source, destination, fragment=fragment))) & 0xFFFF
    return header(source, destination, fragment=fragment, identification=0xFFFF - low)


def carries_twice(packet: bytes) -> bool:
    """Tell whether the sum of a header, its field as zero, carries again when folded once."""
    total = _sum(without_field(packet)[: 4 * (packet[0] & 15)])
    return (total & 0xFFFF) + (total >> 16) > 0xFFFF


def field_of(packet: bytes) -> int:
    """Return what stands in the checksum field."""
    return int.from_bytes(packet[10:12], "big")


def with_field(packet: bytes, field: int) -> bytes:
    """Put any value into the checksum field."""
    return packet[:10] + field.to_bytes(2, "big") + packet[12:]


def without_field(packet: bytes) -> bytes:
    """Put zero into the checksum field."""
    return with_field(packet, 0)


def flipped(data: bytes, bit: int) -> bytes:
    """Flip one bit, counted from the first on the wire."""
    return (int.from_bytes(data, "big") ^ 1 << 8 * len(data) - 1 - bit).to_bytes(len(data), "big")


def swapped_field(packet: bytes) -> bytes:
    """Write the right checksum into the field with its low octet first."""
    return packet[:10] + packet[11:12] + packet[10:11] + packet[12:]


def carries_dropped(packet: bytes) -> bytes:
    """Fill the field as a sender does that cuts the carries off."""
    return with_field(packet, _sum(without_field(packet)[:20]) & 0xFFFF ^ 0xFFFF)


def options_left_out(packet: bytes) -> bytes:
    """Fill the field as a sender does that sums up 20 octets alone."""
    return with_field(packet, fold(_sum(without_field(packet)[:20])) ^ 0xFFFF)


def payload_covered(packet: bytes) -> bytes:
    """Fill the field as a sender does that sums up the whole packet."""
    return with_field(packet, fold(_sum(without_field(packet))) ^ 0xFFFF)


def rest_sums_to(total: int, word_4: int) -> bytes:
    """Build a header in which all words but the fifth and the field sum up to `total`."""
    return aimed(fold(total + word_4) ^ 0xFFFF, word_4=word_4)


# Making datagrams


def datagram(
    data: bytes,
    field: int = 0,
    source_port: int = 1000,
    destination_port: int = 2000,
    length: int | None = None,
) -> bytes:
    """Build a UDP datagram with any value in the checksum field, and perhaps a wrong `length`."""
    right = 8 + len(data)
    return (
        struct.pack(
            "!4H", source_port, destination_port, right if length is None else length, field
        )
        + data
    )


def udp_aimed(source: str, destination: str, length: int, checksum: int) -> bytes:
    """Build a datagram of `length` octets (10 or more) whose sum lacks `checksum` of all ones."""
    data = bytes(range(1, length - 9))
    start = udp_checksum(source, destination, datagram(b"\x00\x00" + data))
    first_word = fold((start - checksum) % 0xFFFF)
    return datagram(first_word.to_bytes(2, "big") + data)


def udp_carrying_twice(source: str, destination: str, length: int) -> bytes:
    """Build a datagram of `length` octets (even) whose sum, folded once, carries again."""
    data = bytes(range(1, length - 9))
    low = _udp_sum(source, destination, datagram(b"\x00\x00" + data)) & 0xFFFF
    return datagram((0xFFFF - low).to_bytes(2, "big") + data)


def udp_carries_twice(source: str, destination: str, given: bytes) -> bool:
    """Tell whether the sum of a datagram, its field as zero, carries again when folded once."""
    total = _udp_sum(source, destination, given)
    return (total & 0xFFFF) + (total >> 16) > 0xFFFF


def _udp_sum(source: str, destination: str, given: bytes) -> int:
    addresses = IPv4Address(source).packed + IPv4Address(destination).packed
    return _sum(addresses) + 17 + len(given) + _sum(given[:6] + bytes(2) + given[8:])


# Making data that pass the check


def words_that_add_up(*words: int) -> bytes:
    """Add one word so that all of them sum up to 0xFFFF, without any carry."""
    return struct.pack(f"!{len(words) + 1}H", *words, 0xFFFF - sum(words))


def _sum(data: bytes) -> int:
    """Add up words without folding; an odd octet at the end is the high half of one."""
    return sum(octet if place % 2 else octet << 8 for place, octet in enumerate(data))
