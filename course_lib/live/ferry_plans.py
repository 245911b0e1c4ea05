"""The ferry company's network as plans for a private network: a pier, three, or the whole fleet.

    with PrivateNetwork(pier_plan()) as network: ...

`plan_like` makes such a plan of any network that `course_lib.network` can simulate: the same names,
addresses and routes, with a kernel for each host and a process for each router.
"""

__all__ = ["fleet_plan", "pier_plan", "plan_like", "three_router_plan"]

from collections.abc import Callable
from typing import cast

from course_lib.ferry.network import HOSTS, RADIO, ferry_links
from course_lib.forwarding.router import Router
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.live.carrying.recipes import LibraryRecipe, Recipe, Route
from course_lib.live.private_network.plan import LiveHost, LiveLink, LivePlan, LiveRouter
from course_lib.network.building import Link, build_network
from course_lib.network.routes.static_routes import fill_in_routes
from course_lib.network.simulation import Network
from course_lib.network.wires import Wire
from course_lib.prefixes.prefix import parse_prefix

MakeRecipe = Callable[[str, tuple[Route, ...]], Recipe]

_PIER = (
    Link(("North Pier", "Ticket Office"), parse_prefix("198.51.100.0/27")),
    Link(("North Pier", "Timetable Board"), parse_prefix("198.51.100.64/27")),
)
_MORE_BOATS = tuple(  # that are out in summer only: each in radio reach of two piers
    Link((pier, boat), parse_prefix(prefix), *RADIO)
    for boat, reach in (
        ("Dunlin", (("North Pier", "192.0.2.18/31"), ("Lantern Pier", "192.0.2.20/31"))),
        ("Petrel", (("Reed Pier", "192.0.2.22/31"), ("Gull Rock", "192.0.2.24/31"))),
        ("Whimbrel", (("Lantern Pier", "192.0.2.26/31"), ("Reed Pier", "192.0.2.28/31"))),
    )
    for pier, prefix in reach
)


def pier_plan(
    recipe: Recipe | None = None,
    *,
    line: LineSettings = LineSettings(),  # noqa: B008 - an immutable value
    back: LineSettings = LineSettings(),  # noqa: B008
) -> LivePlan:
    """Return the smallest network: Ticket Office, North Pier with the router, Timetable Board.

    line: from North Pier to the Timetable Board; `back`: the other direction of that link. All
    other lines are as fast as the machine.

    >>> from course_lib.prefixes import format_address
    >>> for host in pier_plan().hosts:
    ...     print(host.name, format_address(host.interface.address))
    Ticket Office 198.51.100.2
    Timetable Board 198.51.100.66
    """
    network = build_network(_PIER, Router, hosts=("Ticket Office", "Timetable Board"))
    plan = plan_like(network, lambda name, routes: recipe or LibraryRecipe(routes), bare=True)
    office, board = plan.links
    return LivePlan(plan.hosts, plan.routers, (office, LiveLink(board.ends, line, back)))


def three_router_plan(
    make_recipe: MakeRecipe | None = None,
    *,
    slow: LineSettings = LineSettings(1e6, RADIO.delay_s, 20),  # noqa: B008 - an immutable value
) -> LivePlan:
    """Return North Pier with two of its neighbours, Plover and Gull Rock, and a host at each.

    make_recipe: as for `fleet_plan`. slow: the line from North Pier to the Plover.

    >>> [router.name for router in three_router_plan().routers]
    ['Gull Rock', 'North Pier', 'Plover']
    """
    places = {"North Pier", "Gull Rock", "Plover", "Ticket Office", "Weather Mast",
              "Plover Bridge Screen"}  # fmt: skip
    near = [link for link in ferry_links() if places.issuperset(link.ends)]
    network = build_network(near, Router, hosts=[host for host in HOSTS if host in places])
    fill_in_routes(network)
    plan = plan_like(network, make_recipe)
    links = (
        link._replace(there=slow) if link.name == "North Pier - Plover" else link
        for link in plan.links
    )
    return LivePlan(plan.hosts, plan.routers, tuple(links))


def fleet_plan(make_recipe: MakeRecipe | None = None) -> LivePlan:
    """Return the whole network in summer: four piers and six boats, ten routers, and six hosts.

    make_recipe: a recipe for each router, by its name and its shortest routes.

    >>> len(fleet_plan().routers), len(fleet_plan().hosts)
    (10, 6)
    """
    return plan_like(fleet_network(), make_recipe)


def fleet_network() -> Network:
    """Return the same network, simulated, with routes along shortest paths."""
    network = build_network([*ferry_links(), *_MORE_BOATS], Router, hosts=HOSTS)
    fill_in_routes(network)
    return network


def plan_like(
    network: Network, make_recipe: MakeRecipe | None = None, *, bare: bool = False
) -> LivePlan:
    """Return the plan of a network whose routers are the library's.

    make_recipe: as for `fleet_plan`; without it the library's router with the routes that it has.
    bare: lines as fast as the machine, in place of the rates, delays and buffers of the wires.
    """
    make = make_recipe or (lambda name, routes: LibraryRecipe(routes))
    hosts = (LiveHost(h.name, h.interface, h.gateway) for h in network.hosts.values())
    routers = []
    for name, router in network.routers.items():
        own = tuple(cast(Router, router).interfaces.values())
        linked = {interface.prefix for interface in own}
        routes = tuple(
            (prefix, entry.next_hop, entry.interface)
            for prefix, entry in cast(Router, router).routes().items()
            if prefix not in linked
        )
        routers.append(LiveRouter(name, own, make(name, routes)))
    links = []
    for wire in network.wires.values():
        line = LineSettings() if bare else _line(wire)
        links.append(LiveLink((wire.ends[0], wire.ends[1]), line, line))
    return LivePlan(tuple(hosts), tuple(routers), tuple(links))


def _line(wire: Wire) -> LineSettings:
    period = round(1 / wire.loss_rate) if wire.loss_rate else None
    return LineSettings(wire.rate_bits_per_s, wire.delay_s, wire.buffer_frames, period)
