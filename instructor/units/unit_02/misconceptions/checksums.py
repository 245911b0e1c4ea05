"""Misconceptions about the checksum of a header: exercise 2.2."""

__all__ = ["HEADER_CHECKSUM"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_02.misconceptions.right_sums import (
    field_out,
    right_fold,
    right_header,
    right_sum,
    right_words,
)


def checksum_without_complement(packet: bytes) -> int:
    """Believe that the sum itself goes into the field."""
    return right_sum(field_out(right_header(packet)))


def checksum_drops_carries(packet: bytes) -> int:
    """Believe that carries may be cut off."""
    return sum(right_words(field_out(right_header(packet)))) & 0xFFFF ^ 0xFFFF


def checksum_with_old_field(packet: bytes) -> int:
    """Believe that the field counts as it stands."""
    return right_sum(right_header(packet)) ^ 0xFFFF


def checksum_field_by_value(packet: bytes) -> int:
    """Believe that the field is found by what stands in it."""
    header = right_header(packet)
    return right_sum(header.replace(packet[10:12], bytes(2))) ^ 0xFFFF


def checksum_words_like_the_field(packet: bytes) -> int:
    """Leave out every word that is equal to the field: the same belief, word by word."""
    words = right_words(right_header(packet))
    return right_fold(sum(word for word in words if word != words[5])) ^ 0xFFFF


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


def checksum_folded_once(packet: bytes) -> int:
    """Believe that folding cannot itself carry, and keep 16 bits of the complement."""
    return ~once_folded(packet) & 0xFFFF


def checksum_folded_once_too_large(packet: bytes) -> int:
    """Believe that folding cannot itself carry, and turn 16 bits round."""
    return once_folded(packet) ^ 0xFFFF


def checksum_folded_once_below_zero(packet: bytes) -> int:
    """Believe that folding cannot itself carry, and take it from all ones."""
    return 0xFFFF - once_folded(packet)


def once_folded(packet: bytes) -> int:
    """Fold the sum of a header once."""
    total = sum(right_words(field_out(right_header(packet))))
    return (total & 0xFFFF) + (total >> 16)


def checksum_wrong_word(packet: bytes) -> int:
    """Believe that the field is the word before."""
    header = right_header(packet)
    return right_sum(header[:8] + bytes(2) + header[10:]) ^ 0xFFFF


def checksum_without_last_word(packet: bytes) -> int:
    """Believe that a range reaches its end."""
    return right_sum(field_out(right_header(packet))[:-2]) ^ 0xFFFF


def checksum_of_high_half(packet: bytes) -> int:
    """Believe that the high half of octet 0 is the length."""
    return right_sum(field_out(packet[: (packet[0] >> 4) * 4])) ^ 0xFFFF


def checksum_length_in_words(packet: bytes) -> int:
    """Believe that the header length field counts words of 16 bits."""
    return right_sum(packet[: (packet[0] & 0x0F) * 2]) ^ 0xFFFF


def checksum_refuses_options(packet: bytes) -> int:
    """Believe that a header of more than 20 octets is none."""
    if packet[0] & 0x0F != 5:
        raise ValueError("no options, please")
    return right_sum(field_out(right_header(packet))) ^ 0xFFFF


def checksum_as_text(packet: bytes) -> str:
    """Believe that a number in hexadecimal is what `hex` gives."""
    return hex(right_sum(field_out(right_header(packet))) ^ 0xFFFF)


def checksum_as_octets(packet: bytes) -> bytes:
    """Believe that the two octets of the field are asked for."""
    return (right_sum(field_out(right_header(packet))) ^ 0xFFFF).to_bytes(2, "big")


def checksum_filled_in(packet: bytes) -> bytes:
    """Believe that the packet is asked for, its field filled in."""
    return packet[:10] + checksum_as_octets(packet) + packet[12:]


HEADER_CHECKSUM: dict[str, Callable[..., Any]] = {
    "no-complement": checksum_without_complement,
    "carries-dropped": checksum_drops_carries,
    "old-field-left-in": checksum_with_old_field,
    "field-found-by-value": checksum_field_by_value,
    "complement-below-zero": checksum_negative,
    "twos-complement": checksum_twos_complement,
    "low-octet-first": checksum_little_endian,
    "sum-of-octets": checksum_of_octets,
    "covers-the-payload": checksum_over_payload,
    "always-20-octets": checksum_of_20_octets,
    "length-in-octets": checksum_length_in_octets,
    "zero-becomes-all-ones": checksum_never_zero,
    "folds-once": checksum_folded_once,
    "folds-once-turned-round": checksum_folded_once_too_large,
    "folds-once-from-all-ones": checksum_folded_once_below_zero,
    "word-before-the-field": checksum_wrong_word,
    "last-word-left-out": checksum_without_last_word,
    "high-half-for-the-length": checksum_of_high_half,
    "length-in-16-bit-words": checksum_length_in_words,
    "options-refused": checksum_refuses_options,
    "text-for-a-number": checksum_as_text,
    "octets-for-a-number": checksum_as_octets,
    "packet-for-a-number": checksum_filled_in,
}
