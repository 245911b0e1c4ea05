"""A line is cut while a stream flows over it: how long did it stall? Live, and simulated.

    live, simulated = both_cuts("distance vector")
    print(live)
    print(simulated)

The routers are the same objects in both networks, and so are their timers: what differs is where
time comes from. So the two stalls may differ by as much as one sign of life more or less, and by
what a busy machine adds. With distance vector it matters besides where in the interval of regular
updates the cut falls: a neighbour that has another way tells of it in its next one, up to 3 s later
(30 s in the protocol's own time; RFC 2453, section 3.8).
"""

__all__ = ["CutStory", "both_cuts", "live_cut", "simulated_cut", "speaking_plan"]

import time
from functools import partial
from itertools import pairwise
from typing import NamedTuple

from course_lib.live.ferry_plans import fleet_network, plan_like
from course_lib.live.private_network.plan import LivePlan
from course_lib.live.private_network.private_network import PrivateNetwork
from course_lib.live.private_network.supervised import LiveNetworkError
from course_lib.live.simulated_network import SimulatedNetwork
from course_lib.live.speaking_routers.speaking_router import Neighbour, speaking_recipe
from course_lib.network.simulation import Network
from course_lib.routing.protocol import link_between

SOURCE, DESTINATION = "Ticket Office", "Weather Mast"  # one way is the shortest by far
INTERVAL_S, COUNT, CUT_AFTER = 0.02, 600, 75  # datagrams
PATIENCE_S, LOOK_EVERY_S = 90.0, 0.25  # for all routes to be there


class CutStory(NamedTuple):
    """What became of a stream; datagrams have numbers from 1 on.

    where: "live" or "simulated"; link: which one was cut; ready_s: how long it took from the start
    of the routers until each knew a way to each network.
    """

    where: str
    link: str
    ready_s: float
    sent: int
    arrived: tuple[int, ...]
    interval_s: float = INTERVAL_S

    @property
    def lost(self) -> int:
        """How many never arrived."""
        return self.sent - len(self.arrived)

    @property
    def came_back(self) -> bool:
        """Tell whether something arrived after the longest silence, to the end of the stream."""
        return bool(self.arrived) and self.arrived[-1] == self.sent

    @property
    def stalled_s(self) -> float:
        """The longest silence: from the last one before it to the first one after."""
        numbers = [0, *self.arrived, self.sent + 1]
        return max(b - a - 1 for a, b in pairwise(numbers)) * self.interval_s

    def __str__(self) -> str:
        back = "came back after" if self.came_back else "had not come back at its end, silent for"
        return (
            f"{self.where}: {self.link} was cut, and the stream {back} {self.stalled_s:.2f} s; "
            f"{self.lost} of {self.sent} datagrams were lost"
        )


def speaking_plan(network: Network, way: str, process_source: str = "") -> LivePlan:
    """Return the plan of a network whose routers find their routes by themselves.

    way: "distance vector", "link state" or "own process"; for the last, `process_source` is text
    that defines `new_process`, as exercise 7.6 has it.
    """
    neighbours: dict[str, dict[str, Neighbour]] = {name: {} for name in network.routers}
    for wire in network.wires.values():
        if all(end.place in neighbours for end in wire.ends):
            for mine, other in (wire.ends, wire.ends[::-1]):
                address = network.plan.interface(other).address
                neighbours[mine.place][mine.interface] = Neighbour(other.place, address)
    return plan_like(
        network,
        lambda name, routes: speaking_recipe(name, neighbours[name], way, process_source),
    )


def live_cut(plan: LivePlan, source: str = SOURCE, destination: str = DESTINATION) -> CutStory:
    """Tell the story between real kernels; raises `LiveNetworkError` if no routes are found."""
    with PrivateNetwork(plan) as network:
        begun_s = time.monotonic()
        while not _all_is_known(network, plan):
            if time.monotonic() - begun_s > PATIENCE_S:
                raise LiveNetworkError(
                    f"after {PATIENCE_S:g} s the routers still do not know a way to each network; "
                    "look at network.state(router).routes and complaints"
                )
            time.sleep(LOOK_EVERY_S)
        ready_s = time.monotonic() - begun_s
        arrivals = network.measure(
            destination, "stream_arrivals", count=COUNT, interval_s=INTERVAL_S
        )
        next(arrivals)
        to = plan.host(destination).interface.address
        network.measure(source, "stream", destination=to, count=COUNT, interval_s=INTERVAL_S)
        link, numbers = "", list[int]()
        for row in arrivals:
            numbers.append(row["number"])
            if not link and row["number"] >= CUT_AFTER:
                link = _link_in_use(network, plan, source, destination)
                network.cut(link)
    return CutStory("live", link, ready_s, COUNT, tuple(sorted({*numbers})))


def simulated_cut(plan: LivePlan, source: str = SOURCE, destination: str = DESTINATION) -> CutStory:
    """Tell the same story in the simulated network of this plan."""
    with SimulatedNetwork(plan) as simulated:
        network = simulated.network
        while not _all_is_known(simulated, plan) and network.now_s < PATIENCE_S:
            network.run_until(network.now_s + LOOK_EVERY_S)
        ready_s = network.now_s
        arrivals = simulated.measure(
            destination, "stream_arrivals", count=COUNT, interval_s=INTERVAL_S
        )
        next(arrivals)
        to = plan.host(destination).interface.address
        simulated.measure(source, "stream", destination=to, count=COUNT, interval_s=INTERVAL_S)
        cut = _link_in_use(simulated, plan, source, destination)
        network.at(network.now_s + CUT_AFTER * INTERVAL_S, partial(simulated.cut, cut))
        numbers = {row["number"] for row in arrivals}
    return CutStory("simulated", cut, ready_s, COUNT, tuple(sorted(numbers)))


def both_cuts(way: str, process_source: str = "") -> tuple[CutStory, CutStory]:
    """Tell the story of the ferry company's ten routers: between real kernels, and simulated.

    way, process_source: as for `speaking_plan`.
    """
    plan = speaking_plan(fleet_network(), way, process_source)
    return live_cut(plan), simulated_cut(plan)


def _all_is_known(network: PrivateNetwork | SimulatedNetwork, plan: LivePlan) -> bool:
    """Tell whether each router has a route to the network of each host."""
    wanted = {host.interface.prefix for host in plan.hosts}
    return all(
        wanted <= {route.prefix for route in network.state(router.name).routes}
        for router in plan.routers
    )


def _link_in_use(
    network: PrivateNetwork | SimulatedNetwork, plan: LivePlan, source: str, destination: str
) -> str:
    """Return the first link between two routers on the way that packets take."""
    gateway = plan.host(source).gateway
    router = plan.place_of(gateway) if gateway is not None else None
    prefix = plan.host(destination).interface.prefix
    for route in network.state(router or source).routes:
        if route.prefix == prefix and route.next_hop is not None:
            return link_between(router or source, plan.place_of(route.next_hop) or "")
    raise LiveNetworkError(f"{router!r} has no route to {destination!r} over another router")
