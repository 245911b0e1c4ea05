"""Borrowed part of unit 06: one hop of a whole frame, by way of the library's headers.

Not here: `carry` and `why_slow`, which the library's router does in a way of its own;
`first_fault`, whose order its parser does not keep; `may_pass` and `new_dropper`, which are for
stages of one's own.
"""

__all__ = ["rewrite_frame"]

from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.my_parts.borrowed.unit_02 import lower_time_to_live


def rewrite_frame(
    frame: bytes, leaves_by: tuple[bytes, bytes], next_hop: tuple[bytes, bytes]
) -> bytes:
    """Return the frame in which a datagram leaves for its next hop: exercise 6.2."""
    ethernet = EthernetHeader.parse(frame)
    datagram = ethernet.payload(frame)
    header = IPv4Header.parse(datagram)
    outgoing = ethernet._replace(destination=next_hop[0], source=leaves_by[0])
    return outgoing.build() + lower_time_to_live(header.build()) + header.payload(datagram)
