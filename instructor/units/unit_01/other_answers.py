"""Other right answers of unit 01: other tools, other loops, other types.

They must earn full points. Among them are results that only behave like the types of the
contract: NumPy integers, ones and zeros as truth, bytearrays and memory views in place of bytes.
"""

__all__ = ["OTHERS"]

import ipaddress
import socket
import struct
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from instructor.units.unit_01.other_builders import BUILD_PACKET


def read_word_by_struct(data: bytes, offset: int) -> int:
    """Unpack in network order, and turn the error of `struct` into the one asked for."""
    if offset < 0:
        raise ValueError("negative offset")
    try:
        word: int = struct.unpack_from("!H", data, offset)[0]
    except struct.error as problem:
        raise ValueError(str(problem)) from problem
    return word


def read_word_by_slice(data: bytes, offset: int) -> int:
    """Take a slice and look whether it is whole."""
    pair = data[offset : offset + 2] if offset >= 0 else b""
    if len(pair) != 2:
        raise ValueError(f"octets {offset} and {offset + 1} are not both there")
    return int.from_bytes(pair, "big")


def read_word_by_digits(data: bytes, offset: int) -> int:
    """Read four hexadecimal digits; Python's own error is a `ValueError` already."""
    start = 2 * offset
    if offset < 0 or len(data.hex()) < start + 4:
        raise ValueError("out of range")
    return int(data.hex()[start : start + 4], 16)


def read_word_by_numpy(data: bytes, offset: int) -> Any:
    """Return a NumPy integer: `np.uint16` is a number like any other."""
    if not 0 <= offset <= len(data) - 2:
        raise ValueError("out of range")
    return np.frombuffer(data, dtype=">u2", count=1, offset=offset)[0]


def parse_frame_by_struct(frame: bytes) -> tuple[Any, ...]:
    """Unpack the header at once; count the tag in afterwards."""
    try:
        destination, source, ether_type = struct.unpack_from("!6s6sH", frame)
        tag = None
        if ether_type == 0x8100:
            tag, ether_type = struct.unpack_from("!HH", frame, 14)
    except struct.error:
        raise ValueError("too short") from None
    if ether_type < 0x0600:
        raise ValueError("a length")
    vlan = None if tag is None else tag % 4096
    payload = frame[14:] if tag is None else frame[18:]
    return destination.hex(":"), source.hex(":"), vlan, ether_type, payload


def parse_frame_by_format(frame: bytes) -> tuple[Any, ...]:
    """Format each octet, and return a bytearray as payload."""
    if len(frame) < 14 or (frame[12:14] == b"\x81\x00" and len(frame) < 18):
        raise ValueError("too short")
    tagged = frame[12:14] == b"\x81\x00"
    rest = frame[16:] if tagged else frame[12:]
    if rest[0] < 6:
        raise ValueError("this is a length field")
    return (
        ":".join(hex(octet)[2:].zfill(2) for octet in frame[:6]),
        ":".join(format(octet, "02x") for octet in frame[6:12]),
        (frame[14] & 15) * 256 + frame[15] if tagged else None,
        rest[0] * 256 + rest[1],
        bytearray(rest[2:]),
    )


def parse_frame_by_cutting(frame: bytes) -> tuple[Any, ...]:
    """Cut pieces off the front; recurse over a tag."""

    def address() -> str:
        return "".join(f":{octet:02x}" for octet in take(6))[1:]

    def take(count: int) -> bytes:
        nonlocal frame
        piece, frame = frame[:count], frame[count:]
        if len(piece) < count:
            raise ValueError("the frame ends in its header")
        return piece

    def rest() -> tuple[int | None, int, bytes]:
        word = int.from_bytes(take(2), "big")
        if word < 0x600:
            raise ValueError("a length")
        if word != 0x8100:
            return None, word, frame
        vlan = int(take(2).hex()[1:], 16)
        return vlan, *rest()[1:]

    return address(), address(), *rest()


def fragment_fields_by_division(word: int) -> tuple[bool, bool, int]:
    """Use remainders and no masks."""
    return word // 0x4000 % 2 == 1, word // 0x2000 % 2 == 1, word % 0x2000 * 8


def fragment_fields_by_digits(word: int) -> tuple[int, int, int]:
    """Write sixteen binary digits and cut the text; ones and zeros as flags."""
    digits = f"{word:016b}"
    return int(digits[1]), int(digits[2]), int(digits[3:] + "000", 2)


def fragment_fields_by_numpy(word: int) -> tuple[Any, Any, Any]:
    """Unpack bits with NumPy; its booleans and integers are fine."""
    bits = np.unpackbits(np.frombuffer(word.to_bytes(2, "big"), dtype=np.uint8))
    places = 1 << np.arange(15, 2, -1)
    return bits[1] == 1, bits[2] == 1, (bits[3:].astype(np.int64) * places).sum()


def parse_packet_by_struct(packet: bytes) -> dict[str, Any]:
    """Unpack the fixed part at once, and let `socket` write the addresses."""
    if len(packet) < 20:
        raise ValueError("too short")
    first, total, ttl, protocol, source, destination = struct.unpack("!BxH4xBBxx4s4s", packet[:20])
    options = (first - 0x45) * 4
    if not 0x45 <= first <= 0x4F or not 20 + options <= total <= len(packet):
        raise ValueError("malformed")
    return {
        "payload": packet[20 + options : total],
        "options": packet[20 : 20 + options],
        "time_to_live": ttl,
        "protocol": protocol,
        "destination": socket.inet_ntoa(destination),
        "source": socket.inet_ntoa(source),
    }


def parse_packet_by_cutting(packet: bytes) -> dict[str, Any]:
    """Cut the padding off first, then the header; `ipaddress` writes the addresses."""
    if not packet or packet[0] // 16 != 4:
        raise ValueError("not IPv4")
    header = 4 * (packet[0] % 16)
    if len(packet) < max(20, header) or header < 20:
        raise ValueError("bad header length")
    total = packet[2] << 8 | packet[3]
    if total > len(packet) or total < header:
        raise ValueError("bad total length")
    packet = packet[:total]
    return {
        "source": str(ipaddress.IPv4Address(packet[12:16])),
        "destination": str(ipaddress.IPv4Address(packet[16:20])),
        "protocol": packet[9],
        "time_to_live": packet[8],
        "options": packet[20:header],
        "payload": packet[header:],
    }


def parse_packet_by_view(packet: bytes) -> dict[str, Any]:
    """Work on a memory view; arrays and views come out."""
    octets = np.frombuffer(packet, dtype=np.uint8)
    if octets.size < 20 or octets[0] >> 4 != 4:
        raise ValueError("not an IPv4 header")
    header = int(octets[0] & 15) * 4
    total = int(octets[2]) * 256 + int(octets[3])
    if header < 20 or header > octets.size or total < header or total > octets.size:
        raise ValueError("a length does not fit")
    view = memoryview(packet)
    return {
        "source": ".".join(map(str, octets[12:16].tolist())),
        "destination": "{}.{}.{}.{}".format(*octets[16:20]),
        "protocol": octets[9],
        "time_to_live": octets[8],
        "options": view[20:header],
        "payload": bytearray(view[header:total]),
    }


def list_options_by_recursion(options: bytes) -> list[tuple[int, bytes]]:
    """Take the first option off and call itself on the rest."""
    if not options or options[0] == 0:
        return []
    if options[0] == 1:
        return list_options_by_recursion(options[1:])
    if len(options) < 2 or not 2 <= options[1] <= len(options):
        raise ValueError("bad length")
    head, rest = options[: options[1]], options[options[1] :]
    return [(head[0], head[2:]), *list_options_by_recursion(rest)]


def list_options_by_generator(options: bytes) -> list[tuple[int, bytes]]:
    """Collect what a generator yields."""

    def walk() -> Iterator[tuple[int, bytes]]:
        place = 0
        while place < len(options):
            kind = options[place]
            if kind == 0:
                return
            size = 1 if kind == 1 else int.from_bytes(options[place + 1 : place + 2], "big")
            if kind != 1 and (size < 2 or place + size > len(options)):
                raise ValueError(f"octet {place + 1}: length {size}")
            if kind != 1:
                yield kind, options[place + 2 : place + size]
            place += size

    return list(walk())


def list_options_by_iterator(options: bytes) -> list[tuple[int, bytearray]]:
    """Pull octets from an iterator; running dry in the middle is the error."""
    octets = iter(options)
    found = []
    for kind in octets:
        if kind == 0:
            break
        if kind == 1:
            continue
        try:
            data = bytearray(next(octets) for _ in range(_data_length(next(octets))))
        except (StopIteration, RuntimeError):  # a generator turns the first into the second
            raise ValueError("the options end in the middle of one") from None
        found.append((kind, data))
    return found


def _data_length(length: int) -> int:
    if length < 2:
        raise ValueError("an option has two octets at least")
    return length - 2


OTHERS: dict[str, tuple[Callable[..., Any], ...]] = {
    "1.1": (read_word_by_struct, read_word_by_slice, read_word_by_digits, read_word_by_numpy),
    "1.2": (parse_frame_by_struct, parse_frame_by_format, parse_frame_by_cutting),
    "1.3": (fragment_fields_by_division, fragment_fields_by_digits, fragment_fields_by_numpy),
    "1.4": (parse_packet_by_struct, parse_packet_by_cutting, parse_packet_by_view),
    "1.5": (list_options_by_recursion, list_options_by_generator, list_options_by_iterator),
    "1.6": BUILD_PACKET,
}
