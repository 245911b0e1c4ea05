"""Borrowed parts of unit 03: its exercises' contracts, kept by way of the library's prefixes.

The library takes numbers and gives numbers; here texts come in and texts come out.

Not here: `aggregate_routes` and `make_plan`. They are for whoever hands out addresses and
announces routes, and no router calls them.
"""

__all__ = ["address_after", "describe_link", "free_prefixes", "neighbourhood"]

from course_lib.lookup import LinearList
from course_lib.prefixes.plan import host_count
from course_lib.prefixes.prefix import Prefix, parse_prefix, prefix_around, prefixes_of_range
from course_lib.prefixes.text import IPV4_BITS, format_address, parse_address


def address_after(address: str, steps: int) -> str:
    """Return the address that lies so many steps after another one: exercise 3.1."""
    return format_address(parse_address(address, IPV4_BITS) + steps)


def describe_link(address: str, length: int) -> tuple[str, str, str, int]:
    """Return mask, first and last address of a link, and its hosts: exercise 3.2."""
    link = prefix_around(parse_address(address), length)
    mask, first, last = map(format_address, (link.mask, link.first, link.last))
    return mask, first, last, host_count(link)


def neighbourhood(
    own: str, other: str, blocks: list[tuple[str, str]]
) -> tuple[bool, bool, str | None]:
    """Tell who takes whom for a neighbour, and the other's special block: exercise 3.3."""
    table = LinearList()
    for number, (prefix, _) in enumerate(blocks):
        table.insert(parse_prefix(prefix), number)
    (own_address, own_link), (other_address, other_link) = (
        (number, prefix_around(number, int(length)))
        for number, length in (
            (parse_address(address), length)
            for address, length in (own.split("/"), other.split("/"))
        )
    )
    place = table.lookup(other_address)
    name = None if place is None else blocks[place][1]
    return own_link.contains(other_address), other_link.contains(own_address), name


def free_prefixes(first: str, last: str, taken: list[str]) -> list[str]:
    """Return what is free in a range, as the fewest prefixes: exercise 3.4."""
    free: list[Prefix] = []
    start, end = parse_address(first), parse_address(last)
    for prefix in sorted(map(parse_prefix, taken)):
        if start < prefix.first:
            free += prefixes_of_range(start, prefix.first - 1)
        start = max(start, prefix.last + 1)
    return [
        str(prefix) for prefix in free + (prefixes_of_range(start, end) if start <= end else [])
    ]
