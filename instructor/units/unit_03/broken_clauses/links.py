"""Answers to 3.2 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from instructor.units.unit_03.misconceptions.links import Link, link_rounded_up, right_link
from instructor.units.unit_03.misconceptions.right_parts import right_number, right_text


def link_with_full_octet(address: str, length: int) -> Link:
    """Fill the octet of the mask in which the cut lies, on large links."""
    mask = (link_rounded_up if 0 < length < 16 else right_link)(address, length)[0]
    return (mask, *right_link(address, length)[1:])


def link_first_with_host_bits(address: str, length: int) -> Link:
    """Leave host bits in the first address, if the cut lies in the third octet."""
    mask, first, last, hosts = right_link(address, length)
    return mask, address if 16 < length < 22 else first, last, hosts


def link_last_is_next(address: str, length: int) -> Link:
    """Give the address behind the last one, if the cut lies at the end of the third octet."""
    mask, first, last, hosts = right_link(address, length)
    if length in (22, 23):
        last = right_text(right_number(last) + 1)
    return mask, first, last, hosts


def link_first_as_given(address: str, length: int) -> Link:
    """Take it that the first address is given, if the cut lies between octets."""
    mask, first, last, hosts = right_link(address, length)
    return mask, address if length in (8, 16, 24) else first, last, hosts


def link_from_1(address: str, length: int) -> Link:
    """Take a length of 0 for one of 32."""
    return right_link(address, length or 32)
