"""The network at one's own pier, by what the room has told: interfaces, neighbours, the host."""

__all__ = [
    "ECHOES",
    "ECHO_EVERY_S",
    "FOLLOWED_FOR_S",
    "HOST",
    "OpenedPier",
    "OwnPier",
    "own_pier",
    "report_of",
]

from collections.abc import Iterable
from typing import NamedTuple

from course_lib.ip.packets import Interface
from course_lib.joining.messages import InterfaceTold, LineReport, Placed, Report, RouteTold
from course_lib.joining.piers.line_terms import LineBook
from course_lib.joining.piers.own_router import ASTRAY, CARRIED, room_recipe
from course_lib.links.over_udp.udp_socket import open_udp_socket
from course_lib.live.carrying.recipes import Recipe, SourceRecipe
from course_lib.live.outer_links.outer_link import OuterAccess, OuterLink
from course_lib.live.private_network.plan import LiveHost, LiveLink, LivePlan, LiveRouter
from course_lib.network.wires import End
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import format_address, parse_address
from course_lib.steering.states import RouterState

HOST = "host"
ECHOES, ECHO_EVERY_S = 3, 0.4  # the first may be held until neighbours are known
FOLLOWED_FOR_S = 4.0
MOST_ROUTES = 400


class OwnPier(NamedTuple):
    """A pier. interfaces: of the router, the first one to the host; lines: by their numbers."""

    name: str
    interfaces: tuple[Interface, ...]
    host: Interface
    lines: dict[int, Interface]
    recipe: SourceRecipe
    neighbours: dict[str, str]  # whose pier is at the other end, by interface

    @property
    def gateway(self) -> int:
        """The router's address at its host."""
        return self.interfaces[0].address


def own_pier(placed: Placed, own: Recipe | None = None) -> OwnPier:
    """Return the pier that was told; `own` makes what forwards, the library's router if None."""
    lines = {line.number: _interface(line.interface) for line in placed.lines}
    neighbours = {
        line.interface.name: (line.neighbour, parse_address(line.neighbour_address))
        for line in placed.lines
    }
    return OwnPier(
        placed.pier,
        (_interface(placed.router), *lines.values()),
        _interface(placed.host),
        lines,
        room_recipe(placed.pier, neighbours, placed.way, own),
        {interface: name for interface, (name, _) in neighbours.items()},
    )


class OpenedPier:
    """A pier and the sockets of its lines: what a network there is made from, of either kind.

    ports: of the sockets, by the numbers of the lines. book: what the room says of each.
    """

    def __init__(self, placed: Placed, secret: bytes, own: Recipe | None = None) -> None:
        self.pier = own_pier(placed, own)
        self._sockets = {number: open_udp_socket() for number in self.pier.lines}
        self.ports = {number: one.getsockname()[1] for number, one in self._sockets.items()}
        self.book = LineBook(placed, self.ports)
        self.outside = OuterAccess(secret, self._sockets)
        self.plan = _plan_of(self.pier, self.book)

    def close(self) -> None:
        """Close the sockets."""
        for one in self._sockets.values():
            one.close()


def _plan_of(pier: OwnPier, book: LineBook) -> LivePlan:
    """Return the plan of its network: a host, a router, and links that lead out."""
    to_host = End(pier.name, pier.interfaces[0].name), End(HOST, pier.host.name)
    outer = tuple(OuterLink(End(pier.name, interface.name), book.terms(number))
                  for number, interface in pier.lines.items())  # fmt: skip
    return LivePlan(
        (LiveHost(HOST, pier.host, pier.gateway),),
        (LiveRouter(pier.name, pier.interfaces, pier.recipe),),
        (LiveLink(to_host),),
        outer,
    )


def report_of(
    state: RouterState | None,
    lines: Iterable[LineReport],
    complaints: Iterable[str] = (),
) -> Report:
    """Return what the room is told of a router.

    state: None if it has ended.
    """
    if state is None:
        return Report(False, 0, 0, tuple(lines), (), tuple(complaints))
    routes = tuple(
        RouteTold(
            str(route.prefix),
            None if route.next_hop is None else format_address(route.next_hop),
            route.interface,
        )
        for route in state.routes[:MOST_ROUTES]
    )
    counters = state.counters
    told = (*complaints, *state.complaints)
    carried, astray = (counters.get(name, 0) for name in (CARRIED, ASTRAY))
    return Report(True, carried, astray, tuple(lines), routes, told)


def _interface(told: InterfaceTold) -> Interface:
    return Interface(
        told.name, bytes.fromhex(told.hardware_address), parse_address(told.address),
        parse_prefix(told.prefix), told.mtu,
    )  # fmt: skip
