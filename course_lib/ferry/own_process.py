"""A student's routing process in the ferry network, beside the library's distance vector.

It stands at one router, the library's in all others. A line is cut, and mended; then a router
stops, and nobody is told. Hosts send datagrams all the while, so what is lost is counted, and once
more with the library's process in the same place.

A process is an object with `table`, `announce`, `receive`, `cut`, `mend` and `tick`, as exercise
7.6 has it. Its destinations and neighbours are texts, its updates lists of pairs.
"""

__all__ = ["BesideOthers", "ProcessSpeaker", "run_beside_others"]

import functools
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple, cast

from course_lib.ferry.network import ferry_network
from course_lib.forwarding.router import Router
from course_lib.network.hosts.tasks import STREAM_PORT, Stream
from course_lib.network.records import MISTAKES, What
from course_lib.network.routes.routing_messages import RoutingMessages
from course_lib.network.simulation import Network
from course_lib.prefixes.prefix import Prefix
from course_lib.routing.distance_vector import DistanceVector
from course_lib.routing.distance_vector_messages import INFINITY, Request, RouteEntry, Update
from course_lib.routing.protocol import NextHop, Outgoing, Route

MakeProcess = Callable[[list[str], dict[str, int]], Any]
Messages = Iterable[tuple[str, Iterable[tuple[str, int]]]]

LINE, STOPPED, TARGET = "Lantern Pier - Reed Pier", "Gull Rock", "Timetable Board"
SENDERS = ("Ticket Office", "Plover Bridge Screen", "Curlew Bridge Screen")
CHANGES_S = {
    100: f"{LINE} is cut",
    200: f"{LINE} is mended",
    300: f"{STOPPED} stops, nobody is told",
}
ENDS_S = 600  # a route that nobody confirms is given up long before
ANNOUNCE_S = 30  # RFC 2453, section 3.8


class ProcessSpeaker:
    """Speak for a process: its texts become the messages of the library, and the other way."""

    def __init__(
        self, make: MakeProcess, place: str, links: Mapping[str, str], networks: Sequence[Prefix]
    ) -> None:
        """Take the router at the other end of each link, and the networks of this place."""
        self._place = place
        self._neighbours, self._links = dict(links), {to: link for link, to in links.items()}
        self._destinations = {str(network): network for network in networks}
        self._process = make(list(self._destinations), dict.fromkeys(self._links, 1))
        self._announce_s = 0.0
        self._now_s = 0.0

    def start(self, now_s: float) -> list[Outgoing]:
        """Ask all neighbours for their tables, and tell them ours."""
        requests = [Outgoing(link, Request(self._place)) for link in self._neighbours]
        return [*requests, *self._announce(now_s)]

    def receive(self, now_s: float, message: object, link: str) -> list[Outgoing]:
        """Hand an update on; answer a request with the whole table."""
        self._now_s = now_s
        if isinstance(message, Request):
            told = self._sent(self._process.announce(now_s))
            return [out for out in told if out.link == link]
        entries = cast(Update[Prefix], message).entries
        self._destinations |= {str(entry.destination): entry.destination for entry in entries}
        update = [(str(entry.destination), entry.metric) for entry in entries]
        return self._sent(self._process.receive(now_s, self._neighbours[link], update))

    def tick(self, now_s: float) -> list[Outgoing]:
        """Let the process look at its times, each second; and announce when that is due."""
        self._now_s = now_s
        out = self._sent(self._process.tick(now_s))
        return out + self._announce(now_s) if now_s >= self._announce_s else out

    def next_tick_s(self) -> float:
        """Return the next second."""
        return self._now_s + 1

    def link_down(self, now_s: float, link: str) -> list[Outgoing]:
        """Tell of a line that is cut."""
        return self._sent(self._process.cut(now_s, self._neighbours[link]))

    def link_up(self, now_s: float, link: str) -> list[Outgoing]:
        """Tell of a line that works again."""
        out = self._sent(self._process.mend(now_s, self._neighbours[link]))
        return [Outgoing(link, Request(self._place)), *out]

    def routes(self) -> dict[Prefix, Route]:
        """Return the reachable destinations."""
        return {
            self._destinations[name]: Route(
                metric, frozenset({NextHop(self._links[hop], hop)} if hop is not None else ())
            )
            for name, (metric, hop) in self._process.table().items()
            if metric < INFINITY
        }

    def _announce(self, now_s: float) -> list[Outgoing]:
        self._announce_s = now_s + ANNOUNCE_S
        return self._sent(self._process.announce(now_s))

    def _sent(self, messages: Messages) -> list[Outgoing]:
        return [
            Outgoing(
                self._links[neighbour],
                Update(
                    self._place,
                    tuple(RouteEntry(self._destinations[name], metric) for name, metric in entries),
                ),
            )
            for neighbour, entries in messages
        ]


def _say_nothing(*given: object) -> list[Any]:
    """Take the place of a method of somebody who has stopped."""
    return []


def _stop(*things: object) -> None:
    """Let these hear and say nothing from now on; nobody is told."""
    for thing in things:
        for method in ("receive", "tick"):
            setattr(thing, method, _say_nothing)


class Loss(NamedTuple):
    """How many datagrams were lost after a change, and how long after it the last of them."""

    lost: int
    last_s: int


class BesideOthers(NamedTuple):
    """What was lost with a process in some place, and with the library's; shown as a table."""

    place: str
    changes: tuple[str, ...]
    own: tuple[Loss, ...]
    library: tuple[Loss, ...]
    problem: str

    def __repr__(self) -> str:
        """Return a table as text."""
        if self.problem:
            return self.problem
        width = max(map(len, self.changes))
        head = f"{'':{width}}  {'yours at ' + self.place:>24}  {'the library there':>24}"
        rows = [
            f"{change:{width}}  {_words(own):>24}  {_words(other):>24}"
            for change, own, other in zip(self.changes, self.own, self.library, strict=True)
        ]
        return "\n".join([head, *rows])


def _words(loss: Loss) -> str:
    return f"{loss.lost} lost, {loss.last_s} s" if loss.lost else "nothing lost"


def run_beside_others(make_process: MakeProcess, at: str = "Reed Pier") -> BesideOthers:
    """Run a process at one router of the ferry network, and count what is lost after changes."""
    changes = tuple(CHANGES_S.values())
    try:
        own, problem = _run(make_process, at)
    except NotImplementedError:
        return BesideOthers(at, changes, (), (), "new_process has no answer yet.")
    library, _ = _run_library(at)
    return BesideOthers(at, changes, own, library, problem)


@functools.cache
def _run_library(at: str) -> tuple[tuple[Loss, ...], str]:
    return _run(None, at)


def _run(make_process: MakeProcess | None, at: str) -> tuple[tuple[Loss, ...], str]:
    """Return losses after each change, and the first problem that a process had."""
    network = ferry_network(with_routes=False)
    routing, speakers = RoutingMessages(network), dict[str, Any]()
    for place, router in network.routers.items():
        links, networks = routing.links_of(place), routing.own_prefixes(place)
        own, costs = dict.fromkeys(networks, 1), dict.fromkeys(links, 1)
        speakers[place] = (
            ProcessSpeaker(make_process, place, links, networks)
            if place == at and make_process is not None
            else DistanceVector(place, costs, own)
        )
        routing.attach(place, speakers[place], cast(Router, router))
    routing.start()
    cut, mend, stop = CHANGES_S
    network.at(cut, lambda: network.cut(LINE))
    network.at(mend, lambda: network.mend(LINE))
    network.at(stop, lambda: _stop(network.routers[STOPPED], speakers[STOPPED]))
    sent = _send(network)
    network.run_until(ENDS_S)
    mistakes = [one for one in network.records if one.what in MISTAKES and one.place == at]
    return _losses(network, sent), mistakes[0].text if mistakes else ""


def _send(network: Network) -> dict[tuple[int, int], int]:
    """Let hosts send a datagram each second; return when each of their tasks began."""
    target, began = network.hosts[TARGET], {}
    target.ports.add(STREAM_PORT)
    begin_s = min(CHANGES_S) // 2
    network.run_until(begin_s)
    for name in SENDERS:
        host = network.hosts[name]
        stream = Stream(target.interface.address, count=ENDS_S - begin_s - 5, interval_s=1)
        began[host.interface.address, host.begin(network.now_s, stream)] = begin_s
    return began


def _losses(network: Network, began: Mapping[tuple[int, int], int]) -> tuple[Loss, ...]:
    arrived = {
        (record.other, record.task, record.number)
        for record in network.records
        if record.what is What.DATAGRAM
    }
    lost_s = [
        begin_s + number - 1
        for (source, task), begin_s in began.items()
        for number in range(1, ENDS_S - begin_s - 4)
        if (source, task, number) not in arrived
    ]
    losses = []
    for start, end in pairwise([*CHANGES_S, ENDS_S]):
        some = [time_s for time_s in lost_s if start <= time_s < end]
        losses.append(Loss(len(some), max(some, default=start) - start))
    return tuple(losses)
