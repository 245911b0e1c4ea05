"""What a member needs of the network at its pier, however it runs: live or simulated."""

__all__ = ["Hears", "RunningPier"]

from collections.abc import Callable, Mapping
from typing import Any, Protocol

from course_lib.joining.messages import LineTold, Placed, Report

Hears = Callable[[Any], None]
"""Takes a message for the room, such as `Arrived` or `Passed`; from any thread."""


class RunningPier(Protocol):
    """One host, one router, and a line to each neighbour. Calls may take long: none is async.

    where: "live" between kernels, or "simulated".
    """

    where: str

    def open(self, placed: Placed, tell: Hears) -> Mapping[int, int]:
        """Make the network, and return at which UDP port each line is, by its number.

        tell: to whom is said what comes up between reports. Called once.
        """

    def set_line(self, line: LineTold) -> None:
        """Go by what the room says of a line. Addresses of None: those from before still hold."""

    def report(self) -> Report:
        """Return what the room is told once a second."""

    def do(self, wish: Any) -> None:
        """Begin or end a stream, or follow packets, as a message of the room says."""

    def close(self) -> None:
        """End it, and all that runs in it."""
