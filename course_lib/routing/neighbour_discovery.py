"""Find out which router is at the other end of each link, and whether it still is (RFC 2328, 9.5).

A router says hello on every link at regular intervals and lists whom it has heard there. Three
rules follow:

* to be heard is not enough: a neighbour counts only once its hello lists *us*, because only then
  do packets pass in both directions;
* silence for the dead interval ends it, and a hello that no longer lists us takes it back;
* both ends must use the same intervals, or one would give up while the other is still patient.

Every link here joins two routers. Real routers: networks with many routers elect one of them to
speak for the network (RFC 2328, section 9.4).
"""

__all__ = [
    "DEAD_INTERVAL_S",
    "HELLO_INTERVAL_S",
    "Hello",
    "NeighbourDiscovery",
    "NeighbourState",
    "Timers",
]

import math
from collections.abc import Iterable
from enum import Enum
from typing import NamedTuple

from course_lib.routing.protocol import Outgoing

HELLO_INTERVAL_S = 10  # RFC 2328, appendix C.3, sample value for a local network
DEAD_INTERVAL_S = 4 * HELLO_INTERVAL_S  # the same


class Timers(NamedTuple):
    """The intervals on which both ends of a link have to agree."""

    hello_interval_s: float = HELLO_INTERVAL_S
    dead_interval_s: float = DEAD_INTERVAL_S


class Hello(NamedTuple):
    """ "I am `sender`, these are my intervals, and on this link I have heard `heard`." """

    sender: str
    timers: Timers
    heard: tuple[str, ...]


class NeighbourState(Enum):
    """How far the acquaintance goes (RFC 2328, section 10.1; further states are left out)."""

    DOWN = "nothing heard lately"
    INIT = "heard, but it has not yet heard us"
    TWO_WAY = "each hears the other"


class _Neighbour(NamedTuple):
    """What is known about the far end of one link."""

    router: str
    state: NeighbourState
    dead_at_s: float


class NeighbourDiscovery:
    """The hello side of one router.

    It reports no events: compare `two_way()` before and after a call.
    """

    def __init__(self, router: str, links: Iterable[str], timers: Timers | None = None) -> None:
        self.router = router
        self.timers = Timers() if timers is None else timers
        if not 0 < self.timers.hello_interval_s < self.timers.dead_interval_s:
            raise ValueError(
                f"hello interval {self.timers.hello_interval_s} s must be more than 0 and less "
                f"than the dead interval, {self.timers.dead_interval_s} s"
            )
        self._neighbours: dict[str, _Neighbour | None] = dict.fromkeys(links)
        self._next_hello_s = -math.inf

    def two_way(self) -> dict[str, str]:
        """Return, for each link that works in both directions, the router at its far end."""
        return {
            link: neighbour.router
            for link, neighbour in self._neighbours.items()
            if neighbour is not None and neighbour.state is NeighbourState.TWO_WAY
        }

    def state(self, link: str) -> NeighbourState:
        """Return how things stand on `link`."""
        neighbour = self._neighbours[link]
        return NeighbourState.DOWN if neighbour is None else neighbour.state

    def heard_on(self, link: str) -> str | None:
        """Return the router heard on `link` lately, whether or not it hears us."""
        neighbour = self._neighbours[link]
        return None if neighbour is None else neighbour.router

    def receive(self, now_s: float, hello: Hello, link: str) -> str | None:
        """Take in a hello; return what is wrong with it, or None (RFC 2328, section 10.5)."""
        problem = self._problem(hello)
        if problem is None:
            state = NeighbourState.TWO_WAY if self.router in hello.heard else NeighbourState.INIT
            dead_at_s = now_s + self.timers.dead_interval_s
            self._neighbours[link] = _Neighbour(hello.sender, state, dead_at_s)
        return problem

    def tick(self, now_s: float) -> list[Outgoing]:
        """Forget neighbours that fell silent, and say hello if it is time."""
        for link, neighbour in self._neighbours.items():
            if neighbour is not None and neighbour.dead_at_s <= now_s:
                self._neighbours[link] = None
        if now_s < self._next_hello_s:
            return []
        self._next_hello_s = now_s + self.timers.hello_interval_s
        return [self.hello_on(link) for link in self._neighbours]

    def next_tick_s(self) -> float:
        """Return the time of the next hello, or of the next neighbour to be given up."""
        deaths = [n.dead_at_s for n in self._neighbours.values() if n is not None]
        return min([self._next_hello_s, *deaths])

    def hello_on(self, link: str) -> Outgoing:
        """Return the hello to send on `link` now."""
        heard = self.heard_on(link)
        return Outgoing(link, Hello(self.router, self.timers, () if heard is None else (heard,)))

    def forget(self, link: str) -> None:
        """Give up whoever was at the end of `link`, without waiting for the dead interval."""
        self._neighbours[link] = None

    def _problem(self, hello: Hello) -> str | None:
        if not isinstance(hello.sender, str) or not isinstance(hello.heard, tuple):
            return f"malformed hello {hello!r}"
        if hello.sender == self.router:
            return "hello from ourselves: the link leads back to this router"
        if hello.timers != self.timers:
            return (
                f"hello from {hello.sender!r} has {hello.timers}, "
                f"but we use {self.timers} (RFC 2328, section 10.5)"
            )
        return None
