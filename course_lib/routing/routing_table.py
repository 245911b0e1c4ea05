"""One choice per destination among several sources of routes (RFC 1812, section 5.2.4.3).

The RFC prunes the routes that match an address in a fixed order: first the longest prefixes stay,
much later the best metric decides, and only among routes of *one* routing domain. So:

* a longer prefix beats a better source and a better metric. That is settled at the lookup, for each
  packet; the choice here is made earlier, between routes to exactly the same prefix;
* metrics of different sources are not compared. Three hops and a cost of 3 are different things;
* between sources, local policy decides: an ordered list that the router's owner writes. No standard
  gives one, and none gives numbers for it.
"""

__all__ = ["USUAL_POLICY", "Candidate", "RoutingTable"]

from collections.abc import Mapping, Sequence
from typing import Generic, NamedTuple

from course_lib.routing.protocol import Destination, NextHop, Route

# Common practice, no published source: what is attached or was written by hand counts most.
USUAL_POLICY = ("attached", "by hand", "link state", "distance vector")


class Candidate(NamedTuple):
    """A route and who offers it."""

    source: str
    route: Route


class RoutingTable(Generic[Destination]):
    """All routes on offer, at most one for each source and destination.

    >>> table = RoutingTable(["by hand", "link state"])
    >>> table.replace("link state", {"Reed Pier": Route(2, frozenset({NextHop("east", "Plover")}))})
    >>> table.replace("by hand", {"Reed Pier": Route(9, frozenset({NextHop("west", "Curlew")}))})
    >>> table.best("Reed Pier").source
    'by hand'
    """

    def __init__(self, policy: Sequence[str]) -> None:
        """Take the sources, from the most to the least trusted."""
        if len(set(policy)) != len(policy):
            raise ValueError(f"a source stands twice in the policy {list(policy)}")
        self._routes: dict[str, dict[Destination, Route]] = {source: {} for source in policy}

    def replace(self, source: str, routes: Mapping[Destination, Route]) -> None:
        """Replace everything that `source` has offered so far by `routes`."""
        if source not in self._routes:
            raise ValueError(f"source {source!r} is not in the policy {list(self._routes)}")
        self._routes[source] = dict(routes)

    def candidates(self, destination: Destination) -> list[Candidate]:
        """Return what every source offers for exactly this destination, the best first."""
        return [
            Candidate(source, routes[destination])
            for source, routes in self._routes.items()
            if destination in routes
        ]

    def best(self, destination: Destination) -> Candidate | None:
        """Return the offer of the most trusted source, or None."""
        return next(iter(self.candidates(destination)), None)

    def chosen(self) -> dict[Destination, Candidate]:
        """Return the best offer for every destination."""
        best: dict[Destination, Candidate] = {}
        for source, routes in reversed(self._routes.items()):  # the most trusted overwrites
            best.update({d: Candidate(source, route) for d, route in routes.items()})
        return best

    def next_hops(self) -> dict[Destination, frozenset[NextHop]]:
        """Return what the forwarding table has to hold; see `mirror`."""
        return {d: candidate.route.next_hops for d, candidate in self.chosen().items()}
