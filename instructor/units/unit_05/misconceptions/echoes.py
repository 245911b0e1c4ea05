"""Misconceptions about an echo and its reply: exercise 5.4."""

__all__ = ["ANSWER_ECHO"]

from collections.abc import Callable
from typing import Any

Change = Callable[[bytes], bytes]


def right_sum(data: bytes) -> int:
    """Return the ones' complement sum; an odd last octet is a high half."""
    data += bytes(len(data) % 2)
    total = sum(data[::2]) * 256 + sum(data[1::2])
    return total and (total - 1) % 0xFFFF + 1


def put(data: bytes, place: int, value: int) -> bytes:
    """Put a word into its place."""
    return data[:place] + value.to_bytes(2, "big") + data[place + 2 :]


def word(data: bytes, place: int) -> int:
    """Return the word at a place."""
    return int.from_bytes(data[place : place + 2], "big")


def summed(data: bytes, place: int) -> bytes:
    """Put the right checksum into its place."""
    return put(data, place, 0xFFFF - right_sum(put(data, place, 0)))


def right_start(packet: bytes) -> int:
    """Return where the message begins."""
    return 4 * (packet[0] & 15)


def right_is_echo(message: bytes) -> bool:
    """Tell whether a message is an echo."""
    return len(message) >= 8 and message[:2] == b"\x08\0" and right_sum(message) == 0xFFFF


def exchanged(header: bytes) -> bytes:
    """Let the addresses change places."""
    return header[:12] + header[16:20] + header[12:16] + header[20:]


def right_header(header: bytes) -> bytes:
    """Return the header of the reply."""
    return summed(exchanged(header[:8] + b"\x40" + header[9:]), 10)


def right_message(message: bytes) -> bytes:
    """Return the message of the reply."""
    return summed(b"\0" + message[1:], 2)


def turned(
    packet: bytes,
    *,
    start: Callable[[bytes], int] = right_start,
    is_echo: Callable[[bytes], bool] = right_is_echo,
    header: Change = right_header,
    message: Change = right_message,
) -> bytes | None:
    """Return the reply, right but for what is given."""
    place = start(packet)
    if not is_echo(packet[place:]):
        return None
    return header(packet[:place]) + message(packet[place:])


def echo_with_addresses_as_they_are(packet: bytes) -> bytes | None:
    """Believe that the type turns a packet round."""
    return turned(packet, header=lambda header: summed(put(header, 8, 0x4001), 10))


def echo_to_its_source_alone(packet: bytes) -> bytes | None:
    """Believe that the destination alone changes: to where the echo came from."""
    return turned(
        packet,
        header=lambda header: summed(
            header[:8] + b"\x40" + header[9:16] + header[12:16] + header[20:], 10
        ),
    )


def echo_with_old_life(packet: bytes) -> bytes | None:
    """Believe that the time to live stays."""
    return turned(packet, header=exchanged)


def echo_one_hop_older(packet: bytes) -> bytes | None:
    """Believe that whoever sends a packet lowers the time to live."""
    return turned(
        packet,
        header=lambda header: summed(
            exchanged(header[:8] + bytes([max(header[8], 1) - 1]) + header[9:]), 10
        ),
    )


def echo_with_longest_life(packet: bytes) -> bytes | None:
    """Believe that a packet of one's own lives as long as can be."""
    return turned(packet, header=lambda header: summed(exchanged(put(header, 8, 0xFF01)), 10))


def echo_with_old_header_sum(packet: bytes) -> bytes | None:
    """Believe that the sum of the header stays, since addresses only change places."""
    return turned(packet, header=lambda header: put(right_header(header), 10, word(header, 10)))


def echo_with_the_other_zero(packet: bytes) -> bytes | None:
    """Believe that an updated checksum needs no second look."""

    def updated(message: bytes) -> bytes:
        total = word(message, 2) + 0x0800
        return put(b"\0" + message[1:], 2, total % 0x10000 + total // 0x10000)

    return turned(packet, message=updated)


def echo_without_carry(packet: bytes) -> bytes | None:
    """Believe that a carry out of 16 bits may be dropped."""
    return turned(
        packet,
        message=lambda message: put(b"\0" + message[1:], 2, (word(message, 2) + 0x0800) % 0x10000),
    )


def echo_with_lower_sum(packet: bytes) -> bytes | None:
    """Believe that a lower type makes a lower checksum."""
    return turned(
        packet,
        message=lambda message: put(b"\0" + message[1:], 2, (word(message, 2) - 0x0800) % 0x10000),
    )


def echo_with_old_sum(packet: bytes) -> bytes | None:
    """Believe that the checksum of the message stays."""
    return turned(packet, message=lambda message: b"\0" + message[1:])


def echo_over_the_old_sum(packet: bytes) -> bytes | None:
    """Believe that the old checksum is part of what is added up."""

    def over_all(message: bytes) -> bytes:
        message = b"\0" + message[1:]
        return put(message, 2, 0xFFFF - right_sum(message))

    return turned(packet, message=over_all)


def echo_without_complement(packet: bytes) -> bytes | None:
    """Believe that the sum itself is the checksum."""

    def plain(message: bytes) -> bytes:
        message = put(b"\0" + message[1:], 2, 0)
        return put(message, 2, right_sum(message))

    return turned(packet, message=plain)


def echo_over_8_octets(packet: bytes) -> bytes | None:
    """Believe that the checksum covers the ICMP header alone, where one sends."""
    return turned(packet, message=lambda message: summed(b"\0" + message[1:8], 2) + message[8:])


def echo_over_addresses_too(packet: bytes) -> bytes | None:
    """Believe that the checksum covers the addresses, as that of UDP does."""

    def over_addresses(message: bytes) -> bytes:
        ends = packet[12:20] + bytes([0, 1]) + len(message).to_bytes(2, "big")
        message = put(b"\0" + message[1:], 2, 0)
        return put(message, 2, 0xFFFF - right_sum(ends + message))

    return turned(packet, message=over_addresses)


def echo_folding_once(packet: bytes) -> bytes | None:
    """Believe that carries come back in one go."""

    def folded_once(data: bytes, place: int) -> bytes:
        data = put(data, place, 0)
        padded = data + bytes(len(data) % 2)
        total = sum(padded[::2]) * 256 + sum(padded[1::2])
        return put(data, place, 0xFFFF - (total % 0x10000 + total // 0x10000) % 0x10000)

    return turned(
        packet,
        header=lambda header: folded_once(right_header(header), 10),
        message=lambda message: folded_once(b"\0" + message[1:], 2),
    )


def echo_with_odd_octet_low(packet: bytes) -> bytes | None:
    """Believe that an odd last octet is a number like any other."""

    def padded_before(data: bytes) -> bytes:
        return data[:-1] + b"\0" + data[-1:] if len(data) % 2 else data

    def sums_up(message: bytes) -> bool:
        return right_is_echo(padded_before(message))

    def low(message: bytes) -> bytes:
        checksum = word(right_message(padded_before(message)), 2)
        return put(b"\0" + message[1:], 2, checksum)

    return turned(packet, is_echo=sums_up, message=low)


def echo_behind_20_octets(packet: bytes) -> bytes | None:
    """Believe that a header has 20 octets."""
    return turned(packet, start=lambda packet: 20)


def echo_without_options(packet: bytes) -> bytes | None:
    """Believe that a packet of one's own has no options."""

    def plain(header: bytes) -> bytes:
        length = word(header, 2) - len(header) + 20
        return right_header(b"\x45" + header[1:2] + length.to_bytes(2, "big") + header[4:20])

    return turned(packet, header=plain)


def echo_without_data(packet: bytes) -> bytes | None:
    """Believe that a reply needs no data."""

    def short(header: bytes) -> bytes:
        return right_header(put(header, 2, len(header) + 8))

    return turned(packet, header=short, message=lambda message: right_message(message[:8]))


def echo_without_identification(packet: bytes) -> bytes | None:
    """Believe that a packet of one's own begins with identification 0."""
    return turned(packet, header=lambda header: right_header(put(header, 4, 0)))


def echo_without_service(packet: bytes) -> bytes | None:
    """Believe that the type of service is for the way there alone."""
    return turned(packet, header=lambda header: right_header(header[:1] + b"\0" + header[2:]))


def echo_without_flags(packet: bytes) -> bytes | None:
    """Believe that flags are for the way there alone."""
    return turned(packet, header=lambda header: right_header(put(header, 6, 0)))


def echo_message_alone(packet: bytes) -> bytes | None:
    """Believe that the message is all that is asked for."""
    return turned(packet, header=lambda header: b"")


def echo_of_any_type(packet: bytes) -> bytes | None:
    """Believe that every message is answered."""

    def is_whole(message: bytes) -> bool:
        return len(message) >= 8 and message[1] == 0 and right_sum(message) == 0xFFFF

    return turned(packet, is_echo=is_whole)


def echo_of_any_code(packet: bytes) -> bytes | None:
    """Believe that the type alone makes an echo."""

    def is_echo(message: bytes) -> bool:
        return len(message) >= 8 and message[0] == 8 and right_sum(message) == 0xFFFF

    return turned(packet, is_echo=is_echo)


def echo_unchecked(packet: bytes) -> bytes | None:
    """Believe that the checksum of the IPv4 header guards the message."""

    def is_echo(message: bytes) -> bool:
        return len(message) >= 8 and message[:2] == b"\x08\0"

    return turned(packet, is_echo=is_echo)


def echo_in_any_size(packet: bytes) -> bytes | None:
    """Believe that a right checksum says that all is there."""

    def is_echo(message: bytes) -> bool:
        return message[:2] == b"\x08\0" and right_sum(message) == 0xFFFF

    return turned(packet, is_echo=is_echo)


def echo_with_data_only(packet: bytes) -> bytes | None:
    """Believe that an echo without data is none."""
    return turned(packet, is_echo=lambda message: len(message) > 8 and right_is_echo(message))


def echo_or_refuse(packet: bytes) -> bytes | None:
    """Believe that what is no echo is an error."""
    reply = turned(packet)
    if reply is None:
        raise ValueError("no echo")
    return reply


def echo_or_nothing(packet: bytes) -> bytes | None:
    """Believe that no octets are as good as None."""
    return turned(packet) or b""


ANSWER_ECHO: dict[str, Callable[..., Any]] = {
    "addresses-stay": echo_with_addresses_as_they_are,
    "source-stays": echo_to_its_source_alone,
    "time-to-live-stays": echo_with_old_life,
    "time-to-live-lowered": echo_one_hop_older,
    "time-to-live-of-255": echo_with_longest_life,
    "header-sum-stays": echo_with_old_header_sum,
    "other-zero": echo_with_the_other_zero,
    "carry-dropped": echo_without_carry,
    "sum-falls-with-the-type": echo_with_lower_sum,
    "message-sum-stays": echo_with_old_sum,
    "old-sum-added-up": echo_over_the_old_sum,
    "not-complemented": echo_without_complement,
    "sum-of-eight-octets": echo_over_8_octets,
    "addresses-in-the-sum": echo_over_addresses_too,
    "folded-once": echo_folding_once,
    "odd-octet-low": echo_with_odd_octet_low,
    "header-always-twenty": echo_behind_20_octets,
    "options-left-out": echo_without_options,
    "data-left-out": echo_without_data,
    "identification-zeroed": echo_without_identification,
    "service-zeroed": echo_without_service,
    "flags-zeroed": echo_without_flags,
    "message-without-header": echo_message_alone,
    "every-type-answered": echo_of_any_type,
    "code-not-looked-at": echo_of_any_code,
    "sum-not-looked-at": echo_unchecked,
    "length-not-looked-at": echo_in_any_size,
    "data-required": echo_with_data_only,
    "refused-for-none": echo_or_refuse,
    "nothing-for-none": echo_or_nothing,
}
