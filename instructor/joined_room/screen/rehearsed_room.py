"""A room in one process: all piers of a plan as simulated routers, and what the screen shows.

Nothing is played from a script: the routers are the library's and find their routes by link state,
packets cross them, and a pulled link carries nothing any more until somebody mends it. The routers
are not told of it. They notice because no hello comes any more, as they would between laptops.
"""

__all__ = ["RehearsedRoom"]

from collections import deque
from dataclasses import dataclass, field
from functools import partial

from course_lib.ip.packets import Interface
from course_lib.joining.piers.own_pier import ECHO_EVERY_S, ECHOES
from course_lib.joining.piers.passed_packet import ends_octets, passed
from course_lib.network.building import build_network, links_for_documentation
from course_lib.network.hosts.tasks import EchoRequests, Stream
from course_lib.network.records import Record, What
from course_lib.network.routes.routing_messages import RoutingMessages
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import format_address
from course_lib.routing.link_state import LinkState
from course_lib.routing.neighbour_discovery import Timers
from course_lib.routing.protocol import link_between
from course_lib.tracing.steps import Journey
from instructor.joined_room.neighbours import room_plan
from instructor.joined_room.reported.story import Story
from instructor.joined_room.room_view import LinkState as LineState
from instructor.joined_room.room_view import LinkView, MemberView, RoomView
from instructor.joined_room.screen.rehearsed_stream import (
    PACKETS_PER_S,
    RehearsedStream,
    StreamPacket,
    read_stream_packet,
)
from instructor.joined_room.screen.screen_wishes import Wish
from instructor.joined_room.screen.telling_router import TellingRouter

LINK_BITS_PER_S, LINK_DELAY_S = 2e6, 0.003
SLOW_LOSS = 0.03  # of the one line that is bad
TIMERS = Timers(hello_interval_s=1.0, dead_interval_s=4.0)
FOUND_ALL_S = 20.0  # by then the routers know all ways
PAYLOAD_OCTETS = 172
OTHER_FLOWS, OTHER_PACKETS_PER_S, OTHER_OCTETS = 6, 20, 700
WINDOW_S = 2.0  # of what rates and losses are the mean
EVERY_NTH = 30  # packet of the stream tells its path


@dataclass
class _Line:
    """A link of the room, and what crossed it lately: time, octets, sent and lost, each way."""

    number: int
    ends: tuple[str, str]
    state: LineState = "up"
    lately: tuple[deque[tuple[float, int, int, int]], ...] = field(
        default_factory=lambda: (deque(), deque())
    )

    def add(self, way: int, now_s: float, octets: int = 0, sent: int = 0, lost: int = 0) -> None:
        self.lately[way].append((now_s, octets, sent, lost))

    def view(self, now_s: float) -> LinkView:
        rates, shares = [], []
        for way in self.lately:
            while way and way[0][0] < now_s - WINDOW_S:
                way.popleft()
            _, octets, sent, lost = map(sum, zip(*way, (0, 0, 0, 0), strict=True))
            rates.append(octets * 8 / WINDOW_S)
            shares.append(min(1.0, lost / sent) if sent else 0.0)
        return LinkView(
            self.number, self.ends, self.state, (rates[0], rates[1]), (shares[0], shares[1])
        )


class RehearsedRoom:
    """A room in which everybody has come, and traffic flows.

    >>> room = RehearsedRoom("ring", 5)
    >>> room.wish(Wish("stream", source="North Pier", destination="Lantern Pier"))
    >>> room.go_on(3.0)
    >>> room.view().stream.path
    ('North Pier', 'Lantern Pier')
    """

    def __init__(self, plan: str = "ring", piers: int | None = None, *, seed: int = 0) -> None:
        self._plan = room_plan(plan, piers)
        names = self._names = [place.pier for place in self._plan.places]
        pairs = [(names[one], names[other]) for one, other in self._plan.links]
        self._lines = {
            link_between(*ends): _Line(number, ends) for number, ends in enumerate(pairs)
        }
        self._asleep: set[str] = set()
        self._stream: RehearsedStream | None = None
        self._story: Story | None = None
        self._followed = b""  # the ends of the packets of the story, as they stand in a header
        self._trail: tuple[StreamPacket, list[str]] | None = None
        self._build(names, pairs, seed)
        self._begin_other_flows(names)
        self.go_on(FOUND_ALL_S)
        self._zero_s = self._network.now_s

    # --- what the screen asks for

    def view(self) -> RoomView:
        """Return what is to be seen now."""
        now_s = self._network.now_s
        members = tuple(
            MemberView(pier, x, y, "asleep" if pier in self._asleep else "here")
            for pier, x, y in self._plan.places
        )
        return RoomView(
            "A room in rehearsal", "nobody can join", now_s - self._zero_s, members,
            tuple(line.view(now_s) for line in self._lines.values()),
            self._stream.view(now_s) if self._stream else None,
            self._story.view(now_s) if self._story else None,
        )  # fmt: skip

    def wish(self, wish: Wish) -> None:
        """Do what the instructor wishes."""
        if wish.kind in ("pull", "mend"):
            name, line = next((n, one) for n, one in self._lines.items() if one.number == wish.link)
            line.state = "pulled" if wish.kind == "pull" else "up"
            self._bring_in_line(name)
        elif wish.source is None or wish.destination is None:
            self._stream = None
        elif wish.kind == "stream":
            self._stream = RehearsedStream(wish.source, wish.destination, self._network.now_s)
            self._send_for_a_second(self._stream)
        else:
            self._follow(wish.source, wish.destination)

    def sleep(self, pier: str) -> None:
        """Let a laptop fall asleep: nothing crosses its lines."""
        self._asleep.add(pier)
        self._bring_lines_in_line(pier)

    def wake(self, pier: str) -> None:
        """Let it wake."""
        self._asleep.discard(pier)
        self._bring_lines_in_line(pier)

    def go_on(self, for_s: float) -> None:
        """Let so much time pass."""
        self._network.run_until(self._network.now_s + for_s)
        for record in self._network.records:
            self._read(record)
        self._network.records.clear()

    # --- the network

    def _build(self, names: list[str], pairs: list[tuple[str, str]], seed: int) -> None:
        own = [(name, _desk(name)) for name in names]
        links = links_for_documentation(
            [*own, *pairs], rate_bits_per_s=LINK_BITS_PER_S, delay_s=LINK_DELAY_S
        )
        links[-1] = links[-1]._replace(loss_rate=SLOW_LOSS)
        self._network = build_network(
            links, self._router, hosts=[_desk(name) for name in names], seed=seed, call_limit_s=None
        )
        routing = RoutingMessages(self._network)
        self._network.when_a_wire_changes.clear()  # nobody is told of a cut: hellos stay away
        nets = {link.ends[0]: link.prefix for link in links[: len(names)]}
        for name, router in self._network.routers.items():
            costs = dict.fromkeys(routing.links_of(name), 1)
            speaker = LinkState[Prefix](name, costs, {nets[name]: 0}, TIMERS)
            routing.attach(name, speaker, router)  # type: ignore[arg-type]  # it takes routes
        routing.start()

    def _router(self, name: str, interfaces: list[Interface]) -> TellingRouter:
        return TellingRouter(name, interfaces, lambda: self._followed, partial(self._tell, name))

    def _tell(self, name: str, journey: Journey) -> None:
        """Put a router's verdict into the story."""
        if self._story is not None:
            neighbours = {f"to {pier}": pier for pier in self._names}
            told = passed(self._story.number, journey, neighbours)
            self._story.take(self._names.index(name), told)

    def _begin_other_flows(self, names: list[str]) -> None:
        """Let some piers send to others all the time, so that there is something to carry."""
        step = max(1, len(names) // OTHER_FLOWS)
        for place in range(0, len(names), step):
            ends = names[place], names[(place + len(names) // 3 + 1) % len(names)]
            if ends[0] != ends[1]:
                self._send(*ends, OTHER_PACKETS_PER_S, OTHER_OCTETS, count=60_000)

    def _send(
        self, source: str, destination: str, per_s: float, octets: int, count: int
    ) -> StreamPacket:
        hosts = self._network.hosts
        host, target = hosts[_desk(source)], hosts[_desk(destination)].interface.address
        task = Stream(target, count=count, interval_s=1 / per_s, payload_octets=octets)
        number = host.begin(self._network.now_s, task)
        return StreamPacket(host.interface.address, number, 0)

    def _send_for_a_second(self, stream: RehearsedStream) -> None:
        if stream is not self._stream or stream.is_over:
            return  # it was ended, or another one runs
        task = self._send(
            stream.source, stream.destination, PACKETS_PER_S, PAYLOAD_OCTETS, PACKETS_PER_S
        )
        stream.begin(*task[:2])
        again = partial(self._send_for_a_second, stream)
        self._network.at(self._network.now_s + 1.0, again)

    def _follow(self, source: str, destination: str) -> None:
        one, other = (self._network.hosts[_desk(pier)] for pier in (source, destination))
        addresses = one.interface.address, other.interface.address
        self._followed = ends_octets(*map(format_address, addresses))
        number = 1 + (self._story.number if self._story else 0)
        packet = f"An echo request from {source} to {destination}"
        now_s = self._network.now_s
        self._story = Story(number, packet, self._names.index(source), self._names, now_s)
        one.begin(now_s, EchoRequests(addresses[1], count=ECHOES, interval_s=ECHO_EVERY_S))

    def _bring_lines_in_line(self, pier: str) -> None:
        for name, line in self._lines.items():
            if pier in line.ends:
                self._bring_in_line(name)

    def _bring_in_line(self, name: str) -> None:
        line = self._lines[name]
        if line.state != "pulled":
            line.state = "down" if self._asleep.intersection(line.ends) else "up"
        (self._network.mend if line.state == "up" else self._network.cut)(name)

    # --- what is read from its records

    def _read(self, record: Record) -> None:
        line = self._lines.get(record.wire)
        if record.what is What.DATAGRAM:
            self._read_datagram(record)
            return
        packet = read_stream_packet(record.frame)
        if line is not None:
            way = line.ends.index(record.place)
            if record.what is What.DELIVERED:
                line.add(1 - way, record.time_s, octets=len(record.frame))
            elif record.what is What.SENT:
                line.add(way, record.time_s, sent=1)
            elif record.what in (What.LOST, What.DROPPED):
                line.add(way, record.time_s, lost=1)
        if packet is not None:
            self._read_stream(record, packet)

    def _read_stream(self, record: Record, packet: StreamPacket) -> None:
        stream = self._stream
        if stream is None or not stream.has(*packet[:2]):
            return
        if record.what is What.SENT and record.place == _desk(stream.source):
            if packet.number % EVERY_NTH == 0:
                self._trail = packet, []
        elif record.what is What.DELIVERED and self._trail and self._trail[0] == packet:
            if record.place == _desk(stream.destination):
                stream.path = tuple(self._trail[1])
            else:
                self._trail[1].append(record.place)

    def _read_datagram(self, record: Record) -> None:
        stream, source = self._stream, record.other
        if stream is not None and source is not None and stream.has(source, record.task):
            delay_s = record.delay_s or 0.0
            stream.heard(record.time_s, source, record.task, record.number, delay_s)


def _desk(pier: str) -> str:
    return f"desk at {pier}"
