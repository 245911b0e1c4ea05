"""Misconceptions about when a packet leaves the fast path: exercise 6.6."""

__all__ = ["WHY_SLOW"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_06.misconceptions.right_path import (
    Routes,
    right_all,
    right_destination,
    right_length,
    right_matches,
    right_questions,
    right_reason,
    right_way,
)


def slow_by_time_to_live_first(header: bytes, *tables: Any) -> str | None:
    """Believe that the time to live is looked at before anything else, by everybody."""
    return right_reason(right_all(header, *tables), "time to live exceeded")


def slow_by_time_to_live_before_the_way(header: bytes, *tables: Any) -> str | None:
    """Believe that the time to live is lowered before the way is looked up."""
    return right_reason(right_all(header, *tables), "for the router", "time to live exceeded")


def slow_by_time_to_live_zero(header: bytes, *tables: Any) -> str | None:
    """Believe that a packet with time to live 1 can go on."""
    return right_reason(right_all(header, *tables) | {"time to live exceeded": header[8] == 0})


def slow_by_first_route(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the first match wins."""
    matching = right_matches(routes, right_destination(header))
    way = matching[0][1:] if matching else None
    return right_reason(right_questions(header, own, way, mtus, known))


def slow_by_far_neighbour(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the hardware address of the destination is needed."""
    unknown = right_destination(header) not in known
    return right_reason(
        right_all(header, own, routes, mtus, known) | {"unknown neighbour": unknown}
    )


def slow_by_routers_alone(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that whoever is on the link needs no hardware address."""
    next_hop, _ = right_way(routes, right_destination(header)) or (None, "")
    questions = right_all(header, own, routes, mtus, known)
    return right_reason(questions | {"unknown neighbour": bool(next_hop) and next_hop not in known})


def slow_by_none_as_an_address(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the next hop None is looked up like an address."""
    next_hop, _ = right_way(routes, right_destination(header)) or (None, "")
    questions = right_all(header, own, routes, mtus, known)
    return right_reason(questions | {"unknown neighbour": next_hop not in known})


def slow_by_frame_size(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the limit of a link counts the Ethernet header."""
    roomless = {name: mtu - 14 for name, mtu in mtus.items()}
    return right_reason(right_all(header, own, routes, roomless, known))


def slow_by_payload_size(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the limit of a link is one for the payload."""
    octets = 4 * (header[0] & 15)
    roomier = {name: mtu + octets for name, mtu in mtus.items()}
    return right_reason(right_all(header, own, routes, roomier, known))


def slow_by_exact_size(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that a datagram has to be smaller than the limit."""
    smaller = {name: mtu - 1 for name, mtu in mtus.items()}
    return right_reason(right_all(header, own, routes, smaller, known))


def slow_by_smallest_link(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the smallest limit of all links counts."""
    smallest = dict.fromkeys(mtus, min(mtus.values()))
    return right_reason(right_all(header, own, routes, smallest, known))


def slow_by_options_first(header: bytes, *tables: Any) -> str | None:
    """Believe that options send a packet away before its destination is looked at."""
    return right_reason(right_all(header, *tables), "options")


def slow_without_options(header: bytes, *tables: Any) -> str | None:
    """Believe that options concern the destination alone."""
    return right_reason(right_all(header, *tables) | {"options": False})


def slow_by_size_before_options(header: bytes, *tables: Any) -> str | None:
    """Believe that the size is looked at before the options."""
    first = ("for the router", "no route", "time to live exceeded", "too large")
    return right_reason(right_all(header, *tables), *first)


def slow_by_last_route(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that a later route replaces an earlier one."""
    matching = right_matches(routes, right_destination(header))
    way = matching[-1][1:] if matching else None
    return right_reason(right_questions(header, own, way, mtus, known))


def slow_by_shortest_route(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the shortest prefix wins, since it covers most."""
    matching = right_matches(routes, right_destination(header))
    way = min(matching, key=right_length)[1:] if matching else None
    return right_reason(right_questions(header, own, way, mtus, known))


def slow_without_default(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that a prefix of no bits covers nothing."""
    longer = [route for route in routes if right_length(route) > 0]
    return right_reason(right_all(header, own, longer, mtus, known))


def slow_by_any_route(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that what no prefix covers goes by the first route."""
    covered = routes if right_matches(routes, right_destination(header)) else []
    way = right_way(covered, right_destination(header)) or (*routes, ("", None, ""))[0][1:]
    return right_reason(
        right_questions(header, own, way, mtus | {"": 1 << 16}, known) | {"no route": not routes}
    )


def slow_by_source(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that octet 12 begins the destination."""
    turned = header[:12] + header[16:20] + header[12:16] + header[20:]
    return right_reason(right_all(turned, own, routes, mtus, known))


def slow_by_first_own(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that a router has one address."""
    return right_reason(right_all(header, own[:1], routes, mtus, known))


def slow_without_own(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that nothing is for the router itself."""
    return right_reason(right_all(header, [], routes, mtus, known))


def slow_by_two_lives(header: bytes, *tables: Any) -> str | None:
    """Believe that a packet has to leave with more than 1."""
    return right_reason(right_all(header, *tables) | {"time to live exceeded": header[8] <= 2})


def slow_by_options_before_lives(header: bytes, *tables: Any) -> str | None:
    """Believe that options are looked at before the time to live."""
    return right_reason(right_all(header, *tables), "for the router", "no route", "options")


def slow_by_one_word_of_options(header: bytes, *tables: Any) -> str | None:
    """Believe that a header with options has 6 words."""
    return right_reason(right_all(header, *tables) | {"options": header[0] & 15 == 6})


def slow_by_length_of_header(header: bytes, *tables: Any) -> str | None:
    """Believe that what lies there is the whole datagram."""
    return right_reason(right_all(header, *tables) | {"too large": False})


def slow_by_neighbours_before_size(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> str | None:
    """Believe that the neighbour is looked for before the size is known."""
    first = ("for the router", "no route", "time to live exceeded", "options", "unknown neighbour")
    return right_reason(right_all(header, own, routes, mtus, known), *first)


def slow_without_neighbours(header: bytes, *tables: Any) -> str | None:
    """Believe that a route is enough to send."""
    return right_reason(right_all(header, *tables) | {"unknown neighbour": False})


def slow_by_last_reason(header: bytes, *tables: Any) -> str | None:
    """Believe that a later reason replaces an earlier one."""
    questions = right_all(header, *tables)
    if questions["for the router"] or questions["no route"]:
        return right_reason(questions)
    return next((reason for reason in [*questions][::-1] if questions[reason]), None)


def slow_or_empty(header: bytes, *tables: Any) -> str | None:
    """Believe that an empty text says that nothing stands in the way."""
    return right_reason(right_all(header, *tables)) or ""


def slow_by_options_while_it_lives(header: bytes, *tables: Any) -> str | None:
    """Believe that options come first, in a packet that has not lived too long."""
    return right_reason(right_all(header, *tables), *(["options"] if header[8] > 1 else []))


def slow_in_other_words(header: bytes, *tables: Any) -> str | None:
    """Believe that a reason may be told in any words."""
    reason = right_reason(right_all(header, *tables))
    return reason and reason.upper()


WHY_SLOW: dict[str, Callable[..., Any]] = {
    "time-to-live-first": slow_by_time_to_live_first,
    "asks-for-the-destination": slow_by_far_neighbour,
    "time-to-live-before-the-way": slow_by_time_to_live_before_the_way,
    "frame-header-counted": slow_by_frame_size,
    "first-route-wins": slow_by_first_route,
    "options-pass-by": slow_without_options,
    "forwards-the-last-hop": slow_by_time_to_live_zero,
    "limit-itself-too-large": slow_by_exact_size,
    "hosts-on-the-link-are-known": slow_by_routers_alone,
    "none-looked-up-as-an-address": slow_by_none_as_an_address,
    "payload-alone-counted": slow_by_payload_size,
    "options-first": slow_by_options_first,
    "smallest-link-counts": slow_by_smallest_link,
    "size-before-options": slow_by_size_before_options,
    "last-route-wins": slow_by_last_route,
    "shortest-prefix-wins": slow_by_shortest_route,
    "no-bits-cover-nothing": slow_without_default,
    "first-route-for-the-rest": slow_by_any_route,
    "source-looked-up": slow_by_source,
    "one-address-of-its-own": slow_by_first_own,
    "nothing-for-the-router": slow_without_own,
    "two-is-too-few": slow_by_two_lives,
    "options-before-time-to-live": slow_by_options_before_lives,
    "size-not-looked-at": slow_by_length_of_header,
    "neighbour-before-size": slow_by_neighbours_before_size,
    "neighbours-not-looked-for": slow_without_neighbours,
    "last-reason-named": slow_by_last_reason,
    "empty-for-none": slow_or_empty,
}
