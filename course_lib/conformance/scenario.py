"""A clause of a standard as something to try: what is sent to a router, and what is expected.

A scenario is plain data that never changes. It knows nothing of how its frames reach a router and
what came comes back: by calls (`playing`), or over a wire.
"""

__all__ = ["PLAIN", "Exchange", "Group", "Scenario", "introductions"]

from typing import Literal, NamedTuple

from course_lib.conformance.bench import INTERFACES, ROUTES, STATIONS, RouteGiven
from course_lib.conformance.expectations import Expectation
from course_lib.conformance.given import Given, asks
from course_lib.conformance.seen import Seen, Sent, take_apart
from course_lib.headers.assigned_numbers import ETHER_TYPE_IPV4
from course_lib.headers.ethernet import ETHERNET_OCTETS

Group = Literal["headers", "ways", "neighbours", "errors", "options", "fragments", "own packets"]

PLAIN = "a plain packet"  # the name of the clause without which hardly any other can be tried


class Scenario(NamedTuple):
    """A clause, and how it is tried.

    needs: names of clauses that must be kept before this one can be tried at all.
    is_core: whether it is for every router, or one of this course may leave it out.
    until_s: how long is listened after the start.
    silent: addresses of neighbours that do not answer questions for their hardware address.
    routes: what the router is told.
    is_introduced: whether all neighbours have asked for the router before, so that it knows them.
    """

    name: str
    group: Group
    standard: str
    section: str
    rule: str
    given: tuple[Given, ...]
    expected: Expectation
    needs: tuple[str, ...] = (PLAIN,)
    is_core: bool = True
    until_s: float = 0.5
    silent: frozenset[int] = frozenset()
    routes: tuple[RouteGiven, ...] = ROUTES
    is_introduced: bool = True

    @property
    def clause(self) -> str:
        """The standard and the place in it."""
        return f"{self.standard}, {self.section}"


def introductions() -> tuple[Given, ...]:
    """Return the questions by which a router learns who stands at its links (RFC 826)."""
    ours = {each.name: each.address for each in INTERFACES}
    return tuple(asks(each, ours[each.interface]) for each in STATIONS)


class Exchange(NamedTuple):
    """What a router made of a scenario: what it sent, and what went wrong within it.

    Times count from the start of the scenario; what was sent before is left out.

    trouble: a call that failed or gave something that cannot be sent, in words.
    complaint: what the router itself says of a stage that failed.
    """

    sent: tuple[Sent, ...]
    trouble: str = ""
    complaint: str = ""

    def seen(self, scenario: Scenario) -> list[Seen]:
        """Return what was sent, taken apart."""
        datagrams = [
            each.frame[ETHERNET_OCTETS:]
            for each in scenario.given
            if each.frame[12:14] == ETHER_TYPE_IPV4.to_bytes(2, "big")
        ]
        senders = {int.from_bytes(octets[12:16], "big") for octets in datagrams}
        targets = {int.from_bytes(octets[16:20], "big") for octets in datagrams}
        return [take_apart(each, senders, targets) for each in self.sent]
