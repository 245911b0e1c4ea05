"""What became of all packets, counted.

Nothing gets lost without a count. At any time

    received + made == sent + taken + sum(dropped) + those that wait in the router

holds, where *made* are the packets that the router added (its own, and all but the first of the
fragments that it cut), and *taken* those that were for the router itself.
"""

__all__ = ["Counters"]

from collections import Counter
from dataclasses import dataclass, field

from course_lib.forwarding.verdicts import SlowPathTask
from course_lib.headers.errors import Reason


@dataclass(slots=True)
class Counters:
    """Plain numbers that only grow. All frames count but those that address resolution sends.

    >>> print(Counters(received=4, sent=3, taken=1, left_fast_path=1))
    received        4
    sent            3
    taken           1
    left fast path  1
    fast-path share 75.00 %: 1 of 4 received packets left it
    """

    received: int = 0
    made: int = 0
    sent: int = 0
    taken: int = 0
    dropped: Counter[Reason] = field(default_factory=Counter)
    left_fast_path: int = 0  # received packets for which the slow path had to do something
    tasks: Counter[SlowPathTask] = field(default_factory=Counter)  # what it had to do
    errors_sent: Counter[tuple[int, int]] = field(default_factory=Counter)  # ICMP type and code
    errors_withheld: Counter[str] = field(default_factory=Counter)  # and why
    resolution_frames_sent: int = 0
    stage_failures: Counter[str] = field(default_factory=Counter)  # by the name of the stage

    @property
    def fast_path_share(self) -> float:
        """Share of the received packets that never left the fast path; 1 before the first."""
        return 1 - self.left_fast_path / self.received if self.received else 1.0

    def by_name(self) -> dict[str, int]:
        """Return all counters that are not 0, each under a name in words.

        >>> Counters(received=2, dropped=Counter({Reason.NO_ROUTE: 1})).by_name()
        {'received': 2, 'dropped: no route': 1}
        """
        errors = Counter(
            {f"type {kind}, code {code}": n for (kind, code), n in self.errors_sent.items()}
        )
        named = {
            "received": self.received,
            "made": self.made,
            "sent": self.sent,
            "taken": self.taken,
            **_each("dropped", self.dropped),
            "left fast path": self.left_fast_path,
            **_each("task", self.tasks),
            **_each("error sent", errors),
            **_each("error withheld", self.errors_withheld),
            "resolution frames sent": self.resolution_frames_sent,
            **_each("stage failed", self.stage_failures),
        }
        return {name: number for name, number in named.items() if number}

    def __str__(self) -> str:
        named = self.by_name()
        width = max(map(len, named), default=0)
        lines = [f"{name:<{width}}  {number:,}" for name, number in named.items()]
        share = f"fast-path share {100 * self.fast_path_share:.2f} %"
        left = f"{self.left_fast_path:,} of {self.received:,} received packets left it"
        return "\n".join([*lines, f"{share}: {left}"])


def _each(
    what: str, numbers: Counter[Reason] | Counter[SlowPathTask] | Counter[str]
) -> dict[str, int]:
    return {f"{what}: {name}": number for name, number in numbers.items()}
