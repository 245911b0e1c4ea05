"""What must be known of the lines at a router's interfaces, to read and to set them.

Whoever carries a router's frames keeps one object of this kind for each interface: the simulated
network has one sort, the live network another.
"""

__all__ = ["LARGEST_RATE_BITS_PER_S", "LineBooks", "SteeredLine", "check_line"]

import math
from typing import NamedTuple, Protocol

from course_lib.network.wires import LARGEST_RATE_BITS_PER_S
from course_lib.steering.changes import SetLine, SteeringError


class LineBooks(NamedTuple):
    """What has come and gone at an interface so far."""

    received_frames: int = 0
    received_octets: int = 0
    sent_frames: int = 0
    sent_octets: int = 0
    dropped_packets: int = 0  # found the queue full
    lost_packets: int = 0  # lost on purpose, or with a cut
    waiting_packets: int = 0  # now, with the one that is being sent


class SteeredLine(Protocol):
    """The direction of a line in which a router sends, and the books of both directions."""

    @property
    def is_up(self) -> bool:
        """Whether the line is whole."""

    @property
    def rate_bits_per_s(self) -> float | None:
        """How fast frames are sent; None: as fast as can be."""

    @property
    def delay_s(self) -> float:
        """How long a frame travels."""

    @property
    def queue_packets(self) -> int | None:
        """How many packets may wait, with the one that is being sent; None: as many as want to."""

    @property
    def loss_period(self) -> int | None:
        """After how many frames one gets lost on purpose; None: never."""

    def books(self) -> LineBooks:
        """Return what has come and gone so far."""

    def set_link(self, *, is_up: bool) -> None:
        """Cut the line, in both directions, or mend it."""

    def set_line(self, change: SetLine) -> None:
        """Set all four from now on; `check_line` has looked at them already."""


def check_line(change: SetLine) -> None:
    """Raise `SteeringError` for settings that no line can have.

    >>> check_line(SetLine("sea", queue_packets=0))
    Traceback (most recent call last):
    ...
    course_lib.steering.changes.SteeringError: the queue must be for 1 packet or more, not 0: \
the one that is being sent counts
    """
    _, rate, delay_s, queue, period = change
    most = LARGEST_RATE_BITS_PER_S
    problems = (
        (rate is None or 0 < rate <= most, f"the rate must be more than 0 and at most {most:g} "
         f"bit/s, not {rate}"),
        (0 <= delay_s < math.inf, f"the delay must be 0 s or more, and finite, not {delay_s}"),
        (queue is None or queue >= 1, f"the queue must be for 1 packet or more, not {queue}: the "
         "one that is being sent counts"),
        (period is None or period >= 1, f"the loss period must be 1 or more, not {period}: with 1 "
         "every frame gets lost"),
    )  # fmt: skip
    for is_allowed, words in problems:
        if not is_allowed:
            raise SteeringError(words)
