"""What being late costs: from a number of seconds to a share of the points that is kept.

A day is 24 hours, counted from the deadline, and one that has begun counts. The grace moves the
end of every day: with ten minutes, a hand-in five minutes after the deadline is in time, and one
24 hours and five minutes after it is one day late.
"""

__all__ = ["DAY_S", "LateRule", "days_late"]

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field

DAY_S = 86_400


@dataclass(frozen=True, slots=True)
class LateRule:
    """Which share of the points is kept after so many days.

    `kept` holds shares (0 to 1) by the day from which on they hold; they never rise from day to
    day. What comes after `last_day` earns nothing; with None there is no such day. `free_days` are
    days that each student may be late in all, over all units, without losing anything.
    Raises `ValueError` in words.
    """

    kept: Mapping[int, float] = field(default_factory=dict)
    grace_s: float = 0.0
    last_day: int | None = None
    free_days: int = 0

    def __post_init__(self) -> None:
        shares = [1.0, *(self.kept[day] for day in sorted(self.kept))]
        if any(not 0.0 <= share <= 1.0 for share in shares):
            raise ValueError("what is kept lies between 0 and 100 per cent")
        if any(later > earlier for earlier, later in itertools.pairwise(shares)):
            raise ValueError("what is kept may not rise from one day to the next")
        if any(day < 1 for day in self.kept):
            raise ValueError("the first day that one can be late is day 1")
        if not 0 <= self.grace_s < DAY_S:
            raise ValueError("the grace is shorter than a day, and not below nothing")
        if self.free_days < 0 or (self.last_day is not None and self.last_day < 0):
            raise ValueError("a number of days is 0 or more")

    def share(self, days: int, free: int = 0) -> float:
        """Return the share that is kept after so many days, `free` of which cost nothing.

        The last day holds for free days too.

        >>> LateRule({1: 0.9, 3: 0.5}, last_day=4).share(2)
        0.9
        """
        if self.last_day is not None and days > self.last_day:
            return 0.0
        begun = [day for day in self.kept if day <= days - free]
        return self.kept[max(begun)] if begun else 1.0


def days_late(late_s: float, grace_s: float = 0.0) -> int:
    """Return the days that have begun since the deadline.

    >>> days_late(0), days_late(1), days_late(86_400), days_late(86_401)
    (0, 1, 1, 2)
    """
    return max(0, math.ceil((late_s - grace_s) / DAY_S))
