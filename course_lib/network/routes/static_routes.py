"""Routes as if written by hand: fill them in, and find those that lead nowhere.

`fill_in_routes` gives every router a route to the prefix of every wire along a shortest path, as a
careful person with the whole map would. Nothing follows when a wire is cut; that is what routing
protocols are for (`routing_messages`).

`dead_ends` reads the tables of all routers and tells which routes no packet can follow.
"""

__all__ = ["dead_ends", "fill_in_routes"]

from collections.abc import Mapping
from typing import Any, cast

from course_lib.network.routes.installer import RouteTaker
from course_lib.network.simulation import Network
from course_lib.network.wires import End, NetworkError, Wire
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import format_address
from course_lib.routing.shortest_path_tree import shortest_paths


def fill_in_routes(network: Network, costs: Mapping[str, int] | None = None) -> None:
    """Add routes to all routers; `costs` are those of wires, by name, 1 unless given.

    Of several shortest paths the one over the first neighbour in the alphabet is taken. Raises
    `NetworkError` for a router that has no `add_route`.

    >>> from course_lib.forwarding import Router
    >>> from course_lib.network import build_network, links_for_documentation
    >>> pairs = [("Plover", "Curlew"), ("Curlew", "Sandpiper"), ("Sandpiper", "Plover")]
    >>> network = build_network(links_for_documentation(pairs), Router)
    >>> fill_in_routes(network, {"Curlew - Sandpiper": 5})
    >>> for prefix, (interface, _) in network.routers["Curlew"].routes().items():
    ...     print(prefix, interface)
    192.0.2.0/31 to Plover
    192.0.2.2/31 to Sandpiper
    192.0.2.4/31 to Plover
    """
    wires = [wire for wire in network.wires.values() if _routers_of(network, wire)]
    cost_of = {wire.name: (costs or {}).get(wire.name, 1) for wire in wires}
    between, interface = _cheapest_between(network, wires, cost_of), network.plan.interface
    graph: dict[str, dict[str, int]] = {name: {} for name in network.routers}
    for (one, other), wire in between.items():
        graph[one][other] = cost_of[wire.name]
    for name, router in network.routers.items():
        if not hasattr(router, "add_route"):
            raise NetworkError(
                f"router {name!r} has no add_route(prefix, next_hop, interface), so routes cannot "
                "be filled in; give it such a method, or fill in all routes yourself"
            )
        paths = shortest_paths(graph, name)
        for wire in wires:
            nearest = min(
                (end for end in _routers_of(network, wire) if end in paths),
                key=lambda end: paths[end].cost,
                default=name,
            )
            if nearest != name:
                first = between[name, min(paths[nearest].first_hops)].ends
                here, there = first if first[0].place == name else first[::-1]
                gateway, prefix = interface(there).address, interface(wire.ends[0]).prefix
                cast(RouteTaker, router).add_route(prefix, gateway, here.interface)


def dead_ends(network: Network) -> list[str]:
    """Return a sentence for every route that leads nowhere, empty if all is well.

    Only routers that tell their `routes()` are looked at, as `course_lib.forwarding.Router` does.
    """
    found = []
    for name, router in network.routers.items():
        routes: Mapping[Prefix, Any] = router.routes() if hasattr(router, "routes") else {}
        for prefix, (interface, next_hop) in routes.items():
            problem = _problem(network, End(name, interface), prefix, next_hop)
            if problem is not None:
                found.append(f"{name!r}: the route to {prefix} leads nowhere: {problem}")
    return found


def _problem(network: Network, end: End, prefix: Prefix, next_hop: int | None) -> str | None:
    """Return why nobody would take a packet that is sent like this, None if somebody would."""
    direction = network.direction(end)
    if direction is None:
        return f"there is no wire at interface {end.interface!r}"
    if next_hop is None:
        here = network.plan.interface(end).prefix
        inside = here.covers(prefix)
        return None if inside else f"on interface {end.interface!r} all addresses are in {here}"
    owner, text = network.plan.owner(next_hop), format_address(next_hop)
    if owner is None:
        return f"nobody has the address {text}"
    if owner != direction.target:
        return f"{text} is {owner}, and wire {direction.wire.name!r} ends at {direction.target}"
    if owner.place in network.hosts:
        return f"{text} is the host {owner.place!r}, and hosts forward nothing"
    return None


def _routers_of(network: Network, wire: Wire) -> list[str]:
    return [end.place for end in wire.ends if end.place in network.routers]


def _cheapest_between(
    network: Network, wires: list[Wire], cost_of: Mapping[str, int]
) -> dict[tuple[str, str], Wire]:
    """Return the cheapest wire from each router to each of its neighbours, in both directions."""
    between: dict[tuple[str, str], Wire] = {}
    for wire in wires:
        routers = _routers_of(network, wire)
        if len(routers) == 2:
            for one, other in (routers, routers[::-1]):
                known = between.get((one, other))
                if known is None or cost_of[wire.name] < cost_of[known.name]:
                    between[one, other] = wire
    return between
