"""Misconceptions about UDP, the next hop and what is missed: exercises 2.4 to 2.6.

The rule of RFC 1141 is a published mistake: RFC 1624 corrects it.
"""

__all__ = ["LOWER_TIME_TO_LIVE", "MISSED_PAIRS", "UDP_CHECKSUM"]

import itertools
import math
from collections.abc import Callable
from typing import Any


def right_fold(total: int) -> int:
    """Bring all carries back in."""
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total


def right_words(data: bytes) -> list[int]:
    """Cut data into 16-bit words, the last one padded behind."""
    data = data + bytes(len(data) % 2)
    return [int.from_bytes(data[place : place + 2], "big") for place in range(0, len(data), 2)]


def right_sum(data: bytes) -> int:
    """Add up the words of data in ones' complement."""
    return right_fold(sum(right_words(data)))


# 2.4 udp_checksum


def right_pseudo(source: str, destination: str, protocol: int, length: int) -> bytes:
    """Build the pseudo header of RFC 768."""
    octets = [int(part) for part in source.split(".") + destination.split(".")]
    return bytes([*octets, 0, protocol]) + length.to_bytes(2, "big")


def udp_field_out(datagram: bytes) -> bytes:
    """Put zero into the checksum field of a UDP datagram."""
    return datagram[:6] + bytes(2) + datagram[8:]


def udp_without_pseudo_header(source: str, destination: str, datagram: bytes) -> int:
    """Believe that only what is sent is summed."""
    return right_sum(udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_addresses_alone(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the pseudo header is the two addresses."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))[:8]
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_padded_in_front(source: str, destination: str, datagram: bytes) -> int:
    """Believe that a last odd octet is the low half of its word."""
    data = right_pseudo(source, destination, 17, len(datagram)) + udp_field_out(datagram)
    if len(data) % 2:
        data = data[:-1] + b"\x00" + data[-1:]
    return right_sum(data) ^ 0xFFFF or 0xFFFF


def udp_last_octet_left_out(source: str, destination: str, datagram: bytes) -> int:
    """Believe that an odd octet at the end does not count."""
    data = right_pseudo(source, destination, 17, len(datagram)) + udp_field_out(datagram)
    return right_sum(data[: len(data) // 2 * 2]) ^ 0xFFFF or 0xFFFF


def udp_padding_counted(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the padding is part of the datagram's length."""
    padded = udp_field_out(datagram) + bytes(len(datagram) % 2)
    pseudo = right_pseudo(source, destination, 17, len(padded))
    return right_sum(pseudo + padded) ^ 0xFFFF or 0xFFFF


def udp_zero_stays(source: str, destination: str, datagram: bytes) -> int:
    """Believe that a checksum of zero is sent as it is."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF


def udp_with_old_field(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the field counts as it stands."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return right_sum(pseudo + datagram) ^ 0xFFFF or 0xFFFF


def udp_as_tcp(source: str, destination: str, datagram: bytes) -> int:
    """Believe that 6 is the protocol number of UDP."""
    pseudo = right_pseudo(source, destination, 6, len(datagram))
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_length_of_packet(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the pseudo header holds the length of the whole IP packet."""
    pseudo = right_pseudo(source, destination, 17, len(datagram) + 20)
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_without_complement(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the sum itself goes into the field."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return right_sum(pseudo + udp_field_out(datagram)) or 0xFFFF


UDP_CHECKSUM: dict[str, Callable[..., Any]] = {
    "no-pseudo-header": udp_without_pseudo_header,
    "addresses-alone": udp_addresses_alone,
    "padded-in-front": udp_padded_in_front,
    "last-octet-left-out": udp_last_octet_left_out,
    "padding-counted": udp_padding_counted,
    "zero-stays-zero": udp_zero_stays,
    "old-field-left-in": udp_with_old_field,
    "protocol-number-of-tcp": udp_as_tcp,
    "length-of-the-packet": udp_length_of_packet,
    "no-complement": udp_without_complement,
}


# 2.5 lower_time_to_live


def with_words(header: bytes, word: int, checksum: int) -> bytes:
    """Put a new word 4 and a new checksum into a header."""
    return header[:8] + word.to_bytes(2, "big") + checksum.to_bytes(2, "big") + header[12:]


def lower_keeps_checksum(header: bytes) -> bytes:
    """Believe that only the time to live changes."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    return header[:8] + bytes([header[8] - 1]) + header[9:]


def lower_subtracts_from_checksum(header: bytes) -> bytes:
    """Believe that the checksum falls as the word falls."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    return with_words(header, words[4] - 0x0100, (words[5] - 0x0100) & 0xFFFF)


def lower_by_rfc_1141(header: bytes) -> bytes:
    """Believe that HC + m + ~m' is enough (RFC 1141; RFC 1624 shows where it is not)."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 0x0100
    return with_words(header, new, right_fold(words[5] + words[4] + (new ^ 0xFFFF)))


def lower_forwards_last_hop(header: bytes) -> bytes:
    """Believe that a packet may go on while its time to live is 1 or more."""
    if header[8] < 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 0x0100
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


def lower_refuses_two(header: bytes) -> bytes:
    """Believe that one hop must be left after this one."""
    if header[8] - 1 <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 0x0100
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


def lower_loses_carry(header: bytes) -> bytes:
    """Believe that a carry out of the new checksum may be cut off."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    return with_words(header, words[4] - 0x0100, (words[5] + 0x0100) & 0xFFFF)


def lower_protocol_instead(header: bytes) -> bytes:
    """Believe that the time to live stands in octet 9."""
    if header[9] <= 1:
        raise ValueError("time exceeded")
    words = right_words(header)
    new = words[4] - 1
    total = right_fold((words[5] ^ 0xFFFF) + (words[4] ^ 0xFFFF) + new)
    return with_words(header, new, total ^ 0xFFFF)


def lower_with_old_field(header: bytes) -> bytes:
    """Believe that the whole may be summed again with the old checksum in its place."""
    if header[8] <= 1:
        raise ValueError("time exceeded")
    new = right_words(header)[4] - 0x0100
    changed = header[:8] + new.to_bytes(2, "big") + header[10:]
    return with_words(header, new, right_sum(changed) ^ 0xFFFF)


LOWER_TIME_TO_LIVE: dict[str, Callable[..., Any]] = {
    "checksum-kept": lower_keeps_checksum,
    "checksum-falls-too": lower_subtracts_from_checksum,
    "rule-of-rfc-1141": lower_by_rfc_1141,
    "forwards-the-last-hop": lower_forwards_last_hop,
    "refuses-two": lower_refuses_two,
    "carry-lost": lower_loses_carry,
    "protocol-lowered": lower_protocol_instead,
    "old-field-left-in": lower_with_old_field,
}


# 2.6 missed_pairs


def missed_none(header: bytes) -> int:
    """Believe that a checksum notices every error."""
    return 0


def missed_twice(header: bytes) -> int:
    """Believe that "first and second" and "second and first" are two pairs."""
    return 2 * missed_in_columns(header)


def missed_in_columns(header: bytes) -> int:
    """Count one 0 and one 1 in the same column."""
    words = right_words(header)
    ones = [sum(word >> column & 1 for word in words) for column in range(16)]
    return sum(count * (len(words) - count) for count in ones)


def missed_whatever_the_bits(header: bytes) -> int:
    """Believe that any two flips in one column cancel."""
    return 16 * math.comb(len(header) // 2, 2)


def missed_equal_bits(header: bytes) -> int:
    """Believe that two flips cancel if the bits are equal."""
    return 16 * math.comb(len(header) // 2, 2) - missed_in_columns(header)


def missed_in_neighbours(header: bytes) -> int:
    """Believe that only words next to each other can hide an error."""
    words = right_words(header)
    return sum((one ^ other).bit_count() for one, other in itertools.pairwise(words))


def missed_in_any_column(header: bytes) -> int:
    """Believe that a 0 and a 1 cancel wherever they stand."""
    ones = int.from_bytes(header, "big").bit_count()
    return ones * (8 * len(header) - ones)


def missed_in_octets(header: bytes) -> int:
    """Believe that the columns are those of octets."""
    ones = [sum(octet >> column & 1 for octet in header) for column in range(8)]
    return sum(count * (len(header) - count) for count in ones)


def missed_with_itself(header: bytes) -> int:
    """Believe that a bit makes a pair with itself."""
    return missed_in_columns(header) + 8 * len(header)


def missed_one_in_32(header: bytes) -> int:
    """Believe that the share for long random data holds for every header."""
    return math.comb(8 * len(header), 2) // 32


MISSED_PAIRS: dict[str, Callable[..., Any]] = {
    "notices-every-error": missed_none,
    "each-pair-twice": missed_twice,
    "whatever-the-bits": missed_whatever_the_bits,
    "equal-bits-cancel": missed_equal_bits,
    "neighbouring-words-only": missed_in_neighbours,
    "any-column": missed_in_any_column,
    "columns-of-octets": missed_in_octets,
    "a-bit-with-itself": missed_with_itself,
    "one-in-32": missed_one_in_32,
}
