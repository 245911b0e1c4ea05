"""A machine without private networks in a room: its hosts and its router are simulated, in time.

    with SimulatedMember(plan, outside) as member:
        member.begin("Ticket Office", Stream(destination, count=100, interval_s=0.02))
        while True:
            for record in member.go_on(0.5): ...

The plan is one for a `PrivateNetwork`, and outside is the same as well. Inside, time is counted in
events, and goes on as the clock does. Where a link leads out there stands a place that is no
router: what reaches it goes into the link, and what comes by the link leaves it as a frame. So the
routers of other machines cannot tell such a member from one with kernels; but its hosts speak no
TCP. Time during which the machine slept is left out.
"""

__all__ = ["SimulatedMember"]

import math
import select
import time
from collections import deque
from collections.abc import Callable

from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.links.over_udp.udp_link import LinkReport, UdpLink
from course_lib.links.terms import LinkTerms, TermsError
from course_lib.live.closed_in_the_end import ClosedInTheEnd
from course_lib.live.outer_links.outer_link import OuterAccess, OuterLink, socket_of
from course_lib.live.private_network.plan import LivePlan
from course_lib.live.simulated_network import SimulatedNetwork
from course_lib.network.event_clock import TooManyEventsError
from course_lib.network.hosts.tasks import HostTask
from course_lib.network.records import Record
from course_lib.network.wires import LARGEST_RATE_BITS_PER_S, End, Wire
from course_lib.steering.changes import Change, SetLine
from course_lib.steering.paced_network import PacedNetwork
from course_lib.steering.states import RouterState
from course_lib.steering.steered_wire import NO_LIMIT

MOST_AT_ONCE_S = 0.2
MOST_COMPLAINTS = 5
_HARDWARE = (bytes.fromhex("00005e0053fe"), bytes.fromhex("00005e0053ff"))  # RFC 9542


class SimulatedMember(ClosedInTheEnd):
    """The router of a plan, its hosts, and its links to outside. Raises `NetworkError`.

    The plan has one router with links to outside. `close` closes their sockets.
    """

    def __init__(
        self,
        plan: LivePlan,
        outside: OuterAccess,
        clock_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self.plan, self._clock_s = plan, clock_s
        self.network = SimulatedNetwork(plan).network
        self._far_ends = {
            link.end.interface: self._lead_out(link, outside) for link in plan.outer_links
        }
        self._router = plan.routers[0].name
        self._paced = PacedNetwork(self.network, self._router)
        for link in plan.outer_links:
            line = link.line_out
            self._paced.change(SetLine(link.end.interface, *line[:4]))
        self.network.when_a_wire_changes.append(self._wire_changed)
        self._complaints = deque[str](maxlen=MOST_COMPLAINTS)
        self._seen_s = clock_s()

    def close(self) -> None:
        """Close the links."""
        for far in self._far_ends.values():
            far.link.close()

    def begin(self, host: str, task: HostTask) -> int:
        """Set a host to work; return the number under which its records will be."""
        return self.network.hosts[self.plan.host(host).name].begin(self.network.now_s, task)

    def go_on(self, within_s: float = 0.0) -> list[Record]:
        """Wait until there is something to do, so long at most; do it; return what happened."""
        links = [far.link for far in self._far_ends.values()]
        inside_s = self.network.clock.next_s() - self.network.now_s
        waits_s = max(0.0, min([within_s, inside_s, *(link.wait_s() for link in links)]))
        if links:
            select.select(links, [], [], waits_s)
        else:  # not every system can wait for no socket at all
            time.sleep(waits_s)
        for far in self._far_ends.values():
            far.take_in()
        now_s = self._clock_s()
        passed_s, self._seen_s = min(now_s - self._seen_s, MOST_AT_ONCE_S), now_s
        records: list[Record] = []
        try:
            records = self._paced.go_on(max(0.0, passed_s))
        except TooManyEventsError as problem:
            self._complaints.append(str(problem))
        for link in links:
            link.tick()
        return records

    def state(self) -> RouterState:
        """Return what the router knows and has counted; a link is up only if it is heard."""
        state = self._paced.state()
        interfaces = tuple(
            each._replace(is_up=self._far_ends[each.name].link.end.is_up)
            if each.name in self._far_ends
            else each
            for each in state.interfaces
        )
        complaints = (*self._complaints, *state.complaints)[-MOST_COMPLAINTS:]
        return state._replace(interfaces=interfaces, complaints=complaints)

    def change(self, change: Change) -> None:
        """Change something at the router; raises `SteeringError` in words."""
        self._paced.change(change)

    def link_reports(self) -> dict[str, LinkReport]:
        """Return what is to be told of the links to other machines, by interface."""
        return {name: far.link.report() for name, far in self._far_ends.items()}

    def change_terms(self, interface: str, terms: LinkTerms) -> None:
        """Let a link go by other terms from now on; raises `TermsError` in words."""
        if interface not in self._far_ends:
            raise TermsError(f"interface {interface!r} has no link to outside")
        self._far_ends[interface].link.change_terms(terms)

    def _lead_out(self, link: OuterLink, outside: OuterAccess) -> "_FarEnd":
        """Put a place where the link leads out, and a wire to it."""
        here = self.plan.interface(link.end)
        hardware = _HARDWARE[here.hardware_address == _HARDWARE[0]]
        there = here._replace(hardware_address=hardware, address=_neighbour_of(here))
        udp = UdpLink(socket_of(link, outside), link.terms, outside.secret, self._clock_s)
        far = _FarEnd(there.name, udp)
        end = End(f"the far end of {link.end}", there.name)
        self.network.add_router(end.place, far, [there])
        ends = (link.end, end)
        wire = Wire(link.end.interface, ends, LARGEST_RATE_BITS_PER_S, buffer_frames=NO_LIMIT)
        self.network.connect(wire)
        return far

    def _wire_changed(self, wire: str, is_up: bool) -> None:
        far = self._far_ends.get(wire)
        if far is not None:
            (far.link.end.bring_up if is_up else far.link.end.take_down)()


class _FarEnd:
    """The place where a link leads out: no router, though the network calls it like one."""

    def __init__(self, interface: str, link: UdpLink) -> None:
        self._interface, self.link = interface, link
        self._came = deque[bytes]()

    def take_in(self) -> None:
        """Take what the link has brought; the network will ask for it."""
        self._came.extend(self.link.arrivals())

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Send a frame of the router's by the link."""
        self.link.send(frame)
        return []

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Return what the link has brought."""
        frames = [OutgoingFrame(self._interface, frame) for frame in self._came]
        self._came.clear()
        return frames

    def next_tick_s(self) -> float:
        """Return a time that is over if something waits, infinity otherwise."""
        return 0.0 if self._came else math.inf


def _neighbour_of(interface: Interface) -> int:
    """Return an address for the far end; nobody uses it, but in a plan each place has one."""
    prefix = interface.prefix
    usable = (
        (prefix.first, prefix.last) if prefix.size == 2 else (prefix.first + 1, prefix.last - 1)
    )
    return usable[0] if usable[0] != interface.address else usable[1]
