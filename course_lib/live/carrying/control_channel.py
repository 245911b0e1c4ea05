"""Lines of JSON between a router's process and whoever steers it, over one stream socket.

Neither side ever waits for the other: what cannot be sent at once is kept for later. If nobody
reads at the other end for long, what is told unasked is left out, and how much is said later.
"""

__all__ = ["ControlChannel"]

import json
import socket
from typing import Any

MOST_KEPT_OCTETS = 1 << 22
_PIECE = 1 << 16


class ControlChannel:
    """One end of the socket. `is_open` turns False when the other end is closed."""

    def __init__(self, stream: socket.socket) -> None:
        self.is_open = True
        self._stream = stream
        self._got = bytearray()
        self._to_send = bytearray()
        self._left_out = 0

    def fileno(self) -> int:
        """Return the descriptor, for waiting."""
        return self._stream.fileno()

    @property
    def has_more_to_send(self) -> bool:
        """True if something is kept until there is room."""
        return bool(self._to_send)

    def first_line(self) -> dict[str, Any]:
        """Wait for one line. Raises `EOFError` if the other end is closed before."""
        self._stream.setblocking(True)
        while self.is_open:
            if lines := self._lines(most=1):
                return lines[0]
            self._take(self._stream.recv(_PIECE))
        raise EOFError("nobody told what to do")

    def received(self) -> list[dict[str, Any]]:
        """Return what has come, without waiting."""
        self._stream.setblocking(False)
        try:
            while self.is_open:
                self._take(self._stream.recv(_PIECE))
        except BlockingIOError:
            pass  # that was all
        except ConnectionError:
            self.is_open = False
        return self._lines()

    def answer(self, message: dict[str, Any]) -> None:
        """Send what was asked for."""
        self._to_send += json.dumps(message).encode() + b"\n"
        self.flush()

    def tell(self, message: dict[str, Any]) -> None:
        """Send something unasked, unless too much waits already."""
        if len(self._to_send) > MOST_KEPT_OCTETS:
            self._left_out += 1
            return
        if self._left_out:
            message = message | {"left_out_before": self._left_out}
            self._left_out = 0
        self.answer(message)

    def flush(self, *, to_the_end: bool = False) -> None:
        """Send what there is room for; with `to_the_end`, wait until all is sent."""
        self._stream.setblocking(to_the_end)
        try:
            while self._to_send and self.is_open:
                del self._to_send[: self._stream.send(self._to_send)]
        except BlockingIOError:
            pass  # the rest goes later
        except ConnectionError:
            self.is_open = False

    def _take(self, octets: bytes) -> None:
        self._got += octets
        self.is_open = bool(octets)

    def _lines(self, most: int = -1) -> list[dict[str, Any]]:
        *whole, rest = bytes(self._got).split(b"\n", most)
        self._got = bytearray(rest)
        return [self._message(line) for line in whole if line.strip()]

    def _message(self, line: bytes) -> dict[str, Any]:
        try:
            message = json.loads(line)
        except ValueError as error:
            return {"command": "?", "problem": f"not a line of JSON: {error}"}
        return message if isinstance(message, dict) else {"command": "?", "problem": "no object"}
