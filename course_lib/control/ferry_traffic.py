"""A small network with traffic that never ends: the ferry's, with one router to be steered.

All other routers are the library's. The streams come in bursts, so that queues are seen to fill
and to empty; the line to the Plover is slowed down to a rate at which they just find room.
"""

__all__ = ["FLOWS", "PLACE", "ferry_with_traffic"]

from functools import partial
from typing import NamedTuple, cast

from course_lib.ferry.network import ferry_network
from course_lib.forwarding.router import Router
from course_lib.ip.packets import Interface
from course_lib.live.carrying.recipes import Recipe, make_router
from course_lib.network.careful_calls import FrameHandler
from course_lib.network.hosts.tasks import Stream
from course_lib.network.simulation import Network
from course_lib.network.wires import End
from course_lib.prefixes.prefix import Prefix

PLACE = "North Pier"
SLOW_BITS_PER_S, SLOW_QUEUE = 1e6, 20
ROUND = 10_000  # datagrams; then the next round begins, since 16 bits number the packets


class _Flow(NamedTuple):
    """Streams that begin together, so that their datagrams come in bursts."""

    source: str
    destination: str
    streams: int
    interval_s: float
    payload_octets: int = 472  # 500 with UDP and IP headers


FLOWS = (
    _Flow("Ticket Office", "Plover Bridge Screen", 6, 0.05),
    _Flow("Weather Mast", "Plover Bridge Screen", 3, 0.16),
    _Flow("Weather Mast", "Ticket Office", 2, 0.05),
    _Flow("Ticket Office", "Sandpiper Bridge Screen", 2, 0.04),
    _Flow("Ticket Office", "Timetable Board", 1, 0.025),
)


def ferry_with_traffic(recipe: Recipe, place: str = PLACE) -> Network:
    """Return the network with a router of this recipe at `place`, and its hosts at work.

    Raises what `make_router` raises for a recipe from which nothing comes.
    """
    ways = {name: _routes(router) for name, router in ferry_network().routers.items()}
    if place not in ways:
        raise ValueError(f"there is no router at {place!r}; there are {', '.join(ways)}")
    beyond = tuple(route for route in ways[place] if route[1] is not None)
    # Routes of its own links are the router's own business: they come with its interfaces.
    own = partial(_made, recipe._replace(routes=(*recipe.routes, *beyond)))
    network = ferry_network(routers={place: own}, with_routes=False)
    for name, router in network.routers.items():
        if name != place:
            for route in ways[name]:
                cast(Router, router).add_route(*route)
    _slow_down(network, End(place, "to Plover"))
    for flow in FLOWS:
        _begin_round(network, flow)
    return network


def _begin_round(network: Network, flow: _Flow) -> None:
    """Let a host send its datagrams, and after them again."""
    target = network.hosts[flow.destination].interface.address
    for _ in range(flow.streams):
        stream = Stream(
            target, count=ROUND, interval_s=flow.interval_s, payload_octets=flow.payload_octets
        )
        network.hosts[flow.source].begin(network.now_s, stream)
    next_s = network.now_s + ROUND * flow.interval_s
    network.at(next_s, partial(_begin_round, network, flow))


def _made(recipe: Recipe, name: str, interfaces: list[Interface]) -> FrameHandler:
    return make_router(recipe, name, interfaces)


def _routes(router: FrameHandler) -> tuple[tuple[Prefix, int | None, str], ...]:
    routes = cast(Router, router).routes()
    return tuple((prefix, entry.next_hop, entry.interface) for prefix, entry in routes.items())


def _slow_down(network: Network, end: End) -> None:
    direction = network.direction(end)
    if direction is not None:
        direction.wire = direction.wire._replace(
            rate_bits_per_s=SLOW_BITS_PER_S, buffer_frames=SLOW_QUEUE
        )
