"""The network at one's own pier between real kernels: a private network with links to outside.

The host is a kernel of its own, the router a process of its own; nothing of the machine can be
reached from there but the UDP sockets of the lines, which send to the room's addresses alone.
"""

__all__ = ["LivePier"]

import threading
import time
from collections.abc import Mapping
from typing import Any

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
from course_lib.joining.piers.passed_packet import ends_octets, passed
from course_lib.joining.piers.running_pier import Hears
from course_lib.joining.piers.stream_arrivals import EVERY_S, StreamArrivals
from course_lib.live.carrying.recipes import Recipe
from course_lib.live.private_network.private_network import Measurement, PrivateNetwork
from course_lib.live.private_network.supervised import LiveNetworkError
from course_lib.prefixes.text import parse_address
from course_lib.steering.changes import SetLink, SteeringError


class LivePier:
    """A `RunningPier` between kernels. router: what forwards; the library's without it."""

    where = "live"

    def __init__(self, secret: bytes, router: Recipe | None = None) -> None:
        self._secret, self._recipe = secret, router
        self._streams = dict[int, list[Measurement]]()
        self._is_closed = threading.Event()
        self._opened: OpenedPier | None = None
        self._network: PrivateNetwork | None = None

    def open(self, placed: Placed, tell: Hears) -> Mapping[int, int]:
        """Make the network; see `RunningPier`."""
        opened = self._opened = OpenedPier(placed, self._secret, self._recipe)
        self._tell, self._pier, self._book = tell, opened.pier, opened.book
        self._network = PrivateNetwork(opened.plan, outside=opened.outside).__enter__()
        return opened.ports

    def set_line(self, line: LineTold) -> None:
        """Go by what the room says of a line; a router that has ended needs to know nothing."""
        network, name = self._running, self._pier.name
        if not network.is_alive(name):
            return
        interface, terms = self._pier.lines[line.number].name, self._book.told(line)
        try:
            network.change_terms(name, interface, terms)
            network.change(name, SetLink(interface, not line.is_pulled))
        except LiveNetworkError:
            return  # it has ended just now; the next report says so

    def report(self) -> Report:
        """Return what the room is told once a second."""
        network, name = self._running, self._pier.name
        try:
            state = network.state(name)
            links = network.link_reports(name)
        except LiveNetworkError as ended:
            return report_of(None, (), (str(ended).splitlines()[-1],))
        return report_of(state, self._book.reports(links))

    def do(self, wish: Any) -> None:
        """Begin or end a stream, or follow packets."""
        match wish:
            case SendStream():
                sent = self._running.measure(
                    HOST, "stream", destination=parse_address(wish.destination),
                    count=wish.count, interval_s=wish.interval_s,
                )  # fmt: skip
                self._streams.setdefault(wish.stream, []).append(sent)
            case AwaitStream():
                self._await(wish)
            case EndStream():
                for measurement in self._streams.pop(wish.stream, ()):
                    measurement.stop()
            case FollowPackets():
                threading.Thread(target=self._follow, args=(wish,), daemon=True).start()
            case SendEchoes():
                self._running.measure(
                    HOST, "echo", destination=parse_address(wish.destination), count=ECHOES,
                    interval_s=ECHO_EVERY_S,
                )  # fmt: skip

    def close(self) -> None:
        """End it, and all that runs in it."""
        self._is_closed.set()
        network, self._network = self._network, None
        if network is not None:
            network.close()
        if self._opened is not None:
            self._opened.close()

    @property
    def _running(self) -> PrivateNetwork:
        if self._network is None:
            raise LiveNetworkError("the network at this pier has ended")
        return self._network

    def _await(self, wish: AwaitStream) -> None:
        lasts_s = wish.count * wish.interval_s
        rows = self._running.measure(
            HOST, "stream_arrivals", count=wish.count, interval_s=wish.interval_s,
            patience_s=lasts_s,
        )  # fmt: skip
        self._streams.setdefault(wish.stream, []).append(rows)
        next(rows)  # it listens
        arrivals = StreamArrivals(wish.stream, time.monotonic())
        for target, arguments in (
            (_read, (rows, arrivals)),
            (self._say_arrivals, (wish.stream, arrivals)),
        ):
            threading.Thread(target=target, args=arguments, daemon=True).start()

    def _say_arrivals(self, stream: int, arrivals: StreamArrivals) -> None:
        while stream in self._streams and not self._is_closed.wait(EVERY_S):
            self._tell(arrivals.gathered(time.monotonic()))

    def _follow(self, wish: FollowPackets) -> None:
        """Say of each packet between the two what becomes of it; a later wish ends this one."""
        network, name = self._running, self._pier.name
        ends, until_s = (
            ends_octets(wish.source, wish.destination),
            time.monotonic() + FOLLOWED_FOR_S,
        )
        try:
            network.end_following(name)
            while (left_s := until_s - time.monotonic()) > 0:
                followed = network.follow_next_packet(name, between=ends).result(left_s)
                self._tell(passed(wish.story, followed.journey, self._pier.neighbours))
        except TimeoutError:  # no more of them passes here
            network.end_following(name)
        except (LiveNetworkError, SteeringError):
            return  # the router has ended, or others are followed now


def _read(rows: Measurement, arrivals: StreamArrivals) -> None:
    try:
        for row in rows:
            arrivals.add(time.monotonic(), row["number"], row["delay_s"])
    except (LiveNetworkError, ValueError):  # it was ended in the middle of a row
        return
