"""Other right answers for unit 02: other methods, other styles, other types of result.

None of them may lose a point. Each stands alone, as a student's cell would.
"""

__all__ = ["OTHERS"]

import itertools
import socket
import struct
from collections import Counter
from collections.abc import Callable, Mapping
from ipaddress import IPv4Address
from typing import Any

import numpy as np

# 2.1 fold


def fold_by_recursion(total: int) -> int:
    """Fold by calling itself with one carry less."""
    high, low = divmod(total, 65536)
    return fold_by_recursion(high + low) if high else low


def fold_by_remainder(total: int) -> int:
    """Cast out 0xFFFF, and tell the two zeros apart."""
    if total == 0:
        return 0
    return (total - 1) % 65535 + 1


def fold_by_subtraction(total: int) -> int:
    """Take 0xFFFF away again and again: a carry gone at the top, one more at the bottom."""
    while total > 65535:
        total -= 65535
    return total


def fold_by_groups_of_digits(total: int) -> int:
    """Cut the hexadecimal digits into groups of four and add these up."""
    while len(digits := f"{total:x}") > 4:
        total = sum(int(digits[max(end - 4, 0) : end], 16) for end in range(len(digits), 0, -4))
    return total


def fold_to_numpy(total: int) -> Any:
    """Return a NumPy integer."""
    carries = np.int64(total)
    while carries >> 16:
        carries = (carries & 0xFFFF) + (carries >> 16)
    return carries


# 2.2 header_checksum


def header_checksum_by_struct(packet: bytes) -> int:
    """Unpack all words at once and skip the sixth."""
    count = (packet[0] & 15) * 2
    words = list(struct.unpack(f"!{count}H", packet[: count * 2]))
    words[5] = 0
    total: int = sum(words)
    while total >> 16:
        total = (total & 0xFFFF) + (total >> 16)
    return ~total & 0xFFFF


def header_checksum_by_remainder(packet: bytes) -> int:
    """Read the header as one large number and take what it lacks of a multiple of 0xFFFF."""
    octets = bytearray(packet[: packet[0] % 16 * 4])
    octets[10:12] = b"\0\0"
    return -int.from_bytes(octets, "big") % 65535


def header_checksum_octet_by_octet(packet: bytes) -> int:
    """Add every octet at its place and fold after each."""
    total = 0
    for place in range((packet[0] & 15) * 4):
        if place in (10, 11):
            continue
        total += packet[place] << (0 if place % 2 else 8)
        if total > 0xFFFF:
            total -= 0xFFFF
    return 0xFFFF - total


def header_checksum_swapped(packet: bytes) -> int:
    """Add little-endian words and swap the octets of the result (RFC 1071, section 2)."""
    header = packet[: 4 * (packet[0] & 15)]
    total: int = sum(struct.unpack(f"<{len(header) // 2}H", header[:10] + bytes(2) + header[12:]))
    total = (total & 0xFFFF) + (total >> 16)
    total = (total & 0xFFFF) + (total >> 16)
    total = 0xFFFF - total
    return (total & 0xFF) << 8 | total >> 8


def header_checksum_by_numpy(packet: bytes) -> Any:
    """Return a NumPy integer."""
    words = np.frombuffer(packet[: 4 * (packet[0] & 15)], dtype=">u2").astype(np.int64)
    total = words.sum() - words[5]
    total = (total & 0xFFFF) + (total >> 16)
    return 0xFFFF - ((total & 0xFFFF) + (total >> 16))


# 2.3 is_header_intact


def is_header_intact_by_remainder(packet: bytes) -> bool:
    """Ask whether 0xFFFF divides the header, read as one number."""
    return int.from_bytes(packet[: 4 * (packet[0] & 15)], "big") % 0xFFFF == 0


def is_header_intact_swapped(packet: bytes) -> bool:
    """Add little-endian words: all ones are all ones from either side."""
    count = 2 * (packet[0] & 15)
    total: int = sum(struct.unpack_from(f"<{count}H", packet))
    return (total & 0xFFFF) + (total >> 16) == 0xFFFF


def is_header_intact_by_zero(packet: bytes) -> bool:
    """Complement the sum, field included, and ask for zero."""
    total = 0
    for place in range(0, 4 * (packet[0] & 15), 2):
        total += packet[place] * 256 + packet[place + 1]
        total = total % 65536 + total // 65536
    return not ~total & 0xFFFF


def is_header_intact_by_both_zeros(packet: bytes) -> Any:
    """Compare with the own value, and let the two zeros be one; return a NumPy boolean."""
    words = np.frombuffer(packet[: 4 * (packet[0] & 15)], dtype=">u2").astype(np.int64)
    own = (-(words.sum() - words[5])) % 0xFFFF
    return own == words[5] % 0xFFFF


# 2.4 udp_checksum


def udp_checksum_by_struct(source: str, destination: str, datagram: bytes) -> int:
    """Pack the pseudo header, pad, unpack words."""
    data = bytearray(socket.inet_aton(source) + socket.inet_aton(destination))
    data += struct.pack("!BBH", 0, 17, len(datagram)) + datagram
    data[18:20] = b"\0\0"
    if len(data) & 1:
        data.append(0)
    total: int = sum(struct.unpack(f"!{len(data) // 2}H", data))
    while total > 65535:
        total = (total & 65535) + (total >> 16)
    return 65535 if total == 65535 else 65535 - total


def udp_checksum_by_remainder(source: str, destination: str, datagram: bytes) -> int:
    """Never meet a zero: a remainder lies below 0xFFFF, so what it lacks is above zero."""
    total = int(IPv4Address(source)) + int(IPv4Address(destination)) + 17 + len(datagram)
    field = datagram[6] * 256 + datagram[7]
    words_behind = (len(datagram) + 1) // 2 - 4
    total += int.from_bytes(datagram + bytes(len(datagram) % 2), "big")
    total -= field << 16 * words_behind
    return 65535 - total % 65535


def udp_checksum_octet_by_octet(source: str, destination: str, datagram: bytes) -> int:
    """Weigh octets at even places 256 and at odd places 1; no padding is needed then."""
    parts = [int(part) for address in (source, destination) for part in address.split(".")]
    data = [*parts, 0, 17, len(datagram) >> 8, len(datagram) & 255, *datagram[:6], 0, 0]
    data += datagram[8:]
    total = sum(octet if place % 2 else octet << 8 for place, octet in enumerate(data))
    total = (total & 65535) + (total >> 16)
    total = (total & 65535) + (total >> 16)
    return (~total & 65535) or 65535


def udp_checksum_by_numpy(source: str, destination: str, datagram: bytes) -> Any:
    """Return a NumPy integer."""
    pseudo = IPv4Address(source).packed + IPv4Address(destination).packed + b"\x00\x11"
    data = pseudo + len(datagram).to_bytes(2, "big") + datagram[:6] + bytes(2) + datagram[8:]
    words = np.frombuffer(data + bytes(len(data) % 2), dtype=">u2").astype(np.int64)
    return 65535 - words.sum() % 65535


# 2.5 lower_time_to_live


def lower_time_to_live_from_scratch(header: bytes) -> bytearray:
    """Compute the checksum anew from the whole header; return a `bytearray`."""
    if header[8] < 2:
        raise ValueError("time exceeded")
    octets = bytearray(header)
    octets[8] -= 1
    octets[10:12] = b"\x00\x00"
    octets[10:12] = (-int.from_bytes(octets, "big") % 65535).to_bytes(2, "big")
    return octets


def lower_time_to_live_by_subtraction(header: bytes) -> bytes:
    """RFC 1624, equation 4: HC' = HC - ~m - m', where a borrow is taken from the bottom."""
    words = list(struct.unpack(f"!{len(header) // 2}H", header))
    if words[4] >> 8 in (0, 1):
        raise ValueError("the time to live is over")
    checksum = words[5] - (words[4] ^ 0xFFFF) - (words[4] - 256)
    while checksum < 0:
        checksum += 0xFFFF
    words[4] -= 256
    words[5] = checksum
    return struct.pack(f"!{len(words)}H", *words)


def lower_time_to_live_by_constant(header: bytes) -> bytes:
    """Add 0x0100 to the checksum, with a carry, and send 0xFFFF as zero."""
    if header[8] - 1 <= 0:
        raise ValueError
    checksum = int.from_bytes(header[10:12], "big") + 256
    checksum = checksum - 65535 if checksum >= 65535 else checksum
    middle = bytes([header[8] - 1, header[9], checksum >> 8, checksum & 255])
    return b"".join([header[:8], middle, header[12:]])


def lower_time_to_live_by_numpy(header: bytes) -> bytes:
    """Work on an array of words."""
    words = np.frombuffer(header, dtype=">u2").astype(np.int64)
    if words[4] < 0x0200:
        raise ValueError("not to be forwarded")
    words[4] -= 0x0100
    words[5] = 0
    total = words.sum()
    total = (total & 0xFFFF) + (total >> 16)
    words[5] = 0xFFFF - ((total & 0xFFFF) + (total >> 16))
    return words.astype(">u2").tobytes()


# 2.6 missed_pairs


def missed_pairs_by_trying_all(header: bytes) -> int:
    """Flip every pair and check each time."""
    number = int.from_bytes(header, "big")
    flips = [1 << place for place in range(8 * len(header))]
    return sum(
        (number ^ one ^ other) % 0xFFFF == 0 for one, other in itertools.combinations(flips, 2)
    )


def missed_pairs_octet_by_octet(header: bytes) -> int:
    """Flip every pair in a list of octets and add up words each time."""
    octets = bytearray(header)
    bits = range(8 * len(octets))
    missed = 0
    for first in bits:
        octets[first // 8] ^= 128 >> first % 8
        for second in bits[first + 1 :]:
            octets[second // 8] ^= 128 >> second % 8
            total = 256 * sum(octets[::2]) + sum(octets[1::2])
            missed += (total & 0xFFFF) + (total >> 16) == 0xFFFF
            octets[second // 8] ^= 128 >> second % 8
        octets[first // 8] ^= 128 >> first % 8
    return missed


def missed_pairs_by_differing_words(header: bytes) -> int:
    """Any two words can miss as many pairs as they have bits that differ."""
    words = struct.unpack(f"!{len(header) // 2}H", header)
    return sum((one ^ other).bit_count() for one, other in itertools.combinations(words, 2))


def missed_pairs_by_text(header: bytes) -> int:
    """Write each word as sixteen digits and read the columns."""
    rows = [f"{header[place]:08b}{header[place + 1]:08b}" for place in range(0, len(header), 2)]
    counts = [Counter(column) for column in zip(*rows, strict=True)]
    return sum(count["0"] * count["1"] for count in counts)


def missed_pairs_by_numpy(header: bytes) -> Any:
    """Return a NumPy integer."""
    bits = np.unpackbits(np.frombuffer(header, np.uint8)).reshape(-1, 16).astype(np.int64)
    ones = bits.sum(axis=0)
    return (ones * (len(bits) - ones)).sum()


OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "2.1": (
        fold_by_recursion,
        fold_by_remainder,
        fold_by_subtraction,
        fold_by_groups_of_digits,
        fold_to_numpy,
    ),
    "2.2": (
        header_checksum_by_struct,
        header_checksum_by_remainder,
        header_checksum_octet_by_octet,
        header_checksum_swapped,
        header_checksum_by_numpy,
    ),
    "2.3": (
        is_header_intact_by_remainder,
        is_header_intact_swapped,
        is_header_intact_by_zero,
        is_header_intact_by_both_zeros,
    ),
    "2.4": (
        udp_checksum_by_struct,
        udp_checksum_by_remainder,
        udp_checksum_octet_by_octet,
        udp_checksum_by_numpy,
    ),
    "2.5": (
        lower_time_to_live_from_scratch,
        lower_time_to_live_by_subtraction,
        lower_time_to_live_by_constant,
        lower_time_to_live_by_numpy,
    ),
    "2.6": (
        missed_pairs_by_trying_all,
        missed_pairs_octet_by_octet,
        missed_pairs_by_differing_words,
        missed_pairs_by_text,
        missed_pairs_by_numpy,
    ),
}
