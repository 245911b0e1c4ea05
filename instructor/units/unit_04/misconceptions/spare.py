"""Misconceptions about routes to spare: exercise 4.6."""

__all__ = ["SPARE_ROUTES"]

from collections.abc import Callable
from typing import Any

Routes = list[tuple[str, str]]


def right_range_of(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and the first one behind it."""
    network, length = prefix.split("/")
    first = int.from_bytes(bytes(int(part) for part in network.split(".")), "big")
    return first, first + 2 ** (32 - int(length))


def lies_in(inner: str, outer: str) -> bool:
    """Tell whether one prefix lies inside another one."""
    first, behind = right_range_of(outer)
    start, end = right_range_of(inner)
    return inner != outer and first <= start and end <= behind


def right_around(routes: Routes, prefix: str) -> list[tuple[str, str]]:
    """Return the routes around a prefix, the next one first."""
    around = [route for route in routes if lies_in(prefix, route[0])]
    return sorted(around, key=lambda route: -int(route[0].split("/")[1]))


def right_unused(routes: Routes, prefix: str) -> bool:
    """Tell whether longer prefixes leave nothing of a prefix."""
    inside = [other for other, _ in routes if lies_in(other, prefix)]
    widest = [one for one in inside if not any(lies_in(one, other) for other in inside)]
    first, behind = right_range_of(prefix)
    taken = sum(end - start for start, end in map(right_range_of, widest))
    return taken == behind - first


def right_same(routes: Routes, prefix: str, hop: str) -> bool:
    """Tell whether the next route around has the same next hop."""
    around = right_around(routes, prefix)
    return bool(around) and around[0][1] == hop


def spare_if_covered(routes: Routes) -> list[str]:
    """Believe that a route inside another one is not needed."""
    return [
        prefix
        for prefix, _ in routes
        if right_around(routes, prefix) or right_unused(routes, prefix)
    ]


def spare_if_any_around(routes: Routes) -> list[str]:
    """Believe that any route around with the same next hop will do."""
    return [
        prefix
        for prefix, hop in routes
        if any(other == hop for _, other in right_around(routes, prefix))
        or right_unused(routes, prefix)
    ]


def spare_unless_unused(routes: Routes) -> list[str]:
    """Believe that a route goes only if another one around it says the same."""
    return [prefix for prefix, hop in routes if right_same(routes, prefix, hop)]


def spare_if_longer_inside(routes: Routes) -> list[str]:
    """Believe that a route with a longer one inside it is never used."""
    return [
        prefix
        for prefix, hop in routes
        if right_same(routes, prefix, hop) or any(lies_in(other, prefix) for other, _ in routes)
    ]


def spare_one_after_the_other(routes: Routes) -> list[str]:
    """Believe that each route is judged after the earlier ones have gone."""
    left, spare = list(routes), []
    for prefix, hop in routes:
        if right_same(left, prefix, hop) or right_unused(left, prefix):
            left = [route for route in left if route[0] != prefix]
            spare.append(prefix)
    return spare


def spare_if_same_hop(routes: Routes) -> list[str]:
    """Believe that two routes with the same next hop say the same."""
    return [
        prefix
        for prefix, hop in routes
        if sum(other == hop for _, other in routes) > 1 or right_unused(routes, prefix)
    ]


def spare_if_halves(routes: Routes) -> list[str]:
    """Believe that only two halves can take all of a prefix."""
    spare = []
    for prefix, hop in routes:
        first, behind = right_range_of(prefix)
        middle = (first + behind) // 2
        ranges = [right_range_of(other) for other, _ in routes]
        halves = (first, middle) in ranges and (middle, behind) in ranges
        if halves or right_same(routes, prefix, hop):
            spare.append(prefix)
    return spare


def right_spare(routes: Routes) -> list[str]:
    """Return what is right."""
    return [
        prefix
        for prefix, hop in routes
        if right_same(routes, prefix, hop) or right_unused(routes, prefix)
    ]


def spare_from_the_end(routes: Routes) -> list[str]:
    """Believe that each route is judged after the later ones have gone."""
    gone = spare_one_after_the_other(routes[::-1])
    return [prefix for prefix, _ in routes if prefix in gone]


def spare_by_the_widest(routes: Routes) -> list[str]:
    """Believe that the widest route around takes over."""
    spare = []
    for prefix, hop in routes:
        around = right_around(routes, prefix)
        if (around and around[-1][1] == hop) or right_unused(routes, prefix):
            spare.append(prefix)
    return spare


def spare_if_same_inside(routes: Routes) -> list[str]:
    """Believe that a route goes if a longer one inside says the same."""
    return [
        prefix
        for prefix, hop in routes
        if any(lies_in(other, prefix) and same == hop for other, same in routes)
        or right_unused(routes, prefix)
    ]


def spare_one_bit_up(routes: Routes) -> list[str]:
    """Believe that only a prefix of one bit less lies around."""
    spare = []
    for prefix, hop in routes:
        length = int(prefix.split("/")[1])
        around = right_around(routes, prefix)[:1]
        beside = [route for route in around if int(route[0].split("/")[1]) == length - 1]
        if (beside and beside[0][1] == hop) or right_unused(routes, prefix):
            spare.append(prefix)
    return spare


def spare_by_octets(routes: Routes) -> list[str]:
    """Believe that a prefix lies in another one if its text begins alike."""
    spare = []
    for prefix, hop in routes:
        around = []
        for other, same in routes:
            octets = other.split("/")[0].split(".")[: int(other.split("/")[1]) // 8]
            if other != prefix and prefix.startswith(".".join(octets)):
                around.append((int(other.split("/")[1]), same))
        shorter = [one for one in around if one[0] < int(prefix.split("/")[1])]
        if (shorter and max(shorter)[1] == hop) or right_unused(routes, prefix):
            spare.append(prefix)
    return spare


def spare_counting_twice(routes: Routes) -> list[str]:
    """Believe that sizes of longer prefixes add up, also of one inside the other."""
    spare = []
    for prefix, hop in routes:
        first, behind = right_range_of(prefix)
        inside = [right_range_of(other) for other, _ in routes if lies_in(other, prefix)]
        taken = sum(end - start for start, end in inside) >= behind - first
        if taken or right_same(routes, prefix, hop):
            spare.append(prefix)
    return spare


def spare_without_default(routes: Routes) -> list[str]:
    """Believe that the default route lies around nothing."""
    listed = [route for route in routes if not route[0].endswith("/0")]
    return [
        prefix
        for prefix, hop in routes
        if right_same(listed, prefix, hop) or right_unused(routes, prefix)
    ]


def spare_if_outermost(routes: Routes) -> list[str]:
    """Believe that no route is as good as one."""
    return [
        prefix
        for prefix, _ in routes
        if prefix in right_spare(routes) or not right_around(routes, prefix)
    ]


def spare_for_both_reasons(routes: Routes) -> list[str]:
    """Believe that a route goes only if it is not used and the one around says the same."""
    return [
        prefix
        for prefix, hop in routes
        if right_same(routes, prefix, hop) and right_unused(routes, prefix)
    ]


def spare_turned_round(routes: Routes) -> list[str]:
    """Believe that the routes that are needed are asked for."""
    return [prefix for prefix, _ in routes if prefix not in right_spare(routes)]


def spare_in_order_of_text(routes: Routes) -> list[str]:
    """Believe that the prefixes may be put in order."""
    return sorted(right_spare(routes))


def spare_whole_routes(routes: Routes) -> Routes:
    """Believe that routes are asked for, with their next hops."""
    return [route for route in routes if route[0] in right_spare(routes)]


def spare_first_alone(routes: Routes) -> list[str]:
    """Believe that the first one found is enough."""
    return right_spare(routes)[:1]


def spare_as_set(routes: Routes) -> set[str]:
    """Believe that the order of prefixes does not matter."""
    return set(right_spare(routes))


SPARE_ROUTES: dict[str, Callable[..., Any]] = {
    "covered-means-spare": spare_if_covered,
    "any-route-around-will-do": spare_if_any_around,
    "never-used-not-noticed": spare_unless_unused,
    "longer-ones-win-everywhere": spare_if_longer_inside,
    "withdraws-as-it-goes": spare_one_after_the_other,
    "same-next-hop-is-enough": spare_if_same_hop,
    "only-halves-use-it-up": spare_if_halves,
    "judged-from-the-end": spare_from_the_end,
    "widest-takes-over": spare_by_the_widest,
    "longer-one-takes-over": spare_if_same_inside,
    "only-one-bit-up": spare_one_bit_up,
    "text-prefix": spare_by_octets,
    "sizes-counted-twice": spare_counting_twice,
    "default-around-nothing": spare_without_default,
    "no-route-is-as-good": spare_if_outermost,
    "both-reasons-needed": spare_for_both_reasons,
    "needed-ones-listed": spare_turned_round,
    "put-in-order": spare_in_order_of_text,
    "routes-in-place-of-prefixes": spare_whole_routes,
    "first-one-alone": spare_first_alone,
    "a-set": spare_as_set,
}
