"""Other right answers for unit 03: other methods, other styles, other types of result.

None of them may lose a point. Each stands alone, as a student's cell would.
"""

__all__ = ["OTHERS"]

import re
import struct
from collections.abc import Callable, Mapping
from functools import reduce
from typing import Any

import numpy as np

from instructor.units.unit_03.other_aggregates import AGGREGATES
from instructor.units.unit_03.other_plans import PLANS

# 3.1 address_after


def after_by_pattern(address: str, steps: int) -> str:
    """Describe an octet as a pattern, and let `struct` cut the number into octets."""
    octet = "(0|[1-9][0-9]?|1[0-9][0-9]|2[0-4][0-9]|25[0-5])"
    found = re.fullmatch(r"\.".join([octet] * 4), address)
    if found is None:
        raise ValueError(f"{address!r} is no address")
    number = reduce(lambda high, low: high << 8 | int(low), found.groups(), 0) + steps
    try:
        return "{}.{}.{}.{}".format(*struct.pack("!I", number))
    except struct.error as error:
        raise ValueError("beyond the ends") from error


def after_there_and_back(address: str, steps: int) -> str:
    """Read anyhow, write what was read, and refuse what does not look the same."""
    values = [int(part) for part in address.split(".")]
    if ".".join(str(value) for value in values) != address or len(values) != 4:
        raise ValueError("this is not how an address is written")
    if min(values) < 0 or max(values) > 255:
        raise ValueError("a part is too large, or below zero")
    for place in (3, 2, 1, 0):  # like the wheels of a counter, the last one first
        steps, values[place] = divmod(values[place] + steps, 256)
    if steps:
        raise ValueError("a carry is left: no such address")
    return ".".join(map(str, values))


class NoAddressError(ValueError):
    """A text or a number that stands for no address."""


def after_letter_by_letter(address: str, steps: int) -> Any:
    """Read one character after the other; add up with NumPy, which has a text type of its own."""
    octets, part = [], ""
    for letter in address + ".":
        if letter == ".":
            if part == "" or int(part) > 255:
                raise NoAddressError(address)
            octets.append(int(part))
            part = ""
        elif letter in "0123456789" and part != "0" and len(part) < 3:
            part += letter
        else:
            raise NoAddressError(address)
    if len(octets) != 4:
        raise NoAddressError(address)
    number = int(np.dot(np.array(octets, dtype=np.int64), 256 ** np.arange(3, -1, -1))) + steps
    if number not in range(1 << 32):
        raise NoAddressError(number)
    return np.str_(".".join([str(number >> bits & 0xFF) for bits in (24, 16, 8, 0)]))


# 3.2 describe_link


def link_by_bit_texts(address: str, length: int) -> tuple[str, str, str, int]:
    """Write all bits out as text, and exchange those behind the length."""
    bits = "".join(f"{int(part):08b}" for part in address.split("."))
    texts = ("1" * length + "0" * (32 - length), *(bits[:length].ljust(32, end) for end in "01"))
    mask, first, last = (
        ".".join(str(int(one[place : place + 8], 2)) for place in (0, 8, 16, 24)) for one in texts
    )
    for_nobody = 2 if length < 31 else 0
    return mask, first, last, 2 ** (32 - length) - for_nobody


def link_octet_by_octet(address: str, length: int) -> Any:
    """Work out each octet on its own, with the mask's octet from a list."""
    starts = (0, 128, 192, 224, 240, 248, 252, 254, 255)
    mask, first, last = [], [], []
    for part in address.split("."):
        bits = min(length, 8)
        length -= bits
        mask.append(starts[bits])
        first.append(int(part) & starts[bits])
        last.append(first[-1] + 255 - starts[bits])
    free = sum(8 - starts.index(octet) for octet in mask)
    hosts = [1, 2][free] if free < 2 else 2**free - 2
    return (*(".".join(map(str, octets)) for octets in (mask, first, last)), hosts)


def link_by_numpy(address: str, length: int) -> Any:
    """Let NumPy cut off what lies behind the length, and give its own numbers back."""
    size = np.int64(1) << np.int64(32 - length)
    own = np.frombuffer(bytes(map(int, address.split("."))), dtype=">u4").astype(np.int64)[0]
    first = own - own % size
    ends = [np.int64(2**32) - size, first, first + size - 1]
    texts = [".".join(map(str, int(one).to_bytes(4, "big"))) for one in ends]
    return (*texts, size - 2 * (size > 2))


# 3.3 neighbourhood


def meet_by_bit_texts(
    own: str, other: str, blocks: list[tuple[str, str]]
) -> tuple[bool, bool, str | None]:
    """Write addresses as texts of 32 bits; a prefix is where such a text begins."""

    def bits(host: str) -> str:
        return "".join(f"{int(part):08b}" for part in host.split("/")[0].split("."))

    def start(prefix: str) -> str:
        return bits(prefix)[: int(prefix.split("/")[1])]

    found: dict[str, str] = {start(prefix): name for prefix, name in blocks}
    name = None
    for length in range(33):
        name = found.get(bits(other)[:length], name)
    return bits(other).startswith(start(own)), bits(own).startswith(start(other)), name


def meet_by_ranges(own: str, other: str, blocks: list[tuple[str, str]]) -> Any:
    """Ask whether an address lies between first and last one; the smallest range wins."""

    def around(prefix: str) -> range:
        address, _, length = prefix.partition("/")
        size = 2 ** (32 - int(length))
        first = struct.unpack("!I", bytes(map(int, address.split("."))))[0] // size * size
        return range(first, first + size)

    me, you = (around(host.split("/")[0] + "/32")[0] for host in (own, other))
    best: str | None = None
    room = 2**33
    for prefix, name in blocks:
        if you in around(prefix) and len(around(prefix)) < room:
            best, room = name, len(around(prefix))
    return you in around(own), me in around(other), best


def meet_by_common_bits(own: str, other: str, blocks: list[tuple[str, str]]) -> Any:
    """Count the bits in which two addresses agree; answer with NumPy's booleans."""

    def split(prefix: str) -> tuple[int, int]:
        *octets, length = re.split("[./]", prefix)
        return int("".join(format(int(octet), "02x") for octet in octets), 16), int(length)

    def common(one: str, two: str) -> int:
        return 32 - (split(one)[0] ^ split(two)[0]).bit_length()

    enough = np.array([split(own)[1], split(other)[1]]) <= common(own, other)
    names = {split(prefix)[1]: name for prefix, name in blocks
             if split(prefix)[1] <= common(prefix, other)}  # fmt: skip
    return (*enough, names[max(names)] if names else None)


# 3.4 free_prefixes


def free_by_halving(first: str, last: str, taken: list[str]) -> list[str]:
    """Ask of all addresses, then of each half: is all of it free, nothing, or some?"""

    def number(address: str) -> int:
        return int.from_bytes(bytes(map(int, address.split("."))), "big")

    def size(prefix: str) -> int:
        return 1 << 32 - int(prefix.split("/")[1])

    used = [(number(one.split("/")[0]), number(one.split("/")[0]) + size(one)) for one in taken]
    used += [(0, number(first)), (number(last) + 1, 1 << 32)]

    def free(start: int, length: int) -> list[str]:
        end = start + (1 << 32 - length)
        if any(begin <= start and end <= behind for begin, behind in used):
            return []
        if all(end <= begin or behind <= start for begin, behind in used if begin < behind):
            octets = [start >> bits & 255 for bits in (24, 16, 8, 0)]
            return [f"{'.'.join(map(str, octets))}/{length}"]
        return free(start, length + 1) + free((start + end) // 2, length + 1)

    return free(0, 0)


def free_by_taking_away(first: str, last: str, taken: list[str]) -> list[str]:
    """Keep a list of free ranges, and take one prefix after the other away from it."""

    def value(address: str) -> int:
        a, b, c, d = (int(part) for part in address.split("."))
        return ((a * 256 + b) * 256 + c) * 256 + d

    ranges = [(value(first), value(last))]
    for prefix in taken:
        address, length = prefix.split("/")
        begin = value(address)
        end = begin + 2 ** (32 - int(length)) - 1
        left = []
        for low, high in ranges:
            left += [(low, min(high, begin - 1)), (max(low, end + 1), high)]
        ranges = [(low, high) for low, high in left if low <= high]
    result = []
    for low, high in sorted(ranges):
        while low <= high:
            bits = 0
            while bits < 32 and low % 2 ** (bits + 1) == 0 and low + 2 ** (bits + 1) - 1 <= high:
                bits += 1
            octets: list[str] = []
            rest = low
            for _ in range(4):
                rest, octet = divmod(rest, 256)
                octets.insert(0, str(octet))
            result.append(".".join(octets) + "/" + str(32 - bits))
            low += 2**bits
    return result


def free_from_both_ends(first: str, last: str, taken: list[str]) -> list[str]:
    """Climb up a tree of halves from both ends of each hole, level by level."""

    def number(address: str) -> int:
        return int("".join(f"{int(part):08b}" for part in address.split(".")), 2)

    borders = [(number(first), 0)]
    for prefix in taken:
        address, _, length = prefix.partition("/")
        borders += [(number(address), 1), (number(address) + (1 << 32 - int(length)), -1)]
    borders.append((number(last) + 1, 1))
    found, depth, start = [], 0, number(first)
    for place, change in sorted(borders, key=lambda border: (border[0], -border[1])):
        if depth == 0:
            low, high, bits = start, place, 0
            while low < high:
                if low & 1:
                    found.append((low << bits, bits))
                    low += 1
                if high & 1:
                    high -= 1
                    found.append((high << bits, bits))
                low, high, bits = low >> 1, high >> 1, bits + 1
        depth, start = depth + change, place
    return [
        "{}.{}.{}.{}/{}".format(*struct.pack("!I", low), 32 - bits) for low, bits in sorted(found)
    ]


OTHERS: Mapping[str, tuple[Callable[..., Any], ...]] = {
    "3.1": (after_by_pattern, after_there_and_back, after_letter_by_letter),
    "3.2": (link_by_bit_texts, link_octet_by_octet, link_by_numpy),
    "3.3": (meet_by_bit_texts, meet_by_ranges, meet_by_common_bits),
    "3.4": (free_by_halving, free_by_taking_away, free_from_both_ends),
    "3.5": AGGREGATES,
    "3.6": PLANS,
}
