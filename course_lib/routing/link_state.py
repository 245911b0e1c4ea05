"""Link-state routing: everybody tells everybody what is around them (a part of RFC 2328).

A router says who its neighbours are (`neighbour_discovery`), spreads that to all others and
collects what they say (`flooding`), so that all hold the same map, and works out its own shortest
paths on it (`shortest_paths`). Rules of this module:

* an arc of the map counts only if both its ends announce it (section 16.1, step 2b);
* a router speaks again about itself when something has changed, but not within 5 s, and every
  30 minutes even if nothing has (section 12.4);
* who finds a newer advertisement of its own in the network (it has restarted, say) goes one number
  further (section 13.4);
* when the sequence numbers are used up, the last instance is declared dead, and the count starts
  again only when all neighbours have confirmed that (section 12.1.6);
* a router's own networks are never replaced by what others say about them (our choice).

Left out: areas, networks with more than two routers, external routes, authentication.

Real routers: after a change they wait a little before they work out paths, and longer if more news
keeps coming (RFC 8405). Here they are worked out when somebody asks for routes.
"""

__all__ = ["MIN_INTERVAL_S", "REFRESH_S", "LinkState", "topology"]

import math
from collections.abc import Iterable, Mapping
from typing import Generic

from course_lib.routing.advertisements import (
    FIRST_SEQUENCE,
    HIGHEST_COST,
    LAST_SEQUENCE,
    MAX_AGE_S,
    Advertisement,
    make_advertisement,
    problem_with_advertisement,
)
from course_lib.routing.flooding import (
    Acknowledgement,
    LinkStateDatabase,
    LinkStateUpdate,
    problem_with_message,
)
from course_lib.routing.neighbour_discovery import Hello, NeighbourDiscovery, Timers
from course_lib.routing.protocol import (
    Destination,
    NextHop,
    Outgoing,
    Route,
    Speaker,
    check_costs,
)
from course_lib.routing.shortest_path_tree import shortest_paths

REFRESH_S = 1800  # RFC 2328, appendix B: LSRefreshTime
MIN_INTERVAL_S = 5  # the same: MinLSInterval


class LinkState(Speaker, Generic[Destination]):
    """One router that speaks link state.

    Curlew says hello and has heard us, then tells what it sees around itself:

    >>> from course_lib.routing.flooding import LinkStateUpdate
    >>> plover = LinkState("Plover", links={"east": 1}, attached={"Plover quay": 1})
    >>> (hello,) = plover.start(0)
    >>> _ = plover.receive(1, Hello("Curlew", Timers(), heard=("Plover",)), "east")
    >>> told = make_advertisement("Curlew", 1, (("Plover", 1),), (("Gull Rock", 3),))
    >>> (acknowledgement,) = plover.receive(2, LinkStateUpdate("Curlew", (told,)), "east")
    >>> plover.routes()["Gull Rock"]
    Route(metric=4, next_hops=frozenset({NextHop(link='east', router='Curlew')}))
    """

    def __init__(
        self,
        router: str,
        links: Mapping[str, int],
        attached: Mapping[Destination, int],
        timers: Timers | None = None,
        *,
        first_sequence: int = FIRST_SEQUENCE,
    ) -> None:
        """Take the cost of sending on each link (1 to 65535) and of each own network (from 0)."""
        super().__init__(router, links, HIGHEST_COST)
        check_costs("network", attached, 0, HIGHEST_COST)
        self.discovery = NeighbourDiscovery(router, links, timers)
        self.database = LinkStateDatabase[Destination](router)
        self._networks = dict(attached)
        self._adjacent: dict[str, str] = {}  # link -> neighbour, both ways
        self._sequence = first_sequence - 1
        self._originated_at_s = -math.inf
        self._is_pending = True  # our advertisement no longer says what is true
        self._is_wrapping = False  # our last instance is being declared dead
        self._routes: dict[Destination, Route] = {}
        self._routes_are_of: object = None

    def start(self, now_s: float) -> list[Outgoing]:
        """Say hello and announce ourselves."""
        return self.tick(now_s)

    def receive(self, now_s: float, message: object, link: str) -> list[Outgoing]:
        """Take in a message. Raises `ValueError` if we have no such link."""
        self._check_link(link)
        out: list[Outgoing] = []
        if not self._up[link]:
            self._complain(link, "a message arrived although the link is down")
        elif isinstance(message, Hello):
            self._complain(link, self.discovery.receive(now_s, message, link))
        elif isinstance(message, LinkStateUpdate | Acknowledgement):
            out = self._take(now_s, message, link)
        else:
            self._complain(link, f"malformed message {message!r}")
        return out + self._settle(now_s)

    def tick(self, now_s: float) -> list[Outgoing]:
        """Say hello, give up silent neighbours, repeat, refresh: whatever is due."""
        hellos = [out for out in self.discovery.tick(now_s) if self._up[out.link]]
        return hellos + self._settle(now_s) + self.database.tick(now_s) + self._settle(now_s)

    def next_tick_s(self) -> float:
        """Return when something is due next."""
        return min(
            self.discovery.next_tick_s(), self.database.next_tick_s(), self._origination_due_s()
        )

    def link_down(self, now_s: float, link: str) -> list[Outgoing]:
        """Give up the neighbour on `link` at once, without waiting for the dead interval."""
        self._set_up(link, works=False)
        self.discovery.forget(link)
        return self._settle(now_s)

    def link_up(self, now_s: float, link: str) -> list[Outgoing]:
        """Say hello on `link`."""
        self._set_up(link, works=True)
        return [self.discovery.hello_on(link), *self._settle(now_s)]

    def set_cost(self, now_s: float, link: str, cost: int) -> list[Outgoing]:
        """Change the cost of sending on `link`."""
        self._check_link(link)
        check_costs("link", {link: cost}, 1, HIGHEST_COST)
        self._costs[link] = cost
        return self._settle(now_s)

    def attach(self, now_s: float, destination: Destination, cost: int) -> list[Outgoing]:
        """Take on a network of our own."""
        check_costs("network", {destination: cost}, 0, HIGHEST_COST)
        self._networks[destination] = cost
        return self._settle(now_s)

    def detach(self, now_s: float, destination: Destination) -> list[Outgoing]:
        """Give up a network of our own."""
        if destination not in self._networks:
            raise ValueError(f"{destination!r} is not a network of {self.router!r}")
        del self._networks[destination]
        return self._settle(now_s)

    def routes(self) -> dict[Destination, Route]:
        """Return the reachable destinations with all next hops of lowest cost."""
        basis = self.database.version, self._adjacent, dict(self._costs), dict(self._networks)
        if self._routes_are_of != basis:
            self._routes, self._routes_are_of = self._calculate(), basis
        return dict(self._routes)

    def _calculate(self) -> dict[Destination, Route]:
        """Work out the routes in the two stages of section 16.1: routers first, then networks."""
        advertisements = {a.header.router: a for a in self.database.alive()}
        graph = topology(advertisements.values())
        back = {r for r, a in advertisements.items() if self.router in dict(a.neighbours)}
        arcs = {r: c for r, c in self._neighbour_costs().items() if r in back}
        # What we last said about ourselves may be out of date: our neighbours of now replace it.
        paths = shortest_paths({**graph, self.router: arcs}, self.router)
        routes: dict[Destination, Route] = {}
        for router, path in paths.items():
            if router == self.router:
                continue
            next_hops = self._next_hops(path.first_hops)
            for destination, cost in advertisements[router].networks:
                offer = Route(path.cost + cost, next_hops)
                routes[destination] = _better(routes.get(destination), offer)
        routes.update({d: Route(cost, frozenset()) for d, cost in self._networks.items()})
        return routes

    def _next_hops(self, routers: frozenset[str]) -> frozenset[NextHop]:
        """Return the cheapest links to each of these neighbours."""
        lowest = self._neighbour_costs()
        return frozenset(
            NextHop(link, router)
            for link, router in self._adjacent.items()
            if router in routers and self._costs[link] == lowest[router]
        )

    def _neighbour_costs(self) -> dict[str, int]:
        """Return our neighbours of now, each with the cost of the cheapest link to it."""
        costs: dict[str, int] = {}
        for link, router in sorted(self._adjacent.items(), key=lambda item: item[1]):
            costs[router] = min(self._costs[link], costs.get(router, HIGHEST_COST))
        return costs

    def _take(
        self, now_s: float, message: LinkStateUpdate[Destination] | Acknowledgement, link: str
    ) -> list[Outgoing]:
        """Take in what a neighbour says about the map, or why we do not."""
        problem = problem_with_message(message)
        if problem is None and message.sender != self.discovery.heard_on(link):
            problem = f"{message.sender!r} is not a known neighbour"
        self._complain(link, problem)
        if problem is not None or message.sender != self._adjacent.get(link):
            return []  # if it only has not heard us yet, it will repeat the message
        if isinstance(message, LinkStateUpdate):
            return self._take_advertisements(now_s, message, link)
        for header in message.headers:
            self.database.acknowledged(header, link)
        return []

    def _take_advertisements(
        self, now_s: float, update: LinkStateUpdate[Destination], link: str
    ) -> list[Outgoing]:
        """Take in the advertisements one by one; a bad one is skipped, the others still count."""
        out = []
        for place, advertisement in enumerate(update.advertisements, start=1):
            problem = problem_with_advertisement(advertisement)
            if problem is None:
                out += self.database.receive(now_s, advertisement, link)
            else:
                self._complain(link, f"update from {update.sender!r}, item {place}: {problem}")
        return out

    def _settle(self, now_s: float) -> list[Outgoing]:
        """Act on whatever has changed: who our neighbours are, and what we say about ourselves."""
        out = self._meet_and_part(now_s) + self._originate(now_s)
        self.database.forget_the_dead()
        return out

    def _meet_and_part(self, now_s: float) -> list[Outgoing]:
        """Send the database to new neighbours and stop waiting for lost ones."""
        before, self._adjacent = self._adjacent, self.discovery.two_way()
        for link, router in before.items():
            if self._adjacent.get(link) != router:
                self.database.neighbour_down(link)
        new = [link for link, router in self._adjacent.items() if before.get(link) != router]
        return [out for link in new for out in self.database.neighbour_up(now_s, link)]

    def _originate(self, now_s: float) -> list[Outgoing]:
        """Announce ourselves anew if that is needed and not too soon (section 12.4)."""
        own = self.database.get(now_s, self.router)
        neighbours, networks = tuple(self._neighbour_costs().items()), tuple(self._networks.items())
        self._is_pending = own is None or (
            (own.neighbours, own.networks) != (neighbours, networks)
            or own.header.sequence != self._sequence  # a newer one of ours came back to us
            or own.header.age_s >= MAX_AGE_S  # or somebody declared it dead
        )
        if now_s < self._origination_due_s():
            return []
        highest = self._sequence if own is None else own.header.sequence
        if own is not None and highest == LAST_SEQUENCE:
            self._is_wrapping = True
            return self.database.flood(now_s, own.at_age(MAX_AGE_S))
        self._sequence = FIRST_SEQUENCE if self._is_wrapping else highest + 1
        self._originated_at_s = now_s
        self._is_wrapping = self._is_pending = False
        advertisement = make_advertisement(self.router, self._sequence, neighbours, networks)
        return self.database.flood(now_s, advertisement)

    def _origination_due_s(self) -> float:
        """Return when we may and must speak about ourselves again."""
        if self._is_wrapping and self.database.holds(self.router):
            return math.inf
        pause_s = MIN_INTERVAL_S if self._is_pending else REFRESH_S
        return self._originated_at_s + pause_s


def topology(
    advertisements: Iterable[Advertisement[Destination]],
) -> dict[str, dict[str, int]]:
    """Return the map that advertisements draw: only arcs that both ends announce."""
    announced = {a.header.router: dict(a.neighbours) for a in advertisements}
    return {
        router: {
            neighbour: cost
            for neighbour, cost in neighbours.items()
            if router in announced.get(neighbour, {})
        }
        for router, neighbours in announced.items()
    }


def _better(known: Route | None, offer: Route) -> Route:
    """Return the cheaper route, or both together if they cost the same."""
    if known is None or offer.metric < known.metric:
        return offer
    if offer.metric > known.metric:
        return known
    return Route(known.metric, known.next_hops | offer.next_hops)
