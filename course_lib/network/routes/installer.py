"""Take what a routing protocol knows over into a router's forwarding table, and only what is sound.

A protocol names links and neighbours; a forwarding table wants an interface and an address. A route
that leads nowhere, because there is no such link or another router at its end, is left out and
recorded. The rest is mirrored with the smallest set of changes (`course_lib.routing.mirror`).

* Prefixes of the router's own interfaces are left alone: attached networks come first.
* Of several equally good next hops the first in the alphabet is taken.
"""

__all__ = ["Gateway", "RouteInstaller", "RouteTaker"]

from collections.abc import Collection, Mapping
from typing import NamedTuple, Protocol

from course_lib.network.careful_calls import Guard
from course_lib.network.records import Record, What
from course_lib.prefixes.prefix import Prefix, format_address
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

    def insert(self, prefix: Prefix, gateway: Gateway) -> None:
        self._router.add_route(prefix, gateway.address, gateway.interface)

    def withdraw(self, prefix: Prefix) -> None:
        self._router.withdraw_route(prefix)


class RouteInstaller:
    """The routes of one protocol at one place, on their way into the router there."""

    def __init__(
        self,
        guard: Guard,
        router: RouteTaker,
        gateways: Mapping[NextHop, Gateway],
        own: Collection[Prefix],
    ) -> None:
        """Take the protocol's guard, its possible next hops, and the prefixes to be left alone."""
        self._guard, self._gateways, self._own = guard, gateways, frozenset(own)
        self._mirror = Mirror[Prefix, Gateway](_Table(router))

    def installed(self) -> dict[Prefix, Gateway]:
        """Return what has been put into the table."""
        return self._mirror.installed()

    def follow(self, now_s: float) -> list[Record]:
        """Ask the protocol for its routes and bring the table in line; return what happened."""
        reply = self._guard.ask(now_s, "routes")
        if reply.mistake is not None:
            return [reply.mistake]
        if self._guard.is_stopped:
            return []
        if not isinstance(reply.value, Mapping):
            text = f"routes() gave {type(reply.value).__name__}, must be a mapping to Route"
            return [self._guard.mistake(now_s, What.REFUSED, text)]
        records: list[Record] = []
        try:
            wanted = self._sound(now_s, reply.value, records)
            for prefix, before, after in self._mirror.steps(wanted):
                text = f"{prefix}: from {before or 'no route'} to {after or 'no route'}"
                records.append(Record(now_s, self._guard.place, What.ROUTE_CHANGED, text=text))
        except Exception as error:  # routes and table may both be a student's
            text = f"routes could not be taken over: {type(error).__name__}: {error}"
            records.append(self._guard.mistake(now_s, What.FAILED, text))
        return records

    def _sound(
        self, now_s: float, routes: Mapping[object, object], records: list[Record]
    ) -> dict[Prefix, Gateway]:
        """Return the routes that lead somewhere, and add records of the others."""
        sound: dict[Prefix, Gateway] = {}
        for prefix, route in routes.items():
            if not isinstance(prefix, Prefix) or not isinstance(route, Route):
                text = f"routes(): an entry is {_kinds(prefix, route)}, must be Prefix and Route"
                records.append(self._guard.mistake(now_s, What.REFUSED, text))
            elif route.next_hops and prefix not in self._own:
                hop = min(route.next_hops, key=str)
                if hop in self._gateways:
                    sound[prefix] = self._gateways[hop]
                else:
                    text = self._nowhere(prefix, hop)
                    records.append(self._guard.mistake(now_s, What.REFUSED, text))
        return sound

    def _nowhere(self, prefix: Prefix, hop: NextHop) -> str:
        known = ", ".join(f"{each.router!r} on {each.link!r}" for each in self._gateways)
        return (
            f"routes(): {prefix} leads to {hop.router!r} on link {hop.link!r}, where no such "
            f"router is; there are {known or 'none'}"
        )


def _kinds(prefix: object, route: object) -> str:
    return f"{type(prefix).__name__} and {type(route).__name__}"
