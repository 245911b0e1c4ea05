"""The register of a room: messages of members and wishes of the screen in, messages out.

It has no socket and no clock. Connections are numbers that the server gives; `now_s` never goes
back. Each call returns what is to be told to whom; a connection that is told `Refused`, `TakenOver`
or `Ended` is closed behind that.

    told = register.came(now_s, connection, "192.0.2.8", Join("…", "live"))
    register.view(now_s)        # what the screen shows
"""

__all__ = ["Register", "RoomError", "RoomTerms", "Told"]

from collections.abc import Iterable
from typing import Any, NamedTuple

from course_lib.joining import messages as said
from course_lib.prefixes.text import format_address
from instructor.joined_room.addresses import pier_network
from instructor.joined_room.kept_state import KeptState
from instructor.joined_room.neighbours import RoomPlan
from instructor.joined_room.placing import lines_told, placed
from instructor.joined_room.reported.faults import Wrong, faults_of_tables, wrong_entries
from instructor.joined_room.reported.link_books import LinkBooks
from instructor.joined_room.reported.route_books import RouteBooks
from instructor.joined_room.reported.story import Story
from instructor.joined_room.reported.stream_watch import StreamWatch
from instructor.joined_room.room_view import ROUTER_ENDED, MemberView, RoomView, StreamView
from instructor.joined_room.seats import Seat, Seats, SeatsTakenError

STREAM_INTERVAL_S, STREAM_COUNT = 1 / 150, 150 * 300  # five minutes at most
ROUTES_SETTLE_S = 12.0  # no table is called wrong before: the protocols' own timers need time
LOOK_EVERY_S = 2.0
FEWEST_ASTRAY = 20  # some may go so while routes change
MOST_FAULTS, LONGEST_FAULT = 3, 100


class RoomError(ValueError):
    """What the room cannot do, in words for whoever wished it."""


class RoomTerms(NamedTuple):
    """What holds for the whole room; `ends_at_s` by the clock of `now_s`."""

    name: str
    code_hint: str
    ends_at_s: float
    way: str = "link state"
    rate_bits_per_s: float = 2e6


class Told(NamedTuple):
    """A message for the member on a connection."""

    connection: int
    message: Any


class Register:
    """One room. kept: what was kept of it when it ran before, if it did."""

    def __init__(
        self, plan: RoomPlan, terms: RoomTerms, kept: KeptState | None = None, now_s: float = 0.0
    ) -> None:
        kept = kept or KeptState()
        self.plan, self.terms = plan, terms
        self._names = tuple(place.pier for place in plan.places)
        self._seats = Seats(len(plan.places), kept.given, now_s)
        ends = tuple((self._names[one], self._names[other]) for one, other in plan.links)
        self._links, self._routes = LinkBooks(ends, kept.pulled), RouteBooks(plan)
        self._reports = dict[int, said.Report]()
        self._wrong: dict[Wrong, float] = {}  # and since when
        self._begun_s = self._look_s = now_s  # the second: when tables are looked at next
        self._stream: StreamWatch | None = None
        self._is_sent = False  # the stream, by its source
        self._story: Story | None = None
        self._numbers = kept.numbers  # of streams and stories

    # --- from members

    def came(self, now_s: float, connection: int, address: str, message: Any) -> list[Told]:
        """Take in a message from a member at this IP address."""
        if isinstance(message, said.Join):
            return self._join(now_s, connection, address, message)
        seat = self._seats.by_connection(connection)
        if seat is None:
            return [Told(connection, said.Refused("say who joins, before anything else"))]
        seat.heard_s = now_s
        match message:
            case said.Ports():
                return self._ports(seat, message)
            case said.Report():
                self._report(now_s, seat.pier, message)
            case said.Arrived() if self._stream and self._stream.number == message.stream:
                if seat.pier == self._stream.ends[1]:
                    self._stream.take(now_s, message)
                    return self._send_stream()
            case said.Passed() if self._story and self._story.number == message.story:
                self._story.take(seat.pier, message)
            case said.Leave():
                return self._leave(seat)
        return []

    def pier_of(self, connection: int) -> int | None:
        """Return the pier of a connection, counted from 0; None if it has none."""
        seat = self._seats.by_connection(connection)
        return None if seat is None else seat.pier

    def disconnected(self, connection: int) -> None:
        """Take note that a connection has ended. Its pier, and its links, stay handed out."""
        seat = self._seats.by_connection(connection)
        if seat is not None:
            self._seats.disconnected(seat)

    def over(self) -> list[Told]:
        """Return the last word to everybody."""
        why = f"room {self.terms.name} is over; thank you for carrying the others' packets"
        return self._to_all(said.Ended(why))

    # --- from the screen

    def set_pulled(self, number: int, *, is_pulled: bool) -> list[Told]:
        """Pull a link, or put it in again."""
        if not 0 <= number < len(self.plan.links):
            raise RoomError(f"there is no link {number} in this room")
        self._links.set_pulled(number, is_pulled=is_pulled)
        return [each for pier in self.plan.links[number] for each in self._lines_of(pier, [number])]

    def begin_stream(self, now_s: float, source: str, destination: str) -> list[Told]:
        """Send a stream across the room, as soon as it is awaited; one that runs is ended."""
        ends = self._on_line(source), self._on_line(destination)
        told = self.end_stream()
        number = self._next_number()
        self._stream = StreamWatch(
            number, (ends[0].pier, ends[1].pier), STREAM_COUNT, STREAM_INTERVAL_S, now_s
        )
        self._is_sent = False
        await_it = said.AwaitStream(number, STREAM_COUNT, STREAM_INTERVAL_S)
        return told + self._to(ends[1], await_it)

    def end_stream(self) -> list[Told]:
        """End the stream that runs, if one does."""
        stream, self._stream = self._stream, None
        if stream is None:
            return []
        seats = (self._seats.at(pier) for pier in stream.ends)
        return [
            one for seat in seats if seat for one in self._to(seat, said.EndStream(stream.number))
        ]

    def follow(self, now_s: float, source: str, destination: str) -> list[Told]:
        """Follow an echo request from pier to pier: all routers are asked what they do with it."""
        one, other = self._on_line(source), self._on_line(destination)
        number = self._next_number()
        ends = _host_of(one.pier), _host_of(other.pier)
        packet = f"An echo request from {source} to {destination}"
        self._story = Story(number, packet, one.pier, self._names, now_s)
        told = self._to_all(said.FollowPackets(number, *ends))  # wherever it goes, somebody sees it
        return told + self._to(one, said.SendEchoes(number, ends[1]))

    # --- what is to be seen, and kept

    def view(self, now_s: float) -> RoomView:
        """Return what the screen shows."""
        faults = self._faults(now_s)
        members = tuple(
            MemberView(*place, self._seats.state(now_s, pier), faults.get(pier, ()))
            for pier, place in enumerate(self.plan.places)
        )
        links = tuple(self._links.view(now_s, number) for number in range(len(self.plan.links)))
        terms = self.terms
        return RoomView(
            terms.name, terms.code_hint, now_s - self._begun_s, members, links,
            self._stream_view(now_s), None if self._story is None else self._story.view(now_s),
        )  # fmt: skip

    def kept(self) -> KeptState:
        """Return what is kept for a start anew: ids and counters."""
        return KeptState(self._seats.given(), self._links.pulled, self._numbers)

    # --- inside

    def _send_stream(self) -> list[Told]:
        """Have the stream sent, once: its destination listens."""
        stream = self._stream
        seat = None if stream is None or self._is_sent else self._seats.at(stream.ends[0])
        if stream is None or seat is None:
            return []
        self._is_sent = True
        to = _host_of(stream.ends[1])
        send = said.SendStream(stream.number, to, STREAM_COUNT, STREAM_INTERVAL_S)
        return self._to(seat, send)

    def _join(self, now_s: float, connection: int, address: str, join: said.Join) -> list[Told]:
        try:
            seat, taken_from = self._seats.join(now_s, join.student, connection, address)
        except SeatsTakenError as problem:
            return [Told(connection, said.Refused(str(problem)))]
        told = []
        if taken_from is not None:
            why = "you have joined from elsewhere, and that one has your pier now"
            told.append(Told(taken_from, said.TakenOver(why)))
        terms = self.terms
        told += self._to(seat, placed(self.plan, seat.pier, terms.way, terms.rate_bits_per_s,
                                      max(0.0, terms.ends_at_s - now_s)))  # fmt: skip
        return told + self._lines_of(seat.pier)

    def _ports(self, seat: Seat, message: said.Ports) -> list[Told]:
        own = {*self.plan.links_of(seat.pier)}
        seat.ports = {line: port for line, port in message.ports
                      if line in own and 0 < port < 1 << 16}  # fmt: skip
        others = {pier for line in seat.ports for pier in self.plan.links[line]} - {seat.pier}
        return [each for pier in sorted(others)
                for each in self._lines_of(pier, sorted(seat.ports))]  # fmt: skip

    def _report(self, now_s: float, pier: int, report: said.Report) -> None:
        self._reports[pier] = report
        for line in report.lines:
            if line.number in self.plan.links_of(pier):
                self._links.report(now_s, self.plan.links[line.number].index(pier), line)
        self._routes.report(pier, report.routes)
        self._look_at_tables(now_s)

    def _leave(self, seat: Seat) -> list[Told]:
        self._seats.leave(seat)
        self._reports.pop(seat.pier, None)
        self._routes.forget(seat.pier)
        told = []
        for number in self.plan.links_of(seat.pier):
            one, other = self.plan.links[number]
            self._links.forget(number, self.plan.links[number].index(seat.pier))
            told += self._lines_of(other if one == seat.pier else one, [number])
        return told

    def _lines_of(self, pier: int, only: Iterable[int] | None = None) -> list[Told]:
        """Return what a pier is to know of its lines now; nothing if nobody is there to be told."""
        seat = self._seats.at(pier)
        if seat is None or seat.connection is None:
            return []
        numbers = set(self.plan.links_of(pier)).intersection(
            self.plan.links_of(pier) if only is None else only
        )
        lines = lines_told(self.plan, self._seats, self._links.pulled, pier, sorted(numbers))
        return [Told(seat.connection, lines)] if lines.lines else []

    def _look_at_tables(self, now_s: float) -> None:
        """Keep since when which entry has been wrong; who is asleep says nothing of now."""
        if now_s < self._look_s:
            return
        self._look_s = now_s + LOOK_EVERY_S
        here = [p for p in self._reports if self._seats.state(now_s, p) == "here"]
        up = [ends for number, ends in enumerate(self.plan.links)
              if self._links.state(now_s, number) == "up"]  # fmt: skip
        wrong = wrong_entries(self._routes, up, here)
        self._wrong = {each: self._wrong.get(each, now_s) for each in wrong}

    def _faults(self, now_s: float) -> dict[int, tuple[str, ...]]:
        settled = {one for one, since_s in self._wrong.items() if now_s - since_s > ROUTES_SETTLE_S}
        told = {pier: list(words) for pier, words in faults_of_tables(settled, self._names).items()}
        for pier, report in self._reports.items():
            own = told.setdefault(pier, [])
            if not report.is_alive:
                own.insert(0, ROUTER_ENDED)
            if report.astray >= FEWEST_ASTRAY:
                own.append(f"{report.astray:,} packets left by another line than its table says")
            own += [" ".join(text.split())[:LONGEST_FAULT] for text in report.complaints[-1:]]
        return {pier: tuple(words[:MOST_FAULTS]) for pier, words in told.items() if words}

    def _stream_view(self, now_s: float) -> StreamView | None:
        if self._stream is None:
            return None
        source, destination = self._stream.ends
        path = tuple(self._names[pier] for pier in self._routes.path(source, destination))
        return self._stream.view(now_s, (self._names[source], self._names[destination]), path)

    def _on_line(self, name: str) -> Seat:
        seat = self._seats.at(self._names.index(name)) if name in self._names else None
        if seat is None or seat.connection is None:
            raise RoomError(f"nobody is at {name}, so nothing can begin or end there")
        return seat

    def _next_number(self) -> int:
        self._numbers += 1
        return self._numbers

    def _to(self, seat: Seat, message: Any) -> list[Told]:
        return [] if seat.connection is None else [Told(seat.connection, message)]

    def _to_all(self, message: Any) -> list[Told]:
        seats = (self._seats.at(pier) for pier in range(len(self._names)))
        return [each for seat in seats if seat for each in self._to(seat, message)]


def _host_of(pier: int) -> str:
    return format_address(pier_network(pier).host.address)
