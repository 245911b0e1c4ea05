"""Routing protocols on a network whose routers forward nothing: only what they say counts.

`talk(costs, make_router)` makes the network. A router can also be switched off, and a wire cut
without anybody being told.
"""

import math
from collections.abc import Callable, Collection, Hashable, Mapping
from typing import Any, Generic, TypeVar

from course_lib.network import RoutingMessages, build_network, links_for_documentation, mistakes
from course_lib.network.simulation import Network
from course_lib.routing.protocol import Route, RoutingProtocol, link_between
from networks.network_stand_ins import Script, interface

RouterT = TypeVar("RouterT", bound=RoutingProtocol[Any])

CALLS = ("start", "receive", "tick", "next_tick_s", "link_down", "link_up", "routes")
OTHER_CALLS = ("attach", "detach", "set_cost")
LONE_ADDRESS = 0xC6336401  # 198.51.100.1


class Silent:
    """A routing protocol that says nothing; single calls can be replaced."""

    def __init__(self, **calls: Callable[..., object]) -> None:
        self.heard: list[tuple[object, ...]] = []
        for name, call in calls.items():
            setattr(self, name, call)

    def start(self, now_s: float) -> list[object]:
        return []

    def receive(self, now_s: float, message: object, link: str) -> list[object]:
        self.heard.append((now_s, message, link))
        return []

    def tick(self, now_s: float) -> list[object]:
        return []

    def next_tick_s(self) -> float:
        return math.inf

    def link_down(self, now_s: float, link: str) -> list[object]:
        self.heard.append((now_s, "down", link))
        return []

    def link_up(self, now_s: float, link: str) -> list[object]:
        self.heard.append((now_s, "up", link))
        return []

    def routes(self) -> dict[Hashable, Route]:
        return {}


class Seat:
    """Where a protocol speaks. It can be left, and taken by another one."""

    def __init__(self, protocol: object) -> None:
        self.take(protocol)

    def take(self, protocol: object) -> None:
        """Hand on all calls to `protocol` from now on."""
        for call in (*CALLS, *OTHER_CALLS):
            if hasattr(protocol, call):
                setattr(self, call, getattr(protocol, call))


class Talk(Generic[RouterT]):
    """The protocols by name, and the network on which they talk."""

    def __init__(self, network: Network, routers: Mapping[str, RouterT]) -> None:
        self.network, self.routers = network, dict(routers)
        self.routing = RoutingMessages(network)
        self._seats = {name: Seat(router) for name, router in routers.items()}
        self._cut_by_stop: dict[str, list[str]] = {}
        for name, seat in self._seats.items():
            self.routing.attach(name, seat)  # type: ignore[arg-type]
        self.routing.start()
        self.run_until(0)

    @property
    def now_s(self) -> float:
        return self.network.now_s

    def run_until(self, time_s: float) -> None:
        """Run on; a protocol that made a mistake fails the test."""
        self.network.run_until(time_s)
        assert mistakes(self.network.records) == []

    def do(self, name: str, method: str, *arguments: object) -> None:
        """Call a method of router `name` now, and send what it answers."""
        self.routing.tell(name, method, *arguments)
        self.run_until(self.now_s)

    def cut(self, link: str, *, noticed: bool = True) -> None:
        """Cut a wire. `noticed`: both ends are told at once."""
        if noticed:
            self.network.cut(link)
        else:
            for end in self.network.wires[link].ends:
                self.network.direction(end).cut()
        self.run_until(self.now_s)

    def mend(self, link: str) -> None:
        self.network.mend(link)
        self.run_until(self.now_s)

    def stop(self, name: str, *, noticed: bool = True) -> None:
        """Switch a router off. `noticed`: its neighbours see their links go down at once."""
        self._seats[name].take(Silent())
        links = self.routing.links_of(name)
        self._cut_by_stop[name] = [link for link in links if noticed and not self._is_cut(link)]
        for link in self._cut_by_stop[name]:
            self.cut(link)

    def start(self, name: str, router: RouterT) -> None:
        """Switch a stopped router on again; it has forgotten everything, hence a new one."""
        self.routers[name] = router
        self._seats[name].take(router)
        self.do(name, "start")
        for link in self._cut_by_stop.pop(name):
            self.mend(link)
        for link in filter(self._is_cut, self.routing.links_of(name)):
            self.do(name, "link_down", link)

    def _is_cut(self, link: str) -> bool:
        return self.network.direction(self.network.wires[link].ends[0]).is_cut

    def next_hops(self, destination: Hashable) -> dict[str, Collection[str]]:
        """Return who sends packets for `destination` to whom, without those that are off."""
        return dict(self.routing.next_hops(destination))


def talk(
    costs: Mapping[str, Mapping[str, int]],
    make_router: Callable[[str, dict[str, int]], RouterT],
    *,
    delay_s: float = 0.01,
    loss_rate: float = 0.0,
    seed: int = 0,
) -> Talk[RouterT]:
    """Let routers talk, in the order of `costs`, which holds the cost of each arc between them.

    `make_router` is called with a name and the cost of sending on each of its links.
    """
    arcs = [(one, other) for one in costs for other in costs[one]]
    pairs = [arc for n, arc in enumerate(arcs) if arc[::-1] not in arcs[:n]]
    links = [
        link._replace(loss_rate=loss_rate)
        for link in links_for_documentation(pairs, delay_s=delay_s)
    ]
    network = build_network(links, lambda name, own: Script(), seed=seed, call_limit_s=None)
    for number, name in enumerate(costs.keys() - network.routers.keys()):
        network.add_router(name, Script(), [interface("quay", LONE_ADDRESS + 2 * number, 1)])
    routers = {
        name: make_router(name, {link_between(name, other): cost for other, cost in arcs.items()})
        for name, arcs in costs.items()
    }
    return Talk(network, routers)
