"""What is said of frames on a ladder: in a word beside an arrow, in a line, in a title.

Of a hardware address only the last octet is written, as in ":03": on this ladder all the others are
the same.
"""

__all__ = ["ALL", "Frame", "moment_line", "octet_of", "read_frame", "table_line", "time_words"]

from typing import NamedTuple

from course_lib.headers.assigned_numbers import ARP_REQUEST, ETHER_TYPE_ARP, PROTOCOL_ICMP
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.neighbours import BROADCAST
from course_lib.prefixes.text import format_address
from course_lib.tracing.exchange import Knowledge, Moment, Travel

ALL = "all"
_MESSAGES = {
    (8, 0): "echo",
    (0, 0): "echo reply",
    (3, 0): "net unreachable",
    (3, 1): "host unreachable",
    (11, 0): "time exceeded",
}  # ICMP type and code: RFC 792


class Frame(NamedTuple):
    """A frame as it is told: hardware addresses, a short word, a sentence, and its octets.

    `is_own`: it holds a message that is about another packet, so somebody on the way has made it.
    """

    source: str
    destination: str
    word: str
    inside: str
    octets: int
    is_question: bool
    is_own: bool


def read_frame(octets: bytes) -> Frame:
    """Return what is told of a frame."""
    ethernet = EthernetHeader.parse(octets)
    data = ethernet.payload(octets)
    ends = octet_of(ethernet.source), octet_of(ethernet.destination)
    if ethernet.ether_type == ETHER_TYPE_ARP:
        packet = ARPPacket.parse(data)
        asked = format_address(packet.target_protocol_address)
        teller = format_address(packet.sender_protocol_address)
        mine = octet_of(packet.sender_hardware_address)
        if packet.opcode == ARP_REQUEST:
            inside = f"ARP: {teller} is {mine}, and who is {asked}?"
            return Frame(*ends, f"{asked}?", inside, len(octets), True, False)
        inside = f"ARP: {teller} is {mine}, to {asked}"
        return Frame(*ends, f"it is {mine}", inside, len(octets), True, False)
    header = IPv4Header.parse(data)
    content = header.payload(data)
    is_icmp = header.protocol == PROTOCOL_ICMP
    word = _MESSAGES[content[0], content[1]] if is_icmp else "datagram"
    inside = (
        f"IPv4: from {format_address(header.source)} to {format_address(header.destination)}, "
        f"time to live {header.time_to_live}, {word}"
    )
    is_own = is_icmp and content[0] in (3, 11)
    return Frame(*ends, word, inside, len(octets), False, is_own)


def octet_of(hardware_address: bytes) -> str:
    """Return the last octet of a hardware address; a broadcast is for all."""
    return ALL if hardware_address == BROADCAST else f":{hardware_address[-1]:02x}"


def time_words(time_s: float) -> str:
    """Return a time in milliseconds, as fine as the wires need it."""
    return f"{time_s * 1e3:,.3f} ms"


def moment_line(moment: Moment) -> str:
    """Return all that happened in a moment, as one line."""
    notes = "; ".join(f"{place} {words}" for place, words in moment.notes)
    way = _way(moment.travel) if moment.travel else ""
    told = "; ".join(filter(None, (way, notes)))
    return f"{time_words(moment.time_s)}: {told}"


def _way(travel: Travel) -> str:
    frame = read_frame(travel.octets)
    end = "" if travel.arrives else ", lost on the way"
    return (
        f"{travel.origin} to {travel.target}, {frame.octets} octets from {frame.source} to "
        f"{frame.destination}{end}. {frame.inside}"
    )


def table_line(place: str, knowledge: Knowledge) -> str:
    """Return what a place knows, and what waits there, as one line."""
    known = ", ".join(f"{format_address(a)} is {octet_of(m)}" for a, m in knowledge.known)
    waiting = ", ".join(f"{octets} octets" for octets in knowledge.waiting)
    return f"{place} knows {known or 'nobody'}; waiting: {waiting or 'nothing'}"
