"""How a plan names a link that leads out of a private network, and what such links need there.

    links = (OuterLink(End("North Pier", "to Reed Pier"), terms),)
    outside = OuterAccess(room_secret(code), {terms.number: open_udp_socket(terms.port)})
    with PrivateNetwork(LivePlan(hosts, routers, inner, links), outside=outside) as network: ...

A private network is shut off, and stays so. The sockets are opened by whoever makes the network, on
the machine itself, and a router's process gets the descriptors of its own. They are its only way
out, and the end of the link that uses them sends to nobody but the addresses that the room handed
out (`course_lib.links.other_machine`). A router of somebody's own that looks for the descriptor
itself can send datagrams elsewhere, as any program can that he runs on his machine.
"""

__all__ = [
    "MOST_OUTER_LINKS", "OuterAccess", "OuterLink", "check_outer_links", "orders_for", "socket_of",
]  # fmt: skip

import socket
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from course_lib.ip.packets import Interface
from course_lib.links.terms import LinkTerms
from course_lib.live.carrying.line_settings import LineSettings
from course_lib.network.wires import End, NetworkError

MOST_OUTER_LINKS = 16  # of one router; a message of the kernel's carries its descriptors
QUEUE_PACKETS = 50
SHARE_OF_RATE = 0.9  # the rest is for the headers outside, and for keep-alives
_FIRST_DESCRIPTOR = 3  # behind those of input, output and errors


class OuterLink(NamedTuple):
    """A link of the room at an interface of a router.

    line: in front of the link, which polices its rate; so that bursts wait there, and are not lost.
    Without one it is nine tenths of the rate in the terms, with a queue of 50 packets.
    """

    end: End
    terms: LinkTerms
    line: LineSettings | None = None

    @property
    def line_out(self) -> LineSettings:
        """Return the line, the given one or the usual."""
        rate = self.terms.rate_bits_per_s * SHARE_OF_RATE
        return self.line or LineSettings(rate, queue_packets=QUEUE_PACKETS)


@dataclass(frozen=True)
class OuterAccess:
    """What links to outside need: the room's secret, and a socket for each number of a link."""

    secret: bytes = field(repr=False)
    sockets: Mapping[int, socket.socket]


def check_outer_links(links: Iterable[OuterLink], routers: Mapping[str, Iterable[Interface]],
                      wired: set[End]) -> set[End]:  # fmt: skip
    """Return the interfaces at which they are; raises `NetworkError` for one that cannot be.

    wired: the interfaces at which links inside end.
    """
    ends, numbers = set[End](), set[int]()
    for link in links:
        here = {each.name: each for each in routers.get(link.end.place, ())}
        if link.end.interface not in here:
            raise NetworkError(f"a link to outside needs a router's interface; {link.end} is none")
        if link.end in wired | ends or link.terms.number in numbers:
            raise NetworkError(
                f"link {link.terms.number} to outside at {link.end}: its number, or its interface, "
                "is that of another link"
            )
        mtu = here[link.end.interface].mtu
        if mtu != link.terms.inner_mtu:
            raise NetworkError(
                f"{link.end} has an MTU of {mtu}, its link to outside one of "
                f"{link.terms.inner_mtu}; give both the same"
            )
        ends.add(link.end)
        numbers.add(link.terms.number)
    if any(sum(end.place == place for end in ends) > MOST_OUTER_LINKS for place in routers):
        raise NetworkError(f"a router has {MOST_OUTER_LINKS} links to outside at most")
    return ends


def socket_of(link: OuterLink, outside: OuterAccess | None) -> socket.socket:
    """Return the socket of a link; raises `NetworkError` if there is none."""
    if outside is None or link.terms.number not in outside.sockets:
        raise NetworkError(
            f"link {link.terms.number} to outside needs a socket: give one in `outside`"
        )
    return outside.sockets[link.terms.number]


def orders_for(
    router: str, links: Iterable[OuterLink], outside: OuterAccess | None
) -> tuple[dict[str, dict[str, Any]], tuple[int, ...]]:
    """Return what the router's process is told of its links, and the descriptors that go along.

    Raises `NetworkError` if a socket is missing.
    """
    told, descriptors = dict[str, dict[str, Any]](), list[int]()
    for link in links:
        if link.end.place != router:
            continue
        descriptor = socket_of(link, outside).fileno()
        told[link.end.interface] = {
            "terms": link.terms.to_plain(),
            "secret": outside.secret.hex() if outside else "",
            "descriptor": _FIRST_DESCRIPTOR + len(descriptors),
        }
        descriptors.append(descriptor)
    return told, tuple(descriptors)
