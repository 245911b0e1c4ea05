"""Octets into values and back: the headers of Ethernet II, ARP, IPv4, ICMP, UDP and TCP.

A header is an immutable value with the fields of the standard, in the units of the wire: lengths
of headers in 32-bit words, other lengths in octets, IPv4 addresses as 32-bit numbers, hardware
addresses as six octets. Where a field stands is written in `course_lib.headers.layouts`.

* `Header.parse(data)` reads the header at the beginning of `data`. It checks what has to be right
  for the fields to mean anything, and raises `PacketError`, and never anything else.
* `header.payload(data)` gives what the header carries, of the same `data`. What stands behind the
  end that the header itself states, such as the padding of a short Ethernet frame, is left out.
* `header.build()` packs exactly the fields that are there. No length and no checksum is filled in,
  and a value that lies is packed as it is: a test of a router needs such packets.
* `header._replace(field=value)` gives a header that differs in one field (Python's named tuples
  have this method); `with_checksum` gives one whose checksum is right.

How long an IPv4 or TCP header is follows from its options, so the length is not stored a second
time. Options are raw octets here: where one ends and the next begins is not looked at.

Real routers: the same checks, done by a chip for several packets at a time.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "ethernet": ["ARPPacket", "EthernetHeader"],
        "ipv4": ["IPv4Header"],
        "transport": ["ICMPHeader", "TCPHeader", "UDPHeader"],
        "errors": ["PacketError", "Reason"],
        "layouts": ["LAYOUTS"],
        "error_injection": ["ErrorCounts", "KINDS", "damaged", "inject"],
    },
)
