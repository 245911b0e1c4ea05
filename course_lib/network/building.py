"""Build a network from a list of links, with interfaces, addresses and names filled in.

* A link has two ends: two routers, or a router and a host. The first end gets the first address of
  the link's prefix that a host may have, the second one the next.
* An interface is called after where it leads: "to Reed Pier".
* A wire is called after its ends: "North Pier - Reed Pier" (`course_lib.routing` does the same).
* Hardware addresses come from the 256 that are set aside for documentation (RFC 9542), in order,
  and start anew after the last one: they need to differ on one wire only.
* The gateway of a host is the router at the other end of its link.
"""

__all__ = ["Link", "build_network", "links_for_documentation"]

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import chain
from typing import NamedTuple

from course_lib.ip.datagrams import INITIAL_TIME_TO_LIVE
from course_lib.ip.packets import Interface
from course_lib.network.careful_calls import FrameHandler
from course_lib.network.hosts.host import Host
from course_lib.network.simulation import CALL_LIMIT_S, Network
from course_lib.network.wires import BARE, End, Framing, NetworkError, Wire
from course_lib.prefixes.plan import host_count
from course_lib.prefixes.prefix import Prefix, parse_prefix, split
from course_lib.routing.protocol import link_between

MakeRouter = Callable[[str, list[Interface]], FrameHandler]

HARDWARE_ADDRESSES = bytes.fromhex("00005e0053")  # and one octet more: RFC 9542
DOCUMENTATION = tuple(  # RFC 5737, section 3
    map(parse_prefix, ("192.0.2.0/24", "198.51.100.0/24", "203.0.113.0/24"))
)


class Link(NamedTuple):
    """A wire as people draw it: from one place to another."""

    ends: tuple[str, str]
    prefix: Prefix
    rate_bits_per_s: float = 100e6
    delay_s: float = 0.0
    loss_rate: float = 0.0
    buffer_frames: int = 100
    framing: Framing = BARE
    mtu: int = 1500


def build_network(
    links: Sequence[Link],
    make_router: MakeRouter,
    *,
    hosts: Iterable[str] = (),
    others: Mapping[str, MakeRouter] | None = None,
    time_to_live: int = INITIAL_TIME_TO_LIVE,
    seed: int = 0,
    call_limit_s: float | None = CALL_LIMIT_S,
) -> Network:
    """Return the network of these links. What is named in `hosts` becomes a host.

    make_router: called with a name and interfaces for every other place.
    others: the same, for the places named there, such as that of a student's router.
    time_to_live: what hosts give their datagrams; 64 hops are not enough for every network.

    Raises `NetworkError` for links that cannot be, such as one whose prefix has no two addresses.

    >>> from course_lib.forwarding import Router
    >>> links = links_for_documentation([("Ticket Office", "North Pier"), ("North Pier", "Plover")])
    >>> network = build_network(links, Router, hosts=["Ticket Office"])
    >>> list(network.wires)
    ['North Pier - Ticket Office', 'North Pier - Plover']
    >>> list(network.routers)
    ['North Pier', 'Plover']
    """
    network = Network(seed=seed, call_limit_s=call_limit_s)
    are_hosts, interfaces = set(hosts), _interfaces(links)
    _check_names(interfaces, are_hosts, others or {})
    for name, own in interfaces.items():
        if name in are_hosts:
            network.add_host(_host(name, interfaces, time_to_live))
        else:
            network.add_router(name, (others or {}).get(name, make_router)(name, own), own)
    for link in links:
        network.connect(_wire(link))
    return network


def links_for_documentation(
    pairs: Iterable[tuple[str, str]], *, rate_bits_per_s: float = 100e6, delay_s: float = 0.0
) -> list[Link]:
    """Give each pair of places a link with a prefix of two addresses (RFC 3021).

    There is room for 384 links in the three ranges for documentation (RFC 5737).
    """
    prefixes = chain.from_iterable(split(block, 31) for block in DOCUMENTATION)
    links = []
    for pair in pairs:
        prefix = next(prefixes, None)
        if prefix is None:
            raise NetworkError(f"no addresses are left for the link of {pair}: 384 links at most")
        links.append(Link(pair, prefix, rate_bits_per_s, delay_s))
    return links


def _interfaces(links: Sequence[Link]) -> dict[str, list[Interface]]:
    """Return the interfaces of every place, in the order of the links."""
    found: dict[str, list[Interface]] = {}
    for number, link in enumerate(links):
        if link.ends[0] == link.ends[1]:
            raise NetworkError(f"a link joins {link.ends[0]!r} to itself; lead it elsewhere")
        if host_count(link.prefix) < 2:
            raise NetworkError(
                f"the link of {link.ends} has the prefix {link.prefix}, in which there is no "
                "address for a second end"
            )
        first = link.prefix.first + (0 if host_count(link.prefix) == link.prefix.size else 1)
        for side, (place, other) in enumerate((link.ends, link.ends[::-1])):
            hardware = HARDWARE_ADDRESSES + bytes([(2 * number + side) % 256])
            interface = Interface(_towards(other), hardware, first + side, link.prefix, link.mtu)
            found.setdefault(place, []).append(interface)
    return found


def _host(name: str, interfaces: Mapping[str, list[Interface]], time_to_live: int) -> Host:
    own = interfaces[name]
    if len(own) > 1:
        raise NetworkError(f"host {name!r} has {len(own)} links; a host here has one")
    there = [i for place, of_place in interfaces.items() if place != name for i in of_place]
    gateway = next(i.address for i in there if i.prefix == own[0].prefix)
    return Host(name, own[0], gateway, time_to_live=time_to_live)


def _wire(link: Link) -> Wire:
    one, other = link.ends
    return Wire(
        link_between(one, other),
        (End(one, _towards(other)), End(other, _towards(one))),
        link.rate_bits_per_s,
        link.delay_s,
        link.loss_rate,
        link.buffer_frames,
        link.framing,
    )


def _towards(place: str) -> str:
    return f"to {place}"


def _check_names(
    interfaces: Mapping[str, object], hosts: set[str], others: Mapping[str, object]
) -> None:
    for name in (*hosts, *others):
        if name not in interfaces:
            raise NetworkError(f"no link leads to {name!r}; there are {', '.join(interfaces)}")
    for name in others:
        if name in hosts:
            raise NetworkError(f"{name!r} is a host, so no router can be put there")
