"""Misconceptions about a list of routes: exercise 4.2."""

__all__ = ["LOOK_UP"]

from collections.abc import Callable
from typing import Any

Route = tuple[str, str, int]
Routes = list[Route]
Found = tuple[str, str] | None


def right_number(address: str) -> int:
    """Return the number of an address."""
    return int.from_bytes(bytes(int(part) for part in address.split(".")), "big")


def right_length(route: Route) -> int:
    """Return the length of a route's prefix."""
    return int(route[0].split("/")[1])


def right_covers(route: Route, address: str) -> bool:
    """Compare the bits of a route's prefix."""
    network, free = route[0].split("/")[0], 32 - right_length(route)
    return right_number(network) >> free == right_number(address) >> free


def right_matches(routes: Routes, address: str) -> Routes:
    """Return the routes whose prefix covers the address."""
    return [route for route in routes if right_covers(route, address)]


def right_rank(route: Route) -> tuple[int, int]:
    """Return what is highest for the best of several matches."""
    return right_length(route), -route[2]


def right_best(matching: Routes, rank: Callable[[Route], Any] = right_rank) -> Found:
    """Return prefix and next hop of the match that ranks highest, None for no match."""
    best = max(matching, key=rank, default=None)
    return None if best is None else best[:2]


def look_up_first_match(routes: Routes, address: str) -> Found:
    """Believe that the first match wins."""
    return right_best(right_matches(routes, address)[:1])


def look_up_last_match(routes: Routes, address: str) -> Found:
    """Believe that a later route overrides an earlier one."""
    return right_best(right_matches(routes, address)[-1:])


def look_up_lowest_metric(routes: Routes, address: str) -> Found:
    """Believe that the metric beats the length."""
    return right_best(right_matches(routes, address), lambda route: -route[2])


def look_up_default_first(routes: Routes, address: str) -> Found:
    """Believe that a default route takes everything."""
    default = [route for route in routes if right_length(route) == 0]
    return right_best(default or right_matches(routes, address))


def look_up_shortest(routes: Routes, address: str) -> Found:
    """Believe that the wider network wins."""
    matching = right_matches(routes, address)
    return right_best(matching, lambda route: (-right_length(route), -route[2]))


def look_up_length_as_text(routes: Routes, address: str) -> Found:
    """Believe that lengths can be compared as texts."""
    matching = right_matches(routes, address)
    return right_best(matching, lambda route: (route[0].split("/")[1], -route[2]))


def look_up_prefix_as_text(routes: Routes, address: str) -> Found:
    """Believe that prefixes can be compared as texts, from their first digit."""
    return right_best(right_matches(routes, address), lambda route: (route[0], -route[2]))


def look_up_longest_text(routes: Routes, address: str) -> Found:
    """Believe that the prefix that takes the most characters is the longest."""
    return right_best(right_matches(routes, address), lambda route: (len(route[0]), -route[2]))


def look_up_first_of_equals(routes: Routes, address: str) -> Found:
    """Believe that the metric does not matter: the first of equal prefixes stays."""
    return right_best(right_matches(routes, address), right_length)


def look_up_last_of_equals(routes: Routes, address: str) -> Found:
    """Believe that the metric does not matter: of equal prefixes the last one stays."""
    return right_best(right_matches(routes, address)[::-1], right_length)


def look_up_highest_metric(routes: Routes, address: str) -> Found:
    """Believe that a high metric is a good one."""
    matching = right_matches(routes, address)
    return right_best(matching, lambda route: (right_length(route), route[2]))


def look_up_metric_as_text(routes: Routes, address: str) -> Found:
    """Believe that metrics can be compared as texts."""
    matching = sorted(right_matches(routes, address), key=lambda route: str(route[2]))
    return right_best(matching, right_length)


def look_up_zero_last(routes: Routes, address: str) -> Found:
    """Believe that a metric of 0 is none at all."""
    matching = right_matches(routes, address)
    return right_best(matching, lambda route: (right_length(route), -(route[2] or 10**9)))


def look_up_length_less_metric(routes: Routes, address: str) -> Found:
    """Believe that length and metric make one number together."""
    matching = right_matches(routes, address)
    return right_best(matching, lambda route: right_length(route) - route[2])


def look_up_without_default(routes: Routes, address: str) -> Found:
    """Believe that a prefix of length 0 covers nothing."""
    matching = right_matches(routes, address)
    return right_best([route for route in matching if right_length(route)])


def look_up_without_hosts(routes: Routes, address: str) -> Found:
    """Believe that lengths end at 31."""
    matching = right_matches(routes, address)
    return right_best([route for route in matching if right_length(route) < 32])


def look_up_in_whole_octets(routes: Routes, address: str) -> Found:
    """Believe that a prefix is cut only between octets."""
    matching = []
    for route in routes:
        octets = right_length(route) // 8
        if route[0].split("/")[0].split(".")[:octets] == address.split(".")[:octets]:
            matching.append(route)
    return right_best(matching)


def look_up_by_text(routes: Routes, address: str) -> Found:
    """Believe that a prefix of the text is a prefix of the address."""
    matching = []
    for route in routes:
        octets = route[0].split("/")[0].split(".")[: right_length(route) // 8]
        if address.startswith(".".join(octets)):
            matching.append(route)
    return right_best(matching)


def look_up_hop_alone(routes: Routes, address: str) -> str | None:
    """Believe that the next hop is all that is asked."""
    found = right_best(right_matches(routes, address))
    return found and found[1]


def look_up_whole_route(routes: Routes, address: str) -> Route | None:
    """Believe that the route is to be returned with its metric."""
    return max(right_matches(routes, address), key=right_rank, default=None)


def look_up_the_other_way_round(routes: Routes, address: str) -> Found:
    """Believe that the next hop comes first."""
    found = right_best(right_matches(routes, address))
    return found and found[::-1]


def look_up_always_something(routes: Routes, address: str) -> Found:
    """Believe that some route always covers the address, and fall over if none does."""
    return max(right_matches(routes, address), key=right_rank)[:2]


def look_up_refuses(routes: Routes, address: str) -> Found:
    """Believe that an address without a route is an error."""
    found = right_best(right_matches(routes, address))
    if found is None:
        raise KeyError(address)
    return found


def look_up_pair_of_nothing(routes: Routes, address: str) -> tuple[Any, Any]:
    """Believe that no route is a pair, too."""
    return right_best(right_matches(routes, address)) or (None, None)


LOOK_UP: dict[str, Callable[..., Any]] = {
    "first-match-wins": look_up_first_match,
    "last-match-wins": look_up_last_match,
    "metric-before-length": look_up_lowest_metric,
    "default-takes-all": look_up_default_first,
    "shortest-prefix-wins": look_up_shortest,
    "lengths-as-text": look_up_length_as_text,
    "prefixes-as-text": look_up_prefix_as_text,
    "longest-text-wins": look_up_longest_text,
    "metric-not-looked-at": look_up_first_of_equals,
    "last-of-equals-stays": look_up_last_of_equals,
    "highest-metric-wins": look_up_highest_metric,
    "metrics-as-text": look_up_metric_as_text,
    "metric-0-for-none": look_up_zero_last,
    "length-less-metric": look_up_length_less_metric,
    "default-never-matches": look_up_without_default,
    "single-address-never-matches": look_up_without_hosts,
    "whole-octets-only": look_up_in_whole_octets,
    "text-prefix": look_up_by_text,
    "next-hop-alone": look_up_hop_alone,
    "metric-returned-too": look_up_whole_route,
    "next-hop-first": look_up_the_other_way_round,
    "always-a-route": look_up_always_something,
    "no-route-refused": look_up_refuses,
    "no-route-is-a-pair": look_up_pair_of_nothing,
}
