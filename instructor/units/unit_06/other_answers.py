"""Other right answers for unit 06: other methods, other styles, other types of result.

None of them may lose a point. Each stands alone, as a student's cell would.
"""

__all__ = ["OTHERS"]

import struct
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from instructor.units.unit_06.other_rules import MAY_PASS, NEW_DROPPER, WHY_SLOW

# 6.1 first_fault


def first_fault_from_a_list(datagram: bytes) -> int | None:
    """Write all checks down, and return the place of the first that is False."""
    octets = 4 * (datagram[0] % 16) if datagram else 0
    total = int.from_bytes(datagram[2:4], "big")
    part = datagram[:octets]
    words = [part[place] << 8 | part[place + 1] for place in range(0, len(part) - 1, 2)]
    words += [part[-1] << 8] if len(part) % 2 else []
    checks = [
        len(datagram) >= 20,
        sum(words) % 0xFFFF == 0 and any(words),
        bool(datagram) and datagram[0] // 16 == 4,
        octets >= 20,
        total >= octets,
        len(datagram) >= total,
    ]
    return None if all(checks) else checks.index(False) + 1


def first_fault_by_struct(datagram: bytes) -> int | None:
    """Unpack the beginning; fold while adding."""
    try:
        first, _, total = struct.unpack_from("!BBH", datagram.ljust(4, b"\0"))
        struct.unpack_from("!20x", datagram)
    except struct.error:
        return 1
    octets = first % 16 * 4
    there = datagram[:octets]
    there += bytes(len(there) % 2)
    folded = 0
    for (word,) in struct.iter_unpack("!H", there):
        folded += word
        folded = folded % 0x10000 + folded // 0x10000
    if folded != 0xFFFF:
        return 2
    if not 0x40 <= first <= 0x4F:
        return 3
    if octets < 20:
        return 4
    if octets > total:
        return 5
    return 6 if total > len(datagram) else None


def first_fault_with_numpy(datagram: bytes) -> Any:
    """Sum with NumPy; return a NumPy integer."""
    if len(datagram) < 20:
        return np.int64(1)
    octets = 4 * (datagram[0] & 15)
    part = datagram[:octets]
    total = int(np.frombuffer(part + bytes(len(part) % 2), dtype=">u2").astype(np.int64).sum())
    while total >> 16:
        total = (total >> 16) + total % (1 << 16)
    length = datagram[2] * 256 + datagram[3]
    found = [
        2 if total != 65535 else 0,
        3 if datagram[0] >> 4 != 4 else 0,
        4 if octets < 20 else 0,
        5 if length < octets else 0,
        6 if length > len(datagram) else 0,
    ]
    numbers = [number for number in found if number]
    return np.int64(min(numbers)) if numbers else None


# 6.2 rewrite_frame


def rewrite_by_summing_anew(
    frame: bytes, leaves_by: tuple[bytes, bytes], next_hop: tuple[bytes, bytes]
) -> bytes:
    """Change the header in place, its checksum as zero, and add everything up again."""
    total = int.from_bytes(frame[16:18], "big")
    datagram = bytearray(frame[14 : 14 + total])
    if datagram[8] < 2:
        raise ValueError("lived too long")
    datagram[8] -= 1
    datagram[10:12] = b"\0\0"
    octets = (datagram[0] & 15) * 4
    words = sum(datagram[place] << 8 | datagram[place + 1] for place in range(0, octets, 2))
    while words >> 16:
        words = (words & 0xFFFF) + (words >> 16)
    datagram[10:12] = (0xFFFF - words).to_bytes(2, "big")
    return next_hop[0] + leaves_by[0] + b"\x08\x00" + bytes(datagram)


def rewrite_by_struct(
    frame: bytes, leaves_by: tuple[bytes, bytes], next_hop: tuple[bytes, bytes]
) -> bytearray:
    """Unpack the words around the change; return a bytearray."""
    (total,) = struct.unpack_from("!H", frame, 16)
    out = bytearray(frame[: 14 + total])
    hops, protocol, check = struct.unpack_from("!BBH", out, 22)
    if hops in (0, 1):
        raise ValueError(hops)
    check += 0x0100
    if check >= 0xFFFF:
        check -= 0xFFFF
    struct.pack_into("!BBH", out, 22, hops - 1, protocol, check)
    struct.pack_into("!6s6s", out, 0, next_hop[0], leaves_by[0])
    return out


def rewrite_as_one_number(
    frame: bytes, leaves_by: tuple[bytes, bytes], next_hop: tuple[bytes, bytes]
) -> bytes:
    """Take words 11 and 12 of the frame as one number of 32 bits."""
    assert len(next_hop[0]) == len(leaves_by[0]) == 6
    if not frame[22] > 1:
        raise ValueError("time exceeded")
    end = 14 + frame[16] * 256 + frame[17]
    checksum = int.from_bytes(frame[24:26], "big") + 256
    checksum = (checksum & 0xFFFF) + (checksum >> 16)
    checksum = 0 if checksum == 0xFFFF else checksum
    both = (frame[22] - 1) << 24 | frame[23] << 16 | checksum
    parts = [*next_hop[:1], *leaves_by[:1], frame[12:22], both.to_bytes(4, "big"), frame[26:end]]
    return b"".join(parts)


# 6.3 carry


def carry_with_else(packets: list[Any], stages: list[Any]) -> tuple[list[Any], dict[Any, int]]:
    """Use the `else` of a loop: it runs where no `break` did."""
    sent: list[Any] = []
    dropped: dict[Any, int] = {}
    for packet in packets:
        now = packet
        for name, stage in stages:
            try:
                now = stage(now)
            except Exception:
                now = None
            if not isinstance(now, dict):
                reason = now if isinstance(now, str) else "stage failed"
                dropped[name, reason] = dropped.get((name, reason), 0) + 1
                break
        else:
            sent.append(now)
    return sent, dropped


def carry_stage_by_stage(
    packets: list[Any], stages: list[Any]
) -> tuple[list[Any], dict[tuple[str, str], int]]:
    """Let all packets go through one stage before the next; use a Counter."""
    from collections import Counter

    dropped: Counter[tuple[str, str]] = Counter()
    left = list(packets)
    for name, stage in stages:
        gone_on = []
        for packet in left:
            try:
                result = stage(packet)
                if not isinstance(result, dict | str):
                    raise TypeError(result)
            except Exception:
                result = "stage failed"
            if isinstance(result, str):
                dropped[name, result] += 1
            else:
                gone_on.append(result)
        left = gone_on
    return left, dropped


def carry_by_recursion(packets: list[Any], stages: list[Any]) -> tuple[list[Any], dict[Any, int]]:
    """Hand the result to the rest of the stages."""

    def end_of(packet: Any, rest: list[Any]) -> Any:
        if not rest:
            return packet
        name, stage = rest[0]
        try:
            result = stage(packet)
        except Exception:
            result = None
        if type(result) is dict:
            return end_of(result, rest[1:])
        return name, (result if type(result) is str else "stage failed")

    ends = [end_of(packet, stages) for packet in packets]
    drops = [end for end in ends if isinstance(end, tuple)]
    return [end for end in ends if isinstance(end, dict)], {one: drops.count(one) for one in drops}


OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "6.1": (first_fault_from_a_list, first_fault_by_struct, first_fault_with_numpy),
    "6.2": (rewrite_by_summing_anew, rewrite_by_struct, rewrite_as_one_number),
    "6.3": (carry_with_else, carry_stage_by_stage, carry_by_recursion),
    "6.4": MAY_PASS,
    "6.5": NEW_DROPPER,
    "6.6": WHY_SLOW,
}
