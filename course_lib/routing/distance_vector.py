"""Distance-vector routing: neighbours tell each other their distances (RFC 2453).

A router knows no map. It knows, for each destination, a metric and the neighbour who told it so.

* Better news is taken from anybody. *Any* news is taken from the neighbour that the route goes
  through, worse news too: whoever ignores that keeps a route that no longer exists (section 3.4).
* A metric of 16 means unreachable. Without it two routers that believe each other would count up
  for ever; with it they count to 16. Nothing may therefore lie more than 15 away.
* Split horizon stops the count between two routers: what I learned from you I do not tell you, or,
  with poisoned reverse, I tell you that it is unreachable. Loops of three routers remain possible
  (section 3.4.4); they too end at 16.
* A route that is not confirmed for 180 s becomes unreachable, is announced as such for 120 s more,
  and only then forgotten.
* A router's own networks are never replaced by what neighbours say about them (our choice).

Real routers: a message is a UDP datagram to port 520 (RFC 2453, section 3.6), sent to all
neighbours on a link at once, and it can be signed (section 4.1).
"""

__all__ = [
    "GARBAGE_COLLECTION_S",
    "TIMEOUT_S",
    "UPDATE_INTERVAL_S",
    "DistanceVector",
    "Settings",
    "SplitHorizon",
    "TableEntry",
]

import math
import random
from collections.abc import Iterator, Mapping
from enum import Enum
from typing import Generic, NamedTuple

from course_lib.routing.distance_vector_messages import (
    INFINITY,
    MAX_ENTRIES,
    Request,
    RouteEntry,
    Update,
    problem_with_entry,
    problem_with_message,
)
from course_lib.routing.protocol import (
    Destination,
    NextHop,
    Outgoing,
    Route,
    Speaker,
    check_costs,
)

UPDATE_INTERVAL_S = 30  # section 3.8
UPDATE_JITTER_S = 5  # section 3.8: offset by up to this much, either way
TIMEOUT_S = 180  # section 3.8
GARBAGE_COLLECTION_S = 120  # section 3.8
TRIGGERED_PAUSE_S = (1, 5)  # section 3.10.1: random pause after a triggered update


class SplitHorizon(Enum):
    """What a router tells a neighbour about routes that go through that neighbour (3.4.3)."""

    OFF = "the metric, as to anybody else"
    SIMPLE = "nothing"
    POISONED_REVERSE = "unreachable"


class Settings(NamedTuple):
    """The remedies, so that a lesson can take them away one at a time."""

    split_horizon: SplitHorizon = SplitHorizon.POISONED_REVERSE
    triggered_updates: bool = True
    jitter_s: float = UPDATE_JITTER_S
    seed: int = 0


class TableEntry(NamedTuple):
    """One line of the table. `deadline_s` is the timeout, or the end of garbage collection."""

    metric: int
    next_hop: NextHop | None  # None: our own network
    deadline_s: float
    changed: bool


_NOTHING_KNOWN = TableEntry(INFINITY, None, math.inf, False)


class DistanceVector(Speaker, Generic[Destination]):
    """One router that speaks distance vector.

    Curlew says on the link "east" that Gull Rock is 3 away. The link costs 1, so it is 4 from here.
    Curlew hears at once that it is not to come back this way (poisoned reverse):

    >>> from course_lib.routing.distance_vector_messages import RouteEntry, Update
    >>> plover = DistanceVector("Plover", links={"east": 1}, attached={"Plover quay": 1})
    >>> [type(out.message).__name__ for out in plover.start(0)]
    ['Request', 'Update']
    >>> plover.receive(7, Update("Curlew", (RouteEntry("Gull Rock", 3),)), "east")[0].message
    Update(sender='Plover', entries=(RouteEntry(destination='Gull Rock', metric=16),))
    >>> plover.routes()["Gull Rock"]
    Route(metric=4, next_hops=frozenset({NextHop(link='east', router='Curlew')}))
    """

    def __init__(
        self,
        router: str,
        links: Mapping[str, int],
        attached: Mapping[Destination, int],
        settings: Settings | None = None,
    ) -> None:
        """Take the cost of each link and the metric of each of our own networks, all 1 to 15."""
        super().__init__(router, links, INFINITY - 1)
        check_costs("network", attached, 1, INFINITY - 1)
        self.settings = Settings() if settings is None else settings
        self._table = {d: TableEntry(m, None, math.inf, True) for d, m in attached.items()}
        self._next_update_s = -math.inf
        self._quiet_until_s = -math.inf  # no triggered update before that
        self._random = random.Random(f"{self.settings.seed} {router}")

    def start(self, now_s: float) -> list[Outgoing]:
        """Ask all neighbours for their tables and announce our own networks."""
        self._next_update_s = now_s + self._interval_s()
        requests = [Outgoing(link, Request(self.router)) for link in self._working_links()]
        return requests + self._triggered(now_s)

    def receive(self, now_s: float, message: object, link: str) -> list[Outgoing]:
        """Take in a request or an update (section 3.9). Raises `ValueError` for an unknown link."""
        self._check_link(link)
        problem = problem_with_message(message, self.router)
        if problem is not None:
            self._complain(link, problem)
        elif not self._up[link]:
            self._complain(link, "a message arrived although the link is down")
        elif isinstance(message, Request):
            return list(self._whole_table(link))
        elif isinstance(message, Update):
            self._take(now_s, message, link)
        return self._triggered(now_s)

    def tick(self, now_s: float) -> list[Outgoing]:
        """Let routes expire, and send the update that is due."""
        self._expire(now_s)
        if now_s < self._next_update_s:
            return self._triggered(now_s)
        self._next_update_s = now_s + self._interval_s()
        regular = [out for link in self._working_links() for out in self._whole_table(link)]
        self._clear_flags()
        return regular

    def next_tick_s(self) -> float:
        """Return the time of the next update or the next deadline, whichever is first."""
        deadlines = [entry.deadline_s for entry in self._table.values()]
        if self.settings.triggered_updates and self._changed():
            deadlines.append(self._quiet_until_s)
        return min([self._next_update_s, *deadlines])

    def link_down(self, now_s: float, link: str) -> list[Outgoing]:
        """Declare everything behind `link` unreachable at once, without waiting for a timeout."""
        self._set_up(link, works=False)
        for destination, entry in self._table.items():
            if entry.next_hop is not None and entry.next_hop.link == link:
                self._give_up(now_s, destination)
        return self._triggered(now_s)

    def link_up(self, now_s: float, link: str) -> list[Outgoing]:
        """Ask the new neighbour for its table and send it ours."""
        self._set_up(link, works=True)
        return [Outgoing(link, Request(self.router)), *self._whole_table(link)]

    def routes(self) -> dict[Destination, Route]:
        """Return the reachable destinations; each has one next hop, or none if it is our own."""
        return {
            destination: Route(
                entry.metric, frozenset() if entry.next_hop is None else frozenset({entry.next_hop})
            )
            for destination, entry in self._table.items()
            if entry.metric < INFINITY
        }

    def attach(self, now_s: float, destination: Destination, metric: int) -> list[Outgoing]:
        """Take on a network of our own."""
        check_costs("network", {destination: metric}, 1, INFINITY - 1)
        self._table[destination] = TableEntry(metric, None, math.inf, True)
        return self._triggered(now_s)

    def detach(self, now_s: float, destination: Destination) -> list[Outgoing]:
        """Give up a network of our own."""
        entry = self._table.get(destination)
        if entry is None or entry.next_hop is not None:
            raise ValueError(f"{destination!r} is not a network of {self.router!r}")
        self._give_up(now_s, destination)
        return self._triggered(now_s)

    def table(self) -> dict[Destination, TableEntry]:
        """Return a copy of the table, unreachable destinations (metric 16) included."""
        return dict(self._table)

    def _take(self, now_s: float, update: Update[Destination], link: str) -> None:
        """Take in the entries of an update one by one (section 3.9.2)."""
        via = NextHop(link, update.sender)
        for place, entry in enumerate(update.entries, start=1):
            problem = problem_with_entry(entry, place)
            if problem is not None:
                self._complain(link, f"update from {update.sender!r}, {problem}")
            else:
                metric = min(entry.metric + self._costs[link], INFINITY)
                self._consider(now_s, entry.destination, metric, via)

    def _consider(self, now_s: float, destination: Destination, metric: int, via: NextHop) -> None:
        """Decide whether an offered route is better than ours, or is ours (section 3.9.2)."""
        old = self._table.get(destination, _NOTHING_KNOWN)
        from_our_source = old.next_hop == via
        # One of ours that we gave up has no next hop either; from then on anybody may offer it.
        if old.next_hop is None and old.metric < INFINITY:
            return  # our own network
        if from_our_source and metric == INFINITY:
            self._give_up(now_s, destination)
        elif from_our_source and metric == old.metric:
            self._table[destination] = old._replace(deadline_s=now_s + TIMEOUT_S)
        elif from_our_source or metric < old.metric or _is_timing_out(old, metric, now_s):
            self._table[destination] = TableEntry(metric, via, now_s + TIMEOUT_S, True)

    def _give_up(self, now_s: float, destination: Destination) -> None:
        """Begin the deletion: unreachable from now on, forgotten later (section 3.8)."""
        old = self._table[destination]
        if old.metric < INFINITY:  # otherwise it is being deleted, and its time does not start anew
            deadline_s = now_s + GARBAGE_COLLECTION_S
            self._table[destination] = TableEntry(INFINITY, old.next_hop, deadline_s, True)

    def _expire(self, now_s: float) -> None:
        for destination, entry in list(self._table.items()):
            if entry.deadline_s > now_s:
                continue
            if entry.metric < INFINITY:
                self._give_up(now_s, destination)
            else:
                del self._table[destination]

    def _triggered(self, now_s: float) -> list[Outgoing]:
        """Send what has changed, unless the last triggered update was just now (3.10.1)."""
        if not self.settings.triggered_updates or now_s < self._quiet_until_s:
            return []
        changed = self._changed()
        if not changed:
            return []
        out = [o for link in self._working_links() for o in self._messages(link, changed)]
        self._quiet_until_s = now_s + self._random.uniform(*TRIGGERED_PAUSE_S)
        self._clear_flags()
        return out

    def _whole_table(self, link: str) -> Iterator[Outgoing]:
        return self._messages(link, list(self._table))

    def _messages(self, link: str, destinations: list[Destination]) -> Iterator[Outgoing]:
        """Yield as many updates as the entries for `link` need (section 3.10.2)."""
        entries = [e for d in destinations if (e := self._entry_for(link, d)) is not None]
        for start in range(0, len(entries), MAX_ENTRIES):
            yield Outgoing(link, Update(self.router, tuple(entries[start : start + MAX_ENTRIES])))

    def _entry_for(self, link: str, destination: Destination) -> RouteEntry[Destination] | None:
        """Apply split horizon to what is said about `destination` on `link` (section 3.4.3)."""
        entry = self._table[destination]
        learned_here = entry.next_hop is not None and entry.next_hop.link == link
        if not learned_here or self.settings.split_horizon is SplitHorizon.OFF:
            return RouteEntry(destination, entry.metric)
        if self.settings.split_horizon is SplitHorizon.SIMPLE:
            return None
        return RouteEntry(destination, INFINITY)

    def _interval_s(self) -> float:
        jitter_s = self.settings.jitter_s
        return UPDATE_INTERVAL_S + self._random.uniform(-jitter_s, jitter_s)

    def _working_links(self) -> list[str]:
        return [link for link, up in self._up.items() if up]

    def _changed(self) -> list[Destination]:
        return [destination for destination, entry in self._table.items() if entry.changed]

    def _clear_flags(self) -> None:
        for destination in self._changed():
            self._table[destination] = self._table[destination]._replace(changed=False)


def _is_timing_out(entry: TableEntry, metric: int, now_s: float) -> bool:
    """Return True if an equal offer should replace this half-expired route (3.9.2, heuristic)."""
    is_old = now_s >= entry.deadline_s - TIMEOUT_S / 2
    return metric == entry.metric < INFINITY and is_old
