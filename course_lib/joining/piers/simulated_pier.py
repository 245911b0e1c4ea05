"""The network at one's own pier, simulated in real time: for machines without private networks.

The lines are real links, so whoever is at the other end notices no difference. All runs in a thread
of this process. A router that never comes back is stopped as in any simulated network; the lines
stay. If even that can't be done, the thread stands still, and the room is told so.
"""

__all__ = ["SimulatedPier"]

import math
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import Future
from functools import partial
from typing import Any, NamedTuple

from course_lib.ip.datagrams import Datagram
from course_lib.ip.packets import OutgoingFrame
from course_lib.joining.messages import (
    AwaitStream,
    EndStream,
    FollowPackets,
    LineTold,
    Placed,
    Report,
    SendEchoes,
    SendStream,
)
from course_lib.joining.piers.own_pier import (
    ECHO_EVERY_S,
    ECHOES,
    FOLLOWED_FOR_S,
    HOST,
    OpenedPier,
    report_of,
)
from course_lib.joining.piers.passed_packet import ends_octets, is_between, passed
from course_lib.joining.piers.running_pier import Hears
from course_lib.joining.piers.stream_arrivals import EVERY_S, StreamArrivals
from course_lib.live.carrying.followed_packet import Follower
from course_lib.live.carrying.recipes import Recipe
from course_lib.live.outer_links.simulated_member import SimulatedMember
from course_lib.network.hosts.pace import Answer
from course_lib.network.hosts.tasks import EchoRequests, Stream
from course_lib.network.records import Record, What
from course_lib.prefixes.text import parse_address
from course_lib.runner.time_limit import TookTooLongError
from course_lib.steering.changes import SetLink

ANSWERS_WITHIN_S = 10.0
NOT_BACK = "it has not come back from a call, and could not be stopped: restart the kernel"
LONGEST_WAIT_S = 0.02  # for what other threads ask


class SimulatedPier:
    """A `RunningPier` in this process. router: what forwards; the library's without it."""

    where = "simulated"

    def __init__(self, secret: bytes, router: Recipe | None = None) -> None:
        self._secret, self._recipe = secret, router
        self._asked, self._is_closed = deque[Callable[[], None]](), threading.Event()
        self._thread = threading.Thread(target=self._turn, name="simulated pier", daemon=True)
        self._arrivals: StreamArrivals | None = None
        self._streams = dict[int, _EndableStream]()
        self._followed: _Followed | None = None
        self._said_s = 0.0
        self._opened: OpenedPier | None = None

    def open(self, placed: Placed, tell: Hears) -> Mapping[int, int]:
        """Make the network; see `RunningPier`."""
        opened = self._opened = OpenedPier(placed, self._secret, self._recipe)
        self._tell, self._pier, self._book = tell, opened.pier, opened.book
        self._network = SimulatedMember(opened.plan, opened.outside)
        router: Any = self._network.network.routers[self._pier.name]
        self._plain, router.receive = router.receive, self._look_at
        self._thread.start()
        return opened.ports

    def set_line(self, line: LineTold) -> None:
        """Go by what the room says of a line."""
        self._asked.append(partial(self._set_line, line))

    def report(self) -> Report:
        """Return what the room is told once a second."""
        answer = Future[Report]()
        self._asked.append(lambda: answer.set_result(self._report()))
        try:
            return answer.result(ANSWERS_WITHIN_S)
        except TimeoutError:
            return report_of(None, (), (NOT_BACK,))

    def do(self, wish: Any) -> None:
        """Begin or end a stream, or follow packets."""
        self._asked.append(partial(self._do, wish))

    def close(self) -> None:
        """End it."""
        self._is_closed.set()
        if self._thread.is_alive():
            self._thread.join(ANSWERS_WITHIN_S)
        if self._opened is not None:
            self._opened.close()

    # --- in its thread

    def _turn(self) -> None:
        with self._network.network.limit:  # one watch for all calls
            while not self._is_closed.is_set():
                while self._asked:
                    self._asked.popleft()()
                self._read(self._network.go_on(LONGEST_WAIT_S))

    def _set_line(self, line: LineTold) -> None:
        interface = self._pier.lines[line.number].name
        self._network.change_terms(interface, self._book.told(line))
        self._network.change(SetLink(interface, not line.is_pulled))

    def _report(self) -> Report:
        lines = self._book.reports(self._network.link_reports())
        try:
            state = self._network.network.limit.call(self._network.state)
        except TookTooLongError as problem:
            return report_of(None, lines, (f"asked what it knows: {problem}",))
        return report_of(state, lines)

    def _do(self, wish: Any) -> None:
        match wish:
            case SendStream():
                to = parse_address(wish.destination)
                stream = _EndableStream(to, count=wish.count, interval_s=wish.interval_s)
                self._streams[wish.stream] = stream
                self._network.begin(HOST, stream)
            case AwaitStream():
                self._arrivals = StreamArrivals(wish.stream, time.monotonic())
            case EndStream():
                self._arrivals = None
                if sent := self._streams.pop(wish.stream, None):
                    sent.has_ended = True
            case FollowPackets():
                until_s = time.monotonic() + FOLLOWED_FOR_S
                ends = ends_octets(wish.source, wish.destination)
                self._followed = _Followed(wish.story, ends, until_s)
            case SendEchoes():
                to = parse_address(wish.destination)
                self._network.begin(HOST, EchoRequests(to, count=ECHOES, interval_s=ECHO_EVERY_S))

    def _read(self, records: Iterable[Record]) -> None:
        now_s = time.monotonic()
        if self._arrivals is None:
            return
        for record in records:
            if record.what is What.DATAGRAM and record.place == HOST:
                self._arrivals.add(now_s, record.number, record.delay_s or 0.0)
        if now_s >= self._said_s + EVERY_S:
            self._said_s = now_s
            self._tell(self._arrivals.gathered(now_s))

    def _look_at(self, now_s: float, interface: str, frame: bytes) -> Sequence[OutgoingFrame]:
        """Stand in front of the router, for the packets that are followed."""
        followed = self._followed
        if followed is None or not is_between(frame, followed.ends):
            sent: Sequence[OutgoingFrame] = self._plain(now_s, interface, frame)
            return sent
        self._followed = None  # the router itself receives it next
        follower = Follower(self._pier.name, self._network.network.routers[self._pier.name])
        try:
            sent = follower.receive(now_s, interface, frame)
        finally:
            self._followed = followed if time.monotonic() < followed.until_s else None
        if follower.journey is not None:
            self._tell(passed(followed.story, follower.journey, self._pier.neighbours))
        return sent


class _Followed(NamedTuple):
    """Which packets are followed, for which story, and until when."""

    story: int
    ends: bytes
    until_s: float


class _EndableStream(Stream):
    """A stream that somebody may end before its time."""

    has_ended = False

    @property
    def due_s(self) -> float:
        return math.inf if self.has_ended else super().due_s

    @property
    def is_done(self) -> bool:
        return self.has_ended or super().is_done

    def act(self, now_s: float) -> tuple[list[Datagram], list[Answer]]:
        return ([], []) if self.has_ended else super().act(now_s)
