"""When a host sends the next packet of a task, and how long it waits for an answer.

Both are plain bookkeeping: they are told the time, and tell what is due.
"""

__all__ = ["Answer", "Pace", "Questions", "Steps"]

import math
from typing import NamedTuple

from course_lib.network.records import What


class Answer(NamedTuple):
    """What became of one question: somebody answered, or nobody (`other` is None)."""

    what: What
    sequence: int
    other: int | None
    delay_s: float | None = None


class Questions:
    """Questions that were asked and are still open, oldest first."""

    def __init__(self, wait_s: float) -> None:
        if not 0 < wait_s < math.inf:
            raise ValueError(f"wait_s must be more than 0, and finite, not {wait_s}")
        self.wait_s = wait_s
        self._asked_s: dict[int, float] = {}

    def __len__(self) -> int:
        """Return how many are open."""
        return len(self._asked_s)

    def ask(self, now_s: float, sequence: int) -> None:
        """Note that a question goes out now."""
        self._asked_s[sequence] = now_s

    def due_s(self) -> float:
        """Return when the oldest has waited long enough."""
        return next(iter(self._asked_s.values()), math.inf) + self.wait_s

    def close(self, now_s: float, answer: Answer) -> Answer | None:
        """Return the answer with its delay, None if its question is not open."""
        asked_s = self._asked_s.pop(answer.sequence, None)
        return None if asked_s is None else answer._replace(delay_s=now_s - asked_s)

    def expire(self, now_s: float) -> list[Answer]:
        """Give up the questions that have waited long enough."""
        late = [s for s, asked_s in self._asked_s.items() if asked_s + self.wait_s <= now_s]
        for sequence in late:
            del self._asked_s[sequence]
        return [Answer(What.NO_ANSWER, sequence, None, self.wait_s) for sequence in late]


class Pace:
    """`count` departures, one every `interval_s`, from `start_s` on."""

    def __init__(self, count: int, interval_s: float) -> None:
        if not 1 <= count < 1 << 16:
            raise ValueError(f"count must be 1 to 65535 (16 bits number the packets), not {count}")
        if not 0 <= interval_s < math.inf:
            raise ValueError(f"interval_s must be 0 or more, and finite, not {interval_s}")
        self.start_s = math.inf
        self.sent = 0
        self._count, self._interval_s = count, interval_s

    @property
    def due_s(self) -> float:
        """When the next one is due; infinity if all have gone."""
        is_over = self.sent == self._count
        return math.inf if is_over else self.start_s + self.sent * self._interval_s

    def departures(self, now_s: float) -> list[int]:
        """Return the numbers of all packets that are due by now, from 1 on, each once."""
        numbers = []
        while self.due_s <= now_s:
            self.sent += 1
            numbers.append(self.sent)
        return numbers


class Steps(Pace):
    """At most `count` departures, one at a time: after each, `start_s` has to be set anew."""

    def __init__(self, count: int) -> None:
        super().__init__(count, interval_s=0)

    def departures(self, now_s: float) -> list[int]:
        """Return the number of the one that is due by now, if it is."""
        if self.due_s > now_s:
            return []
        self.sent += 1
        self.start_s = math.inf
        return [self.sent]
