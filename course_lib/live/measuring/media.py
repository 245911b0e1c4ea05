"""A stream such as a call makes: small datagrams at a steady pace, each with number and time.

What is sent and when says `Stream` of `course_lib.network.hosts.tasks`, the task of the simulated
hosts; so the datagrams are the same. The receiver tells when each came, by the kernel's stamp.
"""

__all__ = ["measure_stream", "measure_stream_arrivals"]

import math
import select
import socket
import time
from collections.abc import Iterator
from typing import Any

from course_lib.live.measuring.kernel_sockets import receive, stamped
from course_lib.network.hosts.tasks import STREAM_PORT, Stream, read_stream_data
from course_lib.prefixes.text import format_address

_UDP_HEADER_OCTETS = 8


def measure_stream(
    destination: int,
    count: int,
    interval_s: float,
    payload_octets: int = 160,
    port: int = STREAM_PORT,
) -> Iterator[dict[str, Any]]:
    """Send `count` datagrams, one every `interval_s`; yield one row at the end.

    It says how many were sent, and by how many seconds the latest left after its time: a busy
    machine delays what it sends, which is not the network's doing.
    """
    task = Stream(destination, count=count, interval_s=interval_s,
                  payload_octets=payload_octets, port=port)  # fmt: skip
    begun_s, latest_s, sent = time.monotonic(), 0.0, 0
    task.start(begun_s, 0, 1)
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        while (due_s := task.due_s) < math.inf:
            time.sleep(max(0.0, due_s - time.monotonic()))
            now_s = time.monotonic()
            for datagram in task.act(now_s)[0]:
                latest_s = max(latest_s, now_s - due_s)
                # The kernel writes a UDP header of its own.
                data = datagram.content[_UDP_HEADER_OCTETS:]
                one.sendto(data, (format_address(destination), port))
                sent += 1
    yield {"sent": sent, "latest_s": latest_s}


def measure_stream_arrivals(
    count: int,
    interval_s: float,
    port: int = STREAM_PORT,
    wait_s: float = 2.0,
    patience_s: float = 30.0,
) -> Iterator[dict[str, Any]]:
    """Yield a row for every datagram of a stream: its number, and how long it was on its way.

    The first row says that it listens. Ends when all have come, or `wait_s` after the last was to
    be sent; if nothing comes, after `patience_s`.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        stamped(one).bind(("0.0.0.0", port))
        yield {"what": "listening"}
        numbers: set[int] = set()
        until_s = time.monotonic() + patience_s
        while len(numbers) < count and (left_s := until_s - time.monotonic()) > 0:
            if not select.select([one], [], [], left_s)[0]:
                break
            got = receive(one)
            found = read_stream_data(got.data)
            if found is None:
                continue
            _, number, sent_s = found
            if not numbers:
                until_s = got.at_s + (count - number) * interval_s + wait_s
            numbers.add(number)
            yield {"number": number, "delay_s": got.at_s - sent_s}
