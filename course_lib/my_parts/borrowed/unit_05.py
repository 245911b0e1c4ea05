"""Borrowed parts of unit 05: its exercises' contracts, kept by way of the library's router.

The library asks and answers in frames, and keeps what it knows beside what waits for it; these
functions hand it packets made from what the exercises give.
"""

__all__ = [
    "answer_echo",
    "answer_request",
    "build_error",
    "new_cache",
    "new_reporter",
    "new_waiting",
]

from collections import deque
from itertools import cycle

from course_lib.headers.assigned_numbers import (
    ARP_REPLY,
    ARP_REQUEST,
    ETHER_TYPE_ARP,
    ICMP_ECHO,
    PROTOCOL_ICMP,
)
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.datagrams import INITIAL_TIME_TO_LIVE, Datagram, echo_reply
from course_lib.ip.icmp_errors import ERRORS, ErrorLimit, error_message, why_not_told
from course_lib.ip.neighbours import BROADCAST, Neighbours
from course_lib.ip.packets import Packet
from course_lib.prefixes.text import IPV4_BITS, format_address, parse_address

_SOMEBODY = bytes.fromhex("0000 5e00 5300")  # RFC 9542: for documentation
_HERE = 0  # 0.0.0.0, the address of nobody: whoever waits may be asked for any other one
_REASONS = {
    "net unreachable": Reason.NO_ROUTE,
    "host unreachable": Reason.HOST_UNREACHABLE,
    "fragmentation needed": Reason.FRAGMENTATION_NEEDED,
    "time exceeded": Reason.TIME_EXCEEDED,
}
_NETWORK_CONTROL = 0xC0  # precedence 6: RFC 1812, section 4.3.2.5


def answer_request(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Return the frame that answers a question for our hardware address: exercise 5.1."""
    header = EthernetHeader.parse(frame)
    if header.ether_type != ETHER_TYPE_ARP:
        raise ValueError(f"a frame of type {header.ether_type:#06x} holds no ARP packet")
    question = ARPPacket.parse(header.payload(frame))
    ours = hardware_address, _number(address)
    if question.opcode != ARP_REQUEST or question.target_protocol_address != ours[1]:
        return None
    asker = question.sender_hardware_address
    answer = ARPPacket(ARP_REPLY, *ours, asker, question.sender_protocol_address)
    return EthernetHeader(asker, hardware_address, ETHER_TYPE_ARP).build() + answer.build()


def new_cache(address: str, lifetime_s: float) -> "NeighbourTable":
    """Return an empty table of neighbours: exercise 5.2."""
    return NeighbourTable(address, lifetime_s)


class NeighbourTable:
    """The library's neighbours of one link, with packets made of the fields that come in."""

    def __init__(self, address: str, lifetime_s: float) -> None:
        self._link = Neighbours[str](_SOMEBODY, _number(address), lifetime_s=lifetime_s)

    def receive(
        self, now_s: float, operation: int, hardware_address: bytes, sender: str, target: str
    ) -> bool:
        """Learn from a packet, and tell whether it has to be answered.

        The library would go on with an entry that is too old, if its neighbour is heard again.
        """
        is_for_us = _number(target) == self._link.address
        if not is_for_us and self.find(now_s, sender) is None:
            return False
        ends = hardware_address, _number(sender), bytes(6), _number(target)
        return self._link.receive(now_s, ARPPacket(operation, *ends).build()).frames != ()

    def find(self, now_s: float, address: str) -> bytes | None:
        """Return the hardware address of a neighbour that is not too old."""
        return self._link.find(now_s, _number(address))


def new_waiting(most: int) -> "WaitingRoom":
    """Return an object that keeps packets until an address is known: exercise 5.3."""
    return WaitingRoom(most)


class WaitingRoom:
    """The library's neighbours of one link; what is new waits outside until the next tick.

    The library asks at once, and so has to be told the time; `wait` is not.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._link = Neighbours[tuple[str, str]](_SOMEBODY, _HERE, waiting_packets=most)
        self._asking: set[str] = set()
        self._new: dict[str, deque[str]] = {}
        self._now_s = 0.0

    def wait(self, address: str, packet: str) -> None:
        """Keep a packet."""
        if address in self._asking:
            self._link.wait(self._now_s, _number(address), (address, packet))
        else:
            self._new.setdefault(address, deque(maxlen=self._most)).append(packet)

    def answered(self, address: str) -> list[str]:
        """Return what waits for an address."""
        if address not in self._asking:
            return list(self._new.pop(address, ()))
        self._asking.remove(address)
        answer = ARPPacket(ARP_REPLY, _SOMEBODY, _number(address), _SOMEBODY, _HERE)
        ready = self._link.receive(self._now_s, answer.build()).ready
        return [packet for _, packet in ready]

    def tick(self, now_s: float) -> tuple[list[str], list[str]]:
        """Return whom to ask for, and what is given up."""
        self._now_s = now_s
        outcome = self._link.tick(now_s)
        frames = list(outcome.frames)
        self._asking -= {address for address, _ in outcome.unreachable}
        for address, packets in self._new.items():
            self._asking.add(address)
            for packet in packets:
                frames += self._link.wait(now_s, _number(address), (address, packet)).frames
        self._new.clear()
        return [_asked_for(frame) for frame in frames], [
            packet for _, packet in outcome.unreachable
        ]


def answer_echo(packet: bytes) -> bytes | None:
    """Return the packet that answers an echo: exercise 5.4."""
    header = IPv4Header.parse(packet)
    message = header.payload(packet)
    try:
        question = ICMPHeader.parse(message, verify_checksum=True)
    except PacketError:
        return None
    if (question.type, question.code) != (ICMP_ECHO, 0):
        return None
    turned = header._replace(
        source=header.destination, destination=header.source, time_to_live=INITIAL_TIME_TO_LIVE
    )
    return turned.with_checksum().build() + echo_reply(message)


def build_error(packet: bytes, reason: str, address: str, mtu: int = 0) -> bytes:
    """Return the packet that tells a sender why its packet ended: exercise 5.5."""
    header, why = IPv4Header.parse(packet), _REASONS[reason]
    hint = mtu if why is Reason.FRAGMENTATION_NEEDED else 0
    message = error_message(ERRORS[why], hint, packet[: header.total_length])
    datagram = Datagram(header.source, PROTOCOL_ICMP, message, _NETWORK_CONTROL)
    return datagram.header(_number(address), identification=0).build() + message


def new_reporter(broadcasts: list[str], most: int) -> "ReporterByRules":
    """Return an object that says when to keep silent: exercise 5.6."""
    return ReporterByRules(broadcasts, most)


class ReporterByRules:
    """The library's rules for one packet, and in turn one of its limits for each report a second.

    A limit that allows one report a second, taken up again after `most` reports, asks whether the
    report before those was a second ago.
    """

    def __init__(self, broadcasts: list[str], most: int) -> None:
        self._broadcasts = frozenset(map(_number, broadcasts))
        self._limits = cycle([ErrorLimit(per_s=1.0, burst=1) for _ in range(most)])
        self._limit = next(self._limits)

    def may_report(self, now_s: float, packet: bytes, to_all: bool) -> bool:
        """Tell whether the sender may be told now."""
        header = IPv4Header.parse(packet)
        frame = BROADCAST if to_all else _SOMEBODY
        seen = Packet(now_s, "a link", frame, header, header.payload(packet))
        if why_not_told(seen, self._broadcasts) or not self._limit.allows(now_s):
            return False
        self._limit = next(self._limits)
        return True


def _number(address: str) -> int:
    return parse_address(address, IPV4_BITS)


def _asked_for(frame: bytes) -> str:
    question = ARPPacket.parse(EthernetHeader.parse(frame).payload(frame))
    return format_address(question.target_protocol_address)
