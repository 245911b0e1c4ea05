"""The data network of the invented ferry company Quillwater Ferries.

Four piers are joined in a ring by fibre. Three boats are in radio reach of one or two piers. At
each pier and on each boat there is a router; all of them forward packets for everybody.

                         Plover
                           :
    Ticket Office --- North Pier ------ Reed Pier ......... Curlew
                           |                |                 :
                       Gull Rock ----- Lantern Pier ..........:
                           :                :
                           :... Sandpiper ..:

A line is fibre, dots are radio. At Gull Rock stands the Weather Mast, at Lantern Pier hangs the
Timetable Board, and on each boat there is a Bridge Screen. These are hosts, as is the office.

The addresses are those set aside for documentation (RFC 5737): 192.0.2.0/24 for links between
routers, 198.51.100.0/24 for what stands at piers, 203.0.113.0/24 for what is on boats.
"""

__all__ = ["BOATS", "FIBRE", "HOSTS", "PIERS", "RADIO", "ferry_links", "ferry_network"]

from collections.abc import Mapping
from typing import NamedTuple

from course_lib.forwarding.router import Router
from course_lib.network.building import Link, MakeRouter, build_network
from course_lib.network.routes.static_routes import fill_in_routes
from course_lib.network.simulation import CALL_LIMIT_S, Network
from course_lib.prefixes.prefix import parse_prefix

PIERS = ("North Pier", "Reed Pier", "Lantern Pier", "Gull Rock")
BOATS = ("Plover", "Curlew", "Sandpiper")


class Medium(NamedTuple):
    """What a kind of link can do; all values are invented."""

    rate_bits_per_s: float
    delay_s: float
    loss_rate: float = 0.0


FIBRE = Medium(rate_bits_per_s=100e6, delay_s=50e-6)  # ten kilometres at 200,000 km/s
RADIO = Medium(rate_bits_per_s=10e6, delay_s=1e-3)  # a shared channel: waiting for one's turn
CABLE = Medium(rate_bits_per_s=100e6, delay_s=0.0)  # across a room

_LINKS = (
    ("North Pier", "Reed Pier", "192.0.2.0/31", FIBRE),
    ("Reed Pier", "Lantern Pier", "192.0.2.2/31", FIBRE),
    ("Lantern Pier", "Gull Rock", "192.0.2.4/31", FIBRE),
    ("Gull Rock", "North Pier", "192.0.2.6/31", FIBRE),
    ("North Pier", "Plover", "192.0.2.8/31", RADIO),
    ("Reed Pier", "Curlew", "192.0.2.10/31", RADIO),
    ("Lantern Pier", "Curlew", "192.0.2.12/31", RADIO),
    ("Lantern Pier", "Sandpiper", "192.0.2.14/31", RADIO),
    ("Gull Rock", "Sandpiper", "192.0.2.16/31", RADIO),
    ("North Pier", "Ticket Office", "198.51.100.0/27", CABLE),
    ("Lantern Pier", "Timetable Board", "198.51.100.64/27", CABLE),
    ("Gull Rock", "Weather Mast", "198.51.100.96/27", CABLE),
    ("Plover", "Plover Bridge Screen", "203.0.113.0/28", CABLE),
    ("Curlew", "Curlew Bridge Screen", "203.0.113.16/28", CABLE),
    ("Sandpiper", "Sandpiper Bridge Screen", "203.0.113.32/28", CABLE),
)
HOSTS = tuple(host for _, host, _, medium in _LINKS if medium is CABLE)


def ferry_links(*, radio: Medium = RADIO, buffer_frames: int = 100) -> list[Link]:
    """Return the links; `radio` takes the place of what the radio links are otherwise."""
    return [
        Link(
            (one, other),
            parse_prefix(prefix),
            *(radio if medium is RADIO else medium),
            buffer_frames=buffer_frames,
        )
        for one, other, prefix, medium in _LINKS
    ]


def ferry_network(
    *,
    routers: Mapping[str, MakeRouter] | None = None,
    radio: Medium = RADIO,
    buffer_frames: int = 100,
    with_routes: bool = True,
    seed: int = 0,
    call_limit_s: float | None = CALL_LIMIT_S,
) -> Network:
    """Return the network, with the library's routers except where `routers` says otherwise.

    routers: for a place, a function from its name and interfaces to the router that stands there.
    with_routes: fill in routes; leave it out where routing protocols shall find them.

    >>> network = ferry_network()
    >>> len(network.routers), len(network.hosts), len(network.wires)
    (7, 6, 15)
    """
    network = build_network(
        ferry_links(radio=radio, buffer_frames=buffer_frames),
        Router,
        hosts=HOSTS,
        others=routers,
        seed=seed,
        call_limit_s=call_limit_s,
    )
    if with_routes:
        fill_in_routes(network)
    return network
