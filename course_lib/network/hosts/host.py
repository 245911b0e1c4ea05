"""Hosts: the computers at the ends of the network. They ask, answer, and forward nothing.

A host has one interface and one gateway, the router to which it hands everything that is not for
its own wire. It does what every host on the Internet has to do (RFC 1122):

* answer who asks for its hardware address, and ask for those of others
  (`course_lib.ip.neighbours`);
* take in datagrams for its own address and no others, if their checksums are right, after putting
  fragments together (`course_lib.ip.fragmentation`);
* answer an echo request with the same data (section 3.2.2.6);
* answer a datagram for a protocol or a port that nobody serves with "unreachable" (3.2.2.1),
  unless the rules of `course_lib.ip.icmp_errors` forbid it.

What it does of its own accord is a task (`tasks`). What it finds out goes into `records`. Like
a router it reads no clock and touches no wire: frames and the time come in, frames go out.

Real hosts: several interfaces, TCP, and a table of routes in place of one gateway.
"""

__all__ = ["Host"]

from typing import NamedTuple

from course_lib.headers.assigned_numbers import (
    ETHER_TYPE_ARP,
    ETHER_TYPE_IPV4,
    ICMP_DESTINATION_UNREACHABLE,
    ICMP_ECHO,
    ICMP_ECHO_REPLY,
    ICMP_TIME_EXCEEDED,
    PROTOCOL_ICMP,
    PROTOCOL_UDP,
)
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, UDPHeader
from course_lib.ip.datagrams import (
    INITIAL_TIME_TO_LIVE,
    Datagram,
    echo_reply,
    quoted_echo_request,
    udp_is_intact,
)
from course_lib.ip.fragmentation import Reassembler, fragments
from course_lib.ip.icmp_errors import ERRORS, error_message, why_not_told
from course_lib.ip.neighbours import BROADCAST, Neighbours, ResolutionResult
from course_lib.ip.packets import Interface, OutgoingFrame, Packet
from course_lib.network.hosts.pace import Answer
from course_lib.network.hosts.tasks import STREAM_PORT, HostTask, read_stream_data
from course_lib.network.records import Record, What, summary
from course_lib.prefixes.special import broadcasts_of, is_invalid_source
from course_lib.prefixes.text import format_address, format_mac

IPV4_HEADER_OCTETS = 20
LARGEST_DATAGRAM_OCTETS = 65_535  # RFC 791, section 3.1
WAITING_DATAGRAMS = 100  # for one hardware address; RFC 1122, section 2.3.2.2: at least one

_ERRORS = {
    ICMP_TIME_EXCEEDED: What.TIME_EXCEEDED,
    ICMP_DESTINATION_UNREACHABLE: What.UNREACHABLE,
}


class _Waiting(NamedTuple):
    """A datagram that waits until the hardware address of the next hop is known."""

    next_hop: int
    octets: bytes


class Host:
    """A host with one interface."""

    def __init__(
        self,
        name: str,
        interface: Interface,
        gateway: int | None = None,
        *,
        time_to_live: int = INITIAL_TIME_TO_LIVE,
    ) -> None:
        """Take the address of the gateway; None if there is nobody beyond the wire.

        time_to_live: of all datagrams that it sends, except where a task says otherwise.
        """
        if gateway is not None and not interface.prefix.contains(gateway):
            raise ValueError(
                f"{name}: gateway {format_address(gateway)} is not in {interface.prefix}, "
                "so the host cannot reach it"
            )
        self.name, self.interface, self.gateway = name, interface, gateway
        self.time_to_live = time_to_live
        self.ports = {STREAM_PORT}  # datagrams for any other port are refused
        self.records: list[Record] = []
        self.neighbours = Neighbours[_Waiting](
            interface.hardware_address, interface.address, waiting_packets=WAITING_DATAGRAMS
        )
        self._reassembler = Reassembler()
        self._tasks: dict[int, HostTask] = {}
        self._tasks_so_far = self._datagrams_so_far = 0

    def begin(self, now_s: float, task: HostTask) -> int:
        """Take on a task; the records that come of it hold the number that is returned.

        Raises `ValueError` for a task that this host cannot do.
        """
        if task.destination == self.interface.address:
            raise ValueError(f"{self.name} need not ask its own address over a wire")
        octets = IPV4_HEADER_OCTETS + task.content_octets
        largest = self.interface.mtu if task.dont_fragment else LARGEST_DATAGRAM_OCTETS
        if octets > largest:
            kind = "datagrams that must not be cut" if task.dont_fragment else "datagrams"
            raise ValueError(
                f"{self.name}: {kind} may have {largest} octets here, these have {octets}; "
                "send less data"
            )
        self._tasks_so_far += 1
        number = self._tasks_so_far & 0xFFFF
        task.start(now_s, self.interface.address, number)
        self._tasks[number] = task
        return number

    def is_busy_with(self, task: int) -> bool:
        """Return True while a task has more to send, or waits for answers."""
        return task in self._tasks

    def receive(self, now_s: float, interface: str, frame: bytes) -> list[OutgoingFrame]:
        """Take in a frame; return answers."""
        try:
            return self._take_frame(now_s, frame)
        except PacketError as problem:
            return self._ignore(now_s, frame, str(problem))

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Let tasks act, and ask again for hardware addresses."""
        out = self._after(now_s, self.neighbours.tick(now_s))
        for unfinished in self._reassembler.tick(now_s):
            out += self._refuse(unfinished, Reason.REASSEMBLY_TIME_EXCEEDED)
        for number, task in list(self._tasks.items()):
            datagrams, given_up = task.act(now_s)
            for answer in given_up:
                self._note(now_s, number, answer)
            out += [frame for datagram in datagrams for frame in self._send(now_s, datagram)]
            self._forget_if_done(number)
        return out

    def next_tick_s(self) -> float:
        """Return when something is due: a task, a question for an address, missing fragments."""
        due = [task.due_s for task in self._tasks.values()]
        return min([self.neighbours.next_tick_s(), self._reassembler.next_tick_s(), *due])

    # --- what came in

    def _take_frame(self, now_s: float, frame: bytes) -> list[OutgoingFrame]:
        header = EthernetHeader.parse(frame)
        if header.destination not in (self.interface.hardware_address, BROADCAST):
            return self._ignore(now_s, frame, f"it is for {format_mac(header.destination)}")
        data = header.payload(frame)
        if header.ether_type == ETHER_TYPE_ARP:
            return self._after(now_s, self.neighbours.receive(now_s, data))
        if header.ether_type == ETHER_TYPE_IPV4:
            return self._take_datagram(now_s, frame, data)
        return self._ignore(now_s, frame, f"its ether type is {header.ether_type:#06x}")

    def _take_datagram(self, now_s: float, frame: bytes, data: bytes) -> list[OutgoingFrame]:
        header = IPv4Header.parse(data, verify_checksum=True)
        if header.destination != self.interface.address:
            return self._ignore(now_s, frame, f"it is for {format_address(header.destination)}")
        if is_invalid_source(header.source):
            return self._ignore(now_s, frame, "its source is not the address of one host")
        piece = Packet(now_s, self.interface.name, frame, header, header.payload(data))
        whole = self._reassembler.take(piece)
        if whole is None or whole.header is None:
            return []
        if whole.header.protocol == PROTOCOL_ICMP:
            return self._take_icmp(now_s, frame, whole.header, whole.payload)
        if whole.header.protocol == PROTOCOL_UDP:
            return self._take_udp(whole, whole.header)
        return self._refuse(whole, Reason.NO_SUCH_PROTOCOL)

    def _take_icmp(
        self, now_s: float, frame: bytes, header: IPv4Header, content: bytes
    ) -> list[OutgoingFrame]:
        message = ICMPHeader.parse(content, verify_checksum=True)
        if message.type == ICMP_ECHO:
            reply = Datagram(header.source, PROTOCOL_ICMP, echo_reply(content))
            return self._send(now_s, reply)
        if message.type == ICMP_ECHO_REPLY:
            return self._match(now_s, frame, message, Answer(What.ECHO_REPLY, 0, header.source))
        if message.type in _ERRORS:
            answer = Answer(_ERRORS[message.type], 0, header.source)
            quoted = quoted_echo_request(message.payload(content))
            if quoted is not None:
                return self._match(now_s, frame, quoted, answer)
            self._note(now_s, 0, answer, frame)  # about a datagram that was no question
            return []
        return self._ignore(now_s, frame, f"its ICMP type is {message.type}")

    def _take_udp(self, packet: Packet, header: IPv4Header) -> list[OutgoingFrame]:
        now_s, frame, content = packet.now_s, packet.frame, packet.payload
        if not udp_is_intact(header, content):
            return self._ignore(now_s, frame, "its UDP checksum is wrong")
        datagram = UDPHeader.parse(content)
        if datagram.destination_port not in self.ports:
            return self._refuse(packet, Reason.NO_SUCH_PORT)
        stream, number, sent_s = read_stream_data(datagram.payload(content)) or (0, 0, now_s)
        answer = Answer(What.DATAGRAM, number, header.source, now_s - sent_s)
        self._note(now_s, stream, answer, frame)
        return []

    def _refuse(self, packet: Packet, reason: Reason) -> list[OutgoingFrame]:
        """Tell the sender why a datagram cannot be taken, where that is allowed."""
        broadcasts = frozenset(broadcasts_of(self.interface.prefix))
        if packet.header is None or why_not_told(packet, broadcasts) is not None:
            return []
        error = error_message(ERRORS[reason], 0, packet.header.build() + packet.payload)
        return self._send(packet.now_s, Datagram(packet.header.source, PROTOCOL_ICMP, error))

    def _match(
        self, now_s: float, frame: bytes, question: ICMPHeader, answer: Answer
    ) -> list[OutgoingFrame]:
        """Tell the task that asked; `question` holds its number and the question's."""
        number, sequence = divmod(question.rest_of_header, 1 << 16)
        task = self._tasks.get(number)
        found = task and task.take(now_s, answer._replace(sequence=sequence))
        if not found:
            return self._ignore(now_s, frame, "it answers no open question")
        self._note(now_s, number, found, frame)
        self._forget_if_done(number)
        return []

    # --- what goes out

    def _send(self, now_s: float, datagram: Datagram) -> list[OutgoingFrame]:
        self._datagrams_so_far += 1
        header = datagram.header(self.interface.address, self._datagrams_so_far, self.time_to_live)
        is_near = self.interface.prefix.contains(datagram.destination)
        next_hop = datagram.destination if is_near else self.gateway
        if next_hop is None:
            about = f"no gateway on the way to {format_address(datagram.destination)}"
            self._record(now_s, What.UNREACHABLE, text=about)
            return []
        pieces = [(header, datagram.content)]
        if header.total_length > self.interface.mtu:
            pieces = fragments(header, datagram.content, self.interface.mtu)
        known = self.neighbours.find(now_s, next_hop) is not None
        out: list[OutgoingFrame] = []
        for piece, content in pieces:
            waiting = _Waiting(next_hop, piece.build() + content)
            if known:
                out.append(self._framed(now_s, waiting))
            else:
                out += self._after(now_s, self.neighbours.wait(now_s, next_hop, waiting))
        return out

    def _framed(self, now_s: float, waiting: _Waiting) -> OutgoingFrame:
        """Return the frame for a datagram whose next hop has a known hardware address."""
        target = self.neighbours.find(now_s, waiting.next_hop) or BROADCAST
        header = EthernetHeader(target, self.interface.hardware_address, ETHER_TYPE_IPV4)
        return OutgoingFrame(self.interface.name, header.build() + waiting.octets)

    def _after(self, now_s: float, outcome: ResolutionResult[_Waiting]) -> list[OutgoingFrame]:
        """Do what address resolution asks for."""
        for waiting in outcome.unreachable:
            text = f"{format_address(waiting.next_hop)} does not tell its hardware address"
            self._record(now_s, What.UNREACHABLE, text=text)
        for waiting in outcome.displaced:
            text = f"too many datagrams wait for {format_address(waiting.next_hop)}"
            self._record(now_s, What.DROPPED, text=text)
        questions = [OutgoingFrame(self.interface.name, frame) for frame in outcome.frames]
        return questions + [self._framed(now_s, waiting) for waiting in outcome.ready]

    # --- what is written down

    def _forget_if_done(self, number: int) -> None:
        if self._tasks[number].is_done:
            del self._tasks[number]

    def _note(self, now_s: float, task: int, answer: Answer, frame: bytes = b"") -> None:
        what, number, other, delay_s = answer
        at, wire = (now_s, self.name, what, self.interface.name), ""
        self.records.append(Record(*at, wire, number, task, frame, other, delay_s))

    def _ignore(self, now_s: float, frame: bytes, why: str) -> list[OutgoingFrame]:
        self._record(now_s, What.IGNORED, frame=frame, text=f"{summary(frame)}: {why}")
        return []

    def _record(self, now_s: float, what: What, *, frame: bytes = b"", text: str) -> None:
        record = Record(now_s, self.name, what, self.interface.name, frame=frame, text=text)
        self.records.append(record)
