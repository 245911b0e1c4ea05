"""Other right answers to 5.5."""

__all__ = ["BUILD_ERROR"]

import ipaddress
import struct
from array import array
from collections.abc import Callable
from typing import Any


def error_by_struct(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Pack both headers twice: once to add them up, once with their sums."""
    kind = {
        "net unreachable": 0x0300,
        "host unreachable": 0x0301,
        "fragmentation needed": 0x0304,
        "time exceeded": 0x0B00,
    }[reason]
    (total,) = struct.unpack_from("!H", packet, 2)
    quote = packet[: min(total, 548)]
    hint = mtu if kind == 0x0304 else 0

    def complement(octets: bytes) -> int:
        even = octets + b"\0" * (len(octets) % 2)
        words = struct.unpack(f"!{len(even) // 2}H", even)
        return 0xFFFF - (sum(words) % 0xFFFF or 0xFFFF)

    def icmp(checksum: int) -> bytes:
        return struct.pack("!HHHH", kind, checksum, 0, hint) + quote

    def ip(checksum: int) -> bytes:
        ends = ipaddress.IPv4Address(address).packed, packet[12:16]
        size = 28 + len(quote)
        return struct.pack("!BBHHHBBH4s4s", 0x45, 0xC0, size, 0, 0, 64, 1, checksum, *ends)

    return ip(complement(ip(0))) + icmp(complement(icmp(0)))


def error_in_one_array(packet: bytes, reason: str, address: str, mtu: int = 0) -> Any:
    """Fill an array of octets, and write both sums into it at the end."""
    length = packet[2] * 256 + packet[3]
    quoted = length if length <= 548 else 548
    error = array("B", bytes(28 + quoted))
    error[0], error[1], error[8], error[9] = 0x45, 0xC0, 64, 1
    error[2], error[3] = divmod(len(error), 256)
    for place, part in enumerate(address.split(".")):
        error[12 + place] = int(part)
        error[16 + place] = packet[12 + place]
    error[20] = 11 if reason == "time exceeded" else 3
    if reason == "host unreachable":
        error[21] = 1
    if reason == "fragmentation needed":
        error[21] = 4
        error[26], error[27] = divmod(mtu, 256)
    for place in range(quoted):
        error[28 + place] = packet[place]
    for start, end, field in ((0, 20, 10), (20, len(error), 22)):
        total = 0
        for place in range(start, end):
            total += error[place] << (0 if (place - start) % 2 else 8)
            total = (total & 0xFFFF) + (total >> 16)
        error[field], error[field + 1] = divmod(total ^ 0xFFFF, 256)
    return error.tobytes()


class Message:
    """Octets that know how to add themselves up."""

    def __init__(self, *parts: bytes) -> None:
        self.octets = b"".join(parts)

    def with_sum_at(self, place: int) -> bytes:
        """Return the octets with the sum that makes them a multiple of 0xFFFF."""
        padded = self.octets if len(self.octets) % 2 == 0 else self.octets + b"\0"
        # 2**16 leaves 1 when it is divided by 0xFFFF, so the remainder is the folded sum.
        left = int.from_bytes(padded, "big") % 0xFFFF
        field = 0xFFFF - left if left else 0
        return self.octets[:place] + field.to_bytes(2, "big") + self.octets[place + 2 :]


def error_by_remainder(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Divide by 0xFFFF in place of folding."""
    match reason:
        case "fragmentation needed":
            start = bytes((3, 4, 0, 0, 0, 0)) + mtu.to_bytes(2, "big")
        case "time exceeded":
            start = bytes((11, 0, 0, 0, 0, 0, 0, 0))
        case _:
            start = bytes((3, int(reason.startswith("host")), 0, 0, 0, 0, 0, 0))
    here = bytes(int(part) for part in address.split("."))
    message = Message(start, packet[: min(548, packet[2] << 8 | packet[3])]).with_sum_at(2)
    size = (20 + len(message)).to_bytes(2, "big")
    lead = Message(b"\x45\xc0", size, bytes(4), b"\x40\x01\0\0", here, packet[12:16])
    return lead.with_sum_at(10) + message


BUILD_ERROR: tuple[Callable[..., Any], ...] = (
    error_by_struct,
    error_in_one_array,
    error_by_remainder,
)
