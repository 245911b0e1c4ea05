"""A transfer over TCP, as fast as the window allows: one process sends, another one receives.

The sender looks at its connection many times a second, and the receiver at its count. Both write
down the moment by `time.monotonic`, which all processes of a machine share. After its time the
sender breaks the connection off, so that nothing that still waits goes on.
"""

__all__ = ["BULK_PORT", "SAMPLE_S", "measure_bulk", "measure_bulk_arrivals"]

import select
import socket
import struct
import time
from collections.abc import Iterator
from typing import Any

from course_lib.live.measuring.tcp_info import tcp_info
from course_lib.prefixes.text import format_address

BULK_PORT = 5001
SAMPLE_S = 0.02
_BLOCK, _MOST = bytes(1 << 16), 1 << 20  # octets sent and taken at a time
_AT_ONCE = struct.pack("ii", 1, 0)  # SO_LINGER: closing breaks off (socket(7))
PATIENCE_S = 30.0


def measure_bulk(
    destination: int,
    length_s: float = 10.0,
    control: str = "cubic",
    port: int = BULK_PORT,
    sample_s: float = SAMPLE_S,
) -> Iterator[dict[str, Any]]:
    """Send for `length_s`; yield what the kernel knows of the connection, every `sample_s`.

    `control` is the kernel's name of a congestion control. Raises `ValueError` if it has none of
    that name, `OSError` if nobody listens.
    """
    with socket.socket() as connection:
        _choose(connection, control)
        connection.settimeout(PATIENCE_S)
        connection.connect((format_address(destination), port))
        connection.setblocking(False)
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _AT_ONCE)
        begun_s = time.monotonic()
        due_s = begun_s
        while (now_s := time.monotonic()) < begun_s + length_s:
            if now_s >= due_s:
                yield {"clock_s": now_s, **tcp_info(connection)._asdict()}
                due_s = max(due_s + sample_s, time.monotonic())
            pause_s = max(0.0, due_s - time.monotonic())
            if select.select([], [connection], [], pause_s)[1]:
                connection.send(_BLOCK)
        yield {"clock_s": time.monotonic(), **tcp_info(connection)._asdict()}


def measure_bulk_arrivals(
    port: int = BULK_PORT, sample_s: float = SAMPLE_S, patience_s: float = PATIENCE_S
) -> Iterator[dict[str, Any]]:
    """Take one connection; yield how many octets have come so far, every `sample_s`.

    The first row says that it listens. Ends with the connection, or if none comes in `patience_s`.
    """
    with socket.create_server(("0.0.0.0", port)) as listening:
        yield {"what": "listening"}
        listening.settimeout(patience_s)
        connection, _ = listening.accept()
    with connection:
        # Taken at once: a kernel whose receiver sleeps acknowledges many segments together, and
        # the sender answers with bursts.
        octets, came, due_s = 0, 1, time.monotonic()
        while came:
            now_s = time.monotonic()
            if now_s >= due_s:
                yield {"clock_s": now_s, "octets": octets}
                due_s = max(due_s + sample_s, time.monotonic())
            if select.select([connection], [], [], max(0.0, due_s - time.monotonic()))[0]:
                came = _taken(connection)
                octets += came
        yield {"clock_s": time.monotonic(), "octets": octets}


def _taken(connection: socket.socket) -> int:
    """Return how many octets have come; none any more if the sender has broken off."""
    try:
        return len(connection.recv(_MOST))
    except ConnectionResetError:
        return 0


def _choose(connection: socket.socket, control: str) -> None:
    try:
        connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_CONGESTION, control.encode())
    except OSError:
        raise ValueError(
            f"this kernel has no congestion control {control!r}, or does not lend it; the file "
            "/proc/sys/net/ipv4/tcp_allowed_congestion_control names those that it lends"
        ) from None
