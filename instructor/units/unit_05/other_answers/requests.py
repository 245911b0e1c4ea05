"""Other right answers to 5.1."""

__all__ = ["ANSWER_REQUEST"]

import ipaddress
import struct
from collections.abc import Callable
from typing import Any


def answer_by_struct(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Unpack all fields in one go, and pack them again."""
    layout = struct.Struct("!6s6sHHHBBH6s4s6s4s")
    if len(frame) < layout.size:
        raise ValueError("too short for ARP")
    fields = layout.unpack_from(frame)
    if fields[2:7] != (0x0806, 1, 0x0800, 6, 4):
        raise ValueError(f"not ARP for Ethernet and IPv4: {fields[2:7]}")
    operation, asker, asker_ip, _, wanted = fields[7:]
    if operation != 1 or wanted != ipaddress.IPv4Address(address).packed:
        return None
    return layout.pack(
        asker, hardware_address, 0x0806, 1, 0x0800, 6, 4, 2,
        hardware_address, wanted, asker, asker_ip,
    )  # fmt: skip


def answer_in_the_same_octets(frame: bytes, hardware_address: bytes, address: str) -> Any:
    """Do as RFC 826 says: swap the fields of the packet, put ours in, set the operation."""
    packet = bytearray(frame[14:42])
    if len(packet) != 28 or frame[12:14].hex() != "0806":
        raise ValueError("no ARP frame")
    if packet[:6].hex() != "000108000604":
        raise ValueError("other kinds of addresses")
    is_question = packet[6] == 0 and packet[7] == 1
    asked_for = ".".join(str(octet) for octet in packet[24:28])
    if not is_question or asked_for != address:
        return None
    packet[8:18], packet[18:28] = packet[18:28], packet[8:18]
    packet[8:14] = hardware_address
    packet[7] = 2
    return bytes(packet[18:24]) + hardware_address + b"\x08\x06" + bytes(packet)


class ArpView:
    """Reads an ARP frame field by field, each with a name."""

    def __init__(self, frame: bytes) -> None:
        self.octets = list(frame)

    def number(self, start: int, length: int) -> int:
        """Return the number in some octets; raise ValueError if they are not all there."""
        part = self.octets[start : start + length]
        if len(part) < length:
            raise ValueError(f"there is no octet {start + length - 1}")
        total = 0
        for octet in part:
            total = total * 256 + octet
        return total

    def expect(self, start: int, length: int, wanted: int) -> None:
        """Raise ValueError unless this number stands there."""
        if self.number(start, length) != wanted:
            raise ValueError(f"octet {start}: not {wanted}")


def answer_by_numbers(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Read numbers, and write numbers."""
    view = ArpView(frame)
    for place in ((12, 2, 0x0806), (14, 2, 1), (16, 2, 2048), (18, 1, 6), (19, 1, 4)):
        view.expect(*place)
    wanted = view.number(38, 4)
    a, b, c, d = (int(part) for part in address.split("."))
    if view.number(20, 2) != 1:
        return None
    if wanted != ((a * 256 + b) * 256 + c) * 256 + d:
        return None
    us, who, who_ip = (
        int.from_bytes(hardware_address, "big"),
        view.number(22, 6),
        view.number(28, 4),
    )
    written = [(who, 6), (us, 6), (0x0806, 2), (1, 2), (0x0800, 2), (6, 1), (4, 1), (2, 2),
               (us, 6), (wanted, 4), (who, 6), (who_ip, 4)]  # fmt: skip
    return b"".join(number.to_bytes(length, "big") for number, length in written)


ANSWER_REQUEST: tuple[Callable[..., Any], ...] = (
    answer_by_struct,
    answer_in_the_same_octets,
    answer_by_numbers,
)
