"""What Linux tells of a packet besides its octets: when it came, and which error it met.

Python can be slow to look at a socket; the kernel's own stamp is as good as its interrupt. Stamps
are in the time of day, which may be set in between. So they are turned into the clock that only
ever goes forward, `time.monotonic`, by how long ago they were taken. All networks of one machine
share that clock: the time of a way from one host to another needs no answer.

Real routers: two hosts' clocks differ; a one-way time then needs clocks that are kept in step.
"""

__all__ = ["RECEIVE_ERRORS", "Received", "SocketError", "receive", "stamped"]

import socket
import struct
import time
from typing import NamedTuple

from course_lib.prefixes.text import IPV4_BITS, parse_address

# Python has no names for these; numbers from asm-generic/socket.h and linux/in.h of Linux.
_STAMPS = 35  # SO_TIMESTAMPNS, and the kind of ancillary data that brings one
RECEIVE_ERRORS = 11  # IP_RECVERR, likewise
_STAMP = struct.Struct("@ll")  # seconds and nanoseconds
_ERROR = struct.Struct("=IBBBBII")  # sock_extended_err (linux/errqueue.h)
_FROM_ICMP = 2  # SO_EE_ORIGIN_ICMP
_OFFENDER = struct.Struct("!4xI")  # family and port, then the address of sockaddr_in
_ROOM, _BESIDES = 1 << 16, 512  # octets


class SocketError(NamedTuple):
    """An ICMP message about a datagram that this socket sent: what it says, and who says it."""

    icmp_type: int
    icmp_code: int
    address: int


class Received(NamedTuple):
    """What a socket has received, from whom, and when by `time.monotonic`."""

    data: bytes
    address: int | None
    at_s: float
    error: SocketError | None


def stamped(one: socket.socket) -> socket.socket:
    """Ask the kernel to stamp what this socket receives; return the socket."""
    one.setsockopt(socket.SOL_SOCKET, _STAMPS, 1)
    return one


def receive(one: socket.socket, *, errors: bool = False) -> Received:
    """Return what comes next, or with `errors` the next error; waits as the socket does."""
    flags = socket.MSG_ERRQUEUE if errors else 0
    data, besides, _, sender = one.recvmsg(_ROOM, _BESIDES, flags)
    at_s, error = time.monotonic(), None
    for level, kind, content in besides:
        if (level, kind) == (socket.SOL_SOCKET, _STAMPS):
            seconds, nanoseconds = _STAMP.unpack(content[: _STAMP.size])
            at_s -= max(0.0, (time.time_ns() - seconds * 10**9 - nanoseconds) / 1e9)
        elif (level, kind) == (socket.IPPROTO_IP, RECEIVE_ERRORS):
            error = _error(content)
    address = parse_address(sender[0], IPV4_BITS) if sender else None
    return Received(data, address, at_s, error)


def _error(content: bytes) -> SocketError | None:
    """Return what an ICMP message says; None for errors that this machine has itself."""
    _, origin, icmp_type, icmp_code, *_ = _ERROR.unpack_from(content)
    if origin != _FROM_ICMP:
        return None
    (address,) = _OFFENDER.unpack_from(content, _ERROR.size)
    return SocketError(icmp_type, icmp_code, address)
