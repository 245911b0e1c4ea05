"""Misconceptions about folding, summing and checking a header: exercises 2.1 to 2.3."""

__all__ = ["FOLD", "HEADER_CHECKSUM", "IS_HEADER_INTACT"]

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


def right_header(packet: bytes) -> bytes:
    """Cut the header off a packet."""
    return packet[: (packet[0] & 0x0F) * 4]


def field_out(header: bytes) -> bytes:
    """Put zero into the checksum field of an IPv4 header."""
    return header[:10] + bytes(2) + header[12:]


# 2.1 fold


def fold_drops_carries(total: int) -> int:
    """Believe that what is above 16 bits may be cut off."""
    return total & 0xFFFF


def fold_once(total: int) -> int:
    """Believe that folding cannot itself carry."""
    return (total & 0xFFFF) + (total >> 16)


def fold_once_then_cut(total: int) -> int:
    """Believe that a carry out of the fold may be cut off."""
    return ((total & 0xFFFF) + (total >> 16)) & 0xFFFF


def fold_twice(total: int) -> int:
    """Believe that two folds are enough for any total."""
    total = (total & 0xFFFF) + (total >> 16)
    return (total & 0xFFFF) + (total >> 16)


def fold_by_bare_remainder(total: int) -> int:
    """Believe that the remainder tells all ones from zero."""
    return total % 0xFFFF


def fold_at_8_bits(total: int) -> int:
    """Believe that a carry leaves an octet."""
    while total > 0xFF:
        total = (total & 0xFF) + (total >> 8)
    return total


def fold_adds_one(total: int) -> int:
    """Believe that there is at most one carry to bring back."""
    while total > 0xFFFF:
        total = (total & 0xFFFF) + 1
    return total


def fold_and_complement(total: int) -> int:
    """Believe that the sum is complemented as it is folded."""
    return right_fold(total) ^ 0xFFFF


FOLD: dict[str, Callable[..., Any]] = {
    "carries-dropped": fold_drops_carries,
    "folds-once": fold_once,
    "folds-once-then-cuts": fold_once_then_cut,
    "folds-twice": fold_twice,
    "remainder-makes-all-ones-zero": fold_by_bare_remainder,
    "folds-at-8-bits": fold_at_8_bits,
    "one-for-all-carries": fold_adds_one,
    "complements-at-once": fold_and_complement,
}


# 2.2 header_checksum


def checksum_without_complement(packet: bytes) -> int:
    """Believe that the sum itself goes into the field."""
    return right_sum(field_out(right_header(packet)))


def checksum_drops_carries(packet: bytes) -> int:
    """Believe that carries may be cut off."""
    return sum(right_words(field_out(right_header(packet)))) & 0xFFFF ^ 0xFFFF


def checksum_with_old_field(packet: bytes) -> int:
    """Believe that the field counts as it stands."""
    return right_sum(right_header(packet)) ^ 0xFFFF


def checksum_negative(packet: bytes) -> int:
    """Believe that ~ turns 16 bits round."""
    return ~right_sum(field_out(right_header(packet)))


def checksum_twos_complement(packet: bytes) -> int:
    """Believe that the complement is the two's complement."""
    return -right_sum(field_out(right_header(packet))) & 0xFFFF


def checksum_little_endian(packet: bytes) -> int:
    """Believe that the low octet of a word comes first."""
    header = field_out(right_header(packet))
    pairs = range(0, len(header), 2)
    return right_fold(sum(header[at] + 256 * header[at + 1] for at in pairs)) ^ 0xFFFF


def checksum_of_octets(packet: bytes) -> int:
    """Believe that single octets are added."""
    return right_fold(sum(field_out(right_header(packet)))) ^ 0xFFFF


def checksum_over_payload(packet: bytes) -> int:
    """Believe that the checksum covers the payload too."""
    return right_sum(field_out(packet)) ^ 0xFFFF


def checksum_of_20_octets(packet: bytes) -> int:
    """Believe that every header has 20 octets."""
    return right_sum(field_out(packet[:20])) ^ 0xFFFF


def checksum_length_in_octets(packet: bytes) -> int:
    """Believe that the header length field counts octets."""
    return right_sum(packet[: packet[0] & 0x0F]) ^ 0xFFFF


def checksum_never_zero(packet: bytes) -> int:
    """Believe that a checksum of zero is sent as all ones, as UDP does."""
    return right_sum(field_out(right_header(packet))) ^ 0xFFFF or 0xFFFF


HEADER_CHECKSUM: dict[str, Callable[..., Any]] = {
    "no-complement": checksum_without_complement,
    "carries-dropped": checksum_drops_carries,
    "old-field-left-in": checksum_with_old_field,
    "complement-below-zero": checksum_negative,
    "twos-complement": checksum_twos_complement,
    "low-octet-first": checksum_little_endian,
    "sum-of-octets": checksum_of_octets,
    "covers-the-payload": checksum_over_payload,
    "always-20-octets": checksum_of_20_octets,
    "length-in-octets": checksum_length_in_octets,
    "zero-becomes-all-ones": checksum_never_zero,
}


# 2.3 is_header_intact


def intact_if_sum_zero(packet: bytes) -> bool:
    """Believe that an intact header sums up to zero."""
    return right_sum(right_header(packet)) == 0


def intact_if_own_value(packet: bytes) -> bool:
    """Believe that the field must hold the very value that one computes."""
    header = right_header(packet)
    return right_sum(field_out(header)) ^ 0xFFFF == int.from_bytes(header[10:12], "big")


def intact_over_payload(packet: bytes) -> bool:
    """Believe that the payload is checked too."""
    return right_sum(packet) == 0xFFFF


def intact_in_20_octets(packet: bytes) -> bool:
    """Believe that every header has 20 octets."""
    return right_sum(packet[:20]) == 0xFFFF


def intact_without_carries(packet: bytes) -> bool:
    """Believe that carries may be cut off."""
    return sum(right_words(right_header(packet))) & 0xFFFF == 0xFFFF


def intact_if_field_zero(packet: bytes) -> bool:
    """Believe that zero in the field switches the check off, as in UDP."""
    return packet[10:12] == b"\x00\x00" or right_sum(right_header(packet)) == 0xFFFF


IS_HEADER_INTACT: dict[str, Callable[..., Any]] = {
    "expects-sum-zero": intact_if_sum_zero,
    "compares-with-own-value": intact_if_own_value,
    "covers-the-payload": intact_over_payload,
    "always-20-octets": intact_in_20_octets,
    "carries-dropped": intact_without_carries,
    "zero-means-unchecked": intact_if_field_zero,
}
