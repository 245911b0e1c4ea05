"""A router with a routing protocol in it: the messages go in frames of their own on its links.

To whoever calls it, it is a router as any: `receive`, `tick`, `next_tick_s`. So the very same
object runs in a simulated network and between real kernels. Frames with the ether type `ROUTING`
are for the protocol, all others are for the router inside. What the protocol knows is mirrored into
the router's table (`course_lib.routing.mirror`).

The intervals of the standards are long to wait for, 30 s and more. So the clock that the protocol
sees runs `PACE` times as fast; what is sent and when in its own seconds stays as it is.
"""

__all__ = [
    "PACE",
    "ROUTING",
    "WAYS",
    "Neighbour",
    "SpeakingRouter",
    "speaking_recipe",
    "speaking_router",
]

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from course_lib.ferry.own_process import MakeProcess, ProcessSpeaker
from course_lib.forwarding.router import Router
from course_lib.headers.ethernet import ETHERNET_OCTETS, EthernetHeader
from course_lib.ip.neighbours import BROADCAST
from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.live.carrying.recipes import SourceRecipe
from course_lib.live.speaking_routers.link_watch import LinkWatch
from course_lib.live.speaking_routers.message_octets import MessageError, message_from, octets_of
from course_lib.prefixes.prefix import Prefix
from course_lib.routing.distance_vector import DistanceVector
from course_lib.routing.link_state import LinkState
from course_lib.routing.mirror import Mirror
from course_lib.routing.protocol import Outgoing, RoutingProtocol

ROUTING = 0x88B5  # for experiments on one's own network: IEEE Std 802 (number from memory)
DISTANCE_VECTOR, LINK_STATE, OWN = WAYS = ("distance vector", "link state", "own process")
PACE = 10.0
_SIGN_OF_LIFE = b""


class Neighbour(NamedTuple):
    """The router at the other end of a link."""

    name: str
    address: int


class _Table:
    """The router's table, in the form that a `Mirror` writes."""

    def __init__(self, router: Router) -> None:
        self._router, self.withdraw = router, router.withdraw_route

    def insert(self, prefix: Prefix, hop: tuple[str, int]) -> None:
        self._router.add_route(prefix, hop[1], hop[0])


class SpeakingRouter:
    """A router of the library with a protocol; links have the names of their interfaces."""

    def __init__(
        self,
        router: Router,
        protocol: RoutingProtocol[Prefix],
        neighbours: Mapping[str, Neighbour],
    ) -> None:
        """Take the neighbours by interface; on other interfaces nobody speaks."""
        self.router, self.protocol, self.adjacent = router, protocol, dict(neighbours)
        self.unread = 0  # frames for the protocol that were no message
        self._watch, self._has_begun = LinkWatch(neighbours), False
        self._mirror = Mirror[Prefix, tuple[str, int]](_Table(router))
        self._own = {interface.prefix for interface in router.interfaces.values()}

    def __getattr__(self, name: str) -> Any:
        """Be like the router inside for whoever reads or steers it."""
        return getattr(self.router, name)

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Take a message in, or hand the frame to the router."""
        if frame[12:ETHERNET_OCTETS] != ROUTING.to_bytes(2, "big"):
            return list(self.router.receive(now_s, interface, frame))
        if interface not in self.adjacent or not self._has_begun:
            return []
        frames = []
        if self._watch.heard(now_s, interface):
            frames += self._ask("link_up", now_s, interface)
        length = int.from_bytes(frame[ETHERNET_OCTETS : ETHERNET_OCTETS + 2], "big")
        if length:
            octets = frame[ETHERNET_OCTETS + 2 : ETHERNET_OCTETS + 2 + length]
            try:
                message = message_from(octets)
            except MessageError:
                self.unread += 1
                return frames
            frames += self._ask("receive", now_s, message, interface)
        self._install()
        return frames

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Send signs of life, give up silent links, and let protocol and router do their work."""
        frames = []
        if not self._has_begun:
            self._has_begun = True
            frames += self._ask("start", now_s)
            for link in self.adjacent:  # until it is heard
                frames += self._ask("link_down", now_s, link)
        if self._watch.signs_are_due(now_s):
            frames += [self._frame(link, _SIGN_OF_LIFE) for link in self.adjacent]
        for link in self._watch.silent(now_s):
            frames += self._ask("link_down", now_s, link)
        if now_s >= self.protocol.next_tick_s() / PACE:
            frames += self._ask("tick", now_s)
        self._install()
        return [*frames, *self.router.tick(now_s)]

    def next_tick_s(self) -> float:
        """Return when something is due next."""
        if not self._has_begun:
            return 0.0
        protocol_s = self.protocol.next_tick_s() / PACE
        return min(protocol_s, self._watch.next_s(), self.router.next_tick_s())

    def _ask(self, method: str, now_s: float, *arguments: object) -> list[OutgoingFrame]:
        """Call the protocol in its own time; return its messages as frames."""
        own_s = now_s * PACE
        if method == "tick":
            own_s = max(own_s, self.protocol.next_tick_s())  # rounding must not make it too early
        messages: list[Outgoing] = getattr(self.protocol, method)(own_s, *arguments)
        return [self._frame(link, octets_of(message)) for link, message in messages]

    def _frame(self, link: str, octets: bytes) -> OutgoingFrame:
        source = self.router.interfaces[link].hardware_address
        header = EthernetHeader(destination=BROADCAST, source=source, ether_type=ROUTING)
        return OutgoingFrame(link, header.build() + len(octets).to_bytes(2, "big") + octets)

    def _install(self) -> None:
        """Bring the router's table in line; networks of its own interfaces are left alone."""
        wanted = {}
        for prefix, route in self.protocol.routes().items():
            if route.next_hops and prefix not in self._own:
                link = min(route.next_hops).link
                wanted[prefix] = link, self.adjacent[link].address
        if wanted != self._mirror.installed():
            self._mirror.follow(wanted)


def speaking_router(
    name: str,
    interfaces: Sequence[Interface],
    neighbours: Mapping[str, tuple[str, int]],
    way: str,
    make_process: MakeProcess | None = None,
) -> SpeakingRouter:
    """Make a router that speaks one of the `WAYS`; for an own process give what makes it.

    make_process: a function as exercise 7.6 has it.
    """
    links = {link: Neighbour(*neighbour) for link, neighbour in neighbours.items()}
    networks = [interface.prefix for interface in interfaces]
    costs, own = dict.fromkeys(links, 1), dict.fromkeys(networks, 1)
    protocol: Any
    if way == OWN:
        if make_process is None:
            raise ValueError("an own process needs the function that makes it")
        names = {link: neighbour.name for link, neighbour in links.items()}
        protocol = ProcessSpeaker(make_process, name, names, networks)
    elif way in WAYS:
        protocol = {DISTANCE_VECTOR: DistanceVector, LINK_STATE: LinkState}[way](name, costs, own)
    else:
        raise ValueError(f"there is no way {way!r}; there are {', '.join(WAYS)}")
    return SpeakingRouter(Router(name, interfaces), protocol, links)


def speaking_recipe(
    name: str, neighbours: Mapping[str, Neighbour], way: str, process_source: str = ""
) -> SourceRecipe:
    """Return the recipe of such a router.

    process_source: for an own process, text that defines `new_process` (exercise 7.6).
    """
    made_by = ", new_process" if way == OWN else ""
    plain = {link: tuple(neighbour) for link, neighbour in neighbours.items()}
    source = (
        "from course_lib.live.speaking_routers.speaking_router import speaking_router\n"
        "def make_router(interfaces):\n"
        f"    return speaking_router({name!r}, interfaces, {plain!r}, {way!r}{made_by})\n"
    )
    return SourceRecipe(source, "make_router", before=process_source)
