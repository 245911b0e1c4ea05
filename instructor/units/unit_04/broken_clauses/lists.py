"""Answers to 4.1 and 4.2 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from typing import Any

from instructor.units.unit_04.misconceptions.covering import right_covers, right_number, right_parts

Route = tuple[str, str, int]
Routes = list[Route]
Found = tuple[str, str] | None


# 4.1


def covers_octets_as_text(prefix: str, address: str) -> bool:
    """Compare whole octets as they are written."""
    network, length = prefix.split("/")
    if length not in ("8", "16", "24"):
        return right_covers(prefix, address)
    return address.startswith(".".join(network.split(".")[: int(length) // 8]))


def covers_all_of_the_cut_octet(prefix: str, address: str) -> bool:
    """Compare also the bits behind the length, if the prefix has no host bits."""
    network, length = right_parts(prefix)
    free = (32 - length) // 8 * 8
    if length % 8 == 0 or network & (1 << 32 - length) - 1:
        free = 32 - length
    return network >> free == right_number(address) >> free


def covers_neighbour_of_one(prefix: str, address: str) -> bool:
    """Leave one bit free where the length leaves none."""
    network, length = right_parts(prefix)
    free = max(1, 32 - length)
    return network >> free == right_number(address) >> free


# 4.2


def right_length(route: Route) -> int:
    """Return the length of a route's prefix."""
    return right_parts(route[0])[1]


def right_matches(routes: Routes, address: str) -> Routes:
    """Return the routes whose prefix covers the address, the best one first."""
    matching = [route for route in routes if right_covers(route[0], address)]
    return sorted(matching, key=lambda route: (-right_length(route), route[2]))


def right_look_up(routes: Routes, address: str) -> Found:
    """Return prefix and next hop of the best match."""
    return next((route[:2] for route in right_matches(routes, address)), None)


def look_up_as_list(routes: Routes, address: str) -> list[str] | None:
    """Return a list."""
    found = right_look_up(routes, address)
    return None if found is None else list(found)


def look_up_in_order(routes: Routes, address: str) -> Found:
    """Take the first match if all that match have different prefixes."""
    matching = [route for route in routes if right_covers(route[0], address)]
    if len({prefix for prefix, *_ in matching}) < len(matching):
        return right_look_up(routes, address)
    return matching[0][:2] if matching else None


def look_up_low_metrics_first(routes: Routes, address: str) -> Found:
    """Take the lowest metric if all that match have different prefixes."""
    matching = right_matches(routes, address)
    if not matching or len({prefix for prefix, *_ in matching}) < len(matching):
        return right_look_up(routes, address)
    return min(matching, key=lambda route: route[2])[:2]


def look_up_second_of_three(routes: Routes, address: str) -> Found:
    """Look at the last two of equal prefixes alone."""
    best = right_matches(routes, address)
    if not best:
        return None
    equal = [route for route in routes if route[0] == best[0][0]]
    return right_look_up(equal[-2:], address)


def look_up_zero_last(routes: Routes, address: str) -> Found:
    """Take a metric of 0 for none at all."""
    changed = [(prefix, hop, metric or 10**9) for prefix, hop, metric in routes]
    return right_look_up(changed, address)


def look_up_something(routes: Routes, address: str) -> Found:
    """Fall back to the first route if none covers the address."""
    return right_look_up(routes, address) or (routes[0][:2] if routes else None)


def look_up_in_some_list(routes: Routes, address: str) -> Any:
    """Ask for a first route before there is one."""
    assert routes[0]
    return right_look_up(routes, address)
