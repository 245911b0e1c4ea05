"""Trace a path: UDP datagrams with time to live 1, 2, 3 and so on, and who complains about each.

The simulated hosts ask by echo. Here the question is a datagram to a port on which nobody listens,
so the destination says "port unreachable" (RFC 792, code 3; RFC 1122, section 4.1.3.1). No power is
needed for that: the kernel matches ICMP errors with the socket that caused them, and keeps them for
it (IP_RECVERR in ip(7)). A socket for each question tells which one an error is about.
"""

__all__ = ["measure_path"]

import select
import socket
import time
from collections.abc import Iterator
from typing import Any

from course_lib.headers.assigned_numbers import ICMP_TIME_EXCEEDED
from course_lib.live.measuring.kernel_sockets import RECEIVE_ERRORS, receive, stamped
from course_lib.network.records import What
from course_lib.prefixes.text import format_address

FIRST_PORT = 33434  # common practice, no published source
_DATA = bytes(range(28))


def measure_path(
    destination: int, most_hops: int = 30, wait_s: float = 2.0
) -> Iterator[dict[str, Any]]:
    """Yield a row for every hop: number (the time to live), what, other, delay_s.

    Whoever says that the destination cannot be reached ends the search; if that is the destination
    itself, it has been reached.
    """
    if not 1 <= most_hops <= 255:
        raise ValueError(f"most_hops must be 1 to 255 (8 bits on the wire), not {most_hops}")
    for time_to_live in range(1, most_hops + 1):
        row = _asked(format_address(destination), time_to_live, wait_s)
        yield row
        if row["what"] not in (What.TIME_EXCEEDED, What.NO_ANSWER):
            return


def _asked(destination: str, time_to_live: int, wait_s: float) -> dict[str, Any]:
    """Ask once, and wait for the answer."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        stamped(one).setsockopt(socket.IPPROTO_IP, RECEIVE_ERRORS, 1)
        one.setsockopt(socket.IPPROTO_IP, socket.IP_TTL, time_to_live)
        one.setblocking(False)
        watched = select.poll()
        watched.register(one, 0)  # errors are always told
        asked_s = time.monotonic()
        try:
            one.sendto(_DATA, (destination, FIRST_PORT + time_to_live - 1))
        except OSError:  # the kernel knows no way
            return _row(time_to_live, What.UNREACHABLE, None, time.monotonic() - asked_s)
        while (left_s := asked_s + wait_s - time.monotonic()) > 0:
            if not watched.poll(1000 * left_s):
                break
            got = receive(one, errors=True)
            if got.error is None:  # the kernel's own: no next hop told its hardware address
                return _row(time_to_live, What.UNREACHABLE, None, got.at_s - asked_s)
            expired = got.error.icmp_type == ICMP_TIME_EXCEEDED
            what = What.TIME_EXCEEDED if expired else What.UNREACHABLE
            return _row(time_to_live, what, got.error.address, got.at_s - asked_s)
    return _row(time_to_live, What.NO_ANSWER, None, wait_s)


def _row(time_to_live: int, what: What, other: int | None, delay_s: float) -> dict[str, Any]:
    return {"number": time_to_live, "what": str(what), "other": other, "delay_s": delay_s}
