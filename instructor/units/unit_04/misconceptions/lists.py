"""Misconceptions about covering an address and about a list of routes: exercises 4.1 and 4.2."""

__all__ = ["COVERS", "LOOK_UP"]

from collections.abc import Callable
from typing import Any

Routes = list[tuple[str, str, int]]


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


# 4.1 covers


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


def covers_from_the_right(prefix: str, address: str) -> bool:
    """Believe that the length counts bits from the right end."""
    network, length = right_parts(prefix)
    mask = (1 << length) - 1
    return network & mask == right_number(address) & mask


def covers_by_class(prefix: str, address: str) -> bool:
    """Believe that the first octet decides how long the network part is."""
    network, _ = right_parts(prefix)
    free_bits = 24 if network >> 31 == 0 else 16 if network >> 30 == 2 else 8
    return network >> free_bits == right_number(address) >> free_bits


def covers_nothing_with_zero_bits(prefix: str, address: str) -> bool:
    """Believe that a prefix of length 0 covers nothing."""
    return not prefix.endswith("/0") and right_covers(prefix, address)


def covers_with_host_bits(prefix: str, address: str) -> bool:
    """Believe that the address in front of the slash has no host bits."""
    network, length = right_parts(prefix)
    return network == right_number(address) >> 32 - length << 32 - length


def covers_with_free_bits(prefix: str, address: str) -> bool:
    """Believe that the length counts the bits that are free."""
    network, length = right_parts(prefix)
    return network >> length == right_number(address) >> length


def covers_all_above(prefix: str, address: str) -> bool:
    """Believe that whatever is not below the first address is covered."""
    network, length = right_parts(prefix)
    return network >> 32 - length <= right_number(address) >> 32 - length


def covers_low_octet_first(prefix: str, address: str) -> bool:
    """Believe that the first octet is the low one."""
    network, length = prefix.split("/")
    one, other = (
        int.from_bytes(bytes(int(part) for part in text.split(".")), "little")
        for text in (network, address)
    )
    return one >> 32 - int(length) == other >> 32 - int(length)


COVERS: dict[str, Callable[..., Any]] = {
    "text-prefix": covers_as_text,
    "whole-octets-only": covers_in_whole_octets,
    "length-from-the-right": covers_from_the_right,
    "first-octet-decides": covers_by_class,
    "zero-bits-cover-nothing": covers_nothing_with_zero_bits,
    "host-bits-in-the-key": covers_with_host_bits,
    "length-counts-free-bits": covers_with_free_bits,
    "all-above-the-first": covers_all_above,
    "low-octet-first": covers_low_octet_first,
}


# 4.2 look_up


def right_length(route: tuple[str, str, int]) -> int:
    """Return the length of a route's prefix."""
    return int(route[0].split("/")[1])


def right_matches(routes: Routes, address: str) -> Routes:
    """Return the routes whose prefix covers the address."""
    return [route for route in routes if right_covers(route[0], address)]


def look_up_first_match(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that the first match wins."""
    for prefix, next_hop, _ in right_matches(routes, address):
        return prefix, next_hop
    return None


def look_up_last_match(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that a later route overrides an earlier one."""
    for prefix, next_hop, _ in reversed(right_matches(routes, address)):
        return prefix, next_hop
    return None


def look_up_lowest_metric(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that the metric beats the length."""
    matching = right_matches(routes, address)
    best = min(matching, key=lambda route: route[2], default=None)
    return None if best is None else best[:2]


def look_up_default_first(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that a default route takes everything."""
    for prefix, next_hop, _ in routes:
        if right_length((prefix, next_hop, 0)) == 0:
            return prefix, next_hop
    matching = right_matches(routes, address)
    best = max(matching, key=lambda route: (right_length(route), -route[2]), default=None)
    return None if best is None else best[:2]


def look_up_shortest(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that the wider network wins."""
    matching = right_matches(routes, address)
    best = min(matching, key=lambda route: (right_length(route), route[2]), default=None)
    return None if best is None else best[:2]


def look_up_length_as_text(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that lengths can be compared as texts."""
    matching = right_matches(routes, address)
    best = max(matching, key=lambda route: (route[0].split("/")[1], -route[2]), default=None)
    return None if best is None else best[:2]


def look_up_any_metric(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that the metric does not matter: the first of equal prefixes stays."""
    best = max(right_matches(routes, address), key=right_length, default=None)
    return None if best is None else best[:2]


def look_up_highest_metric(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that a high metric is a good one."""
    matching = right_matches(routes, address)
    best = max(matching, key=lambda route: (right_length(route), route[2]), default=None)
    return None if best is None else best[:2]


def look_up_without_default(routes: Routes, address: str) -> tuple[str, str] | None:
    """Believe that a prefix of length 0 covers nothing."""
    matching = [route for route in right_matches(routes, address) if right_length(route)]
    best = max(matching, key=lambda route: (right_length(route), -route[2]), default=None)
    return None if best is None else best[:2]


LOOK_UP: dict[str, Callable[..., Any]] = {
    "first-match-wins": look_up_first_match,
    "last-match-wins": look_up_last_match,
    "metric-before-length": look_up_lowest_metric,
    "default-takes-all": look_up_default_first,
    "shortest-prefix-wins": look_up_shortest,
    "lengths-as-text": look_up_length_as_text,
    "metric-not-looked-at": look_up_any_metric,
    "highest-metric-wins": look_up_highest_metric,
    "default-never-matches": look_up_without_default,
}
