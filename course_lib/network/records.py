"""What happened in a network: one flat list of immutable records, in the order of time.

Every record says when, where and what. Pick out what you want with a list comprehension:

    [r.delay_s for r in network.records if r.what is What.ECHO_REPLY and r.place == "Ticket Office"]

What the further fields hold depends on `what`:

* of a frame on a wire: `interface`, `wire`, `number` and `frame`. The number counts the frames in
  one direction of a wire, so that *sent* and what became of it can be brought together.
* of a host's task (`hosts.tasks`): `task` is the number of the task, `number` that of the question
  or datagram, `other` the address of who answered or sent it, `frame` what arrived.
* of a mistake: `text` says it in a sentence.
"""

__all__ = ["MISTAKES", "Record", "What", "captured", "mistakes", "summary"]

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

from course_lib.capture import CapturedFrame
from course_lib.headers.assigned_numbers import (
    ARP_REPLY,
    ARP_REQUEST,
    ETHER_TYPE_ARP,
    ETHER_TYPE_IPV4,
    PROTOCOL_ICMP,
    PROTOCOL_UDP,
)
from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader, UDPHeader
from course_lib.prefixes.text import format_address, format_mac


class What(StrEnum):
    """What happened, and in brackets what `delay_s` of such a record holds."""

    SENT = "sent"  # a place handed a frame to a wire (how long it will wait in the buffer)
    DROPPED = "dropped"  # the buffer of the wire had no room for it
    LOST = "lost"  # by chance, or with a wire that was cut
    DELIVERED = "delivered"  # the last bit has arrived (since it was sent)

    ECHO_REPLY = "echo reply"  # a host got the answer to a question (round-trip time)
    TIME_EXCEEDED = "time exceeded"  # a router says that a packet lived too long (the same)
    UNREACHABLE = "unreachable"  # a router or host says that a packet cannot go on (the same)
    NO_ANSWER = "no answer"  # a host has waited long enough (that time)
    DATAGRAM = "datagram"  # a host took in a datagram of a stream (since it was sent)
    IGNORED = "ignored"  # a host took a frame for none of its business, or for damaged

    MESSAGE_SENT = "message sent"  # a routing message; it travels beside the frames
    MESSAGE_LOST = "message lost"
    MESSAGE_DELIVERED = "message delivered"  # (since it was sent)
    ROUTE_CHANGED = "route changed"  # in a forwarding table
    CUT = "cut"  # a wire
    MENDED = "mended"

    REFUSED = "refused"  # somebody handed over something that cannot be used
    FAILED = "failed"  # somebody raised an error
    STOPPED = "stopped"  # somebody is not called any more


MISTAKES = frozenset({What.REFUSED, What.FAILED, What.STOPPED})
"""What a router that works never causes."""


class Record(NamedTuple):
    """Something that happened; the module tells which fields are used when."""

    time_s: float
    place: str
    what: What
    interface: str = ""
    wire: str = ""
    number: int = 0
    task: int = 0
    frame: bytes = b""
    other: int | None = None
    delay_s: float | None = None
    text: str = ""

    def __str__(self) -> str:
        where = f" [{self.interface}]" if self.interface else ""
        about = self.text or (summary(self.frame) if self.frame else "")
        return f"{self.time_s:.9f} s  {self.place}{where}  {self.what}  {about}".rstrip()


def mistakes(records: Iterable[Record]) -> list[Record]:
    """Return the records of what routers, hosts and protocols did wrong."""
    return [record for record in records if record.what in MISTAKES]


def captured(records: Iterable[Record]) -> list[CapturedFrame]:
    """Return the frames of the records, each at its time, ready for `course_lib.capture.write`.

    Choose the records first: everything that came in at one interface, or all that were sent. Time
    0 of the network becomes time 0 of the capture.
    """
    frames = [record for record in records if record.frame]
    return [CapturedFrame(round(r.time_s * 1e9), r.frame) for r in frames]


def summary(frame: bytes) -> str:
    """Return one line on what a frame carries; a damaged one is described as far as it goes.

    >>> summary(bytes.fromhex("00005e005302 00005e005301 88b5"))
    'ether type 0x88b5 from 00:00:5e:00:53:01 to 00:00:5e:00:53:02'
    """
    try:
        return _summary_of_frame(frame)
    except PacketError as problem:
        return f"{len(frame)} octets, {problem.reason}"


def _summary_of_frame(frame: bytes) -> str:
    ethernet = EthernetHeader.parse(frame)
    data = ethernet.payload(frame)
    if ethernet.ether_type == ETHER_TYPE_ARP:
        return _summary_of_arp(ARPPacket.parse(data))
    if ethernet.ether_type == ETHER_TYPE_IPV4:
        return _summary_of_datagram(data)
    ends = f"{format_mac(ethernet.source)} to {format_mac(ethernet.destination)}"
    return f"ether type {ethernet.ether_type:#06x} from {ends}"


def _summary_of_arp(packet: ARPPacket) -> str:
    sender, target = map(format_address, (packet[2], packet[4]))
    if packet.opcode == ARP_REQUEST:
        return f"ARP: {sender} asks for the hardware address of {target}"
    if packet.opcode == ARP_REPLY:
        return f"ARP: {sender} tells {target} its hardware address"
    return f"ARP: opcode {packet.opcode} from {sender} to {target}"


def _summary_of_datagram(data: bytes) -> str:
    header = IPv4Header.parse(data)
    ends = f"{format_address(header.source)} to {format_address(header.destination)}"
    life = f"{header.total_length} octets, time to live {header.time_to_live}"
    return f"{ends}: {_summary_of_content(header, header.payload(data))}, {life}"


def _summary_of_content(header: IPv4Header, content: bytes) -> str:
    if header.fragment_offset:
        return f"fragment from octet {header.fragment_offset * 8} on"
    if header.protocol == PROTOCOL_ICMP:
        message = ICMPHeader.parse(content)
        return f"ICMP type {message.type} code {message.code}"
    if header.protocol == PROTOCOL_UDP and header.flags & 1 == 0:
        datagram = UDPHeader.parse(content)
        return f"UDP port {datagram.source_port} to {datagram.destination_port}"
    return f"protocol {header.protocol}"
