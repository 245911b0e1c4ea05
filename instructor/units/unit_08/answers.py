"""Model answers for unit 08, queues and schedulers: written to be read out in front of a class.

Sources: J. D. C. Little, Operations Research 9 (1961) (the law); RFC 2698, section 3 (the meter);
M. Shreedhar, G. Varghese, "Efficient fair queuing using deficit round robin", SIGCOMM 1995.
"""

__all__ = [
    "compare_with_theory",
    "new_meter",
    "new_round_robin",
    "new_urgent_first",
    "three_means",
    "waits_in_line",
]

import math
from collections import deque


def waits_in_line(came_ms: list[int], takes_ms: list[int], room: int) -> list[int | None]:
    """Return how long each packet waits until its sending begins; None if it is dropped."""
    waits: list[int | None] = []
    ends_ms: deque[int] = deque()  # when each packet that is there will have been sent
    for number, came in enumerate(came_ms):
        while ends_ms and ends_ms[0] <= came:
            ends_ms.popleft()
        if len(ends_ms) == room:
            waits.append(None)
            continue
        begins = ends_ms[-1] if ends_ms else came
        waits.append(begins - came)
        ends_ms.append(begins + takes_ms[number])
    return waits


def three_means(
    came_ms: list[int], left_ms: list[int | None], from_ms: int, to_ms: int
) -> tuple[float, float, float | None]:
    """Return the mean number inside, the rate of arrivals, and the mean time inside."""
    stays = [
        (came, left) for number, came in enumerate(came_ms) if (left := left_ms[number]) is not None
    ]
    length = to_ms - from_ms
    inside = sum(max(0, min(left, to_ms) - max(came, from_ms)) for came, left in stays)
    times = [left - came for came, left in stays if from_ms <= came < to_ms]
    mean_time = sum(times) / len(times) if times else None
    return inside / length, len(times) / length, mean_time


def new_meter(
    peak_kbit_s: int, peak_octets: int, committed_kbit_s: int, committed_octets: int
) -> "Meter":
    """Return a meter with two full buckets."""
    return Meter(Bucket(peak_kbit_s, peak_octets), Bucket(committed_kbit_s, committed_octets))


class Bucket:
    """Tokens, each good for one octet."""

    at_ms = 0  # when it was last looked into

    def __init__(self, kbit_s: int, depth: int) -> None:
        self.octets_per_ms = kbit_s // 8  # 1000 bits a second are one bit a millisecond
        self.depth = self.level = depth

    def fill(self, now_ms: int) -> int:
        """Let in what has come since the last look, and tell what is there."""
        more = self.octets_per_ms * (now_ms - self.at_ms)
        self.level = min(self.depth, self.level + more)
        self.at_ms = now_ms
        return self.level


class Meter:
    """RFC 2698, section 3, colour-blind."""

    def __init__(self, peak: Bucket, committed: Bucket) -> None:
        self.peak, self.committed = peak, committed

    def tokens(self, now_ms: int) -> tuple[int, int]:
        """Tell what both buckets hold."""
        return self.peak.fill(now_ms), self.committed.fill(now_ms)

    def colour(self, now_ms: int, octets: int) -> str:
        """Colour a packet, and take the tokens that it costs."""
        peak, committed = self.tokens(now_ms)
        if peak < octets:
            return "red"
        self.peak.level -= octets
        if committed < octets:
            return "yellow"
        self.committed.level -= octets
        return "green"


def new_round_robin(quanta: list[int]) -> "RoundRobin":
    """Return a scheduler in which nothing waits."""
    return RoundRobin(quanta)


class RoundRobin:
    """Deficit round robin with a list of the queues in which something waits."""

    def __init__(self, quanta: list[int]) -> None:
        self.quanta = quanta
        self.packets: list[deque[int]] = [deque() for _ in quanta]
        self.credit = [0] * len(quanta)
        self.waiting: deque[int] = deque()
        self.has_earned = False  # whether the queue at the head has, since it came there

    def join(self, queue: int, octets: int) -> None:
        """Let a packet wait."""
        if not self.packets[queue]:
            self.waiting.append(queue)
        self.packets[queue].append(octets)

    def send(self) -> tuple[int, int] | None:
        """Choose the packet to send next."""
        if not self.waiting:
            return None
        queue = self.waiting[0]
        while not self.can_pay(queue):
            self.waiting.rotate(-1)  # to the end, with what it has
            self.has_earned = False
            queue = self.waiting[0]
        octets = self.packets[queue].popleft()
        self.credit[queue] -= octets
        if not self.packets[queue]:
            self.waiting.popleft()
            self.credit[queue] = 0  # who wants nothing saves nothing
            self.has_earned = False
        return queue, octets

    def can_pay(self, queue: int) -> bool:
        """Let the queue at the head earn, once, and compare."""
        if not self.has_earned:
            self.credit[queue] += self.quanta[queue]
            self.has_earned = True
        return self.packets[queue][0] <= self.credit[queue]


def new_urgent_first(levels: int, limit: int) -> "UrgentFirst":
    """Return a scheduler in which nothing waits."""
    return UrgentFirst(levels, limit)


class UrgentFirst:
    """Strict priority that passes nobody over for ever."""

    def __init__(self, levels: int, limit: int) -> None:
        self.limit = limit
        self.names: list[deque[str]] = [deque() for _ in range(levels)]
        self.passed_over = [0] * levels

    def join(self, level: int, name: str) -> None:
        """Let a packet wait."""
        self.names[level].append(name)

    def send(self) -> str | None:
        """Choose the packet to send next."""
        waiting = [level for level, names in enumerate(self.names) if names]
        if not waiting:
            return None
        due = [level for level in waiting if self.passed_over[level] >= self.limit]
        chosen = (due or waiting)[0]
        self.passed_over[chosen] = 0
        for level in waiting:
            if level > chosen:
                self.passed_over[level] += 1
        return self.names[chosen].popleft()


def compare_with_theory(
    waits_ms: list[int], warm_up: int, batches: int, t: float, theory_ms: float
) -> tuple[float, float, bool]:
    """Return the mean wait, how far its interval reaches, and whether theory lies in it."""
    counted = waits_ms[warm_up:]
    length = len(counted) // batches
    means = [sum(counted[n * length : (n + 1) * length]) / length for n in range(batches)]
    mean = sum(means) / batches
    variance = sum((one - mean) ** 2 for one in means) / (batches - 1)
    reach = t * math.sqrt(variance / batches)
    return mean, reach, abs(theory_ms - mean) <= reach
