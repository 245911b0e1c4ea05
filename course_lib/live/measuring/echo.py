"""Ask for echoes: the task of the simulated hosts, between this machine's own sockets.

What is sent and when, which answer belongs to which question, and when one is given up: that is
`EchoRequests` of `course_lib.network.hosts.tasks`, the same object. Here it gets a raw socket
(raw(7)), which needs power over the network it stands in, as every process of a private network
has.
"""

__all__ = ["measure_echo"]

import math
import os
import select
import socket
import time
from collections.abc import Iterator
from typing import Any

from course_lib.headers.assigned_numbers import (
    ICMP_DESTINATION_UNREACHABLE,
    ICMP_ECHO_REPLY,
    ICMP_TIME_EXCEEDED,
)
from course_lib.headers.errors import PacketError
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.datagrams import quoted_echo_request
from course_lib.live.measuring.kernel_sockets import receive, stamped
from course_lib.network.hosts.pace import Answer
from course_lib.network.hosts.tasks import EchoRequests
from course_lib.network.records import What
from course_lib.prefixes.text import format_address

_ERRORS = {
    ICMP_DESTINATION_UNREACHABLE: What.UNREACHABLE,
    ICMP_TIME_EXCEEDED: What.TIME_EXCEEDED,
}


def measure_echo(
    destination: int,
    count: int = 3,
    interval_s: float = 1.0,
    payload_octets: int = 56,
    wait_s: float = 2.0,
) -> Iterator[dict[str, Any]]:
    """Yield a row for every echo as soon as its fate is known: number, what, other, delay_s.

    `other` is the address of who answered, None if nobody did; `delay_s` is then how long was
    waited. Raises `OSError` where raw sockets are not allowed.
    """
    task = EchoRequests(destination, count=count, interval_s=interval_s,
                        payload_octets=payload_octets, wait_s=wait_s)  # fmt: skip
    number = os.getpid() & 0xFFFF
    with socket.socket(socket.AF_INET, socket.SOCK_RAW, socket.IPPROTO_ICMP) as raw:
        stamped(raw)
        task.start(time.monotonic(), 0, number)
        while not task.is_done:
            datagrams, given_up = task.act(time.monotonic())
            yield from map(_row, given_up)
            for datagram in datagrams:
                yield from _sent(raw, datagram.content, task, format_address(destination))
            pause_s = 0.0 if task.due_s == math.inf else task.due_s - time.monotonic()
            if not task.is_done and select.select([raw], [], [], max(0.0, pause_s))[0]:
                yield from _taken(raw, task, number)


def _sent(
    raw: socket.socket, content: bytes, task: EchoRequests, destination: str
) -> Iterator[dict[str, Any]]:
    """Send a question. The kernel may know at once that nobody can be reached."""
    try:
        raw.sendto(content, (destination, 0))
    except OSError:
        sequence = ICMPHeader.parse(content).rest_of_header & 0xFFFF
        found = task.take(time.monotonic(), Answer(What.UNREACHABLE, sequence, None))
        if found is not None:
            yield _row(found)


def _taken(raw: socket.socket, task: EchoRequests, number: int) -> Iterator[dict[str, Any]]:
    """Take in what the socket got, which is all ICMP that comes to this host."""
    got = receive(raw)
    try:
        content = IPv4Header.parse(got.data).payload(got.data)
        message = ICMPHeader.parse(content, verify_checksum=True)
        about: ICMPHeader | None = message
        what = What.ECHO_REPLY
        if message.type in _ERRORS:
            about, what = quoted_echo_request(message.payload(content)), _ERRORS[message.type]
        elif message.type != ICMP_ECHO_REPLY:
            return
    except PacketError:
        return  # whatever it is, it answers no question of ours
    if about is not None and about.rest_of_header >> 16 == number:
        answer = Answer(what, about.rest_of_header & 0xFFFF, got.address)
        found = task.take(got.at_s, answer)
        if found is not None:
            yield _row(found)


def _row(answer: Answer) -> dict[str, Any]:
    return {
        "number": answer.sequence,
        "what": str(answer.what),
        "other": answer.other,
        "delay_s": answer.delay_s,
    }
