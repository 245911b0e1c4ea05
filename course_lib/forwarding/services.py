"""What the router answers when a packet is for itself: an echo, and not much else.

A service gets a whole packet and returns the payload to send back, None if there is nothing to
send, or a verdict. `router.services` maps protocol numbers to services; add one of your own there.
"""

__all__ = ["Service", "answer_echo", "refuse_ports", "services_of_a_router"]

from collections.abc import Callable
from typing import TypeAlias

from course_lib.forwarding.verdicts import Drop, Refuse
from course_lib.headers.assigned_numbers import ICMP_ECHO, PROTOCOL_ICMP, PROTOCOL_UDP
from course_lib.headers.errors import Reason
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.datagrams import echo_reply, udp_is_intact
from course_lib.ip.packets import Packet

Service: TypeAlias = Callable[[Packet], bytes | Drop | Refuse | None]


def answer_echo(packet: Packet) -> bytes | Drop | None:
    """Return the reply to an ICMP echo: the same, but for type and checksum (RFC 792).

    Nobody here waits for other messages; unknown types are discarded silently (RFC 1122, section
    3.2.2). Raises `PacketError` for a message that is cut short or damaged.
    """
    header = ICMPHeader.parse(packet.payload, verify_checksum=True)
    if header.type == ICMP_ECHO and header.code == 0:
        return echo_reply(packet.payload)
    return Drop(Reason.NOT_UNDERSTOOD)


def refuse_ports(packet: Packet) -> Drop | Refuse:
    """Refuse a UDP datagram, as nobody listens; drop it silently if it is damaged.

    RFC 1122, sections 4.1.3.1 and 4.1.3.4. A checksum of zero says that there is none (RFC 768).
    """
    if packet.header is not None and not udp_is_intact(packet.header, packet.payload):
        return Drop(Reason.WRONG_CHECKSUM)
    return Refuse(Reason.NO_SUCH_PORT)


def services_of_a_router() -> dict[int, Service]:
    """Return the services that a router has before anybody adds one."""
    return {PROTOCOL_ICMP: answer_echo, PROTOCOL_UDP: refuse_ports}
