"""A process in a private network, as the notebook sees it: lines of JSON go to it and come from it.

It finds one end of a socket as its descriptor 0, and what it prints as errors goes into a file of
ours. As that file and the socket are made here, they keep no network of the process alive.
"""

__all__ = ["LiveProcess"]

import contextlib
import json
import socket
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, cast

from course_lib.live.carrying.endings import why_it_ended
from course_lib.live.private_network.supervised import LiveNetworkError, Supervised

MOST_ERROR_OCTETS = 4000  # the end of what it printed


class LiveProcess:
    """Python, started in a place of a private network.

    lines_on_output: let what it prints be lines for us too; else it is told with the errors.
    descriptors: what it gets as descriptors 3, 4, and so on.
    """

    def __init__(
        self,
        supervised: Supervised,
        place: str,
        arguments: Sequence[str],
        *,
        lines_on_output: bool = False,
        descriptors: Sequence[int] = (),
    ) -> None:
        self.place = place
        self._what = " ".join(arguments[1:3]).removeprefix("course_lib.live.").replace("_", " ")
        self._supervised, self._errors = supervised, tempfile.TemporaryFile()  # noqa: SIM115 - closed by `stop`
        ours, theirs = socket.socketpair()
        with theirs:
            talk, errors = theirs.fileno(), self._errors.fileno()
            self.number: int = supervised.order(
                "start",
                (talk, talk if lines_on_output else errors, errors, *descriptors),
                place=place,
                arguments=list(arguments),
            )
        self._socket, self._lines = ours, ours.makefile("rb")

    def send(self, line: Mapping[str, object]) -> None:
        """Send a line. If it has ended, nobody reads that, and `lines` come to an end."""
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            self._socket.sendall(json.dumps(line).encode() + b"\n")

    def lines(self) -> Iterator[dict[str, Any]]:
        """Yield what it says, line after line, until it ends."""
        with contextlib.suppress(ConnectionResetError):  # it ended with something unread
            while line := self._lines.readline():
                yield json.loads(line)

    def kill(self) -> int | None:
        """Kill it, unless it has ended; return how it ended, None if all of the network has."""
        if not self._supervised.is_running:
            return None
        return cast(int, self._supervised.order("stop", process=self.number))

    def stop(self) -> None:
        """Kill it, unless it has ended, and let go of it."""
        with contextlib.suppress(LiveNetworkError):  # the network has ended, and it with that
            self.kill()
        self._lines.close()
        self._socket.close()
        self._errors.close()

    def wait(self) -> int:
        """Wait until it has ended by itself; return its exit code, or a signal's number below 0.

        For one whose lines have come to an end; so it will not take long.
        """
        while (code := self._supervised.order("how_ended", process=self.number)) is None:
            time.sleep(0.005)
        return cast(int, code)

    def how_it_ended(self, code: int | None) -> str:
        """Return words about its end, with the last of what it printed."""
        self._errors.seek(0)
        said = self._errors.read()[-MOST_ERROR_OCTETS:].decode(errors="replace").strip()
        why = "all of the network has ended" if code is None else why_it_ended(code)
        return f"{self._what} at {self.place!r}: {why}" + (f"; it said:\n{said}" if said else "")
