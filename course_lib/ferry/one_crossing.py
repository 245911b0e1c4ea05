"""One way through the ferry network, from a host to a host, and what is sent along it.

    Ticket Office --- North Pier ........ Plover --- Plover Bridge Screen

Nobody here knows a hardware address at first. So this is the place to see how each of them finds
out the next one's, and what becomes of packets meanwhile. Wires and addresses are those of
`ferry_network`; the four are cut out of it, so that nothing else happens.
"""

__all__ = ["ERRANDS", "HOST", "NEXT_HOP", "PLACES", "ROUTER", "Errand", "crossing"]

from collections.abc import Callable, Mapping
from typing import NamedTuple

from course_lib.ferry.network import HOSTS, ferry_links
from course_lib.forwarding.router import Router
from course_lib.network.building import build_network
from course_lib.network.hosts.tasks import EchoRequests, HostTask, Stream
from course_lib.network.routes.static_routes import fill_in_routes
from course_lib.network.simulation import Network
from course_lib.prefixes.text import parse_address

PLACES = HOST, ROUTER, NEXT_HOP, _ = (
    "Ticket Office",
    "North Pier",
    "Plover",
    "Plover Bridge Screen",
)
_SCREEN, _NOBODY = parse_address("203.0.113.2"), parse_address("203.0.113.9")
_PATIENCE_S = 20.0  # so that the asker never gives up before the routers do


class Errand(NamedTuple):
    """What the office sends, a question about it, and the place that is its answer."""

    task: Callable[[], HostTask]
    time_to_live: int
    question: str
    answer: str


ERRANDS: Mapping[str, Errand] = {
    "one echo": Errand(
        lambda: EchoRequests(_SCREEN, wait_s=_PATIENCE_S),
        64,
        "An echo goes to the Bridge Screen. Whose hardware address does the office write on "
        "its frame? Press a place.",
        ROUTER,
    ),
    "four datagrams at once": Errand(
        lambda: Stream(_SCREEN, count=4, interval_s=0.0, payload_octets=100),
        64,
        "Four datagrams leave the office, one right behind the other. One never arrives, though "
        "no wire loses any. Where does it end? Press a place.",
        ROUTER,
    ),
    "an echo, time to live 2": Errand(
        lambda: EchoRequests(_SCREEN, wait_s=_PATIENCE_S),
        2,
        "An echo sets out with time to live 2. Who tells the office that it went no further? "
        "Press a place.",
        NEXT_HOP,
    ),
    "an echo to nobody": Errand(
        lambda: EchoRequests(_NOBODY, wait_s=_PATIENCE_S),
        64,
        "An echo goes to 203.0.113.9, where nobody is. Who finds that out and says so? "
        "Press a place.",
        NEXT_HOP,
    ),
}


def crossing(errand: Errand) -> Network:
    """Return the four places with their wires, the errand begun; nothing has happened yet."""
    links = [link for link in ferry_links() if set(link.ends) <= set(PLACES)]
    hosts = [place for place in PLACES if place in HOSTS]
    network = build_network(links, Router, hosts=hosts, time_to_live=errand.time_to_live)
    fill_in_routes(network)
    network.hosts[HOST].begin(0.0, errand.task())
    return network
