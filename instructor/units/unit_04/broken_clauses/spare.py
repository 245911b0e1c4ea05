"""Answers to 4.6 that break one clause of the contract and keep all others.

Most break it in one kind of list alone: where routes have a next hop in common, where longer ones
use one up, or both.
"""

__all__: list[str] = []

Routes = list[tuple[str, str]]


def ends(prefix: str) -> tuple[int, int]:
    """Return the first address of a prefix, and the first one behind it."""
    network, length = prefix.split("/")
    first = int.from_bytes(bytes(int(part) for part in network.split(".")), "big")
    return first, first + 2 ** (32 - int(length))


def size(prefix: str) -> int:
    """Return how many addresses a prefix has."""
    first, behind = ends(prefix)
    return behind - first


def inside(routes: Routes, prefix: str) -> Routes:
    """Return the routes inside a prefix."""
    first, behind = ends(prefix)
    return [
        route for route in routes
        if route[0] != prefix and first <= ends(route[0])[0] and ends(route[0])[1] <= behind
    ]  # fmt: skip


def around(routes: Routes, prefix: str) -> Routes:
    """Return the routes around a prefix, the next one first."""
    found = [route for route in routes if (prefix, "") in inside([(prefix, "")], route[0])]
    return sorted(found, key=lambda route: size(route[0]))


def is_unused(routes: Routes, prefix: str) -> bool:
    """Tell whether longer prefixes leave nothing of a prefix."""
    longer = inside(routes, prefix)
    widest = [one for one, _ in longer if not around(longer, one)]
    return sum(map(size, widest)) == size(prefix)


def is_same(routes: Routes, prefix: str, hop: str) -> bool:
    """Tell whether the next route around has the same next hop."""
    found = around(routes, prefix)
    return bool(found) and found[0][1] == hop


def right_spare(routes: Routes) -> list[str]:
    """Return what is right."""
    return [one for one, hop in routes if is_same(routes, one, hop) or is_unused(routes, one)]


def kind_of(routes: Routes) -> str:
    """Return which kind of list it is."""
    shared = len({hop for _, hop in routes}) < len(routes)
    unused = any(is_unused(routes, prefix) for prefix, _ in routes)
    return "never" if not shared else "both" if unused else "same"


def spare_as_tuple(routes: Routes) -> tuple[str, ...]:
    """Return a tuple."""
    return tuple(right_spare(routes))


def spare_in_order(routes: Routes) -> list[str]:
    """Put the prefixes in order, if routes have next hops in common."""
    found = right_spare(routes)
    return sorted(found) if kind_of(routes) == "same" else found


def spare_if_any_around(routes: Routes) -> list[str]:
    """Look for the same next hop anywhere around."""
    return [
        one for one, hop in routes
        if (any(other == hop for _, other in around(routes, one))
        and (kind_of(routes) == "same" or is_same(routes, one, hop))) or is_unused(routes, one)
    ]  # fmt: skip


def spare_if_covered(routes: Routes) -> list[str]:
    """Withdraw what lies inside a single route and around none, whatever its next hop."""
    same = kind_of(routes) == "same"
    return [
        one for one, hop in routes
        if (same and len(around(routes, one)) == 1 and not inside(routes, one))
        or is_same(routes, one, hop) or is_unused(routes, one)
    ]  # fmt: skip


def spare_if_alone(routes: Routes) -> list[str]:
    """Withdraw a route with nothing around or inside, if another one has its next hop."""
    found = right_spare(routes)
    return [
        one for one, hop in routes
        if one in found
        or (not around(routes, one) and not inside(routes, one)
        and sum(other == hop for _, other in routes) > 1)
    ]  # fmt: skip


def spare_without_default(routes: Routes) -> list[str]:
    """Do not see the default route around others."""
    if kind_of(routes) != "same":
        return right_spare(routes)
    listed = [route for route in routes if not route[0].endswith("/0")]
    return [one for one, hop in routes if is_same(listed, one, hop)]


def spare_without_single(routes: Routes) -> list[str]:
    """Do not look at single addresses."""
    return [one for one in right_spare(routes) if not one.endswith("/32")]


def spare_without_halves(routes: Routes) -> list[str]:
    """Do not see that two halves use up a route, but the default one."""
    if kind_of(routes) != "never":
        return right_spare(routes)
    return [
        one for one in right_spare(routes)
        if one.endswith("/0") or not all(
            2 * size(other) == size(one) for other, _ in inside(routes, one)
        )
    ]  # fmt: skip


def spare_if_halves(routes: Routes) -> list[str]:
    """See only halves use up a route, but the default one."""
    if kind_of(routes) != "never":
        return right_spare(routes)
    return [
        one for one in right_spare(routes)
        if one.endswith("/0")
        or sum(2 * size(other) == size(one) for other, _ in inside(routes, one)) == 2
    ]  # fmt: skip


def spare_default_never(routes: Routes) -> list[str]:
    """Keep the default route, whatever uses it up."""
    if kind_of(routes) != "never":
        return right_spare(routes)
    return [one for one in right_spare(routes) if not one.endswith("/0")]


def spare_if_one_inside(routes: Routes) -> list[str]:
    """Withdraw a route with a single longer one inside."""
    found = right_spare(routes)
    if kind_of(routes) != "never":
        return found
    return [one for one, _ in routes if one in found or len(inside(routes, one)) == 1]


def spare_counting_twice(routes: Routes) -> list[str]:
    """Add up the sizes of all longer ones, also of one inside the other."""
    found = right_spare(routes)
    if kind_of(routes) != "never":
        return found
    return [
        one for one, _ in routes
        if one in found or sum(size(other) for other, _ in inside(routes, one)) >= size(one)
    ]  # fmt: skip


def spare_by_both_ends(routes: Routes) -> list[str]:
    """Look at the first and the last address of each prefix alone."""
    found = right_spare(routes)
    if kind_of(routes) != "never":
        return found
    spare = []
    for one, _ in routes:
        taken = [ends(other) for other, _ in inside(routes, one)]
        first, behind = ends(one)
        low = any(start == first for start, _ in taken)
        if one in found or (low and any(end == behind for _, end in taken)):
            spare.append(one)
    return spare


def spare_as_it_goes(routes: Routes) -> list[str]:
    """Take each route away before the next one is looked at."""
    left, found = list(routes), []
    for one, hop in routes:
        if is_same(left, one, hop) or is_unused(left, one):
            left.remove((one, hop))
            found.append(one)
    return found


def spare_not_below_unused(routes: Routes) -> list[str]:
    """Keep a route that is used up, if one inside it is used up too and has the same next hop."""
    return [
        one for one, hop in routes
        if is_same(routes, one, hop) or (is_unused(routes, one) and not any(
            same == hop and is_unused(routes, other) for other, same in inside(routes, one)
        ))
    ]  # fmt: skip
