"""Misconceptions about saying the same with fewer routes: exercise 3.5."""

__all__ = ["AGGREGATE_ROUTES"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_03.misconceptions.right_parts import right_split, right_text

Routes = list[tuple[str, str]]
Place = tuple[int, int]  # the number of a prefix, and its length
Table = dict[Place, str]


def right_table(routes: Routes) -> Table:
    """Return next hops by number and length."""
    return {right_split(prefix): hop for prefix, hop in routes}


def right_routes(table: Table) -> Routes:
    """Write a table as routes, in order."""
    return [(f"{right_text(place[0])}/{place[1]}", hop) for place, hop in sorted(table.items())]


def right_whole(one: Place) -> tuple[Place, Place]:
    """Return the other half of a prefix, and the prefix of which both are halves."""
    number, length = one
    bit = 2 ** (32 - length)
    return (number ^ bit, length), (number & ~bit, length - 1)


def right_joined(table: Table) -> Table:
    """Join halves, the longest first."""
    joined = dict(table)
    for length in range(32, 0, -1):
        for one in sorted(joined):
            other, whole = right_whole(one) if one[1] == length else (one, one)
            if one < other and one in joined and joined.get(other) == joined[one]:
                joined[whole] = joined.pop(one)
                del joined[other]
    return joined


def right_around(table: Table, inner: Place) -> list[Place]:
    """Return the prefixes around another one, the longest first."""
    number, length = inner
    around = [
        one for one in table if one[1] < length and one[0] >> 32 - one[1] == number >> 32 - one[1]
    ]
    return sorted(around, key=lambda one: -one[1])


def right_dropped(table: Table) -> Table:
    """Drop what the next one around says as well."""
    return {
        place: hop
        for place, hop in table.items()
        if [table[one] for one in right_around(table, place)][:1] != [hop]
    }


def right_aggregated(routes: Routes) -> Routes:
    """Return what is right."""
    return right_routes(right_dropped(right_joined(right_table(routes))))


def join_any_neighbours(routes: Routes) -> Routes:
    """Believe that any two prefixes side by side make one."""
    table = right_table(routes)
    for length in range(32, 0, -1):
        for number, long in sorted(table):
            one, other = (number, length), (number + 2 ** (32 - length), length)
            if long == length and one in table and table.get(other) == table[one]:
                table[number, length - 1] = table.pop(one)
                del table[other]
    return right_routes(right_dropped(table))


def join_whatever_hops(routes: Routes) -> Routes:
    """Believe that halves become one whatever their next hops are."""
    return right_routes(right_dropped(joined_whatever_hops(right_table(routes))))


def joined_whatever_hops(table: Table) -> Table:
    """Join halves; the lower one has the say."""
    joined = dict(table)
    for length in range(32, 0, -1):
        for one in sorted(joined):
            other, whole = right_whole(one) if one[1] == length else (one, one)
            if one < other and one in joined and other in joined:
                joined[whole] = joined.pop(one)
                del joined[other]
    return joined


def drop_what_is_covered(routes: Routes) -> Routes:
    """Believe that a route inside another one is not needed."""
    table = right_joined(right_table(routes))
    return right_routes({
        place: hop for place, hop in table.items() if not right_around(table, place)
    })  # fmt: skip


def look_at_no_hops(routes: Routes) -> Routes:
    """Believe that only prefixes count."""
    table = joined_whatever_hops(right_table(routes))
    return right_routes({
        place: hop for place, hop in table.items() if not right_around(table, place)
    })  # fmt: skip


def drop_if_any_around(routes: Routes) -> Routes:
    """Believe that any route around with the same next hop will do."""
    table = right_joined(right_table(routes))
    return right_routes({
        place: hop
        for place, hop in table.items()
        if hop not in [table[one] for one in right_around(table, place)]
    })  # fmt: skip


def drop_by_the_widest(routes: Routes) -> Routes:
    """Believe that the widest route around takes over."""
    table = right_joined(right_table(routes))
    return right_routes({
        place: hop
        for place, hop in table.items()
        if [table[one] for one in right_around(table, place)][-1:] != [hop]
    })  # fmt: skip


def drop_the_wider(routes: Routes) -> Routes:
    """Believe that of two with the same next hop the longer one is enough."""
    table = right_joined(right_table(routes))
    spare = {
        one for place, hop in table.items() for one in right_around(table, place)[:1]
        if table[one] == hop
    }  # fmt: skip
    return right_routes({place: hop for place, hop in table.items() if place not in spare})


def drop_by_octets(routes: Routes) -> Routes:
    """Believe that only whole octets say what lies around what."""
    table = right_joined(right_table(routes))
    left = {}
    for (number, length), hop in table.items():
        around = [
            one for one in sorted(table, key=lambda one: -one[1])
            if one[1] < length and one[0] >> 32 - one[1] // 8 * 8 == number >> 32 - one[1] // 8 * 8
        ]  # fmt: skip
        if [table[one] for one in around][:1] != [hop]:
            left[number, length] = hop
    return right_routes(left)


def join_once(routes: Routes) -> Routes:
    """Believe that one round of joining is enough."""
    table = right_table(routes)
    joined, wholes = dict(table), {}
    for one, hop in table.items():
        other, whole = right_whole(one) if one[1] else (one, one)
        if one < other and table.get(other) == hop:
            del joined[one], joined[other]
            wholes[whole] = hop
    return right_routes(right_dropped(joined | wholes))


def never_drop(routes: Routes) -> Routes:
    """Believe that joining halves is all there is to do."""
    return right_routes(right_joined(right_table(routes)))


def never_join(routes: Routes) -> Routes:
    """Believe that dropping what is covered is all there is to do."""
    return right_routes(right_dropped(right_table(routes)))


def whole_keeps_its_hop(routes: Routes) -> Routes:
    """Believe that a route for the whole goes before its halves."""
    joined = right_table(routes)
    for length in range(32, 0, -1):
        for one in sorted(joined):
            other, whole = right_whole(one) if one[1] == length else (one, one)
            if one < other and one in joined and joined.get(other) == joined[one]:
                joined[whole] = joined.get(whole, joined.pop(one))
                joined.pop(one, None)
                del joined[other]
    return right_routes(right_dropped(joined))


def whole_is_taken(routes: Routes) -> Routes:
    """Believe that halves cannot become one where the whole has a route."""
    joined = right_table(routes)
    for length in range(32, 0, -1):
        for one in sorted(joined):
            other, whole = right_whole(one) if one[1] == length else (one, one)
            same = one < other and one in joined and joined.get(other) == joined[one]
            if same and whole not in joined:
                joined[whole] = joined.pop(one)
                del joined[other]
    return right_routes(right_dropped(joined))


def one_block_each(routes: Routes) -> Routes:
    """Believe that a next hop needs one prefix, the longest that holds all of its routes."""
    table: Table = {}
    for hop in dict.fromkeys(hop for _, hop in routes):
        places = [place for place, one in right_table(routes).items() if one == hop]
        length = min(long for _, long in places)
        while len({number >> 32 - length for number, _ in places}) > 1:
            length -= 1
        table[places[0][0] >> 32 - length << 32 - length, length] = hop
    return right_routes(table)


def sorted_as_text(routes: Routes) -> Routes:
    """Believe that addresses may be put in order as texts."""
    return sorted(right_aggregated(routes))


def longer_first(routes: Routes) -> Routes:
    """Believe that of two with the same address the longer prefix stands first."""

    def order(route: tuple[str, str]) -> Place:
        number, length = right_split(route[0])
        return number, -length

    return sorted(right_aggregated(routes), key=order)


def by_length(routes: Routes) -> Routes:
    """Believe that routes are put in order by their lengths."""

    def order(route: tuple[str, str]) -> Place:
        number, length = right_split(route[0])
        return length, number

    return sorted(right_aggregated(routes), key=order)


def prefixes_alone(routes: Routes) -> list[str]:
    """Believe that prefixes are asked for, without next hops."""
    return [prefix for prefix, _ in right_aggregated(routes)]


def as_dictionary(routes: Routes) -> dict[str, str]:
    """Believe that a dictionary is as good as a list of routes."""
    return dict(right_aggregated(routes))


AGGREGATE_ROUTES: dict[str, Callable[..., Any]] = {
    "any-neighbours-join": join_any_neighbours,
    "halves-join-whatever-the-hops": join_whatever_hops,
    "covered-means-gone": drop_what_is_covered,
    "next-hops-ignored": look_at_no_hops,
    "any-route-around-will-do": drop_if_any_around,
    "widest-takes-over": drop_by_the_widest,
    "longer-one-is-enough": drop_the_wider,
    "cuts-only-at-octets": drop_by_octets,
    "joined-once": join_once,
    "never-drops": never_drop,
    "never-joins": never_join,
    "whole-keeps-its-hop": whole_keeps_its_hop,
    "whole-is-taken": whole_is_taken,
    "one-block-for-each-hop": one_block_each,
    "sorted-as-text": sorted_as_text,
    "longer-prefix-first": longer_first,
    "ordered-by-length": by_length,
    "prefixes-alone": prefixes_alone,
    "a-dictionary": as_dictionary,
}
