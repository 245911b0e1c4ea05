"""Take what a routing protocol knows over into a router's forwarding table, and only what is sound.

A protocol names links and neighbours; a forwarding table wants an interface and an address. A route
that leads nowhere, because there is no such link or another router at its end, is left out and
recorded. The rest is mirrored with the smallest set of changes (`course_lib.routing.mirror`).

* Prefixes of the router's own interfaces are left alone: attached networks come first.
* Of several equally good next hops the first in the alphabet is taken.
"""

__all__ = ["Gateway", "RouteInstaller", "RouteTaker"]

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from course_lib.network.careful_calls import Guard
from course_lib.network.records import Record, What
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import format_address
from course_lib.routing.mirror import Mirror
from course_lib.routing.protocol import NextHop, Route


class RouteTaker(Protocol):
    """A router whose forwarding table can be written; `course_lib.forwarding.Router` is one."""

    def add_route(self, prefix: Prefix, next_hop: int | None, interface: str) -> None:
        """Send what lies in `prefix` to `next_hop`; a route with this very prefix is replaced."""

    def withdraw_route(self, prefix: Prefix) -> None:
        """Remove the route with exactly this prefix."""


class Gateway(NamedTuple):
    """A neighbouring router, as a forwarding table knows it."""

    interface: str
    address: int

    def __str__(self) -> str:
        return f"{format_address(self.address)} on {self.interface}"


class _Table:
    """A router's forwarding table, in the form that a `Mirror` writes."""

    def __init__(self, router: RouteTaker) -> None:
        self._router = router
        self.withdraw = router.withdraw_route

    def insert(self, prefix: Prefix, gateway: Gateway) -> None:
        self._router.add_route(prefix, gateway.address, gateway.interface)


@dataclass(eq=False, repr=False)
class RouteInstaller:
    """The routes of one protocol at one place, on their way into the router there."""

    guard: Guard  # of the protocol
    router: RouteTaker
    gateways: Mapping[NextHop, Gateway]  # to all possible next hops
    own: frozenset[Prefix]  # to be left alone

    def __post_init__(self) -> None:
        self._mirror = Mirror[Prefix, Gateway](_Table(self.router))

    def installed(self) -> dict[Prefix, Gateway]:
        """Return what has been put into the table."""
        return self._mirror.installed()

    def follow(self, now_s: float) -> None:
        """Ask the protocol for its routes, bring the table in line, and record what changed."""
        routes = self.guard.ask(now_s, "routes", read=_read_routes)
        if routes is None:
            return
        place = self.guard.place
        try:
            for prefix, before, after in self._mirror.steps(self._sound(now_s, routes)):
                text = f"{prefix}: from {before or 'no route'} to {after or 'no route'}"
                self.guard.write_down(Record(now_s, place, What.ROUTE_CHANGED, text=text))
        except Exception as error:  # routes and table may both be a student's
            text = f"routes could not be taken over: {type(error).__name__}: {error}"
            self.guard.mistake(now_s, What.FAILED, text)

    def _sound(self, now_s: float, routes: Mapping[object, object]) -> dict[Prefix, Gateway]:
        """Return the routes that lead somewhere, and write down the others."""
        sound: dict[Prefix, Gateway] = {}
        for prefix, route in routes.items():
            if not isinstance(prefix, Prefix) or not isinstance(route, Route):
                kinds = f"{type(prefix).__name__} and {type(route).__name__}"
                self._refuse(now_s, f"an entry is {kinds}, must be Prefix and Route")
            elif route.next_hops and prefix not in self.own:
                hop = min(route.next_hops, key=str)
                if hop in self.gateways:
                    sound[prefix] = self.gateways[hop]
                else:
                    self._refuse(now_s, self._nowhere(prefix, hop))
        return sound

    def _nowhere(self, prefix: Prefix, hop: NextHop) -> str:
        known = ", ".join(f"{each.router!r} on {each.link!r}" for each in self.gateways)
        return (
            f"{prefix} leads to {hop.router!r} on link {hop.link!r}, where no such "
            f"router is; there are {known or 'none'}"
        )

    def _refuse(self, now_s: float, text: str) -> None:
        self.guard.mistake(now_s, What.REFUSED, f"routes(): {text}")


def _read_routes(answer: object) -> tuple[Mapping[object, object] | None, list[str]]:
    if isinstance(answer, Mapping):
        return answer, []
    return None, [f" gave {type(answer).__name__}, must be a mapping to Route"]
