"""Two small networks, each for a machine of its own, with a link of a room between them.

Ticket Office - North Pier  ~~~ link 1 ~~~  Reed Pier - Weather Mast
"""

from course_lib.forwarding.router import Router
from course_lib.links.over_udp.udp_socket import open_udp_socket
from course_lib.links.terms import LinkTerms
from course_lib.live.ferry_plans import plan_like
from course_lib.live.outer_links.outer_link import OuterAccess, OuterLink
from course_lib.live.private_network.plan import LivePlan
from course_lib.network.building import Link, build_network
from course_lib.network.routes.static_routes import fill_in_routes
from course_lib.network.simulation import Network
from course_lib.network.wires import End
from course_lib.prefixes.prefix import parse_prefix

HERE, NUMBER, MTU = "127.0.0.1", 1, 1400
PIERS, HOSTS = ("North Pier", "Reed Pier"), ("Ticket Office", "Weather Mast")
SECRET = bytes(range(32))
ENDS = (End(PIERS[0], f"to {PIERS[1]}"), End(PIERS[1], f"to {PIERS[0]}"))


def whole_network() -> Network:
    """Return both networks as one, simulated."""
    links = [
        Link((PIERS[0], HOSTS[0]), parse_prefix("198.51.100.0/27")),
        Link(PIERS, parse_prefix("192.0.2.0/31"), mtu=MTU),
        Link((PIERS[1], HOSTS[1]), parse_prefix("203.0.113.0/27")),
    ]
    network = build_network(links, Router, hosts=HOSTS)
    fill_in_routes(network)
    return network


class JoinedPlans:
    """A plan for each of the two machines, with sockets on loopback; `close` lets go of these."""

    def __init__(self, **terms) -> None:
        sockets = [open_udp_socket(0, HERE) for _ in PIERS]
        self.ports = [each.getsockname()[1] for each in sockets]
        self.terms = [
            LinkTerms(NUMBER, end, self.ports[end], ((HERE, self.ports[1 - end]),),
                      **{"inner_mtu": MTU, "keep_alive_s": 1.0, **terms})
            for end in (0, 1)
        ]  # fmt: skip
        self.outside = [OuterAccess(SECRET, {NUMBER: each}) for each in sockets]
        whole = plan_like(whole_network(), bare=True)
        self.plans = [
            LivePlan(
                tuple(each for each in whole.hosts if each.name == HOSTS[end]),
                tuple(each for each in whole.routers if each.name == PIERS[end]),
                tuple(each for each in whole.links if HOSTS[end] in {e.place for e in each.ends}),
                (OuterLink(ENDS[end], self.terms[end]),),
            )
            for end in (0, 1)
        ]

    def close(self) -> None:
        for each in self.outside:
            each.sockets[NUMBER].close()
