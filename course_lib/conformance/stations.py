"""The neighbours of the router: they answer who asks for their hardware address, and no more."""

__all__ = ["answer_to"]

from collections.abc import Container

from course_lib.conformance.bench import IMPOSTORS, STATIONS
from course_lib.headers.assigned_numbers import ARP_REPLY, ARP_REQUEST, ETHER_TYPE_ARP
from course_lib.headers.errors import PacketError
from course_lib.headers.ethernet import ARPPacket, EthernetHeader


def answer_to(interface: str, frame: bytes, silent: Container[int]) -> bytes | None:
    """Return the frame with which a station on this link answers, None if none does.

    silent: addresses of those that do not answer (RFC 826, "Packet Reception", for the others).
    """
    try:
        ethernet = EthernetHeader.parse(frame)
        if ethernet.ether_type != ETHER_TYPE_ARP:
            return None
        question = ARPPacket.parse(ethernet.payload(frame))
    except PacketError:
        return None
    for each in (*STATIONS, *IMPOSTORS):
        if (each.interface, each.address) == (interface, question.target_protocol_address):
            if question.opcode != ARP_REQUEST or each.address in silent:
                return None
            asker = question.sender_hardware_address
            ends = (each.hardware_address, each.address, asker, question.sender_protocol_address)
            header = EthernetHeader(asker, each.hardware_address, ETHER_TYPE_ARP)
            return header.build() + ARPPacket(ARP_REPLY, *ends).build()
    return None
