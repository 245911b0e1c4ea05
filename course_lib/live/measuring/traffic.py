"""Traffic that goes on: datagrams in bursts, for as long as somebody says that they are wanted.

It measures nothing. What comes in meanwhile is left to the kernel to throw away: a port is open, so
that nobody is told that it is closed, and nobody reads.
"""

__all__ = ["Flow", "measure_traffic"]

import heapq
import os
import select
import socket
import time
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from course_lib.network.hosts.tasks import STREAM_PORT
from course_lib.prefixes.text import format_address

_WORDS = 0  # the descriptor by which it is told
_MOST_WORDS = 1 << 12
_ROOM = 1 << 12  # octets for what nobody reads


class Flow(NamedTuple):
    """Datagrams to a host: so many at once, then a pause."""

    destination: int
    together: int
    interval_s: float
    payload_octets: int


def measure_traffic(
    flows: Sequence[Sequence[float]], rests_after_s: float = 3.0, port: int = STREAM_PORT
) -> Iterator[dict[str, Any]]:
    """Send these flows; yield one row when it begins.

    flows: each a `Flow`. A line on descriptor 0 says that they are wanted on; if none has come for
    `rests_after_s` they rest, and where nobody can say so any more they end.
    """
    wanted = [Flow(int(to), int(together), every_s, int(octets))
              for to, together, every_s, octets in flows]  # fmt: skip
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        one.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, _ROOM)
        one.bind(("0.0.0.0", port))
        yield {"what": "begun"}
        until_s = time.monotonic() + rests_after_s
        due = _at_once(wanted)
        while True:
            now_s = time.monotonic()
            if now_s > until_s or not due:
                if not _is_wanted_on(None):
                    return
                due = _at_once(wanted)
            elif now_s >= due[0][0]:
                due_s, number = due[0]
                _send(one, wanted[number], port)
                # What a busy machine has left out is not made up for.
                next_s = max(due_s + wanted[number].interval_s, now_s)
                heapq.heapreplace(due, (next_s, number))
                continue
            elif not select.select([_WORDS], [], [], due[0][0] - now_s)[0]:
                continue
            elif not _is_wanted_on(0.0):
                return
            until_s = time.monotonic() + rests_after_s


def _at_once(flows: Sequence[Flow]) -> list[tuple[float, int]]:
    return [(time.monotonic(), number) for number in range(len(flows))]


def _is_wanted_on(within_s: float | None) -> bool:
    """Read what is said, waiting as long as that; return False if nobody is there to say it."""
    select.select([_WORDS], [], [], within_s)
    return bool(os.read(_WORDS, _MOST_WORDS))


def _send(one: socket.socket, flow: Flow, port: int) -> None:
    for _ in range(flow.together):
        one.sendto(bytes(flow.payload_octets), (format_address(flow.destination), port))
