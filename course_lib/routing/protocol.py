"""What every routing protocol of this course looks like from outside.

A protocol reads no clock and opens no socket. Somebody tells it the time and hands it a message
with the link on which it came; it answers with messages to send. That makes every timer of the
standards testable in no time at all, and lets one router run on a drawn network or a real one.

* Routers and links are names (`str`). Destinations are any hashable values, usually prefixes.
* What a neighbour sends can be wrong. It is then ignored and a sentence goes to `complaints`.
* What the caller does wrong (a link that does not exist) raises `ValueError`.
"""

__all__ = [
    "MAX_COMPLAINTS",
    "Destination",
    "NextHop",
    "Outgoing",
    "Route",
    "RoutingProtocol",
    "Speaker",
    "check_costs",
    "is_cost",
    "is_hashable",
]

from collections import deque
from collections.abc import Hashable, Mapping
from typing import NamedTuple, Protocol, TypeVar

Destination = TypeVar("Destination", bound=Hashable)

MAX_COMPLAINTS = 100  # the newest are kept: a broken neighbour must not fill our memory


class NextHop(NamedTuple):
    """Where a packet goes next: out of `link` to `router` (None: to its destination itself)."""

    link: str
    router: str | None


class Route(NamedTuple):
    """A way to a destination. Several next hops are equally good; none means it is our own."""

    metric: int
    next_hops: frozenset[NextHop]


class Outgoing(NamedTuple):
    """A message that the caller is asked to send out of `link`."""

    link: str
    message: object


class RoutingProtocol(Protocol[Destination]):
    """The calls that a network makes on a protocol, and nothing else."""

    def start(self, now_s: float) -> list[Outgoing]:
        """Begin; called once, before anything else."""

    def receive(self, now_s: float, message: object, link: str) -> list[Outgoing]:
        """Take in a message that arrived on `link`."""

    def tick(self, now_s: float) -> list[Outgoing]:
        """Do whatever is due by now. Calling it too early does nothing."""

    def next_tick_s(self) -> float:
        """Return when `tick` will next have something to do."""

    def link_down(self, now_s: float, link: str) -> list[Outgoing]:
        """Take note that `link` carries nothing any more."""

    def link_up(self, now_s: float, link: str) -> list[Outgoing]:
        """Take note that `link` works again."""

    def routes(self) -> Mapping[Destination, Route]:
        """Return the reachable destinations and how to get there."""


class Speaker:
    """What each protocol here keeps of its own links, and of what was wrong with messages."""

    def __init__(self, router: str, links: Mapping[str, int], highest_cost: int) -> None:
        """Take the cost of each link, from 1 to the highest; all of them work."""
        check_costs("link", links, 1, highest_cost)
        self.router = router
        self.complaints: deque[str] = deque(maxlen=MAX_COMPLAINTS)
        self._costs, self._up = dict(links), dict.fromkeys(links, True)

    def _check_link(self, link: str) -> None:
        if link not in self._costs:
            raise ValueError(f"{self.router!r} has no link {link!r}, only {list(self._costs)}")

    def _set_up(self, link: str, works: bool) -> None:
        self._check_link(link)
        self._up[link] = works

    def _complain(self, link: str, problem: str | None) -> None:
        if problem is not None:
            self.complaints.append(f"{self.router} on link {link!r}: {problem}")


def is_cost(value: object, lowest: int, highest: int) -> bool:
    """Return True for a whole number from `lowest` to `highest`; True and False are none."""
    return isinstance(value, int) and not isinstance(value, bool) and lowest <= value <= highest


def check_costs(what: str, costs: Mapping[Destination, int], lowest: int, highest: int) -> None:
    """Refuse a table of costs that holds one outside `lowest` to `highest`.

    >>> check_costs("link", {"to Reed Pier": 0}, 1, 15)
    Traceback (most recent call last):
    ValueError: link 'to Reed Pier' has cost 0; a cost here is a whole number from 1 to 15
    """
    for name, cost in costs.items():
        if not is_cost(cost, lowest, highest):
            raise ValueError(
                f"{what} {name!r} has cost {cost!r}; "
                f"a cost here is a whole number from {lowest} to {highest}"
            )


def is_hashable(value: object) -> bool:
    """Return True if `value` can be a key; a tuple that holds a list, say, cannot."""
    try:
        hash(value)
    except TypeError:
        return False
    return True


def link_between(one: str, other: str) -> str:
    """Return the name of the link between two routers, the same from either end.

    >>> link_between("Reed Pier", "Plover")
    'Plover - Reed Pier'
    """
    return " - ".join(sorted((one, other)))
