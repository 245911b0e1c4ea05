"""The network of a live plan, simulated: for machines that cannot have a private network.

Hosts, routers and links are those of `course_lib.network`, so time is counted in events and jumps.
It is asked as a private network is, and answers with the same rows. What it cannot do, it says: its
hosts speak no TCP, and its wires lose at random, with the share that a period of loss comes to.
"""

__all__ = ["SimulatedNetwork"]

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future
from typing import Any

from course_lib.ip.packets import OutgoingFrame
from course_lib.live.carrying.followed_packet import FollowedPacket, Follower
from course_lib.live.carrying.line_settings import LARGEST_RATE_BITS_PER_S, LineSettings
from course_lib.live.carrying.own_source import load_library
from course_lib.live.carrying.recipes import SourceRecipe, make_router
from course_lib.live.closed_in_the_end import ClosedInTheEnd
from course_lib.live.private_network.plan import LiveLink, LivePlan, LiveRouter
from course_lib.network.careful_calls import FrameHandler
from course_lib.network.hosts.host import Host
from course_lib.network.hosts.tasks import STREAM_PORT, EchoRequests, HostTask, PathTrace, Stream
from course_lib.network.records import Record, What
from course_lib.network.simulation import Network
from course_lib.network.wires import NetworkError, Wire
from course_lib.runner.time_limit import TookTooLongError
from course_lib.steering.applying import apply_change
from course_lib.steering.changes import Change, SteeringError
from course_lib.steering.reading import read_state
from course_lib.steering.states import RouterState

Rows = Iterator[dict[str, Any]]

MOST_FRAMES = 1_000_000  # that wait at a wire whose buffer has no end
LONGEST_RUN_S = 1e6  # more than any task takes


class SimulatedNetwork(ClosedInTheEnd):
    """The same plan and the same questions as `PrivateNetwork`, in simulated time.

    network: the `Network` itself, for all that a simulation can do besides.
    """

    def __init__(self, plan: LivePlan) -> None:
        """Make it; raises `NetworkError` for lines that a simulated wire cannot be like.

        Another is raised for a router whose making has no end.
        """
        self.plan, self.network = plan, Network()
        for router in plan.routers:
            self.network.add_router(router.name, self._made(router), router.interfaces)
        for host in plan.hosts:
            gateway = host.interface.address if host.gateway is None else host.gateway
            self.network.add_host(Host(host.name, host.interface, gateway))
        for link in plan.links:
            self.network.connect(_wire(link))

    def _made(self, router: LiveRouter) -> FrameHandler:
        """Make a router; what it imports of the library takes none of its own time."""
        if isinstance(router.recipe, SourceRecipe):
            load_library(router.recipe.text)
        with self.network.limit as limit:
            try:
                return limit.call(make_router, router.recipe, router.name, router.interfaces)
            except TookTooLongError as problem:
                raise NetworkError(f"{router.name!r} could not be made: {problem}") from problem

    def measure(self, host: str, name: str, /, **arguments: Any) -> Rows:
        """Begin a measurement in a host; return its rows. Raises `NetworkError` for TCP."""
        known: Mapping[str, Callable[..., Rows]] = {
            "echo": self._echo,
            "path": self._path,
            "stream": self._stream,
            "stream_arrivals": self._arrivals,
        }
        if name not in known:
            raise NetworkError(
                f"a simulated network cannot measure {name!r}, only {', '.join(known)}; flows of "
                "TCP are simulated in course_lib.tcp"
            )
        return known[name](self.plan.host(host).name, **arguments)

    def state(self, router: str) -> RouterState:
        """Return what a router knows and has counted."""
        self.plan.router(router)
        return read_state(self.network.routers[router], {}, self.network.now_s)

    def change(self, router: str, change: Change) -> None:
        """Change a router's routes or stages; raises `SteeringError` for lines, which stay."""
        self.plan.router(router)
        apply_change(self.network.routers[router], {}, change)

    def follow_next_packet(
        self, router: str, interface: str | None = None
    ) -> Future[FollowedPacket]:
        """Follow the next packet that comes to a router; inside of it no simulated time passes.

        interface: where it must come in, None for any. The result is there when the router has
        handed on the packet; it is `SteeringError` if a packet is being followed already.
        """
        self.plan.router(router)
        found, taken = Future[FollowedPacket](), self.network.routers[router]
        if _RECEIVE in vars(taken):
            found.set_exception(SteeringError("a packet is being followed already"))
        else:
            _stand_in_front(router, taken, interface, found)
        return found

    def cut(self, link: str) -> None:
        """Cut a link: nothing comes through."""
        self.network.cut(self.plan.link(link).name)

    def mend(self, link: str) -> None:
        """Make a link whole again."""
        self.network.mend(self.plan.link(link).name)

    def _echo(self, host: str, destination: int, **settings: Any) -> Rows:
        return self._answers(host, EchoRequests(destination, **settings))

    def _path(self, host: str, destination: int, **settings: Any) -> Rows:
        return self._answers(host, PathTrace(destination, **settings))

    def _answers(self, host: str, task: HostTask) -> Rows:
        begun = len(self.network.records)
        number = self.network.hosts[host].begin(self.network.now_s, task)
        self.network.run_until(self.network.now_s + LONGEST_RUN_S, stop=lambda: task.is_done)
        for record in self.network.records[begun:]:
            if record.place == host and record.task == number and record.what in _ANSWERS:
                yield _row(record)

    def _stream(
        self, host: str, destination: int, count: int, interval_s: float, **settings: Any
    ) -> Rows:
        task = Stream(destination, count=count, interval_s=interval_s, **settings)
        self.network.hosts[host].begin(self.network.now_s, task)
        return iter([{"sent": count, "latest_s": 0.0}])

    def _arrivals(
        self,
        host: str,
        count: int,
        interval_s: float,
        port: int = STREAM_PORT,
        wait_s: float = 2.0,
        **unused: Any,
    ) -> Rows:
        self.network.hosts[host].ports.add(port)
        begun = len(self.network.records)
        yield {"what": "listening"}
        self.network.run_until(self.network.now_s + count * interval_s + wait_s)
        for record in self.network.records[begun:]:
            if record.place == host and record.what is What.DATAGRAM:
                yield {"number": record.number, "delay_s": record.delay_s}


def _stand_in_front(
    name: str, router: FrameHandler, wanted: str | None, found: Future[FollowedPacket]
) -> None:
    """Stand in front of a router until the packet comes that is to be followed."""
    plain, follower = router.receive, Follower(name, router)

    def receive(now_s: float, interface: str, frame: bytes) -> Sequence[OutgoingFrame]:
        if wanted not in (None, interface) or frame[12:14] == _ARP:
            return plain(now_s, interface, frame)
        delattr(router, _RECEIVE)
        now_ns = round(now_s * 1e9)
        follower.came(now_ns, interface, frame)
        try:
            sent = follower.receive(now_s, interface, frame)
        except BaseException as problem:
            found.set_exception(problem)
            raise
        follower.all_went(now_ns)
        followed = follower.followed()
        if followed is not None:
            found.set_result(followed)
        return sent

    setattr(router, _RECEIVE, receive)


_RECEIVE = "receive"
_ARP = b"\x08\x06"
_ANSWERS = frozenset({What.ECHO_REPLY, What.TIME_EXCEEDED, What.UNREACHABLE, What.NO_ANSWER})


def _row(record: Record) -> dict[str, Any]:
    return {
        "number": record.number,
        "what": str(record.what),
        "other": record.other,
        "delay_s": record.delay_s,
    }


def _wire(link: LiveLink) -> Wire:
    there, back = link.there, link.back
    if there != back or there.rules is not None:
        raise NetworkError(
            f"link {link.name!r}: a simulated wire is the same in both directions and has no queue "
            "rules of its own; give both directions the same settings, or see course_lib.queueing"
        )
    return Wire(link.name, link.ends, *_medium(there))


def _medium(line: LineSettings) -> tuple[float, float, float, int]:
    return (
        line.rate_bits_per_s or LARGEST_RATE_BITS_PER_S,
        line.delay_s,
        1 / line.loss_period if line.loss_period else 0.0,
        line.queue_packets or MOST_FRAMES,
    )
