"""Other right answers to 5.4."""

__all__ = ["ANSWER_ECHO"]

import struct
from collections.abc import Callable
from typing import Any

import numpy as np


def ones_sum(data: bytes) -> int:
    """Take the remainder in place of folding."""
    number = int.from_bytes(data + b"\0" * (len(data) % 2), "big")
    return (number - 1) % 65535 + 1 if number else 0


def echo_by_updates(packet: bytes) -> bytes | None:
    """Update both checksums as RFC 1624 says, without adding up anything again."""
    data = bytearray(packet)
    start = 4 * (data[0] & 15)
    message = bytes(data[start:])
    if len(message) < 8 or (message[0], message[1]) != (8, 0) or ones_sum(message) != 0xFFFF:
        return None

    def update(place: int, old: int, new: int) -> None:
        (checksum,) = struct.unpack_from("!H", data, place)
        total = (checksum ^ 0xFFFF) + (old ^ 0xFFFF) + new
        while total >> 16:
            total = (total & 0xFFFF) + (total >> 16)
        struct.pack_into("!H", data, place, total ^ 0xFFFF)

    update(10, data[8] << 8, 64 << 8)
    update(start + 2, 0x0800, 0)
    data[8], data[start] = 64, 0
    data[12:16], data[16:20] = data[16:20], data[12:16]
    return bytes(data)


def echo_by_fields(packet: bytes) -> bytes | None:
    """Unpack the header, exchange two names, pack it again."""
    first, service, total, number, flags, _, protocol, _, source, target = struct.unpack(
        "!BBHHHBBH4s4s", packet[:20]
    )
    options, message = packet[20 : (first % 16) * 4], packet[(first % 16) * 4 :]
    try:
        kind, code, _, numbers = struct.unpack("!BBHI", message[:8])
    except struct.error:
        return None
    words = np.frombuffer(message + bytes(len(message) % 2), dtype=">u2")
    if kind != 8 or code != 0 or int(words.sum(dtype=np.uint64)) % 0xFFFF != 0:
        return None

    def header(checksum: int) -> bytes:
        return struct.pack("!BBHHHBBH4s4s", first, service, total, number, flags, 64, protocol,
                           checksum, target, source) + options  # fmt: skip

    def reply(checksum: int) -> bytes:
        return struct.pack("!BBHI", 0, 0, checksum, numbers) + message[8:]

    return header(ones_sum(header(0)) ^ 0xFFFF) + reply(ones_sum(reply(0)) ^ 0xFFFF)


def echo_in_a_list(packet: bytes) -> bytes | None:
    """Work on a list of octets, with loops."""
    octets = [*packet]
    start = octets[0] % 16 * 4

    def carry_round(begin: int, end: int) -> int:
        total = 0
        for place in range(begin, end, 2):
            total += octets[place] * 256
            if place + 1 < end:
                total += octets[place + 1]
            if total > 65535:
                total -= 65535
        return total

    if len(octets) - start < 8:
        return None
    if octets[start : start + 2] != [8, 0]:
        return None
    if carry_round(start, len(octets)) != 65535:
        return None
    for offset in range(4):
        left, right = 12 + offset, 16 + offset
        octets[left], octets[right] = octets[right], octets[left]
    octets[8] = 64
    octets[start] = 0
    for place, begin, end in ((10, 0, start), (start + 2, start, len(octets))):
        octets[place] = octets[place + 1] = 0
        octets[place : place + 2] = divmod(65535 - carry_round(begin, end), 256)
    return bytes(octets)


ANSWER_ECHO: tuple[Callable[..., Any], ...] = (echo_by_updates, echo_by_fields, echo_in_a_list)
