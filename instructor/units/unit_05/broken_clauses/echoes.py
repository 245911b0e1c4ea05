"""Answers to 5.4 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from instructor.units.unit_05.misconceptions.echoes import (
    put,
    right_header,
    right_is_echo,
    right_message,
    right_start,
    right_sum,
    summed,
    turned,
    word,
)


def echo_with_old_type(packet: bytes) -> bytes | None:
    """Leave the type as it is."""
    return turned(packet, message=lambda message: message)


def echo_with_old_long_life(packet: bytes) -> bytes | None:
    """Leave a time to live above 64 as it is."""

    def header_of(header: bytes) -> bytes:
        hops = max(header[8], 64)
        return summed(right_header(header)[:8] + bytes([hops]) + right_header(header)[9:], 10)

    return turned(packet, header=header_of)


def echo_with_old_sum_of_short_life(packet: bytes) -> bytes | None:
    """Leave the header's checksum as it is, where the time to live rises."""

    def header_of(header: bytes) -> bytes:
        if header[8] >= 64:
            return right_header(header)
        return put(right_header(header), 10, word(header, 10))

    return turned(packet, header=header_of)


def echo_with_the_other_zero_above(packet: bytes) -> bytes | None:
    """Write the other zero into the header, where the time to live changes."""

    def header_of(header: bytes) -> bytes:
        after = right_header(header)
        is_zero = word(after, 10) == 0 and header[8] != 64
        return put(after, 10, 0xFFFF) if is_zero else after

    return turned(packet, header=header_of)


def echo_with_fillers(packet: bytes) -> bytes | None:
    """Fill the options with zeros."""

    def header_of(header: bytes) -> bytes:
        return right_header(header[:20] + bytes(len(header) - 20))

    return turned(packet, header=header_of)


def echo_with_low_odd_octet_on_the_way_back(packet: bytes) -> bytes | None:
    """Count an odd last octet as a low half, in the reply alone."""

    def low(message: bytes) -> bytes:
        if len(message) % 2 == 0:
            return right_message(message)
        padded = put(b"\0" + message[1:-1], 2, 0) + b"\0" + message[-1:]
        return put(b"\0" + message[1:], 2, 0xFFFF - right_sum(padded))

    return turned(packet, message=low)


def echo_of_7_octets(packet: bytes) -> bytes | None:
    """Be content with 6 octets or more."""

    def is_echo(message: bytes) -> bool:
        is_right = message[:2] == b"\x08\0" and right_sum(message) == 0xFFFF
        return len(message) >= 6 and is_right

    return turned(packet, is_echo=is_echo)


def echo_without_a_sum(packet: bytes) -> bytes | None:
    """Take a checksum of 0 to say that there is none, as in UDP."""

    def is_echo(message: bytes) -> bool:
        return right_is_echo(message) or (len(message) >= 8 and message[:4] == b"\x08\0\0\0")

    return turned(packet, is_echo=is_echo)


def echo_or_nothing_for_wrecks(packet: bytes) -> bytes | None:
    """Give no octets, in place of None, for what is neither an echo nor intact."""
    message = packet[right_start(packet) :]
    if message[:1] != b"\x08" and right_sum(message) != 0xFFFF:
        return b""
    return turned(packet)


def echo_behind_24_octets(packet: bytes) -> bytes | None:
    """Take 24 octets for the longest header."""
    return turned(packet, start=lambda packet: min(right_start(packet), 24))


def echo_without_carry_but_zero(packet: bytes) -> bytes | None:
    """Add to the checksum, know its two zeros, and drop the carry."""

    def updated(message: bytes) -> bytes:
        total = (word(message, 2) + 0x0800) % 0x10000
        return put(b"\0" + message[1:], 2, total % 0xFFFF)

    return turned(packet, message=updated)


def echo_without_identification_of_64(packet: bytes) -> bytes | None:
    """Take 0 for the identification, where the time to live stays."""

    def header_of(header: bytes) -> bytes:
        return right_header(put(header, 4, 0) if header[8] == 64 else header)

    return turned(packet, header=header_of)
