"""Routing protocols on a network: their messages on its wires, their routes in its routers.

    routing = RoutingMessages(network)
    for name, router in network.routers.items():
        links = dict.fromkeys(routing.links_of(name), 1)
        own = dict.fromkeys(routing.own_prefixes(name), 1)
        routing.attach(name, DistanceVector(name, links, own), router)
    routing.start()
    network.run_until(60)

* A link of a protocol has the name of the wire, and its neighbour the name of the place there.
* Messages are Python values, as everywhere in `course_lib.routing`, and not octets. So they travel
  *beside* the frames: each takes as long as a frame of 100 octets and the delay of the wire, is
  lost with its loss rate or with a cut, but neither waits for frames nor makes them wait. Their
  chances come from a generator of their own, so the frames fare the same with and without routing.
* Whoever changes a message after sending it changes it under way as well. The protocols of this
  course send immutable values.
* When a wire is cut or mended, the protocols at both ends are told at once.
* What a protocol knows is mirrored into the router (`course_lib.routing.mirror`) a moment after it
  has heard something, so that a burst of news is worked out once. RFC 8405 tells how real routers
  do that; the 50 ms here are our choice. See `installer` for what is mirrored.

Real routers: messages in packets of their own with the precedence "internetwork control" (RFC 791,
section 3.1), and several equally good next hops used at the same time.
"""

__all__ = ["RoutingMessages"]

import random
from collections import defaultdict
from collections.abc import Callable, Hashable
from functools import partial
from typing import Any

from course_lib.network.careful_calls import Guard
from course_lib.network.event_clock import Turn
from course_lib.network.records import Record, What
from course_lib.network.routes.installer import Gateway, RouteInstaller, RouteTaker
from course_lib.network.simulation import Network
from course_lib.network.stations import Station
from course_lib.network.wires import End, NetworkError
from course_lib.prefixes.prefix import Prefix
from course_lib.routing.protocol import NextHop, Outgoing, RoutingProtocol

MESSAGE_OCTETS = 100  # what a message takes on the wire, whatever is in it
INSTALL_AFTER_S = 0.05
INSTALL_ORDER = 1_000_000_000  # of all that is due at one time, installing comes last


class RoutingMessages:
    """All routing protocols of one network.

    Three routers in a row. The last wire is cut, and Sandpiper with the network behind it is gone.
    Nobody triggers updates, and the one who speaks first believes that the other still gets there:

    >>> from course_lib.forwarding import Router
    >>> from course_lib.network import build_network, links_for_documentation
    >>> from course_lib.routing.distance_vector import DistanceVector, Settings, SplitHorizon
    >>> from course_lib.routing.loops import find_loop
    >>> links = links_for_documentation([("Plover", "Curlew"), ("Curlew", "Sandpiper")])
    >>> network = build_network(links, Router)
    >>> routing, speakers = RoutingMessages(network), {}
    >>> settings = Settings(SplitHorizon.OFF, triggered_updates=False)
    >>> for name in network.routers:
    ...     own = {"quay": 1} if name == "Sandpiper" else {}
    ...     costs = dict.fromkeys(routing.links_of(name), 1)
    ...     speakers[name] = DistanceVector(name, costs, own, settings)
    ...     routing.attach(name, speakers[name])
    >>> routing.start()
    >>> network.at(100, lambda: network.cut("Curlew - Sandpiper"))
    >>> for time_s in (99, 130, 160, 190, 220):
    ...     network.run_until(time_s)
    ...     metrics = [speakers[name].table()["quay"].metric for name in ("Plover", "Curlew")]
    ...     print(time_s, metrics, find_loop(routing.next_hops("quay")))
    99 [3, 2] None
    130 [5, 4] ('Plover', 'Curlew')
    160 [7, 6] ('Plover', 'Curlew')
    190 [9, 8] ('Plover', 'Curlew')
    220 [11, 10] ('Plover', 'Curlew')
    """

    def __init__(self, network: Network, *, install_after_s: float = INSTALL_AFTER_S) -> None:
        """Take a network that is built; wires that are added later are not seen."""
        self._network, self._install_after_s = network, install_after_s
        self._stations: dict[str, Station[Outgoing]] = {}
        self._installers: dict[str, RouteInstaller] = {}
        self._will_install: set[str] = set()
        self._ways: dict[str, dict[str, tuple[End, End]]] = defaultdict(dict)
        for name, wire in network.wires.items():
            for mine, other in (wire.ends, wire.ends[::-1]):
                self._ways[mine.place][name] = mine, other  # our end of the wire, and the other one
        self._random = {
            end: random.Random(f"{network.seed} messages {wire.name} {end.place}")
            for wire in network.wires.values()
            for end in wire.ends
        }
        self._cuts = dict.fromkeys(network.wires, 0)
        network.when_a_wire_changes.append(self._wire_changed)

    def links_of(self, place: str) -> dict[str, str]:
        """Return, for each wire that leads to another router, the name of that router."""
        ways = self._ways[place].items()
        return {w: other.place for w, (_, other) in ways if other.place in self._network.routers}

    def own_prefixes(self, place: str) -> list[Prefix]:
        """Return the prefixes of the interfaces of `place` that are wired."""
        ways = self._ways[place].values()
        return [self._network.plan.interface(mine).prefix for mine, _ in ways]

    def attach(
        self, place: str, protocol: RoutingProtocol[Any], router: RouteTaker | None = None
    ) -> None:
        """Let a protocol speak at `place` and write into the table of `router`.

        Without a router it only speaks; its destinations may then be any values, as in the example.
        """
        if place not in self._network.routers:
            raise NetworkError(f"there is no router {place!r} at which a protocol could speak")
        if place in self._stations:
            raise NetworkError(f"a routing protocol speaks at {place!r} already")
        network, order = self._network, len(self._stations)
        guard = Guard(place, "routing protocol", protocol, network.limit, network.note)
        read, send = partial(_read_messages, self._ways[place]), partial(self._send_all, place)
        self._stations[place] = Station(network.clock, order, guard, read, send)
        if router is not None:
            interface = network.plan.interface
            gateways = {
                NextHop(link, other.place): Gateway(mine.interface, interface(other).address)
                for link, (mine, other) in self._ways[place].items()
                if other.place in network.routers
            }
            own = frozenset(self.own_prefixes(place))
            self._installers[place] = RouteInstaller(guard, router, gateways, own)

    def start(self) -> None:
        """Let all protocols begin, as soon as the network runs on."""
        for place in self._stations:
            self.tell(place, "start")

    def tell(
        self, place: str, method: str, *arguments: object, about: Callable[[], str] = str
    ) -> None:
        """Call a method of the protocol at `place` as soon as the network runs on.

        It gets the time and the `arguments`; the messages that it answers with are sent. So
        `tell("Reed Pier", "detach", prefix)` takes a network away from Reed Pier.

        about: is asked, for messages only, what the call was for.
        """
        call = partial(self._stations[place].call, method, *arguments, about=about)
        self._network.clock.at(self._network.now_s, call)

    def installed(self, place: str) -> dict[Prefix, Gateway]:
        """Return what was mirrored into the router at `place`."""
        return self._installers[place].installed()

    def next_hops(self, destination: Hashable) -> dict[str, frozenset[str]]:
        """Return which router sends packets for `destination` to which, as `loops` wants it.

        Left out are routers that do not know the destination, and those whose own it is.
        """
        found = {}
        for place, station in self._stations.items():
            protocol: RoutingProtocol[Any] = station.guard.thing  # type: ignore[assignment]
            route = protocol.routes().get(destination)
            if route is not None and route.next_hops:
                found[place] = frozenset(h.router for h in route.next_hops if h.router is not None)
        return found

    # --- talking

    def _send_all(self, place: str, messages: list[Outgoing]) -> None:
        """Send what a protocol answered, and plan when its routes are taken over."""
        for link, message in messages:
            self._send(place, link, message)
        is_stopped = self._stations[place].guard.is_stopped
        if place in self._installers and place not in self._will_install and not is_stopped:
            self._will_install.add(place)
            when_s = self._network.now_s + self._install_after_s
            install = partial(self._install, place)
            order = INSTALL_ORDER + list(self._installers).index(place)
            self._network.clock.at(when_s, install, Turn.TIMER, order)

    def _send(self, place: str, link: str, message: object) -> None:
        network, wire = self._network, self._network.wires[link]
        mine, other = self._ways[place][link]
        self._note(mine, What.MESSAGE_SENT, link, message)
        direction = network.direction(mine)
        is_lost = self._random[mine].random() < wire.loss_rate
        if direction is None or direction.is_cut or is_lost or other.place not in self._stations:
            self._note(mine, What.MESSAGE_LOST, link, message)
            return
        takes_s = direction.time_to_send_s(MESSAGE_OCTETS) + wire.delay_s
        arrive = partial(self._arrive, mine, other, link, message, self._cuts[link], takes_s)
        network.clock.at(network.now_s + takes_s, arrive, Turn.ARRIVAL)

    def _arrive(
        self, origin: End, target: End, link: str, message: object, cuts: int, took_s: float
    ) -> None:
        if cuts != self._cuts[link]:  # cut since it was sent, even if it is mended by now
            self._note(origin, What.MESSAGE_LOST, link, message)
            return
        self._note(target, What.MESSAGE_DELIVERED, link, message, took_s)
        station = self._stations[target.place]
        station.call("receive", message, link, about=lambda: f"link {link!r}")

    def _wire_changed(self, name: str, works: bool) -> None:
        self._cuts[name] += not works
        method = "link_up" if works else "link_down"
        for end in self._network.wires[name].ends:
            if end.place in self._stations:
                self.tell(end.place, method, name, about=lambda: f"link {name!r}")

    def _install(self, place: str) -> None:
        self._will_install.discard(place)
        self._installers[place].follow(self._network.now_s)

    def _note(
        self, end: End, what: What, wire: str, message: object, delay_s: float | None = None
    ) -> None:
        now_s, kind = self._network.now_s, type(message).__name__
        record = Record(now_s, end.place, what, end.interface, wire, delay_s=delay_s, text=kind)
        self._network.note(record)


def _read_messages(
    links: dict[str, tuple[End, End]], answer: object
) -> tuple[list[Outgoing], list[str]]:
    """Return what can be sent of an answer, and what is wrong with the rest (see `Guard.ask`)."""
    if not isinstance(answer, list | tuple):
        return [], [f" gave {type(answer).__name__}, must be a list of Outgoing"]
    good, problems = [], []
    for entry in answer:
        if not isinstance(entry, tuple) or len(entry) != 2 or not isinstance(entry[0], str):
            problems.append(" gave an entry that is not Outgoing")
        elif entry[0] not in links:
            known = ", ".join(map(repr, links))
            problems.append(f": no wire {entry[0]!r} leads here, only {known}")
        else:
            good.append(Outgoing(*entry))
    return good, problems
