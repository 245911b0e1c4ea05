"""A router of the room: it finds routes by the room's protocol, and forwards as its owner wrote.

The protocol is the library's, so that all of the room speak one. What is done with a packet is the
owner's affair: `make(interfaces, routes)` makes a router that knows these routes, as `make_mine` of
unit 12 does. Such a router need not be able to change its mind. So it is made anew whenever routes
have changed, before the next frame. What its neighbours have said of their hardware addresses it
hears first (`heard_neighbours`); packets that waited for such an address are lost.
"""

__all__ = ["ASTRAY", "CARRIED", "RemadeRouter", "RoomRouter", "room_recipe", "room_router"]

from collections.abc import Callable, Mapping, Sequence
from typing import Any, cast

from course_lib.forwarding.router import Router
from course_lib.forwarding.stages import ForwardingEntry
from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.joining.piers.heard_neighbours import HeardNeighbours
from course_lib.live.carrying.recipes import Recipe, SourceRecipe
from course_lib.live.speaking_routers.speaking_router import (
    Neighbour,
    SpeakingRouter,
    speaking_router,
)
from course_lib.prefixes.prefix import Prefix
from course_lib.routing.protocol import RoutingProtocol

CARRIED, ASTRAY = "carried for others", "sent astray"
_DESTINATION = slice(ETHERNET_OCTETS + 16, ETHERNET_OCTETS + 20)  # RFC 791, section 3.1
_MOST_WAYS = 1000
_IPV4, _TYPE = ETHER_TYPE_IPV4.to_bytes(2, "big"), slice(ETHERNET_OCTETS - 2, ETHERNET_OCTETS)
Route = tuple[Prefix, int | None, str]
MakeRouter = Callable[[list[Interface], list[Route]], Any]


class RemadeRouter:
    """A router of somebody's own, made anew when its routes have changed."""

    def __init__(self, name: str, interfaces: Sequence[Interface], make: MakeRouter) -> None:
        self.name, self.interfaces = name, {each.name: each for each in interfaces}
        self._make, self._routes = make, dict[Prefix, ForwardingEntry]()
        self._router, self._has_changed = make(list(interfaces), []), False
        self._counted: dict[str, int] = {}  # by the routers that were before
        self._heard, self._now_s = HeardNeighbours(self.interfaces), 0.0

    def receive(self, now_s: float, interface: str, frame: bytes) -> Sequence[OutgoingFrame]:
        """Hand a frame to the router."""
        self._now_s = now_s
        current = self._current()
        self._heard.note(now_s, interface, frame)
        sent: Sequence[OutgoingFrame] = current.receive(now_s, interface, frame)
        return sent

    def tick(self, now_s: float) -> Sequence[OutgoingFrame]:
        """Let the router do what is due."""
        self._now_s = now_s
        sent: Sequence[OutgoingFrame] = self._current().tick(now_s)
        return sent

    def next_tick_s(self) -> float:
        """Return when the router wants its tick."""
        return float(self._current().next_tick_s())

    def add_route(self, prefix: Prefix, next_hop: int | None, interface: str) -> None:
        """Add a route, or give its prefix another way."""
        self._routes[prefix] = ForwardingEntry(interface, next_hop)
        self._has_changed = True

    def withdraw_route(self, prefix: Prefix) -> None:
        """Take a route away."""
        self._has_changed = self._routes.pop(prefix, None) is not None or self._has_changed

    def routes(self) -> dict[Prefix, ForwardingEntry]:
        """Return what it was told, and the blocks of its own links."""
        own = {each.prefix: ForwardingEntry(name, None) for name, each in self.interfaces.items()}
        return self._routes | own

    @property
    def counters(self) -> Mapping[str, int]:
        """What became of packets that came in, over all routers that it has been."""
        now = self._told_counters()
        return {name: self._counted.get(name, 0) + now.get(name, 0)
                for name in {**self._counted, **now}}  # fmt: skip

    @property
    def router(self) -> Any:
        """The router that it is now."""
        return self._current()

    def _current(self) -> Any:
        if self._has_changed:
            self._counted = dict(self.counters)
            routes = [
                (prefix, entry.next_hop, entry.interface) for prefix, entry in self._routes.items()
            ]
            self._router = self._make(list(self.interfaces.values()), routes)
            self._has_changed = False
            for interface, frame in self._heard.fresh(self._now_s):
                self._router.receive(
                    self._now_s, interface, frame
                )  # what it answers was said before
        return self._router

    def _told_counters(self) -> dict[str, int]:
        told = getattr(self._router, "counters", {})
        return dict(told) if isinstance(told, Mapping) else {}


class RoomRouter(SpeakingRouter):
    """A router that speaks the room's protocol, and counts what it carries for others.

    That is what leaves by a line when something has come in by a line. The few packets that it says
    itself there, as errors, are counted with it. What leaves by another line than the routes say
    has gone astray: then the router inside does not as its table tells it.
    """

    carried = astray = 0

    def __init__(
        self,
        router: Router,
        protocol: RoutingProtocol[Prefix],
        neighbours: Mapping[str, Neighbour],
    ) -> None:
        """Take the same as a `SpeakingRouter`."""
        super().__init__(router, protocol, neighbours)
        self._ways = dict[bytes, str | None]()  # what `_way_to` found

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Take in a frame, and count what it lets go."""
        sent = super().receive(now_s, interface, frame)
        if interface in self.adjacent:
            for each in sent:
                self._count(each)
        return sent

    def _count(self, sent: object) -> None:
        """Count what the router inside lets go; what no line can carry is for others to name."""
        match sent:
            case (str(line), bytes(frame)) if line in self.adjacent and frame[_TYPE] == _IPV4:
                self.carried += 1
                self.astray += self._way_to(frame[_DESTINATION]) != line

    def _way_to(self, destination: bytes) -> str | None:
        """Return by which interface the routes send packets for an address; None: by none."""
        if destination not in self._ways:
            address = int.from_bytes(destination, "big")
            routes = {each.prefix: name for name, each in self.router.interfaces.items()}
            routes |= {prefix: link for prefix, (link, _) in self._mirror.installed().items()}
            fitting = [prefix for prefix in routes if prefix.contains(address)]
            longest = max(fitting, key=lambda prefix: prefix.length, default=None)
            self._ways[destination] = None if longest is None else routes[longest]
        return self._ways[destination]

    def _install(self) -> None:
        before = self._mirror.installed()
        super()._install()
        if self._mirror.installed() != before or len(self._ways) > _MOST_WAYS:
            self._ways.clear()

    @property
    def counters(self) -> Mapping[str, int]:
        """What the router inside has counted, and what was carried for others."""
        told = getattr(self.router, "counters", {})
        named = told.by_name() if hasattr(told, "by_name") else dict(told)
        return {**named, CARRIED: self.carried, ASTRAY: self.astray}


def room_router(
    name: str,
    interfaces: Sequence[Interface],
    neighbours: Mapping[str, tuple[str, int]],
    way: str,
    make: MakeRouter | None = None,
) -> RoomRouter:
    """Make a router that speaks one of the ways; without `make`, the library's forwards.

    neighbours: name and address of the router at the other end, by interface.
    """
    speaking = speaking_router(name, interfaces, neighbours, way)
    if make is None:
        return RoomRouter(speaking.router, speaking.protocol, speaking.adjacent)
    own = RemadeRouter(name, interfaces, make)  # it has all that is asked of the library's here
    return RoomRouter(cast(Router, own), speaking.protocol, speaking.adjacent)


def room_recipe(
    name: str,
    neighbours: Mapping[str, tuple[str, int]],
    way: str,
    own: Recipe | None = None,
) -> SourceRecipe:
    """Return the recipe of such a router; `own` makes what forwards, as `my_recipe` gives it."""
    source, make = "", ""
    if isinstance(own, SourceRecipe):
        source, make = own.text, f", {own.function}"
    plain = {link: tuple(neighbour) for link, neighbour in neighbours.items()}
    return SourceRecipe(
        "from course_lib.joining.piers.own_router import room_router\n"
        "def make_room_router(interfaces):\n"
        f"    return room_router({name!r}, interfaces, {plain!r}, {way!r}{make})\n",
        "make_room_router",
        before=source,
    )
