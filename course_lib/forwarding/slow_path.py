"""The slow path: what a router can do only with software and memory of its own.

The fast path hands it a `Stop`: a packet, a verdict, and the stages that the packet has not seen
yet. To follow such a packet, read from top to bottom:

1. `settle` looks at the verdict, and calls the method for it;
2. that method does the task: it answers, cuts, fills in, waits, or tells the sender;
3. `_fit` cuts what is too large for the link, and `carry_on` sends what there is now through the
   remaining stages. The router's own packets join here: `own_packets` only makes them.

Here one packet can become many, or none, or one later; on the fast path none of this happens. In
the stages behind it a packet may be stopped once more, for another reason, and is settled again.

Real routers: a processor beside the forwarding hardware, much slower, and guarded from overload.
"""

__all__ = ["SlowPath", "Waiting"]

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from course_lib.forwarding.counters import Counters
from course_lib.forwarding.fast_path import FastPath, StageError
from course_lib.forwarding.filled_options import filled_options, refused_options
from course_lib.forwarding.own_packets import OwnPackets
from course_lib.forwarding.services import services_of_a_router
from course_lib.forwarding.verdicts import (
    Drop,
    Refuse,
    SlowPathTask,
    Stage,
    StageOrderError,
    Stop,
    name_of,
)
from course_lib.headers.assigned_numbers import ICMP_REDIRECT
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import ETHERNET_OCTETS
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.datagrams import Datagram
from course_lib.ip.fragmentation import DONT_FRAGMENT, MORE_FRAGMENTS, Reassembler, fragments
from course_lib.ip.icmp_errors import ERRORS
from course_lib.ip.neighbours import Neighbours, ResolutionResult
from course_lib.ip.options import answered_options
from course_lib.ip.packets import Interface, OutgoingFrame, Packet

_POINTER_SHIFT = 24  # a parameter problem points with octet 4 of the message (RFC 792)
_TOTAL_LENGTH_OCTET = 2
_REDIRECT_FOR_HOST = (ICMP_REDIRECT, 1)  # never for a net: RFC 1812, section 5.2.7.2

Waiting: TypeAlias = tuple[Packet, tuple[Stage, ...]]  # a packet and the stages it still has to see


@dataclass(eq=False, repr=False)
class SlowPath:
    """The router's own software. It keeps packets that wait for a neighbour, and fragments.

    own_stages: a plain list, like that of the fast path; the router's own packets go through it.
    """

    interfaces: Mapping[str, Interface]
    neighbours: Mapping[str, Neighbours[Waiting]]
    fast_path: FastPath
    own_packets: OwnPackets
    own_stages: list[Stage]
    counters: Counters
    redirects: bool

    def __post_init__(self) -> None:
        self.services = services_of_a_router()
        self._reassembler = Reassembler()
        self._addresses = frozenset(each.address for each in self.interfaces.values())
        self._tasks: dict[SlowPathTask, Callable[[Stop, Packet], list[OutgoingFrame]]] = {
            SlowPathTask.READ_RESOLUTION: self._read_resolution,
            SlowPathTask.REPORT_CUT: self._report_cut,
            SlowPathTask.REPORT_OPTION: self._report_option,
            SlowPathTask.DELIVER: self._deliver,
            SlowPathTask.REDIRECT: self._redirect,
            SlowPathTask.OPTIONS: self._fill_in_options,
            SlowPathTask.FRAGMENT: self._fragment,
            SlowPathTask.RESOLVE: self._resolve,
        }

    def settle(self, stop: Stop) -> list[OutgoingFrame]:
        """Do what the verdict asks for. An error in it is blamed on the stage that gave it."""
        verdict = stop.verdict
        try:
            if isinstance(verdict, Refuse):
                return self._refuse(stop.packet, verdict)
            self.counters.tasks[verdict.task] += 1
            return self._tasks[verdict.task](stop, verdict.packet)
        except PacketError as error:
            return self._drop(error.reason)
        except Exception as error:  # whatever a stage puts into a packet, the router goes on
            self.fast_path.fail(name_of(stop.stage), error)
            return []

    def send(self, now_s: float, own: Datagram) -> list[OutgoingFrame]:
        """Send a datagram of the router's own."""
        return self._send_own(self.own_packets.packet(now_s, own))

    def tick(self, now_s: float) -> list[OutgoingFrame]:
        """Ask neighbours again, give up on them, and give up on fragments."""
        frames: list[OutgoingFrame] = []
        for name, link in self.neighbours.items():
            frames += self._follow(now_s, name, link.tick(now_s))
        for packet in self._reassembler.tick(now_s):
            try:
                frames += self._report(packet, ERRORS[Reason.REASSEMBLY_TIME_EXCEEDED])
            except Exception as error:  # a stage had put something strange into the packet
                self.fast_path.complain("(reassembly)", error)
        return frames

    def next_tick_s(self) -> float:
        """Return when `tick` will next have something to do; infinity means never."""
        links = (link.next_tick_s() for link in self.neighbours.values())
        return min(*links, self._reassembler.next_tick_s())

    # --- the tasks, as the stages give them: receive, validate, decide, rewrite, send -------------

    def _read_resolution(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        name = packet.arrived_on or ""
        result = self.neighbours[name].receive(packet.now_s, packet.frame[ETHERNET_OCTETS:])
        self.counters.taken += 1
        return self._follow(packet.now_s, name, result)

    def _report_cut(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        pointer = _TOTAL_LENGTH_OCTET << _POINTER_SHIFT
        return self._refuse(packet, Refuse(Reason.WRONG_TOTAL_LENGTH, pointer))

    def _report_option(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        refused = refused_options(packet.header.options) if packet.header else None
        return self._refuse(packet, refused or Drop(Reason.WRONG_OPTION))

    def _deliver(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        """Put a packet for the router together, and hand it to the service of its protocol."""
        header = packet.header
        if header is None:
            raise StageOrderError(name_of(stop.stage), "validate")
        if header.fragment_offset or header.flags & MORE_FRAGMENTS:
            whole = self._reassembler.take(packet)
            if whole is None or whole.header is None:
                self.counters.taken += 1
                return []
            packet, header = whole, whole.header
        options = self._filled(packet, header, header.destination)
        if not isinstance(options, bytes):
            return self._refuse(packet, options)
        return self._answer(packet, header, answered_options(options))

    def _answer(self, packet: Packet, header: IPv4Header, options: bytes) -> list[OutgoingFrame]:
        service = self.services.get(header.protocol, _refuse_protocol)
        try:
            answer = service(packet)
        except PacketError as error:
            return self._drop(error.reason)
        except Exception as error:
            self.fast_path.fail(f"{name_of(service)} (service)", error)
            return []
        match answer:
            case Drop() | Refuse():
                return self._refuse(packet, answer)
            case bytes() if header.destination not in self._addresses:
                # A broadcast: if every router of a link answered, one packet would cause many.
                return self._drop(Reason.BROADCAST_UNANSWERED)
            case None:
                self.counters.taken += 1
                return []
            case bytes():
                self.counters.taken += 1
                to, ours, of_service = header.source, header.destination, header.type_of_service
                reply = Datagram(to, header.protocol, answer, of_service, options, source=ours)
                return self.send(packet.now_s, reply)
        wrong = StageError(f"returned {answer!r:.200}, must return bytes, None, Drop or Refuse")
        self.fast_path.fail(f"{name_of(service)} (service)", wrong)
        return []

    def _redirect(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        """Tell the sender who the better first hop is (RFC 1812, section 5.2.7.2), and forward."""
        header, interface = self._decided(packet)
        frames: list[OutgoingFrame] = []
        on_link = interface.prefix.contains
        next_hop = packet.next_hop or 0
        if (
            self.redirects
            and on_link(header.source)
            and on_link(next_hop)
            and header.time_to_live > 1
            and not header.options  # there could be a source route among them
        ):
            frames = self._report(packet, _REDIRECT_FOR_HOST, next_hop)
        return frames + self.carry_on(packet, stop.rest)

    def _fill_in_options(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        header, interface = self._decided(packet)
        options = self._filled(packet, header, interface.address)
        if not isinstance(options, bytes):
            return self._refuse(packet, options)
        filled = header._replace(options=options).with_checksum()
        return self._fit(packet._replace(header=filled), stop.rest)

    def _filled(self, packet: Packet, header: IPv4Header, address: int) -> bytes | Drop | Refuse:
        """Return the options filled in, or why they cannot be."""
        return filled_options(header.options, packet.now_s, address, self._addresses)

    def _fragment(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        return self._fit(packet, stop.rest)

    def _resolve(self, stop: Stop, packet: Packet) -> list[OutgoingFrame]:
        """Keep the packet until its neighbour's address is known; then it sees this stage again."""
        if packet.leaves_on is None or packet.next_hop is None:
            raise StageOrderError(name_of(stop.stage), "decide")
        waiting = (packet, (stop.stage, *stop.rest))
        result = self.neighbours[packet.leaves_on].wait(packet.now_s, packet.next_hop, waiting)
        return self._follow(packet.now_s, packet.leaves_on, result)

    def _follow(
        self, now_s: float, name: str, result: ResolutionResult[Waiting]
    ) -> list[OutgoingFrame]:
        """Do what address resolution on one link asks for."""
        self.counters.resolution_frames_sent += len(result.frames)
        frames = [OutgoingFrame(name, frame) for frame in result.frames]
        for packet, stages in result.ready:
            frames += self.carry_on(packet._replace(now_s=now_s), stages)
        for packet, (stage, *rest) in result.unreachable:
            in_vain = packet._replace(now_s=now_s)
            verdict = Refuse(Reason.HOST_UNREACHABLE)
            frames += self.settle(Stop(in_vain, verdict, stage, tuple(rest)))
        for _ in result.displaced:
            self._drop(Reason.WAITING_TOO_MANY)
        return frames

    # --- where packets go from here: nowhere, back to their sender, or on -------------------------

    def _drop(self, reason: Reason) -> list[OutgoingFrame]:
        self.counters.dropped[reason] += 1
        return []

    def _refuse(self, packet: Packet, verdict: Drop | Refuse) -> list[OutgoingFrame]:
        """Count a packet as dropped, and tell its sender if an error is meant for this reason."""
        frames: list[OutgoingFrame] = []
        if isinstance(verdict, Refuse) and verdict.reason in ERRORS:
            frames = self._report(packet, ERRORS[verdict.reason], verdict.rest_of_header)
        elif isinstance(verdict, Refuse):
            self.counters.errors_withheld["no error message is meant for it"] += 1
        return frames + self._drop(verdict.reason)

    def _report(
        self, about: Packet, kind: tuple[int, int], rest_of_header: int = 0
    ) -> list[OutgoingFrame]:
        return self._send_own(self.own_packets.error(about, kind, rest_of_header))

    def _send_own(self, packet: Packet | None) -> list[OutgoingFrame]:
        return [] if packet is None else self._fit(packet, self.own_stages)

    def _fit(self, packet: Packet, stages: Sequence[Stage]) -> list[OutgoingFrame]:
        """Carry a packet on, in fragments if need be and if it may be cut."""
        header, interface = self._decided(packet)
        if header.total_length <= interface.mtu:
            return self.carry_on(packet, stages)
        if header.flags & DONT_FRAGMENT:  # RFC 1191, section 4: tell what would have fitted
            return self._refuse(packet, Refuse(Reason.FRAGMENTATION_NEEDED, interface.mtu))
        parts = fragments(header, packet.payload, interface.mtu)
        self.counters.made += len(parts) - 1
        packets = [packet._replace(header=part, payload=octets) for part, octets in parts]
        return [frame for each in packets for frame in self.carry_on(each, stages)]

    def carry_on(self, packet: Packet, stages: Sequence[Stage]) -> list[OutgoingFrame]:
        """Send a packet through stages; do at once what the slow path has to do for it."""
        ended = self.fast_path.carry(packet, stages)
        if ended is None:
            return []
        return [ended] if isinstance(ended, OutgoingFrame) else self.settle(ended)

    def _decided(self, packet: Packet) -> tuple[IPv4Header, Interface]:
        if packet.header is None or packet.leaves_on is None:
            raise StageOrderError("whoever asks for this", "decide")
        return packet.header, self.interfaces[packet.leaves_on]


def _refuse_protocol(packet: Packet) -> Refuse:
    return Refuse(Reason.NO_SUCH_PROTOCOL)
