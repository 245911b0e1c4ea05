"""Misconceptions about mask, ends and hosts of a link: exercise 3.2."""

__all__ = ["DESCRIBE_LINK"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_03.misconceptions.right_parts import right_number, right_text

ALL = 0xFFFFFFFF

Link = tuple[str, str, str, int]


def right_mask(length: int) -> int:
    """Return the mask as a number."""
    return ALL << (32 - length) & ALL


def right_ends(address: str, length: int) -> tuple[int, int]:
    """Return the first and the last address as numbers."""
    first = right_number(address) & right_mask(length)
    return first, first | ALL ^ right_mask(length)


def right_hosts(length: int) -> int:
    """Count the hosts."""
    return {32: 1, 31: 2}.get(length, (1 << 32 - length) - 2)


def right_link(address: str, length: int) -> Link:
    """Return all four as asked."""
    first, last = right_ends(address, length)
    return right_text(right_mask(length)), right_text(first), right_text(last), right_hosts(length)


def with_mask(address: str, length: int, mask: int) -> Link:
    """Describe a link by another mask; how many hosts there are follows from the length."""
    first = right_number(address) & mask
    return right_text(mask), right_text(first), right_text(first | ALL ^ mask), right_hosts(length)


def with_hosts(address: str, length: int, hosts: int) -> Link:
    """Describe a link with another number of hosts."""
    return (*right_link(address, length)[:3], hosts)


# The mask


def link_from_the_right(address: str, length: int) -> Link:
    """Believe that the ones of a mask stand at the right end."""
    return with_mask(address, length, (1 << length) - 1)


def link_with_wildcard(address: str, length: int) -> Link:
    """Believe that a mask has ones where hosts differ."""
    return (right_text(ALL ^ right_mask(length)), *right_link(address, length)[1:])


def link_masked_by_wildcard(address: str, length: int) -> Link:
    """Believe that a mask has ones where hosts differ, and use it like that."""
    return with_mask(address, length, ALL ^ right_mask(length))


def link_low_in_the_octet(address: str, length: int) -> Link:
    """Believe that an octet of a mask is filled from its low end."""
    octets = [255] * (length // 8) + [(1 << length % 8) - 1] + [0] * 4
    return with_mask(address, length, int.from_bytes(bytes(octets[:4]), "big"))


def link_with_size_in_the_mask(address: str, length: int) -> Link:
    """Believe that the size of a block stands in the octet where it is cut."""
    whole, rest = divmod(length, 8)
    octets = [255] * whole + ([1 << 8 - rest] if rest else []) + [0] * 4
    mask = ".".join(map(str, octets[:4]))
    return (mask, *right_link(address, length)[1:])


def link_in_whole_octets(address: str, length: int) -> Link:
    """Believe that a prefix is cut only between octets."""
    return right_link(address, length // 8 * 8)


def link_rounded_up(address: str, length: int) -> Link:
    """Believe that all of an octet counts as soon as one of its bits does."""
    return right_link(address, (length + 7) // 8 * 8)


def link_by_class(address: str, length: int) -> Link:
    """Believe that the first octet decides how long the prefix is."""
    first = right_number(address) >> 24
    return right_link(address, 8 if first < 128 else 16 if first < 192 else 24)


def link_with_free_length(address: str, length: int) -> Link:
    """Believe that the length counts the bits that are free."""
    return right_link(address, 32 - length)


# First and last address


def link_of_the_last_octet(address: str, length: int) -> Link:
    """Believe that a link goes from .0 to .255."""
    first = right_number(address) & ~255
    mask = right_text(right_mask(length))
    return mask, right_text(first), right_text(first + 255), right_hosts(length)


def link_in_the_last_octet(address: str, length: int) -> Link:
    """Believe that only the last octet has host bits."""
    first, last = right_ends(address, max(length, 24))
    return right_text(right_mask(length)), right_text(first), right_text(last), right_hosts(length)


def link_with_host_bits(address: str, length: int) -> Link:
    """Believe that the address that is given is the first one."""
    mask, _, last, hosts = right_link(address, length)
    return mask, address, last, hosts


def link_from_here(address: str, length: int) -> Link:
    """Believe that a link begins at the address that is given, and is as large as its length says.

    What goes beyond the last address of all is cut off there.
    """
    last = min(right_number(address) + 2 ** (32 - length) - 1, ALL)
    return right_text(right_mask(length)), address, right_text(last), right_hosts(length)


def link_one_longer(address: str, length: int) -> Link:
    """Believe that the last address is the first one and the size; nothing lies behind all."""
    mask, first, _, hosts = right_link(address, length)
    last = right_number(first) + 2 ** (32 - length)
    return mask, first, ".".join(str(last >> bits & 255) for bits in (24, 16, 8, 0)), hosts


def link_of_hosts(address: str, length: int) -> Link:
    """Believe that the first and the last host are asked for."""
    first, last = right_ends(address, length)
    if length < 31:
        first, last = first + 1, last - 1
    return right_text(right_mask(length)), right_text(first), right_text(last), right_hosts(length)


def link_with_first_host(address: str, length: int) -> Link:
    """Believe that the first host is asked for, and the last address."""
    mask, first, last, hosts = right_link(address, length)
    if length < 31:
        first = right_text(right_number(first) + 1)
    return mask, first, last, hosts


# Hosts


def link_all_hosts(address: str, length: int) -> Link:
    """Believe that every address is for a host."""
    return with_hosts(address, length, 2 ** (32 - length))


def link_always_two_less(address: str, length: int) -> Link:
    """Believe that two addresses are always lost."""
    return with_hosts(address, length, 2 ** (32 - length) - 2)


def link_two_less_or_none(address: str, length: int) -> Link:
    """Believe that short links have no room for hosts."""
    return with_hosts(address, length, max(2 ** (32 - length) - 2, 0))


def link_without_rfc_3021(address: str, length: int) -> Link:
    """Believe that a link of two addresses has no hosts."""
    return with_hosts(address, length, 0 if length == 31 else right_hosts(length))


def link_without_single_host(address: str, length: int) -> Link:
    """Believe that a single address has no host."""
    return with_hosts(address, length, 0 if length == 32 else right_hosts(length))


def link_one_less(address: str, length: int) -> Link:
    """Believe that only the last address is taken."""
    size = 2 ** (32 - length)
    return with_hosts(address, length, size if length >= 31 else size - 1)


def link_three_less(address: str, length: int) -> Link:
    """Believe that the router is none of the hosts."""
    size = 2 ** (32 - length)
    return with_hosts(address, length, size if length >= 31 else size - 3)


def link_hosts_of_the_length(address: str, length: int) -> Link:
    """Believe that the bits of the prefix count the hosts."""
    return with_hosts(address, length, {32: 1, 31: 2}.get(length, 2**length - 2))


def link_hosts_of_one_octet(address: str, length: int) -> Link:
    """Believe that hosts are counted in the octet where the cut is."""
    hosts = right_hosts(length) if length > 24 else 2 ** (8 - length % 8) - 2
    return with_hosts(address, length, hosts)


# What is returned


def link_as_list(address: str, length: int) -> list[Any]:
    """Believe that a list is as good as a tuple."""
    return list(right_link(address, length))


def link_as_numbers(address: str, length: int) -> tuple[int, int, int, int]:
    """Believe that numbers are as good as texts."""
    return right_mask(length), *right_ends(address, length), right_hosts(length)


def link_with_lengths(address: str, length: int) -> Link:
    """Believe that a first address carries its length, as a prefix does."""
    mask, first, last, hosts = right_link(address, length)
    return mask, f"{first}/{length}", last, hosts


def link_mask_as_length(address: str, length: int) -> tuple[int, str, str, int]:
    """Believe that the length is the mask."""
    return (length, *right_link(address, length)[1:])


def link_in_hexadecimal(address: str, length: int) -> Link:
    """Believe that masks are written in hexadecimal."""
    return (f"{right_mask(length):#010x}", *right_link(address, length)[1:])


DESCRIBE_LINK: dict[str, Callable[..., Any]] = {
    "mask-from-the-right": link_from_the_right,
    "wildcard-for-mask": link_with_wildcard,
    "masked-by-wildcard": link_masked_by_wildcard,
    "low-end-of-the-octet": link_low_in_the_octet,
    "size-in-the-mask": link_with_size_in_the_mask,
    "whole-octets-only": link_in_whole_octets,
    "rounded-up-to-octets": link_rounded_up,
    "first-octet-decides": link_by_class,
    "length-counts-free-bits": link_with_free_length,
    "always-0-to-255": link_of_the_last_octet,
    "host-bits-in-the-last-octet": link_in_the_last_octet,
    "address-is-the-first": link_with_host_bits,
    "link-begins-here": link_from_here,
    "last-is-first-and-size": link_one_longer,
    "hosts-for-ends": link_of_hosts,
    "first-host-for-first": link_with_first_host,
    "all-are-hosts": link_all_hosts,
    "always-two-less": link_always_two_less,
    "short-links-have-none": link_two_less_or_none,
    "two-addresses-no-hosts": link_without_rfc_3021,
    "single-address-no-host": link_without_single_host,
    "one-less": link_one_less,
    "router-is-no-host": link_three_less,
    "hosts-of-the-prefix-bits": link_hosts_of_the_length,
    "hosts-of-one-octet": link_hosts_of_one_octet,
    "list-for-a-tuple": link_as_list,
    "numbers-for-texts": link_as_numbers,
    "length-behind-the-first": link_with_lengths,
    "length-for-a-mask": link_mask_as_length,
    "mask-in-hexadecimal": link_in_hexadecimal,
}
