"""Other right answers of exercise 1.6: other ways to build a packet."""

__all__ = ["BUILD_PACKET"]

import ipaddress
import socket
import struct
from collections.abc import Callable


def build_packet_by_struct(
    source: str,
    destination: str,
    source_port: int,
    destination_port: int,
    payload: bytes,
    options: bytes = b"",
) -> bytes:
    """Pack both headers; `socket` reads the addresses."""
    while len(options) % 4:
        options += b"\x00"
    udp = struct.pack("!4H", source_port, destination_port, 8 + len(payload), 0) + payload
    addresses = socket.inet_aton(source) + socket.inet_aton(destination)
    first = 0x45 + len(options) // 4
    total = 20 + len(options) + len(udp)
    return struct.pack("!BBHIBBH", first, 0, total, 0, 64, 17, 0) + addresses + options + udp


def build_packet_in_place(
    source: str,
    destination: str,
    source_port: int,
    destination_port: int,
    payload: bytes,
    options: bytes = b"",
) -> bytearray:
    """Make room first, then write every field where it belongs."""
    header = 20 + (len(options) + 3) // 4 * 4
    packet = bytearray(header + 8 + len(payload))
    packet[0] = 4 << 4 | header >> 2
    packet[8:10] = 64, 17
    packet[12:16] = map(int, source.split("."))
    packet[16:20] = map(int, destination.split("."))
    packet[20 : 20 + len(options)] = options
    words = {2: len(packet), header: source_port, header + 2: destination_port}
    for place, word in {**words, header + 4: len(packet) - header}.items():
        packet[place], packet[place + 1] = divmod(word, 256)
    packet[header + 8 :] = payload
    return packet


def build_packet_by_digits(
    source: str,
    destination: str,
    source_port: int,
    destination_port: int,
    payload: bytes,
    options: bytes = b"",
) -> bytes:
    """Write the packet in hexadecimal digits and convert once."""
    rest = options.hex() + "00" * (3 - (len(options) + 3) % 4)
    rest += f"{source_port:04x}{destination_port:04x}{len(payload) + 8:04x}0000{payload.hex()}"
    words = 5 + (len(options) + 3) // 4
    addresses = (
        f"{int(ipaddress.ip_address(source)):08x}{int(ipaddress.ip_address(destination)):08x}"
    )
    return bytes.fromhex(f"4{words:x}00{20 + len(rest) // 2:04x}0000000040110000{addresses}{rest}")


BUILD_PACKET: tuple[Callable[..., bytes | bytearray], ...] = (
    build_packet_by_struct,
    build_packet_in_place,
    build_packet_by_digits,
)
