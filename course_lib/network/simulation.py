"""A network in which time is counted in events: routers, hosts, wires and one clock.

    network = Network(seed=7)
    network.add_router("North Pier", router, interfaces)
    network.add_host(Host("Ticket Office", interface, gateway))
    network.connect(Wire("quay", (End("North Pier", "office"), End("Ticket Office", "wired"))))
    network.hosts["Ticket Office"].begin(network.now_s, EchoRequests(destination))
    network.run_until(3.0)
    network.records

A router is any object with the three calls of `careful_calls.FrameHandler`: one of the library's,
or one that a student is still writing. A host is the library's own, so that it can be believed.

The same calls with the same seed give the same records, to the last bit. What happens at the same
time is put in order by `event_clock`: first scenes in the order in which they were asked for, then
frames in the order in which they were handed to a wire, then timers in the order of the places.

A mistake in the plan raises `NetworkError` before anything is changed. A mistake of a router while
the network runs becomes a record (`records.mistakes`), and everything else goes on.
"""

__all__ = ["Network"]

from collections import Counter
from collections.abc import Callable, Sequence
from functools import partial

from course_lib.ip.packets import Interface, OutgoingFrame
from course_lib.network.careful_calls import FrameHandler, Guard, read_frames
from course_lib.network.event_clock import EventClock, TooManyEventsError, Turn
from course_lib.network.hosts.host import Host
from course_lib.network.plan_checks import AddressBook
from course_lib.network.records import Record, What, summary
from course_lib.network.stations import Station
from course_lib.network.wires import (
    Direction,
    End,
    NetworkError,
    Passage,
    Traffic,
    Wire,
    check_wire,
)
from course_lib.runner.time_limit import CallLimit

CALL_LIMIT_S = 1.0  # of computing, for one call of a router
MOST_EVENTS = 5_000_000  # of one run; more is a network in which frames multiply


class Network:
    """Places and wires, the time, and what has happened so far."""

    def __init__(self, *, seed: int = 0, call_limit_s: float | None = CALL_LIMIT_S) -> None:
        """Begin with nothing, at time 0. The limit is explained in `time_limit`; None is none."""
        self.seed = seed
        self.clock = EventClock()
        self.records: list[Record] = []
        self.routers: dict[str, FrameHandler] = {}
        self.hosts: dict[str, Host] = {}
        self.wires: dict[str, Wire] = {}
        self.plan = AddressBook()
        self.when_a_wire_changes: list[Callable[[str, bool], None]] = []  # name, whether it works
        self.limit = CallLimit(call_limit_s)
        self._stations: dict[str, Station[OutgoingFrame]] = {}
        self._directions: dict[End, Direction] = {}  # by the end at which frames go in
        self._is_running = False

    @property
    def now_s(self) -> float:
        """The time."""
        return self.clock.now_s

    # --- building

    def add_router(self, name: str, router: FrameHandler, interfaces: Sequence[Interface]) -> None:
        """Put a router in its place; wires are led to its interfaces later."""
        self._add(name, "router", router, interfaces)
        self.routers[name] = router

    def add_host(self, host: Host) -> None:
        """Put a host in its place."""
        self._add(host.name, "host", host, [host.interface])
        self.hosts[host.name] = host

    def connect(self, wire: Wire) -> None:
        """Lead a wire from one interface to another."""
        check_wire(wire)
        self.plan.connect(wire)
        self.wires[wire.name] = wire
        one, other = wire.ends
        self._directions[one] = Direction(wire, one, other, self.seed)
        self._directions[other] = Direction(wire, other, one, self.seed)

    # --- running

    def at(self, time_s: float, scene: Callable[[], None]) -> None:
        """Call `scene` when it is `time_s`: to cut a wire, say, or to set a host to work."""
        self.clock.at(time_s, partial(self._play, scene))

    def run_until(
        self,
        time_s: float,
        *,
        stop: Callable[[], bool] | None = None,
        most_events: int = MOST_EVENTS,
    ) -> None:
        """Let everything happen up to and including `time_s`, or until `stop` comes true.

        Raises `TooManyEventsError` after so many events, `ValueError` for a time that is over. The
        network is sound after either, and can be run on.
        """
        if self._is_running:
            raise RuntimeError("the network is running already; a scene cannot run it once more")
        self._is_running, begun = True, len(self.records)
        try:
            with self.limit:
                self._ask_all()
                self.clock.run_until(time_s, stop=stop, most_events=most_events)
        except TooManyEventsError as problem:
            raise TooManyEventsError(f"{problem}; {self._busiest(begun)}") from None
        finally:
            self._is_running = False

    def cut(self, wire: str) -> None:
        """Cut a wire; what is on it, or waits for it, is lost."""
        for direction in self._both(wire):
            for number, frame in direction.cut().items():
                self._record_frame(direction, What.LOST, number, frame, text="the wire was cut")
        self._tell(wire, What.CUT)

    def mend(self, wire: str) -> None:
        """Make a wire whole again."""
        for direction in self._both(wire):
            direction.mend()
        self._tell(wire, What.MENDED)

    def note(self, record: Record) -> None:
        """Add a record, for whatever else goes on in this network."""
        self.records.append(record)

    # --- looking

    def traffic(self) -> dict[tuple[str, str], Traffic]:
        """Return the books of every direction, by the wire's name and the place that sends."""
        return {(d.wire.name, d.origin.place): d.traffic() for d in self._directions.values()}

    def counts(self) -> Counter[tuple[str, What]]:
        """Return how often each thing has happened at each place."""
        return Counter((record.place, record.what) for record in self.records)

    def direction(self, end: End) -> Direction | None:
        """Return the direction in which frames go that are sent at `end`, None without a wire."""
        return self._directions.get(end)

    # --- what happens inside

    def _add(
        self, name: str, kind: str, handler: FrameHandler, interfaces: Sequence[Interface]
    ) -> None:
        self.plan.add(name, interfaces)
        guard = Guard(name, kind, handler, self.limit, self.note)
        read = partial(read_frames, {interface.name: interface for interface in interfaces})
        order, send = len(self._stations), partial(self._send_all, name)
        self._stations[name] = Station(self.clock, order, guard, read, send)

    def _play(self, scene: Callable[[], None]) -> None:
        scene()
        self._ask_all()

    def _ask_all(self) -> None:
        """Ask all places when they want to be called; somebody may have given them work."""
        for station in self._stations.values():
            station.set_alarm()

    def _arrive(self, direction: Direction, passage: Passage, sent_s: float) -> None:
        # The fate was settled when the frame was sent, but nobody may act on it before now.
        frame = direction.take_off(passage)
        if frame is None:
            return  # it went with a cut, and that has been recorded
        delay_s = self.now_s - sent_s
        self._record_frame(direction, passage.fate, passage.number, frame, delay_s)
        if passage.fate is What.DELIVERED:
            place, interface = direction.target

            def about() -> str:
                return f"a frame on {interface!r} ({summary(frame)})"

            self._stations[place].call("receive", interface, frame, about=about)

    def _send_all(self, place: str, frames: list[OutgoingFrame]) -> None:
        """Write down what a host has found out, and send what a place wants sent."""
        host = self.hosts.get(place)
        if host is not None:
            self.records += host.records
            host.records.clear()
        for interface, frame in frames:
            self._send(End(place, interface), frame)

    def _send(self, end: End, frame: bytes) -> None:
        direction = self._directions.get(end)
        if direction is None:
            text = f"{summary(frame)}: there is no wire at this interface"
            at = self.now_s, end.place, What.LOST, end.interface
            self.note(Record(*at, frame=frame, text=text))
            return
        passage = direction.offer(self.now_s, frame)
        number, waits_s = passage.number, passage.began_s - self.now_s
        self._record_frame(direction, What.SENT, number, frame, waits_s)
        if direction.is_cut:
            self._record_frame(direction, What.LOST, number, frame, text="the wire is cut")
        elif passage.fate is What.DROPPED:
            self._record_frame(direction, What.DROPPED, number, frame)
        else:
            arrive = partial(self._arrive, direction, passage, self.now_s)
            self.clock.at(passage.arrives_s, arrive, Turn.ARRIVAL)

    def _record_frame(
        self,
        direction: Direction,
        what: What,
        number: int,
        frame: bytes,
        delay_s: float | None = None,
        text: str = "",
    ) -> None:
        """Write down what happened to a frame, at the end of the wire where it happened."""
        place, interface = direction.target if what is What.DELIVERED else direction.origin
        at = self.now_s, place, what, interface, direction.wire.name, number
        self.note(Record(*at, frame=frame, delay_s=delay_s, text=text))

    def _both(self, wire: str) -> list[Direction]:
        if wire not in self.wires:
            raise NetworkError(
                f"there is no wire {wire!r}, only {', '.join(map(repr, self.wires))}"
            )
        return [self._directions[end] for end in self.wires[wire].ends]

    def _tell(self, wire: str, what: What) -> None:
        for place, interface in self.wires[wire].ends:
            self.note(Record(self.now_s, place, what, interface, wire))
        for told in self.when_a_wire_changes:
            told(wire, what is What.MENDED)

    def _busiest(self, begun: int) -> str:
        """Say, for a run that would not end, where most frames came in."""
        places = Counter(r.place for r in self.records[begun:] if r.what is What.DELIVERED)
        if not places:
            return "no frame was delivered"
        place, frames = places.most_common(1)[0]
        return (
            f"{frames} frames came to {place!r}: does a packet go round, or a router multiply it?"
        )
