"""Misconceptions about the checksum of UDP: exercise 2.4."""

__all__ = ["UDP_CHECKSUM"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_02.misconceptions.right_sums import right_fold, right_sum, right_words


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


def udp_folded_once(source: str, destination: str, datagram: bytes) -> int:
    """Believe that folding cannot itself carry, and keep 16 bits of the complement."""
    return ~udp_once(source, destination, datagram) & 0xFFFF or 0xFFFF


def udp_folded_once_too_large(source: str, destination: str, datagram: bytes) -> int:
    """Believe that folding cannot itself carry, and turn 16 bits round."""
    return udp_once(source, destination, datagram) ^ 0xFFFF or 0xFFFF


def udp_folded_once_below_zero(source: str, destination: str, datagram: bytes) -> int:
    """Believe that folding cannot itself carry, and take it from all ones."""
    return 0xFFFF - udp_once(source, destination, datagram) or 0xFFFF


def udp_once(source: str, destination: str, datagram: bytes) -> int:
    """Fold the sum of a datagram once."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    total = sum(right_words(pseudo + udp_field_out(datagram)))
    return (total & 0xFFFF) + (total >> 16)


def udp_drops_carries(source: str, destination: str, datagram: bytes) -> int:
    """Believe that carries may be cut off."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return sum(right_words(pseudo + udp_field_out(datagram))) & 0xFFFF ^ 0xFFFF or 0xFFFF


def udp_negative(source: str, destination: str, datagram: bytes) -> int:
    """Believe that ~ turns 16 bits round."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return ~right_sum(pseudo + udp_field_out(datagram)) or 0xFFFF


def udp_twos_complement(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the complement is the two's complement."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return -right_sum(pseudo + udp_field_out(datagram)) & 0xFFFF or 0xFFFF


def udp_little_endian(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the low octet of a word comes first."""
    data = right_pseudo(source, destination, 17, len(datagram)) + udp_field_out(datagram)
    data += bytes(len(data) % 2)
    pairs = range(0, len(data), 2)
    return right_fold(sum(data[at] + 256 * data[at + 1] for at in pairs)) ^ 0xFFFF or 0xFFFF


def udp_length_of_data(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the length is that of the data alone."""
    pseudo = right_pseudo(source, destination, 17, len(datagram) - 8)
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_length_plus_one(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the length is one more."""
    pseudo = right_pseudo(source, destination, 17, len(datagram) + 1)
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_length_from_field(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the length is what octets 4 and 5 say."""
    pseudo = right_pseudo(source, destination, 17, int.from_bytes(datagram[4:6], "big"))
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_length_in_one_octet(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the length fits into one octet, with a zero in front."""
    pseudo = right_pseudo(source, destination, 17, 0)[:-2] + bytes([0, len(datagram)])
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_protocol_left_out(source: str, destination: str, datagram: bytes) -> int:
    """Believe that there is no protocol number in the pseudo header."""
    pseudo = right_pseudo(source, destination, 0, len(datagram))
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_length_left_out(source: str, destination: str, datagram: bytes) -> int:
    """Believe that there is no length in the pseudo header."""
    pseudo = right_pseudo(source, destination, 17, 0)
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_wrong_word(source: str, destination: str, datagram: bytes) -> int:
    """Believe that octets 4 and 5 are the field."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return right_sum(pseudo + datagram[:4] + bytes(2) + datagram[6:]) ^ 0xFFFF or 0xFFFF


def udp_refuses_odd(source: str, destination: str, datagram: bytes) -> int:
    """Believe that an odd number of octets cannot be summed."""
    if len(datagram) % 2:
        raise ValueError("an odd number of octets")
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF


def udp_field_by_value(source: str, destination: str, datagram: bytes) -> int:
    """Believe that the field is found by what stands in it."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    return right_sum(pseudo + datagram.replace(datagram[6:8], bytes(2))) ^ 0xFFFF or 0xFFFF


def udp_words_like_the_field(source: str, destination: str, datagram: bytes) -> int:
    """Leave out every word that is equal to the field: the same belief, word by word."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    words = right_words(datagram)
    rest = sum(word for word in words if word != words[3])
    return right_fold(right_sum(pseudo) + rest) ^ 0xFFFF or 0xFFFF


def udp_as_octets(source: str, destination: str, datagram: bytes) -> bytes:
    """Believe that the two octets of the field are asked for."""
    pseudo = right_pseudo(source, destination, 17, len(datagram))
    checksum = right_sum(pseudo + udp_field_out(datagram)) ^ 0xFFFF or 0xFFFF
    return checksum.to_bytes(2, "big")


UDP_CHECKSUM: dict[str, Callable[..., Any]] = {
    "no-pseudo-header": udp_without_pseudo_header,
    "addresses-alone": udp_addresses_alone,
    "padded-in-front": udp_padded_in_front,
    "last-octet-left-out": udp_last_octet_left_out,
    "padding-counted": udp_padding_counted,
    "zero-stays-zero": udp_zero_stays,
    "old-field-left-in": udp_with_old_field,
    "field-found-by-value": udp_field_by_value,
    "protocol-number-of-tcp": udp_as_tcp,
    "length-of-the-packet": udp_length_of_packet,
    "no-complement": udp_without_complement,
    "folds-once": udp_folded_once,
    "folds-once-turned-round": udp_folded_once_too_large,
    "folds-once-from-all-ones": udp_folded_once_below_zero,
    "carries-dropped": udp_drops_carries,
    "complement-below-zero": udp_negative,
    "twos-complement": udp_twos_complement,
    "low-octet-first": udp_little_endian,
    "length-of-the-data": udp_length_of_data,
    "length-one-too-many": udp_length_plus_one,
    "length-from-the-field": udp_length_from_field,
    "length-in-one-octet": udp_length_in_one_octet,
    "protocol-left-out": udp_protocol_left_out,
    "length-left-out": udp_length_left_out,
    "word-before-the-field": udp_wrong_word,
    "odd-lengths-refused": udp_refuses_odd,
    "octets-for-a-number": udp_as_octets,
}
