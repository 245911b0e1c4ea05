"""Misconceptions about the addresses that a prefix covers: exercise 4.1."""

__all__ = ["COVERS"]

from collections.abc import Callable
from ipaddress import ip_address, ip_network
from typing import Any


def right_number(address: str) -> int:
    """Return the number of an address."""
    return int.from_bytes(bytes(int(part) for part in address.split(".")), "big")


def right_parts(prefix: str) -> tuple[int, int]:
    """Return the number in front of the slash, and the length behind it."""
    network, length = prefix.split("/")
    return right_number(network), int(length)


def right_covers(prefix: str, address: str) -> bool:
    """Compare the bits of the prefix."""
    network, length = right_parts(prefix)
    return network >> 32 - length == right_number(address) >> 32 - length


def right_range(prefix: str) -> tuple[int, int]:
    """Return the first and the last address of a prefix."""
    network, length = right_parts(prefix)
    free = (1 << 32 - length) - 1
    return network & ~free, network | free


def covers_as_text(prefix: str, address: str) -> bool:
    """Believe that a prefix of the text is a prefix of the address."""
    network, length = prefix.split("/")
    octets = network.split(".")[: int(length) // 8]
    return address.startswith(".".join(octets))


def covers_in_whole_octets(prefix: str, address: str) -> bool:
    """Believe that a prefix is cut only between octets."""
    network, length = prefix.split("/")
    octets = int(length) // 8
    return network.split(".")[:octets] == address.split(".")[:octets]


def covers_rounded_up(prefix: str, address: str) -> bool:
    """Believe that all of an octet counts as soon as one of its bits does."""
    network, length = prefix.split("/")
    octets = (int(length) + 7) // 8
    return network.split(".")[:octets] == address.split(".")[:octets]


def covers_from_the_right(prefix: str, address: str) -> bool:
    """Believe that the length counts bits from the right end."""
    network, length = right_parts(prefix)
    mask = (1 << length) - 1
    return network & mask == right_number(address) & mask


def covers_by_free_bits(prefix: str, address: str) -> bool:
    """Believe that the bits behind the length are those to compare."""
    network, length = right_parts(prefix)
    mask = (1 << 32 - length) - 1
    return network & mask == right_number(address) & mask


def covers_by_class(prefix: str, address: str) -> bool:
    """Believe that the first octet decides how long the network part is."""
    network, _ = right_parts(prefix)
    first = network >> 24
    free_bits = 24 if first < 128 else 16 if first < 192 else 8
    return network >> free_bits == right_number(address) >> free_bits


def covers_nothing_with_zero_bits(prefix: str, address: str) -> bool:
    """Believe that a prefix of length 0 covers nothing."""
    return not prefix.endswith("/0") and right_covers(prefix, address)


def covers_all_with_no_free_bits(prefix: str, address: str) -> bool:
    """Believe that a slice that ends 0 places before the end has all of a text."""
    network, length = right_parts(prefix)
    one, other = (f"{number:032b}" for number in (network, right_number(address)))
    return one[: -(32 - length)] == other[: -(32 - length)]


def covers_with_host_bits(prefix: str, address: str) -> bool:
    """Believe that the address in front of the slash has no host bits."""
    network, length = right_parts(prefix)
    return network == right_number(address) >> 32 - length << 32 - length


def covers_or_refuses(prefix: str, address: str) -> bool:
    """Believe that host bits in a prefix are an error."""
    return ip_address(address) in ip_network(prefix)


def covers_with_free_length(prefix: str, address: str) -> bool:
    """Believe that the length counts the bits that are free."""
    network, length = right_parts(prefix)
    return network >> length == right_number(address) >> length


def covers_all_above(prefix: str, address: str) -> bool:
    """Believe that whatever is not below the first address is covered."""
    return right_range(prefix)[0] <= right_number(address)


def covers_one_more(prefix: str, address: str) -> bool:
    """Believe that the range goes on to the first address of the next one."""
    first, last = right_range(prefix)
    return first <= right_number(address) <= last + 1


def covers_without_the_ends(prefix: str, address: str) -> bool:
    """Believe that the first and the last address are not covered."""
    first, last = right_range(prefix)
    return first < right_number(address) < last


def covers_without_the_last(prefix: str, address: str) -> bool:
    """Believe that the last address is not covered."""
    first, last = right_range(prefix)
    return first <= right_number(address) < last


def covers_with_a_bit_less(prefix: str, address: str) -> bool:
    """Believe that the bit that the length names is free already."""
    network, length = right_parts(prefix)
    free = min(32, 33 - length)
    return network >> free == right_number(address) >> free


def covers_with_a_bit_more(prefix: str, address: str) -> bool:
    """Believe that bits are counted from 0, so that one more belongs to the prefix."""
    network, length = right_parts(prefix)
    free = max(0, 31 - length)
    return network >> free == right_number(address) >> free


def covers_by_the_last_octet(prefix: str, address: str) -> bool:
    """Believe that only the octet in which the prefix ends has to be compared."""
    network, behind = prefix.split("/")
    octet = max(int(behind) - 1, 0) // 8
    free = 8 * (octet + 1) - int(behind)
    one, other = (int(text.split(".")[octet]) for text in (network, address))
    return one >> free == other >> free


def covers_without_leading_zeros(prefix: str, address: str) -> bool:
    """Believe that each octet has as many bits as it takes to write it down."""
    network, length = prefix.split("/")
    one, other = (
        "".join(f"{int(part):b}" for part in text.split(".")) for text in (network, address)
    )
    return one[: int(length)] == other[: int(length)]


def covers_low_octet_first(prefix: str, address: str) -> bool:
    """Believe that the first octet is the low one."""
    network, length = prefix.split("/")
    one, other = (
        int.from_bytes(bytes(int(part) for part in text.split(".")), "little")
        for text in (network, address)
    )
    return one >> 32 - int(length) == other >> 32 - int(length)


def covers_or_nothing(prefix: str, address: str) -> bool | None:
    """Believe that a function that returns nothing says no."""
    return right_covers(prefix, address) or None


def covers_turned_round(prefix: str, address: str) -> bool:
    """Believe that True stands for an address outside."""
    return not right_covers(prefix, address)


COVERS: dict[str, Callable[..., Any]] = {
    "text-prefix": covers_as_text,
    "whole-octets-only": covers_in_whole_octets,
    "rounded-up-to-octets": covers_rounded_up,
    "length-from-the-right": covers_from_the_right,
    "free-bits-compared": covers_by_free_bits,
    "first-octet-decides": covers_by_class,
    "zero-bits-cover-nothing": covers_nothing_with_zero_bits,
    "no-free-bits-cover-all": covers_all_with_no_free_bits,
    "host-bits-in-the-key": covers_with_host_bits,
    "host-bits-refused": covers_or_refuses,
    "length-counts-free-bits": covers_with_free_length,
    "all-above-the-first": covers_all_above,
    "one-address-too-many": covers_one_more,
    "ends-left-out": covers_without_the_ends,
    "last-address-left-out": covers_without_the_last,
    "one-bit-too-few": covers_with_a_bit_less,
    "one-bit-too-many": covers_with_a_bit_more,
    "one-octet-compared": covers_by_the_last_octet,
    "leading-zeros-lost": covers_without_leading_zeros,
    "low-octet-first": covers_low_octet_first,
    "nothing-for-no": covers_or_nothing,
    "answer-turned-round": covers_turned_round,
}
