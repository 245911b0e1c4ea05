"""What became of all packets, counted.

Nothing gets lost without a count. At any time

    received + made == sent + taken + sum(dropped) + those that wait in the router

holds, where *made* are the packets that the router added (its own, and all but the first of the
fragments that it cut), and *taken* those that were for the router itself.
"""

__all__ = ["Counters"]

from collections import Counter
from dataclasses import dataclass, field

from course_lib.forwarding_packets import Task
from course_lib.packet_errors import Reason


@dataclass(slots=True)
class Counters:
    """Plain numbers that only grow. All frames count but those that address resolution sends."""

    received: int = 0
    made: int = 0
    sent: int = 0
    taken: int = 0
    dropped: Counter[Reason] = field(default_factory=Counter)
    left_fast_path: int = 0  # received packets for which the slow path had to do something
    tasks: Counter[Task] = field(default_factory=Counter)  # what it had to do
    errors_sent: Counter[tuple[int, int]] = field(default_factory=Counter)  # ICMP type and code
    errors_withheld: Counter[str] = field(default_factory=Counter)  # and why
    resolution_frames_sent: int = 0
    stage_failures: Counter[str] = field(default_factory=Counter)  # by the name of the stage

    @property
    def fast_path_share(self) -> float:
        """Share of the received packets that never left the fast path; 1 before the first."""
        return 1 - self.left_fast_path / self.received if self.received else 1.0
