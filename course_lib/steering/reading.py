"""Read the state of a router that is at hand: the library's, or one of somebody's own.

A router of somebody's own need not have anything of this. What it has is read with care: whatever
fails, or is of another kind, becomes a complaint, and the rest is told all the same.
"""

__all__ = ["MOST_COMPLAINTS", "read_state"]

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, TypeVar

from course_lib.forwarding.verdicts import name_of
from course_lib.ip.neighbours import BROADCAST
from course_lib.ip.packets import Interface
from course_lib.prefixes.prefix import Prefix
from course_lib.steering.lines import SteeredLine
from course_lib.steering.states import InterfaceState, NeighbourState, RouterState, RouteState

MOST_COMPLAINTS = 5  # the newest
MOST_LETTERS = 300

T = TypeVar("T")


def read_state(
    router: object,
    lines: Mapping[str, SteeredLine],
    now_s: float,
    *,
    name: str | None = None,
    interfaces: Sequence[Interface] = (),
    complaints: Iterable[str] = (),
) -> RouterState:
    """Return what a router tells.

    name, interfaces: where the router itself doesn't know them; the library's does.
    complaints: sentences of whoever runs the router, in front of its own.
    """
    told = list(complaints)

    def careful(what: str, read: Callable[[], tuple[T, ...]]) -> tuple[T, ...]:
        try:
            return read()
        except Exception as problem:
            told.append(f"its {what} cannot be read: {type(problem).__name__}: {problem}")
            return ()

    own = interfaces or tuple(getattr(router, "interfaces", {}).values())
    routes = careful("routes", lambda: _routes(router))
    neighbours = careful("neighbours", lambda: _neighbours(router, now_s))
    counters = careful("counters", lambda: tuple(_counters(router).items()))
    stages = careful("stages", lambda: tuple(map(name_of, getattr(router, "stages", ()))))
    told += careful("complaints", lambda: tuple(map(str, getattr(router, "complaints", ()))))
    return RouterState(
        name or str(getattr(router, "name", "router")),
        now_s,
        tuple(_interface(each, lines.get(each.name)) for each in own),
        routes,
        neighbours,
        dict(counters),
        stages,
        tuple(each[:MOST_LETTERS] for each in told[-MOST_COMPLAINTS:]),
    )


def _interface(interface: Interface, line: SteeredLine | None) -> InterfaceState:
    state = InterfaceState(interface.name, interface.address, interface.prefix.length)
    if line is None:
        return state
    books = line.books()
    return state._replace(
        is_up=line.is_up,
        received_frames=books.received_frames,
        received_octets=books.received_octets,
        sent_frames=books.sent_frames,
        sent_octets=books.sent_octets,
        waiting_packets=books.waiting_packets,
        dropped_packets=books.dropped_packets,
        lost_packets=books.lost_packets,
        rate_bits_per_s=line.rate_bits_per_s,
        delay_s=line.delay_s,
        queue_packets=line.queue_packets,
        loss_period=line.loss_period,
    )


def _routes(router: Any) -> tuple[RouteState, ...]:
    """Return the routes of a `routes()` that gives prefixes, each with an entry as ours are."""
    if not hasattr(router, "routes"):
        return ()
    found = []
    for prefix, entry in router.routes().items():
        if not isinstance(prefix, Prefix):
            raise TypeError(f"routes() gives {type(prefix).__name__}, must give Prefix")
        found.append(RouteState(prefix, entry.next_hop, entry.interface))
    return tuple(sorted(found))


def _neighbours(router: Any, now_s: float) -> tuple[NeighbourState, ...]:
    """Return whose hardware address is known, and will be forgotten: what was learnt."""
    return tuple(
        NeighbourState(interface, address, hardware_address)
        for interface, link in getattr(router, "neighbours", {}).items()
        for address, hardware_address in sorted(link.known(now_s).items())
        if hardware_address != BROADCAST
    )


def _counters(router: Any) -> dict[str, int]:
    """Return counters by their names: those of the library, or a mapping to numbers."""
    counters = getattr(router, "counters", {})
    named = counters.by_name() if hasattr(counters, "by_name") else dict(counters)
    return {str(name): int(number) for name, number in named.items() if _is_number(number)}


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and math.isfinite(value)
