"""A small stage on which routing protocols talk to each other.

It has a clock that jumps from event to event, wires with a delay and, if wanted, a loss rate, and
scenes: a wire is cut or mended, a router stops or starts. Nothing is left to chance: the same calls
give the same run. Of two events at the same time, messages go before timers, messages in the order
in which they were sent, timers in the order in which the routers were named.
"""

__all__ = ["MessageExchange", "Wire", "stage"]

import heapq
import math
import random
from collections.abc import Callable, Collection, Hashable, Iterable, Mapping
from typing import Any, Generic, NamedTuple, TypeVar

from course_lib.routing.protocol import Outgoing, RoutingProtocol, link_between
from course_lib.routing.shortest_paths import Graph, check_graph

RouterT = TypeVar("RouterT", bound=RoutingProtocol[Any])

MAX_EVENTS_AT_ONE_TIME = 100_000  # more is a protocol that answers itself without end


class Wire(NamedTuple):
    """A wire between two routers; both know it under the same name."""

    link: str
    ends: tuple[str, str]
    delay_s: float = 0.01


class _Delivery(NamedTuple):
    """A message under way. It is lost if its wire was cut after it was sent (`cuts` has grown)."""

    to: str
    link: str
    message: object
    cuts: int


class MessageExchange(Generic[RouterT]):
    """Routers, wires, and the time."""

    def __init__(
        self,
        routers: Mapping[str, RouterT],
        wires: Iterable[Wire],
        *,
        loss_rate: float = 0.0,
        seed: int = 0,
    ) -> None:
        """Put the routers on the stage; `start_all` makes them speak."""
        self.now_s = 0.0
        self.messages_sent = 0
        self.routers = dict(routers)
        self._wires: dict[str, Wire] = {}
        self._due_s = dict.fromkeys(self.routers, math.inf)
        self._cut: set[str] = set()
        self._stopped: set[str] = set()
        self._cuts: dict[str, int] = {}
        self._deliveries: list[tuple[float, int, _Delivery]] = []
        self._loss_rate = loss_rate
        self._random = random.Random(seed)
        for wire in wires:
            self._check_wire(wire)
            self._wires[wire.link], self._cuts[wire.link] = wire, 0

    def start_all(self) -> None:
        """Start every router."""
        for name, router in self.routers.items():
            self._send(name, router.start(self.now_s))

    def run_until(self, time_s: float) -> None:
        """Let everything happen that happens up to and including `time_s`."""
        if time_s < self.now_s:
            raise ValueError(f"it is {self.now_s} s already; time does not go back to {time_s} s")
        events, event_time_s = 0, -math.inf
        while (next_s := self._next_event_s()) <= time_s:
            events = events + 1 if next_s <= event_time_s else 0
            event_time_s = self.now_s = max(self.now_s, next_s)
            if events > MAX_EVENTS_AT_ONE_TIME:
                raise RuntimeError(f"no end of events at {self.now_s} s: is a timer always due?")
            self._one_event()
        self.now_s = time_s

    def cut(self, link: str, *, noticed: bool = True) -> None:
        """Cut a wire, and lose what is on it. `noticed`: both ends are told at once."""
        self._check_link(link)
        self._cut.add(link)
        self._cuts[link] += 1
        if noticed:
            self._tell(link, works=False)

    def mend(self, link: str) -> None:
        """Make a cut wire whole again."""
        self._check_link(link)
        self._cut.discard(link)
        self._tell(link, works=True)

    def stop(self, name: str, *, noticed: bool = True) -> None:
        """Switch a router off. `noticed`: its neighbours see their links go down at once."""
        self._stopped.add(name)
        for wire in self._wires_of(name):
            self._cuts[wire.link] += 1
            if noticed and wire.link not in self._cut:
                self._tell(wire.link, works=False)

    def start(self, name: str, router: RouterT) -> None:
        """Switch a stopped router on again; it has forgotten everything, hence a new object."""
        self._stopped.discard(name)
        self.routers[name] = router
        self._send(name, router.start(self.now_s))
        for wire in self._wires_of(name):
            other = wire.ends[wire.ends[0] == name]
            if wire.link in self._cut:
                self._send(name, router.link_down(self.now_s, wire.link))
            elif other not in self._stopped:
                self._send(other, self.routers[other].link_up(self.now_s, wire.link))

    def do(self, name: str, call: Callable[[float], Collection[Outgoing]]) -> None:
        """Call a method of router `name` with the time, and send what it answers."""
        self._send(name, call(self.now_s))

    def running(self) -> list[str]:
        """Return the routers that are switched on."""
        return [name for name in self.routers if name not in self._stopped]

    def next_hops(self, destination: Hashable) -> dict[str, frozenset[str]]:
        """Return who sends packets for `destination` to whom; owners of it are left out."""
        found = {}
        for name in self.running():
            route = self.routers[name].routes().get(destination)
            if route is not None and route.next_hops:
                found[name] = frozenset(h.router for h in route.next_hops if h.router is not None)
        return found

    def _check_link(self, link: str) -> None:
        if link not in self._wires:
            raise ValueError(f"there is no wire {link!r}, only {list(self._wires)}")

    def _check_wire(self, wire: Wire) -> None:
        one, other = wire.ends
        if wire.link in self._wires:
            raise ValueError(f"there are two wires {wire.link!r}")
        if one == other:
            raise ValueError(f"wire {wire.link!r} joins {one!r} to itself")
        for name in wire.ends:
            if name not in self.routers:
                raise ValueError(f"wire {wire.link!r} ends at {name!r}, which is no router here")

    def _wires_of(self, name: str) -> list[Wire]:
        return [wire for wire in self._wires.values() if name in wire.ends]

    def _tell(self, link: str, *, works: bool) -> None:
        """Tell the running routers at both ends whether the wire works."""
        for name in self._wires[link].ends:
            if name not in self._stopped:
                router = self.routers[name]
                notice = router.link_up if works else router.link_down
                self._send(name, notice(self.now_s, link))

    def _send(self, name: str, messages: Collection[Outgoing]) -> None:
        """Put messages of router `name` on their wires, and note when it has to be called next."""
        self._due_s[name] = self.routers[name].next_tick_s()
        for link, message in messages:
            wire = self._wires[link]
            self.messages_sent += 1
            if link in self._cut or self._random.random() < self._loss_rate:
                continue
            to = wire.ends[wire.ends[0] == name]
            delivery = _Delivery(to, link, message, self._cuts[link])
            due = (self.now_s + wire.delay_s, self.messages_sent, delivery)
            heapq.heappush(self._deliveries, due)

    def _next_event_s(self) -> float:
        delivery_s = self._deliveries[0][0] if self._deliveries else math.inf
        return min([delivery_s, *(self._due_s[name] for name in self.running())])

    def _one_event(self) -> None:
        if self._deliveries and self._deliveries[0][0] <= self.now_s:
            *_, (to, link, message, cuts) = heapq.heappop(self._deliveries)
            if to not in self._stopped and cuts == self._cuts[link]:
                self._send(to, self.routers[to].receive(self.now_s, message, link))
            return
        for name in self.running():
            if self._due_s[name] <= self.now_s:
                self._send(name, self.routers[name].tick(self.now_s))
                return


def stage(
    graph: Graph[str],
    make_router: Callable[[str, dict[str, int]], RouterT],
    *,
    delay_s: float = 0.01,
    loss_rate: float = 0.0,
    seed: int = 0,
) -> MessageExchange[RouterT]:
    """Return a stage for the routers of `graph`, with a wire for every pair of arcs.

    `make_router` is called with the router's name and the cost of sending on each of its links.
    Raises `ValueError` if an arc has none that leads back.
    """
    check_graph(graph)
    routers, wires = {}, {}
    for name, arcs in graph.items():
        for other in arcs:
            if name not in graph.get(other, {}):
                raise ValueError(
                    f"the link from {name!r} to {other!r} has no cost for the way back"
                )
            link = link_between(name, other)
            wires[link] = Wire(link, (name, other), delay_s)
        costs = {link_between(name, other): cost for other, cost in arcs.items()}
        routers[name] = make_router(name, costs)
    return MessageExchange(routers, wires.values(), loss_rate=loss_rate, seed=seed)
